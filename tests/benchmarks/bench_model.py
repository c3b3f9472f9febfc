"""Time, memory and size of a frame's model files, ours against the plain way.

    python tests/benchmarks/bench_model.py --bays 24

The frame is the gothic example, 30 ft wide in bays of 4 ft: 24 bays make 96 ft.

Each run has a process of its own. The last column repeats ours at ten times the
bays. Printed are seconds of wall time, imports included, the largest resident
memory, and sizes of files; then ratios.
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
import tempfile
import time
import tomllib
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from frame3d.frame.model.members import Frame

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]


def gothic_frame(bays: int) -> Frame:
    """The gothic example with so many bays of 4 ft, without ends, ties and side openings.

    The plain way knows only parts of plain form; so the figures can be compared with older ones.
    """
    from frame3d.design.reading.reader import design_from_mapping
    from frame3d.examples import example_paths
    from frame3d.frame.lay_out import lay_out

    text = example_paths()["long_meadow_gothic"].read_text(encoding="utf-8")
    design = tomllib.loads(text)
    design["bays"] = {"count": bays, "spacing": "4 ft"}
    for bare in ("end_wall", "door", "tie", "side_opening"):
        design.pop(bare, None)
    return lay_out(design_from_mapping(design))


def run_ours(bays: int, folder: Path) -> dict[str, float]:
    """Write our model files and time the steps."""
    from frame3d.solids.meshes.meshes import make_meshes
    from frame3d.solids.parts.make_solids import make_solids
    from frame3d.solids.write.step import write_step
    from frame3d.solids.write.stl import write_stl

    frame = gothic_frame(bays)
    begun = time.perf_counter()
    solids = make_solids(frame)
    made = time.perf_counter()
    write_step(frame, solids, folder / "frame.step")
    stepped = time.perf_counter()
    write_stl(frame, make_meshes(solids), folder / "frame.stl")
    return {
        "members": len(frame.members),
        "solids and STEP s": stepped - begun,
        "solids s": made - begun,
        "STL s": time.perf_counter() - stepped,
        "STEP bytes": (folder / "frame.step").stat().st_size,
        "STL bytes": (folder / "frame.stl").stat().st_size,
    }


def run_naive(bays: int, folder: Path) -> dict[str, float]:
    """Write the plain way's files."""
    from model_naive import build

    frame = gothic_frame(bays)
    step, stl = build(frame, folder)
    return {
        "members": len(frame.members),
        "STEP bytes": step.stat().st_size,
        "STL bytes": stl.stat().st_size,
    }


RUNS = {"ours": run_ours, "naive": run_naive}


def measured(way: str, bays: int) -> dict[str, float]:
    """The figures of one way in a process of its own."""
    begun = time.perf_counter()
    command = [sys.executable, __file__, "--bays", str(bays), "--one", way]
    run = subprocess.run(command, check=True, capture_output=True, text=True)
    found = json.loads(run.stdout.strip().splitlines()[-1])
    return found | {"total s": time.perf_counter() - begun}


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--bays", type=int, default=8)
    parser.add_argument("--one", choices=RUNS, help="one way only, as JSON")
    chosen = parser.parse_args()
    if chosen.one:
        with tempfile.TemporaryDirectory() as folder:
            found = RUNS[chosen.one](chosen.bays, Path(folder))
        found["peak MB"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(json.dumps(found))
        return
    ours, naive = measured("ours", chosen.bays), measured("naive", chosen.bays)
    longer = measured("ours", 10 * chosen.bays)
    print(f"{'':20}{'ours':>14}{'naive':>14}{'ours, 10 x':>14}")
    for name in ours:
        row = [ours[name], naive.get(name, float("nan")), longer[name]]
        print(f"{name:20}" + "".join(f"{value:14.2f}" for value in row))
    for name in ("total s", "peak MB", "STEP bytes", "STL bytes"):
        print(f"naive / ours, {name}: {naive[name] / ours[name]:.1f}")
    name = "solids and STEP s"
    print(f"ten times the bays, {name}: {longer[name] / ours[name]:.2f} times")


if __name__ == "__main__":
    main()
