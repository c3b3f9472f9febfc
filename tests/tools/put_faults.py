"""Puts faults into a copy of the code, one at a time, and runs the tests of the room.

``python tests/tools/put_faults.py`` takes all faults of ``faults.toml``; ``--room frame``,
``--only 12,40`` some of them. It changes nothing in the checkout. Each fault that no test notices
is named; the status is 1 when there are more of them than ``--may-miss`` says.
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import time
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TABLE = Path(__file__).with_name("faults.toml")
SECONDS = 3000
"""Longer than the tests of any room take, on a busy machine too; longer is no answer."""
FAILED = 1
"""What pytest ends with when a test failed; anything else but 0 is no answer."""


def faults() -> tuple[list[dict], dict[str, list[str]]]:
    """All faults, and the tests of each room."""
    table = tomllib.loads(TABLE.read_text(encoding="utf-8"))
    return table["fault"], table["rooms"]


def spoilt(text: str, fault: dict) -> str:
    """``text`` with the fault in it.

    Raises
    ------
    ValueError
        If what it replaces does not stand in the text exactly once.
    """
    found = text.count(fault["was"])
    if found != 1:
        raise ValueError(f"{fault['file']}: {fault['was']!r} stands there {found} times")
    return text.replace(fault["was"], fault["becomes"])


def copied(folder: Path) -> None:
    """What git tracks, and new files that it does not ignore, copied into ``folder``."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        check=True,
    ).stdout.decode()
    for name in filter(None, listed.split("\0")):
        if (ROOT / name).is_file():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, folder / name)


def is_noticed(copy: Path, tests: list[str]) -> bool:
    """Whether one of ``tests`` fails in the copy."""
    command = [sys.executable, "-P", "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", *tests]
    environment = {**os.environ, "PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"}
    run = subprocess.run(
        command, cwd=copy, env=environment, capture_output=True, timeout=SECONDS, check=False
    )
    if run.returncode not in (0, FAILED, 2):
        raise SystemExit(run.stdout.decode()[-3000:] + run.stderr.decode()[-3000:])
    return run.returncode != 0


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--room", help="only the faults of this room")
    parser.add_argument("--only", help="only the faults of these numbers, as 3,14")
    parser.add_argument("--may-miss", type=int, default=3, help="how many may go unnoticed")
    wanted = parser.parse_args()
    listed, rooms = faults()
    numbers = {int(n) for n in wanted.only.split(",")} if wanted.only else None
    missed, tried = [], 0
    with tempfile.TemporaryDirectory() as made:
        copy = Path(made)
        copied(copy)
        for number, fault in enumerate(listed, start=1):
            if wanted.room not in (None, fault["room"]) or numbers and number not in numbers:
                continue
            path = copy / fault["file"]
            sound = path.read_text(encoding="utf-8")
            path.write_text(spoilt(sound, fault), encoding="utf-8")
            began = time.monotonic()
            noticed = is_noticed(copy, rooms[fault["room"]])
            path.write_text(sound, encoding="utf-8")
            tried += 1
            missed += [] if noticed else [number]
            print(
                f"{number:3} {'noticed' if noticed else 'MISSED '} "
                f"{time.monotonic() - began:4.0f} s {fault['file']}: {fault['becomes']}",
                flush=True,
            )
    print(f"{tried - len(missed)} of {tried} noticed" + (f"; missed {missed}" if missed else ""))
    return int(len(missed) > wanted.may_miss)


if __name__ == "__main__":
    sys.exit(main())
