"""Splines through points: the same digits whatever the process that works them out."""

from __future__ import annotations

import os
import subprocess
import sys

import numpy as np
import pytest

from frame3d.solids.kernel.splines import _inverse, fit

POLES = """
import sys
import numpy as np
from frame3d.solids.kernel.splines import fit
def wave(at):
    return np.column_stack([np.sin((k + 1) * at) for k in range(8)])
for allowed in (1e-3, 1e-5, 1e-7, 1e-9):
    sys.stdout.write(fit(wave, 0.0, 6.3, np.ones(8), allowed).poles.tobytes().hex())
"""


def test_poles_are_the_same_whatever_the_threads_and_the_seed() -> None:
    """A worker of the page has one thread and a build has as many as there are cores."""
    told = [
        subprocess.run(
            [sys.executable, "-P", "-c", POLES], check=True, capture_output=True,
            env=os.environ | {"OPENBLAS_NUM_THREADS": threads, "PYTHONHASHSEED": threads},
        ).stdout
        for threads in ("1", "2")
    ]  # fmt: skip
    assert told[0]
    assert told[0] == told[1]


@pytest.mark.parametrize("size", [7, 40, 300])
def test_the_inverse_of_a_band(size: int) -> None:
    """A band of five on either side, heaviest on the diagonal: its product is the unit matrix."""
    rows, columns = np.indices((size, size))
    band = np.where(np.abs(rows - columns) <= 5, 1.0 / (1.0 + np.abs(rows - columns)) ** 3, 0.0)
    assert np.abs(_inverse(band) @ band - np.eye(size)).max() < 1e-13


def test_a_spline_follows_a_circle() -> None:
    """Closed form: a point between the poles' own places lies on the circle."""
    found = fit(
        lambda at: np.column_stack([5 * np.cos(at), 5 * np.sin(at), 0 * at]), 0.0, 3.0,
        np.ones(3), 1e-8,
    )  # fmt: skip
    curve = found.curve(slice(0, 3))
    points = [curve.Value(at) for at in np.linspace(0.0, 3.0, 101)]
    assert [np.hypot(p.X(), p.Y()) for p in points] == pytest.approx([5.0] * 101, abs=1e-7)
