"""Time that the look for clashes and misfits takes, from 48 to 960 ft.

    python tests/benchmarks/bench_assembly.py

The frame is the gothic example, 30 ft wide in bays of 4 ft. Printed are milliseconds of
wall time, the best of three in one process, without the layout; members; kinds of pairs
that were measured; microseconds a member; and in the end whole processes of the 96 ft
frame, imports, reading and layout included.
"""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(Path(__file__).parent)]

FEET = (48, 96, 192, 384, 960)
WHOLE = """
import sys, time
begun = time.perf_counter()
from frame3d.checks.assembly.assembly import find_assembly_faults
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.design.reading.reader import read_design
frame = lay_out(read_design(example_paths()["long_meadow_gothic"]))
laid = time.perf_counter()
find_assembly_faults(frame)
sys.stdout.write(f"{laid - begun:.3f} {time.perf_counter() - laid:.3f}")
"""


def main() -> None:
    """Measure and print."""
    from bench_model import gothic_frame

    from frame3d.checks.assembly.assembly import find_assembly_faults
    from frame3d.checks.measured.near_pairs import survey

    sys.stdout.write(f"{'ft':>5}{'members':>9}{'kinds':>7}{'ms':>8}{'us/member':>11}\n")
    for feet in FEET:
        frame = gothic_frame(feet // 4)
        times = []
        for _ in range(3):
            begun = time.perf_counter()
            find_assembly_faults(frame)
            times.append(time.perf_counter() - begun)
        kinds, best = len(survey(frame).meetings), min(times)
        each = best / len(frame.members) * 1e6
        sys.stdout.write(
            f"{feet:>5}{len(frame.members):>9}{kinds:>7}{best * 1e3:>8.0f}{each:>11.1f}\n"
        )
    sys.stdout.write("a fresh process, 96 ft: layout with imports, then the look, s\n")
    for _ in range(3):
        run = subprocess.run(
            [sys.executable, "-P", "-c", WHOLE],
            capture_output=True,
            text=True,
            check=True,
            cwd=ROOT,
        )
        sys.stdout.write(f"  {run.stdout}\n")


if __name__ == "__main__":
    main()
