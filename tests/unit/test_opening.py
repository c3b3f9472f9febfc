"""Devices, pipes and files without an end, wherever a user names a file: told at once."""

from __future__ import annotations

import os
import resource
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest

from frame3d.opening import NoFileError, TooLargeError, read_file
from frame3d.staging import listed_in

GOOD = """
[profile]
style = "quonset"
width = "14 ft"
ridge_height = "9 ft"
[bays]
count = 2
spacing = "4 ft"
"""
MEMORY = 4_000_000_000
"""A program that reads without end is out of memory long before the machine is."""


@pytest.fixture(params=["zero", "full", "pipe", "socket", "folder", "endless", "link"])
def trap(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Path, str]:
    """What is no file to read, and a word of what it is."""
    path = tmp_path / "trap.csv"
    if request.param in ("zero", "full"):
        return Path(f"/dev/{request.param}"), "is a device and not a file"
    if request.param == "pipe":
        os.mkfifo(path)
        return path, "is a pipe and not a file"
    if request.param == "link":
        path.symlink_to("/dev/zero")
        return path, "is a device and not a file"
    if request.param == "socket":
        # A socket's name may have no more than a hundred bytes.
        here = Path.cwd()
        os.chdir(tmp_path)
        try:
            with socket.socket(socket.AF_UNIX) as line:
                line.bind("trap.csv")
        finally:
            os.chdir(here)
        return path, "is a socket and not a file"
    if request.param == "folder":
        path.mkdir()
        return path, "folder"
    with path.open("wb") as file:
        file.truncate(1 << 40)  # a terabyte, of which nothing is on the disk
    return path, "1 MB"


def run(*words: object, folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-P", "-m", "frame3d.cli", *map(str, words)], cwd=folder,
        capture_output=True, text=True, timeout=60, check=False, stdin=subprocess.DEVNULL,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY)),
    )  # fmt: skip


def test_each_is_told_by_its_kind(trap: tuple[Path, str]) -> None:
    path, word = trap
    begun = time.monotonic()
    with pytest.raises(OSError) as told:
        read_file(path, 1_000_000)
    assert time.monotonic() - begun < 2
    if "folder" not in word:
        assert isinstance(told.value, NoFileError | TooLargeError)
        assert word in str(told.value)


def words_for(kind: str, trap: Path, folder: Path) -> list[object]:
    """What to type so that the program opens ``trap`` as a file of this kind."""
    (folder / "a.toml").write_text(GOOD)
    if kind == "design":
        return ["check", trap]
    if kind == "served":
        return ["serve", "--port", "0", trap]
    if kind in ("price_file", "stock_file"):
        (folder / "a.toml").write_text(f'{GOOD}[order]\n{kind} = "{trap}"\n')
        return ["takeoff", "a.toml"]
    return ["site", "a.toml", f"--{kind}", trap]


KINDS = ("design", "served", "price_file", "stock_file", "levels", "measured", "built")


@pytest.mark.parametrize("kind", KINDS)
def test_no_command_reads_it(kind: str, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for path, word in ((tmp_path / "pipe", "a pipe"), (Path("/dev/zero"), "a device")):
        done = run(*words_for(kind, path, tmp_path), folder=tmp_path)
        assert done.returncode == 2, done.stderr
        assert f"it is {word} and not a file; " in done.stderr
        assert "Traceback" not in done.stderr


@pytest.mark.parametrize("words", [("new",), ("new", "--force")])
def test_no_device_is_written_over(words: tuple[str, ...], tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    done = run(*words, "pipe", folder=tmp_path)
    assert done.returncode == 2 and "is a device or a pipe" in done.stderr
    assert (tmp_path / "pipe").is_fifo()
    # As a folder it is told as before.
    (tmp_path / "a.toml").write_text(GOOD)
    done = run("guide", "a.toml", "--out", "pipe", folder=tmp_path)
    assert done.returncode == 2 and "is a file, not a folder" in done.stderr


def test_a_new_file_is_not_written_through_a_link(tmp_path: Path) -> None:
    """A folder of somebody's may hold links under the names that are used on the way."""
    (tmp_path / "mine.txt").write_text("mine")
    (tmp_path / ".a.toml.part").symlink_to("mine.txt")
    done = run("new", "a.toml", folder=tmp_path)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "mine.txt").read_text() == "mine"
    assert (tmp_path / "a.toml").is_file() and not (tmp_path / "a.toml").is_symlink()


def test_a_summary_that_is_no_file_holds_nobody_up(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "summary.json")
    assert listed_in(tmp_path) is None
    (tmp_path / "summary.json").unlink()
    (tmp_path / "summary.json").write_text('{"program": "frame3d 0", "files": ' + "[" * 200_000)
    assert listed_in(tmp_path) is None


def test_a_file_of_exactly_as_much_as_it_may_is_read(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"x" * 1000)
    assert read_file(tmp_path / "a", 1000) == b"x" * 1000
    with pytest.raises(TooLargeError):
        read_file(tmp_path / "a", 999)


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="Linux has such files")
def test_a_file_that_says_it_is_empty_is_bounded_too() -> None:
    assert os.stat("/proc/self/status").st_size == 0
    with pytest.raises(TooLargeError):
        read_file(Path("/proc/self/status"), 10)
