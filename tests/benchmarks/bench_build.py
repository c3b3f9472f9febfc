"""Time, processor time and memory of whole builds, against loading cadquery.

    python tests/benchmarks/bench_build.py [--rounds 3] [--growth] [--bays 400]

The frame is the gothic example with everything, 96 ft long. In turn, in one run: loading cadquery,
a build in two processes, one in a single process, and ``frame3d check``; printed are medians, and
their ratios to loading cadquery, which a slow or busy machine changes least. Processor time is that
of a process and all that it has started, memory the sum of what they hold at once (proportional
set size), both as the operating system tells them. With ``--growth`` the same frame with ten times
the bays is built once, and the starter design of either style with ``--bays`` bays.
"""

from __future__ import annotations

import argparse
import os
import re
import resource
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

from msgspec import Struct

ROOT = Path(__file__).parents[2]
EXAMPLE = ROOT / "frame3d" / "examples" / "long_meadow_gothic.toml"
FIRST_BAYS = 24


class Run(Struct, frozen=True, kw_only=True):
    """One run: seconds that passed, seconds of processors, and the most memory at once, MB."""

    wall_s: float
    processor_s: float
    memory_mb: float


def held_mb(pid: int) -> float:
    """What a process and all that it has started hold now, MB."""
    total, waiting = 0, [pid]
    while waiting:
        place = Path("/proc") / str(waiting.pop())
        try:
            for line in (place / "smaps_rollup").read_text().splitlines():
                if line.startswith("Pss:"):
                    total += int(line.split()[1])
            for thread in (place / "task").iterdir():
                waiting += map(int, (thread / "children").read_text().split())
        except OSError:  # it has ended meanwhile
            continue
    return total / 1024


def run(*words: str, env: dict[str, str]) -> Run:
    """Run a program to its end."""
    before, begun, most = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter(), 0.0
    process = subprocess.Popen(
        [sys.executable, "-P", *words], env=env, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
    )
    said: list[bytes] = []
    reader = threading.Thread(target=lambda: said.append(process.stderr.read()))
    reader.start()
    while process.poll() is None:
        most = max(most, held_mb(process.pid))
        time.sleep(0.1)
    reader.join()
    wall, after = time.perf_counter() - begun, resource.getrusage(resource.RUSAGE_CHILDREN)
    # 1 means that the checks have found an error, and is what a fault of the program ends with.
    if process.returncode not in (0, 1) or b"Traceback" in b"".join(said):
        raise RuntimeError(b"".join(said).decode(errors="replace"))
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Run(wall_s=wall, processor_s=used, memory_mb=most)


def median(runs: list[Run]) -> Run:
    """The median of each figure, and the most memory."""
    return Run(
        wall_s=statistics.median(one.wall_s for one in runs),
        processor_s=statistics.median(one.processor_s for one in runs),
        memory_mb=max(one.memory_mb for one in runs),
    )


def tell(name: str, one: Run, against: Run) -> None:
    """Print a line."""
    sys.stdout.write(
        f"{name:34s} {one.wall_s:7.2f} s {one.wall_s / against.wall_s:7.2f} x"
        f" {one.processor_s:8.2f} s {one.processor_s / against.processor_s:7.2f} x"
        f" {one.memory_mb:8.0f} MB\n"
    )
    sys.stdout.flush()


def longer(folder: Path, bays: int) -> Path:
    """The example with so many bays."""
    text = EXAMPLE.read_text(encoding="utf-8")
    text, found = re.subn(rf"^count = {FIRST_BAYS}\b", f"count = {bays}", text, flags=re.MULTILINE)
    if found != 1:
        raise ValueError(f"{EXAMPLE} has {found} lines with a count of {FIRST_BAYS}")
    path = folder / f"gothic-{bays}.toml"
    path.write_text(text, encoding="utf-8")
    return path


def plain(folder: Path, style: str, bays: int) -> Path:
    """A frame of hoops of a style, with so many bays."""
    path = folder / f"{style}-{bays}.toml"
    profile = f'[profile]\nstyle = "{style}"\nwidth = "26 ft"\nridge_height = "13 ft"\n'
    path.write_text(f'{profile}[bays]\ncount = {bays}\nspacing = "4 ft"\n', encoding="utf-8")
    return path


def main() -> None:
    """Measure and print."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rounds", type=int, default=3)
    options.add_argument("--growth", action="store_true")
    options.add_argument("--bays", type=int, default=400)
    asked = options.parse_args()
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        env = {**os.environ, "PYTHONPYCACHEPREFIX": str(folder / "compiled"),
               "PYTHONDONTWRITEBYTECODE": "", "PYTHONPATH": str(ROOT)}  # fmt: skip

        def build(path: Path, workers: int) -> Run:
            out = str(folder / "out")
            words = ("build", str(path), "--workers", str(workers), "--out", out)
            return run("-m", "frame3d.cli", *words, env=env)

        tasks = {
            "import cadquery": lambda: run("-c", "import cadquery", env=env),
            "build, two processes": lambda: build(EXAMPLE, 2),
            "build, one process": lambda: build(EXAMPLE, 1),
            "check": lambda: run("-m", "frame3d.cli", "check", str(EXAMPLE), env=env),
        }
        for task in (tasks["import cadquery"], tasks["build, two processes"]):
            task()  # compiles
        found: dict[str, list[Run]] = {name: [] for name in tasks}
        for _ in range(asked.rounds):
            for name, task in tasks.items():
                found[name].append(task())
        cadquery = median(found["import cadquery"])
        for name, runs in found.items():
            tell(name, median(runs), cadquery)
        if asked.growth:
            short = median(found["build, two processes"])
            long = build(longer(folder, 10 * FIRST_BAYS), 2)
            tell("build, ten times the bays", long, cadquery)
            sys.stdout.write(
                f"ten times the bays: {long.wall_s / short.wall_s:.2f} times the time,"
                f" {long.processor_s / short.processor_s:.2f} of the processors\n"
            )
            for style in ("gothic", "quonset"):
                many = build(plain(folder, style, asked.bays), 2)
                tell(f"build, {style}, {asked.bays} bays", many, cadquery)


if __name__ == "__main__":
    main()
