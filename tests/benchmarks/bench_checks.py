"""Time of the checks from 48 to 960 ft, and of ``frame3d check`` from a cold start.

    python tests/benchmarks/bench_checks.py

The frame is the gothic example, 30 ft wide in bays of 4 ft, with end walls, doors, ties,
side openings and two machines. Printed are members, milliseconds of laying out and of all
checks, the best of several runs in one process, and how the checks' time grows against the
members; then seconds of whole processes, imports included, with compiled modules in place.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
import tomllib
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from frame3d.checks.all_checks import check_frame  # noqa: E402 - the path is set above
from frame3d.design.reading.reader import design_from_mapping  # noqa: E402 - the path is set above
from frame3d.examples import example_paths  # noqa: E402 - the path is set above
from frame3d.frame.lay_out import lay_out  # noqa: E402 - the path is set above

BAYS = (12, 24, 60, 120, 240)
RUNS = 5
MACHINES = [
    {"name": "Tractor", "width": "5 ft", "height": "7 ft", "shoulder_height": "4 ft",
     "top_width": "4 ft", "passes": "none"},
    {"name": "Cart", "width": "3 ft", "height": "4 ft", "passes": "none"},
]  # fmt: skip


def design_of(bays: int) -> dict:
    """The gothic example with so many bays, and all that the checks look at."""
    text = example_paths()["long_meadow_gothic"].read_text(encoding="utf-8")
    design = tomllib.loads(text)
    design["bays"] = {"count": bays, "spacing": "4 ft"}
    design["machine"] = MACHINES
    for name in ("end_wall", "door", "side_opening", "tie"):
        section = {"height": "9 ft"} if name == "tie" else {}
        if name == "side_opening":
            design.setdefault(name, section)
        else:
            design.setdefault(name, [section])
    return design


def best(task) -> float:
    """The shortest of several runs, s."""
    times = []
    for _ in range(RUNS):
        begun = time.perf_counter()
        task()
        times.append(time.perf_counter() - begun)
    return min(times)


def cold_start() -> list[float]:
    """Seconds of whole processes of ``frame3d check`` of the two examples."""
    with tempfile.TemporaryDirectory() as folder:
        env = {**os.environ, "PYTHONPYCACHEPREFIX": folder, "PYTHONDONTWRITEBYTECODE": "",
               "PYTHONPATH": str(Path(__file__).parents[2])}  # fmt: skip
        times = []
        for path in example_paths().values():
            command = [sys.executable, "-P", "-m", "frame3d.cli", "check", str(path)]

            def run(command: list[str] = command) -> None:
                done = subprocess.run(command, env=env, capture_output=True, check=False)
                if done.returncode not in (0, 1):
                    raise RuntimeError(done.stderr.decode())

            run()  # compiles
            times.append(best(run))
    return times


def main() -> None:
    """Measure and print."""
    out, first = sys.stdout, None
    out.write("    feet  members   lay out ms   checks ms   growth\n")
    for bays in BAYS:
        design = design_from_mapping(design_of(bays))
        frame = lay_out(design)
        laid, checked = best(lambda d=design: lay_out(d)), best(lambda f=frame: check_frame(f))
        first = first or (len(frame.members), checked)
        growth = checked / first[1] / (len(frame.members) / first[0])
        out.write(
            f"{4 * bays:8d} {len(frame.members):8d} {1000 * laid:12.1f} {1000 * checked:11.1f}"
            f" {growth:8.2f}\n"
        )
    for name, seconds in zip(example_paths(), cold_start(), strict=True):
        out.write(f"frame3d check {name}: {seconds:.2f} s\n")


if __name__ == "__main__":
    main()
