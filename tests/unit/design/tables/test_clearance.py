"""The outline of a machine follows from its sizes as the template says that it does."""

from __future__ import annotations

import pytest

from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.tables.clearance import Machine


def made(**more: str) -> Machine:
    """A machine 1000 mm wide and 1800 mm high."""
    machine = {"name": "Loader", "width": "1000 mm", "height": "1800 mm", **more}
    design = {
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.2 m"},
        "bays": {"count": 2, "spacing": "1.5 m"},
        "machine": [machine],
    }
    return design_from_mapping(design).machine[0]


def half_width_at(machine: Machine, height_mm: float) -> float:
    """Half of what the outline is across at a height, by its corners on the right."""
    right = [(z, x) for x, z in machine.outline if x >= 0]
    for (low, wide), (high, narrow) in zip(right, right[1:], strict=False):
        if low <= height_mm <= high and high > low:
            return wide + (narrow - wide) * (height_mm - low) / (high - low)
    raise AssertionError(height_mm)


@pytest.mark.parametrize(
    ("shoulder_mm", "at_mm", "half_mm"),
    [
        # Left out: half of 1800. Half way between 900 and 1800 it is half way from 500 to 300.
        (None, 900.0, 500.0),
        (None, 1350.0, 400.0),
        (1500.0, 1500.0, 500.0),
        (1500.0, 1650.0, 400.0),
        (600.0, 1200.0, 400.0),
    ],
)
def test_it_narrows_evenly_from_the_shoulder(shoulder_mm, at_mm: float, half_mm: float) -> None:
    more = {} if shoulder_mm is None else {"shoulder_height": f"{shoulder_mm} mm"}
    machine = made(top_width="600 mm", **more)
    assert half_width_at(machine, at_mm) == pytest.approx(half_mm)
    assert half_width_at(machine, 1800.0) == pytest.approx(300.0)


def test_without_a_top_width_it_is_upright() -> None:
    machine = made()
    assert set(machine.outline) == {(-500, 0), (500, 0), (500, 1800), (-500, 1800)}
