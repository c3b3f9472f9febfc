"""Heights, widths and slopes of half curves, against the circle they are parts of."""

from __future__ import annotations

import math

import pytest

from frame3d.geometry.arch.arch_curve import (
    HalfCurve,
    distance_at_height,
    height_at_x,
    reach_at_heading,
)
from frame3d.geometry.paths import Arc, Line, PlanePath

RADIUS, LEG = 3000.0, 1000.0
# A leg of 1 m and a quarter circle on it: z = 1000 + sqrt(3000² - x²).
HALF = HalfCurve(
    -RADIUS, 0.0, math.pi / 2, PlanePath((Line(LEG), Arc(RADIUS, math.pi / 2)))
)  # fmt: skip


@pytest.mark.parametrize("x", [0.0, 1.0, 600.0, 2121.3, 2999.9, 3000.0])
def test_height_beside_the_centreline(x: float) -> None:
    wanted = LEG + math.sqrt(RADIUS**2 - x**2)
    for _ in range(2):  # worked out, and as it was kept
        assert height_at_x(HALF, x) == pytest.approx(wanted, abs=1e-6)
        assert height_at_x(HALF, -x) == pytest.approx(wanted, abs=1e-6)


@pytest.mark.parametrize("degrees", [0.0, 10.0, 62.0, 89.0, 90.0, 95.0])
def test_how_far_out_a_circle_is_no_steeper(degrees: float) -> None:
    """A circle has the slope of its radius' angle from the plumb: x = R sin(angle)."""
    wanted = RADIUS * math.sin(math.radians(min(degrees, 90.0)))
    assert reach_at_heading(HALF, math.radians(degrees)) == pytest.approx(wanted, abs=1e-6)


@pytest.mark.parametrize("z", [1000.0, 1500.0, 3999.0])
def test_a_height_has_its_place_on_the_curve(z: float) -> None:
    x = HALF.point_at(distance_at_height(HALF, z)).x_mm
    assert x == pytest.approx(-math.sqrt(RADIUS**2 - (z - LEG) ** 2), abs=1e-6)
