"""Rows of a study per second and core, what the engine adds, and how memory grows.

    python tests/benchmarks/bench_study.py --rows 60 --empty 10000

Rows: the quonset example over width and spacing, with and without the take-off: by the seconds of
a core, and of the clock by one and two workers. Empty: so many rows of designs that are refused
at once, which is what engine, file and results cost by themselves, for 10, 100 ... of them, with
the peak of memory.
"""

from __future__ import annotations

import argparse
import resource
import subprocess
import sys
import tempfile
import time
from concurrent.futures import Executor, ThreadPoolExecutor
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

import frame3d  # noqa: E402 - the path is set above
from frame3d.studies.page.files import write_files  # noqa: E402
from frame3d.takeoff.take_off import load_solver  # noqa: E402

BASE = frame3d.example_paths()["long_meadow_quonset"]
ASKED = {
    "checks": ["errors", "headroom_mm", "hoops"],
    "mass": ["errors", "mass_kg"],
    "take-off": ["errors", "mass_kg", "waste_share", "hands_to_raise"],
}


def varied(rows: int) -> dict[str, list[str]]:
    """About so many designs."""
    widths = [f"{5500 + 10 * n} mm" for n in range(max(1, rows // 2))]
    return {"profile.width": widths, "bays.largest_spacing": ["1.3 m", "1.5 m"]}


def rows_per_second(ask: list[str], rows: int, workers: int) -> float:
    """Of a whole study, after its processes have loaded.

    With 0 workers it is done in this process, and the seconds are those of its processor.
    """
    clock = time.perf_counter if workers else time.process_time
    with tempfile.TemporaryDirectory() as folder:
        executor: Executor | None = ThreadPoolExecutor(1) if workers == 0 else None
        first: list[float] = []

        def told(progress: object) -> None:
            if progress.done >= max(1, workers) * 2 and not first:  # all have loaded
                first.extend((clock(), progress.done))

        found = frame3d.study(
            BASE, vary=varied(rows), ask=ask, folder=folder, executor=executor,
            workers=workers or None, tell=told,
        )  # fmt: skip
        took = clock() - first[0]
        return (len(found.rows) - first[1]) / took


def empty(rows: int) -> None:
    """So many rows that are refused at once: seconds, files, memory, in this process."""
    vary = {"profile.width": [f"{4000 + n / 2:g} mm" for n in range(rows)]}
    base = {
        "profile": {"style": "quonset", "width": "5 m", "ridge_height": "3 m", "leg_height": "1 m"},
        "bays": {"count": 2, "spacing": "1.2 m"},
        "rail": [{"at": "sides"}],  # of no height, which reading refuses
    }  # fmt: skip
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(1) as here:
        begin = time.perf_counter()
        found = frame3d.study(base, vary=vary, ask=["hoops"], folder=folder, executor=here)
        made = time.perf_counter()
        write_files(found, Path(folder), "empty")
        end = time.perf_counter()
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        size = (Path(folder) / "rows.jsonl").stat().st_size
    sys.stdout.write(
        f"{rows:7d} rows: {1000 * (made - begin) / rows:6.2f} ms each, files {end - made:5.1f} s, "
        f"rows.jsonl {size / 1e6:.2f} MB, peak {peak:.0f} MB\n"
    )


def main() -> None:
    """Measure what is asked for and print it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rows", type=int, default=60)
    parser.add_argument("--empty", type=int, default=10_000)
    parser.add_argument("--only", type=int, help="one run of so many empty rows, and no more")
    given = parser.parse_args()
    if given.only:
        empty(given.only)
        return
    load_solver()
    for name, ask in ASKED.items():
        rates = [rows_per_second(ask, given.rows, workers) for workers in (0, 1, 2)]
        sys.stdout.write(
            f"{name:9s} rows for each second of a core {rates[0]:.2f}; rows/s {rates[1]:.2f} by "
            f"one worker, {rates[2]:.2f} by two\n"
        )
        sys.stdout.flush()
    rows = 10
    while rows <= given.empty:
        subprocess.run([sys.executable, __file__, "--only", str(rows)], check=True)
        rows *= 10


if __name__ == "__main__":
    main()
