"""A wheel is what others install: whole, and used by somebody who may not write where it lies."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import sysconfig
import tempfile
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
NOBODY = 65534
SMALL = """
[profile]
style = "quonset"
width = "14 ft"
[bays]
count = 2
spacing = "4 ft"
[[end_wall]]
[[door]]
"""


HERE = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}


def ran(*words: object, **more: object) -> str:
    made = subprocess.run(
        [str(word) for word in words], capture_output=True, text=True, timeout=300,
        **{"env": HERE, **more},
    )  # fmt: skip
    assert made.returncode == 0, made.stdout + made.stderr
    return made.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Built from a copy, as a build leaves things in the folder that it is made of."""
    source = tmp_path_factory.mktemp("source")
    shutil.copytree(ROOT / "frame3d", source / "frame3d", ignore=shutil.ignore_patterns("__pyc*"))
    for name in ("pyproject.toml", "README.md"):
        shutil.copy(ROOT / name, source)
    ran(
        sys.executable, "-P", "-m", "pip", "wheel", ".", "--no-deps", "--no-build-isolation",
        "--no-index", "-q", "-w", "dist", cwd=source,
    )  # fmt: skip
    (found,) = (source / "dist").glob("*.whl")
    return found


def test_every_file_of_the_package_is_in_it(wheel: Path) -> None:
    inside = set(zipfile.ZipFile(wheel).namelist())
    files = {
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "frame3d").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert {
        "frame3d/py.typed",
        "frame3d/fonts/DejaVuSans.ttf",
        "frame3d/guide/write/guide.css",
    } <= (files)
    assert files - inside == set()
    own = {name for name in inside if not name.startswith("frame3d-")}
    assert own - files == set()  # no tests, no outputs


def test_it_says_what_it_needs(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as opened:
        (name,) = (n for n in opened.namelist() if n.endswith("/METADATA"))
        told = opened.read(name).decode()
        entry = opened.read(name.replace("METADATA", "entry_points.txt")).decode()
    assert "Requires-Python: >=3.11" in told
    assert "Provides-Extra: cadquery" in told
    assert "frame3d = frame3d.cli:main" in entry


@pytest.fixture(scope="module")
def place(wheel: Path) -> Iterator[Path]:
    """A folder with an environment of nothing but the wheel, and what it needs from ours.

    Only the package is new: all that it depends on would take 1.5 GB once more.
    """
    folder = Path(tempfile.mkdtemp(prefix="frame3d-wheel-"))
    try:
        folder.chmod(0o755)
        ran(sys.executable, "-P", "-m", "venv", "--without-pip", folder / "venv")
        (site,) = (folder / "venv" / "lib").glob("python*/site-packages")
        ran(
            sys.executable, "-P", "-m", "pip", "--python", folder / "venv" / "bin" / "python",
            "install", "-q", "--no-deps", "--no-index", wheel,
        )  # fmt: skip
        # A plain path: what is installed there for editing stays out.
        (site / "others.pth").write_text(sysconfig.get_path("purelib") + "\n")
        work = folder / "work"
        work.mkdir()
        work.joinpath("small.toml").write_text(SMALL)
        if os.geteuid() == 0:
            for path in (work, work / "small.toml"):
                os.chown(path, NOBODY, NOBODY)
        yield folder
    finally:
        shutil.rmtree(folder)


def used(place: Path, *words: object) -> str:
    """Run in ``work``: as an account that may write nowhere else, where we may choose one."""
    more: dict[str, object] = {}
    reachable = [sys.executable, sysconfig.get_path("purelib")]
    if os.geteuid() == 0 and all(_open_to_others(Path(one)) for one in reachable):
        more = {"user": NOBODY, "group": NOBODY, "extra_groups": []}
    clean = {"PATH": os.environ["PATH"], "HOME": str(place / "nowhere"), "COLUMNS": "200"}
    return ran(*words, cwd=place / "work", env=clean, **more)


def _open_to_others(path: Path) -> bool:
    path = path.resolve()
    return all(folder.stat().st_mode & 0o005 == 0o005 for folder in (path, *path.parents))


def test_a_fresh_account_begins_checks_and_builds(place: Path) -> None:
    command, python = place / "venv" / "bin" / "frame3d", place / "venv" / "bin" / "python"
    installed = {p for p in (place / "venv").rglob("*") if "__pycache__" not in p.parts}
    home = used(place, python, "-P", "-c", "import frame3d; print(frame3d.__file__)")
    assert home.startswith(str(place / "venv"))
    assert used(place, command, "--version") == "frame3d 0.1.0, design files of format 2\n"
    assert "my.toml is written" in used(place, command, "new", "my.toml", "--length", "12 ft")
    assert "hoop.tube" in used(place, command, "show", "my.toml") + used(
        place, command, "fields", "hoop"
    )
    used(place, command, "check", "my.toml")
    parts = [word for one in ("takeoff", "guide", "view") for word in ("--only", one)]
    used(place, command, "build", "small.toml", *parts, "--workers", "1", "--out", "made")
    made = {path.name for path in (place / "work" / "made").iterdir()}
    assert {"takeoff.xlsx", "guide.pdf", "view.html"} <= made
    assert installed == {p for p in (place / "venv").rglob("*") if "__pycache__" not in p.parts}


@pytest.mark.parametrize(("shell", "part"), [
    ("bash", "complete -o default -F _frame3d_completion frame3d"), ("zsh", "#compdef frame3d"),
    ("fish", "complete --command frame3d"), ("pwsh", "Register-ArgumentCompleter"),
])  # fmt: skip
def test_the_common_shells_complete_it(place: Path, shell: str, part: str) -> None:
    """What ``--install-completion`` writes for the shell that it is run in."""
    asked = {"_FRAME3D_COMPLETE": f"source_{shell}"}
    assert part in ran(place / "venv" / "bin" / "frame3d", env={**HERE, **asked})


def test_commands_options_and_fields_are_completed(place: Path) -> None:
    def completed(line: str, word: int) -> list[str]:
        asked = {"_FRAME3D_COMPLETE": "complete_bash", "COMP_WORDS": line, "COMP_CWORD": str(word)}
        command = place / "venv" / "bin" / "frame3d"
        return ran(command, env={**HERE, **asked}).split()

    assert completed("frame3d fr", 1) == ["freeze"]
    assert completed("frame3d new --style ", 3) == ["quonset", "gothic"]
    assert {"long_meadow_gothic", "long_meadow_quonset", "tomatoes"} <= set(
        completed("frame3d new a.toml --like ", 4)
    )
    assert {"hoop.tube", "hoop.overlap"} <= set(completed("frame3d fields hoop.", 2))
