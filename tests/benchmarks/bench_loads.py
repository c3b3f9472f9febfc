"""Times of loads on the 96 ft gothic example, beside PyNiteFEA in the same run.

The eight linear cases (space frame, loads, one factorisation, eight solutions) against PyNiteFEA on
the same bars; and a whole comparison. PyNiteFEA is given a frame of ``--bays`` bays, as the whole
takes it minutes, and both are timed on that.
"""

from __future__ import annotations

import argparse
import json
import re
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from frame3d.loads import one_thread

one_thread()

import frame3d  # noqa: E402  # after the number of threads is set
from frame3d.loads.engineer.model_files import write_model  # noqa: E402
from frame3d.loads.model.assumed import Assumed  # noqa: E402
from frame3d.loads.model.space_frame import space_frame  # noqa: E402
from frame3d.loads.shapes.unit_loads import unit_loads  # noqa: E402
from frame3d.loads.solver.assembly import Assembly  # noqa: E402
from frame3d.loads.solver.static import linear  # noqa: E402


def timed(what: str, work: Callable[[], object]) -> float:
    """Wall and processor time of ``work``, told; the processor time is returned."""
    wall, cpu = time.perf_counter(), time.process_time()
    work()
    wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
    sys.stdout.write(f"{what}: {wall:.2f} s, {cpu:.2f} s of processor time\n")
    return cpu


def linear_cases(frame: frame3d.Frame) -> None:
    space = space_frame(frame)
    assembly = Assembly(structure=space.structure(Assumed()))
    for unit in unit_loads(space, frame.design.loads):
        linear(assembly, unit.load)


def pynite(folder: Path) -> None:
    text = (folder / "engineer-pynite.py").read_text("utf-8")
    space: dict[str, object] = {"__file__": str(folder / "engineer-pynite.py"), "__name__": "model"}
    exec(compile(text, "engineer-pynite.py", "exec"), space)
    model = space["model_of"](json.loads((folder / "engineer-model.json").read_text("utf-8")))  # type: ignore[operator]
    model.analyze_linear()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--bays", type=int, default=4)
    parser.add_argument("--whole", action="store_true", help="time a whole comparison too")
    given = parser.parse_args()
    text = frame3d.example_paths()["long_meadow_gothic"].read_text("utf-8")
    long = frame3d.lay_out(frame3d.design_from(text))
    short = frame3d.lay_out(
        frame3d.design_from(re.sub(r"(?m)^count = \d+", f"count = {given.bays}", text))
    )
    timed("eight linear cases, 96 ft", lambda: linear_cases(long))
    ours = timed(f"eight linear cases, {given.bays} bays", lambda: linear_cases(short))
    with tempfile.TemporaryDirectory() as folder:
        write_model(short, Path(folder))
        theirs = timed("PyNiteFEA, the same", lambda: pynite(Path(folder)))
    sys.stdout.write(f"ratio: {ours / theirs:.3f}\n")
    if given.whole:
        timed("a whole comparison, 96 ft", lambda: frame3d.compare_loads(long, long))


if __name__ == "__main__":
    main()
