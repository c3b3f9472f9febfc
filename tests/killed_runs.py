"""Runs that are killed at a step of their own choice, and small builds to kill.

A run is a process of its own that kills itself, by SIGKILL, before its nth step: Python tells of
each file that is opened, linked, renamed or removed before that is done.
"""

from __future__ import annotations

import contextlib
import json
import os
import signal
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from frame3d.staging import SUMMARY, listed_in, put_in_place, staged

STEPS = ("open", "os.rename", "os.remove", "os.link", "os.mkdir", "os.rmdir", "shutil.rmtree")


def killed(
    run: Callable[[Path], None], folder: Path, step: int, steps: Sequence[str] = STEPS
) -> bool:
    """Run in a process that kills itself before its ``step``-th step in the parent of ``folder``.

    Parameters
    ----------
    run : callable
        Given ``folder``.
    folder : Path
    step : int
        From 0.
    steps : sequence of str
        What counts as one, by Python's names of audit events.

    Returns
    -------
    bool
        False if it had fewer steps and came to its end.
    """
    child = os.fork()
    if not child:
        left = [step]

        def watch(event: str, arguments: tuple) -> None:
            if event in steps and str(folder.parent) in str(arguments[0]):
                left[0] -= 1
                if left[0] < 0:
                    os.kill(os.getpid(), signal.SIGKILL)

        sys.addaudithook(watch)
        code = 1
        try:
            run(folder)
            code = 0
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        assert os.WTERMSIG(status) == signal.SIGKILL
        return True
    assert os.waitstatus_to_exitcode(status) == 0, "the run has failed by itself"
    return False


OLD = {"a.txt": "old", "b.txt": "old", "parts/H1.dxf": "old", "parts/H2.dxf": "old"}
NEW = {"a.txt": "new", "c.txt": "new", "parts/H1.dxf": "new", "sheets/sheet-1.svg": "new"}
OWN = {"notes.txt": "own", "parts/mine.dxf": "own", "sheets.txt": "own"}
NAMES = ("a.txt", "b.txt", "c.txt", SUMMARY)


def summary(files: dict[str, str], run: str) -> str:
    return json.dumps({"program": "frame3d 0", "run": run, "files": [*files, SUMMARY]})


def lay(folder: Path, files: dict[str, str]) -> None:
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)


def old_build(folder: Path) -> None:
    lay(folder, {**OLD, **OWN, SUMMARY: summary(OLD, "old")})


def run_build(folder: Path) -> None:
    """A build as `frame3d.building` does it, of small files."""
    with staged(folder, NAMES) as staging:
        lay(staging, {**NEW, SUMMARY: summary(NEW, "new")})
        stale = [name for name in listed_in(folder) or [] if "/" in name]
        put_in_place(staging, folder, [*NEW, SUMMARY], (*NAMES, *stale))


def run_guide(folder: Path) -> None:
    """Files without a summary into the folder of a build."""
    with staged(folder, ("a.txt", "b.txt")) as staging:
        lay(staging, {"a.txt": "new", "b.txt": "new"})
        put_in_place(staging, folder, ["a.txt", "b.txt"], ("a.txt", "b.txt"))


def run_nothing(folder: Path) -> None:
    """A run that fails before it has made anything."""
    with contextlib.suppress(ValueError), staged(folder, NAMES):
        raise ValueError


def held(folder: Path) -> dict[str, str]:
    return {
        p.relative_to(folder).as_posix(): p.read_text() for p in folder.rglob("*") if p.is_file()
    }


def finished(folder: Path, wanted: dict[str, dict[str, str]]) -> str | None:
    """Which of the wanted the folder is, whole and nothing besides; None if it is unfinished.

    A folder that is not whole and says nothing fails the test.
    """
    found = held(folder)
    for name, text in OWN.items():
        assert found.pop(name) == text, f"the user's own {name}"
    told = json.loads(found.pop(SUMMARY))
    if "unfinished" in told:
        assert set(found) <= set(told["files"])
        return None
    assert found == wanted[told["run"]]
    return told["run"]


def hidden(folder: Path) -> list[str]:
    return [p.name for p in (*folder.parent.iterdir(), *folder.iterdir()) if p.name[0] == "."]


BUILDS = {"old": OLD, "new": NEW}


def each_kill(tmp_path: Path, run: Callable[[Path], None]) -> Iterator[Path]:
    """A folder with an old build for each step at which the run is killed in it."""
    for step in range(400):
        folder = tmp_path / f"{step}" / "out"
        old_build(folder)
        if not killed(run, folder, step):
            assert step > 15
            return
        yield folder
    raise AssertionError("the run never ends")
