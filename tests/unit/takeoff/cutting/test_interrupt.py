"""Ctrl-C after a cutting plan still reaches Python, so that a build can clean up."""

from __future__ import annotations

import subprocess
import sys

PROGRAM = """
import signal
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.design.reading.reader import read_design
from frame3d.takeoff.take_off import load_solver, take_off
load_solver()
from ortools.sat.python import cp_model
solve, times = cp_model.CpSolver.solve, []
def counted(*a, **k):
    times.append(1)
    return solve(*a, **k)
cp_model.CpSolver.solve = counted
take_off(lay_out(read_design(example_paths()["long_meadow_gothic"])))
assert times, "the solver was not needed; choose another design"
try:
    signal.raise_signal(signal.SIGINT)
except KeyboardInterrupt:
    raise SystemExit(7)
"""


def test_the_solver_gives_ctrl_c_back() -> None:
    run = subprocess.run([sys.executable, "-P", "-c", PROGRAM], capture_output=True, text=True)
    assert run.returncode == 7, run.stderr
