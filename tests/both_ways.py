"""Random builds by one process and by two, and builds that are killed: a proof for a night.

    python tests/both_ways.py bytes 50      50 random designs, every file of both ways compared
    python tests/both_ways.py kills 100     a build killed 100 times, at times spread over its run

``bytes`` names each file that differs. ``kills`` sends SIGKILL to a build and the processes that
it has started, into a folder that holds an earlier build: afterwards every file there must be
that of the one design or all of the other, or the summary says that it is unfinished; no process
is left; and the next build puts all right.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent)]

from campaigning.drawn import KINDS, design_of, names  # noqa: E402 - the path is set above

from frame3d.building import build  # noqa: E402 - the path is set above
from frame3d.design.reading.reader import design_from_mapping  # noqa: E402 - the path is set above
from frame3d.errors import DesignFaults  # noqa: E402 - the path is set above

SEED = 7
SMALL = """
[output]
units = "metric"
[profile]
style = "quonset"
width = "4 m"
ridge_height = "2.6 m"
[bays]
count = 2
spacing = "1.2 m"
[[rail]]
at = "ridge"
[sill_board]
"""
PROGRAM = "from frame3d.cli import main; main()"


def sums(folder: Path) -> dict[str, str]:
    """A checksum of every file below ``folder``."""
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def both_ways(count: int) -> int:
    """How many designs differ in a file between one process and two."""
    differing = built = number = 0
    many = names(KINDS, 10 * count)
    while built < count:
        name, number = many[number], number + 1
        with tempfile.TemporaryDirectory() as folder:
            one, two = Path(folder, "one"), Path(folder, "two")
            try:
                design = design_from_mapping(design_of(name, SEED))
                build(design, one, workers=1)
            except DesignFaults:
                continue
            build(design, two, workers=2)
            a, b = sums(one), sums(two)
        built += 1
        wrong = sorted(file for file in a.keys() | b.keys() if a.get(file) != b.get(file))
        differing += bool(wrong)
        print(f"{built}: {name}, {len(a)} files, differing: {wrong or 'none'}", flush=True)
    return differing


@contextlib.contextmanager
def running(design: Path, out: Path) -> Iterator[subprocess.Popen[bytes]]:
    """A build in a session of its own, so that all its processes are killed together."""
    run = subprocess.Popen(
        [sys.executable, "-P", "-c", PROGRAM, "build", str(design), "--out", str(out)],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
        env={**os.environ, "PYTHONPATH": str(HERE.parent)},
    )  # fmt: skip
    try:
        yield run
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(run.pid, signal.SIGKILL)
        run.wait()


def _left(session: int) -> list[str]:
    """Processes that are left of a session."""
    found = subprocess.run(["ps", "-o", "pid=,stat=", "-s", str(session)],
                           capture_output=True, text=True, check=False).stdout  # fmt: skip
    return [line for line in found.splitlines() if " Z" not in line]


def kills(count: int) -> int:
    """How many of ``count`` kills left a mixed folder without a word, or something running."""
    wrong = 0
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        designs = [folder / "one.toml", folder / "other.toml"]
        designs[0].write_text(SMALL, encoding="utf-8")
        designs[1].write_text(SMALL.replace("count = 2", "count = 3"), encoding="utf-8")
        whole, lasts = [], 0.0
        for design in designs:
            begun = time.monotonic()
            with running(design, folder / design.stem) as run:
                run.wait()
            lasts = time.monotonic() - begun
            whole.append(sums(folder / design.stem))
        out = folder / "kept" / "out"
        with running(designs[0], out) as run:
            run.wait()
        for number in range(count):
            with running(designs[1], out) as run:
                # Most of the renaming is in the last tenth.
                share = number / count if number % 2 else 0.9 + 0.2 * number / count
                with contextlib.suppress(subprocess.TimeoutExpired):
                    run.wait(timeout=lasts * share)
            time.sleep(0.2)
            there = sums(out)
            summary = (out / "summary.json").read_text("utf-8")
            state = "mixed" if there not in whole else ("old", "new")[whole.index(there)]
            faults = [f"still running: {_left(run.pid)}"] if _left(run.pid) else []
            if state == "mixed" and "unfinished" not in summary:
                faults.append("mixed without a word")
            if state != "old":
                with running(designs[0], out) as run:
                    run.wait()
                if sums(out) != whole[0]:
                    faults.append("not put right by the next build")
                if [path.name for path in out.parent.iterdir()] != ["out"]:
                    faults.append("something is left beside the folder")
            wrong += bool(faults)
            print(f"{number + 1}: {state}; {faults or 'nothing wrong'}", flush=True)
    return wrong


def main(given: list[str]) -> int:
    """0 when nothing was wrong."""
    if len(given) != 2 or given[0] not in ("bytes", "kills") or not given[1].isdecimal():
        print(__doc__)
        return 2
    return 1 if {"bytes": both_ways, "kills": kills}[given[0]](int(given[1])) else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
