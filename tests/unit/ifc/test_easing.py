"""Bends under bores: straight there, and everywhere else as they were."""

from __future__ import annotations

import math

import pytest

from frame3d.geometry.paths import Arc, Line, PlanePath
from frame3d.ifc.easing import MOST_OFF_MM, eased

BEND = Arc(1500.0, 0.8)  # 1200 mm


def off_mm(one: PlanePath, other: PlanePath) -> float:
    """The largest distance between places as far along, mm."""
    places = [k / 4000 for k in range(4001)]
    return max(
        math.dist((a.x_mm, a.y_mm), (b.x_mm, b.y_mm))
        for a, b in ((one.at(s * one.length_mm), other.at(s * other.length_mm)) for s in places)
    )


@pytest.mark.parametrize("way", [1, -1])
@pytest.mark.parametrize("bores", [[(600.0, 10.0)], [(100.0, 8.0), (900.0, 12.0), (915.0, 8.0)]])
def test_straight_under_bores_tangent_and_near_the_bend(bores, way: int) -> None:
    path = PlanePath((Line(300.0), Arc(BEND.radius_mm, way * BEND.angle_rad), Line(200.0)))
    made = PlanePath(eased(path, [(300 + at, diameter) for at, diameter in bores]))
    # Tangent by being a path; it ends in the same place and direction.
    assert made.end.heading_rad == pytest.approx(path.end.heading_rad, abs=1e-12)
    assert (made.end.x_mm, made.end.y_mm) == pytest.approx((path.end.x_mm, path.end.y_mm), abs=1e-6)
    assert 0 < off_mm(path, made) < MOST_OFF_MM
    along = 0.0
    straight = []
    for segment in made.segments:
        if isinstance(segment, Line):
            straight.append((along, along + segment.length_mm))
        along += segment.length_mm
    for at, diameter in bores:
        low, high = 300 + at - diameter / 2, 300 + at + diameter / 2
        assert any(a < low and high < b for a, b in straight)


def test_what_is_not_drilled_or_too_near_an_end_or_too_sharp_stays() -> None:
    path = PlanePath((Line(300.0), BEND, Line(200.0)))
    assert eased(path, []) == path.segments
    assert eased(path, [(100.0, 10.0), (302.0, 10.0), (1499.0, 10.0)]) == path.segments
    sharp = PlanePath((Arc(100.0, 1.5),))
    assert eased(sharp, [(75.0, 10.0)]) == sharp.segments
