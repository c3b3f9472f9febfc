"""What machines are told of a bent path, against the circle and a tube bent step by step."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.geometry.bending import gauge_for, machine_bends, rise_mm, stretches
from frame3d.geometry.paths import Arc, Line, PlanePath

SEGMENTS = st.one_of(
    st.floats(1.0, 4000.0).map(Line),
    st.builds(Arc, st.floats(60.0, 30000.0), st.floats(0.001, 3.1)),
    st.builds(Arc, st.floats(60.0, 30000.0), st.floats(-3.1, -0.001)),
)


def bent_by_machine(told) -> np.ndarray:
    """Where a tube ends that is fed, turned about its axis and bent, step by step, in space.

    Own arithmetic: a frame of three unit vectors that goes along with the tube's end.
    """
    at, along, in_plane = np.zeros(3), np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0])
    for bend in told.bends:
        at = at + bend.feed_mm * along
        side = np.cross(along, in_plane)
        in_plane = math.cos(bend.rotation_rad) * in_plane + math.sin(bend.rotation_rad) * side
        centre = at + bend.radius_mm * in_plane
        cos, sin = math.cos(bend.bend_rad), math.sin(bend.bend_rad)
        at = centre + bend.radius_mm * (sin * along - cos * in_plane)
        along, in_plane = cos * along + sin * in_plane, cos * in_plane - sin * along
    return at + told.last_feed_mm * along


@settings(max_examples=150, deadline=None)
@given(st.lists(SEGMENTS, min_size=1, max_size=7))
def test_a_tube_bent_by_the_table_ends_where_the_path_does(segments) -> None:
    """Within 1e-6 mm, in space; for angles from 0.06° to nearly half a turn, either way."""
    path = PlanePath(tuple(segments))
    told = machine_bends(path)
    end = bent_by_machine(told)
    assert end[:2] == pytest.approx((path.end.x_mm, path.end.y_mm), abs=1e-6)
    assert abs(end[2]) < 1e-6
    assert told.end == (path.end.x_mm, path.end.y_mm)


@settings(max_examples=100, deadline=None)
@given(st.lists(SEGMENTS, min_size=1, max_size=5))
def test_straights_between_intersection_points_carry_the_feeds(segments) -> None:
    """From one intersection point to the next: both tangent lengths R tan(t/2) and the feed."""
    told = machine_bends(PlanePath(tuple(segments)))
    tangents = [b.radius_mm * math.tan(b.bend_rad / 2) for b in told.bends]
    points = [(0.0, 0.0), *(b.at for b in told.bends), told.end]
    feeds = [*(b.feed_mm for b in told.bends), told.last_feed_mm]
    for i, feed in enumerate(feeds):
        before = tangents[i - 1] if i else 0.0
        after = tangents[i] if i < len(tangents) else 0.0
        span = math.dist(points[i], points[i + 1])
        assert span == pytest.approx(before + feed + after, rel=1e-9, abs=1e-6)


def test_half_a_turn_has_intersection_points_in_two_parts() -> None:
    """The tangents of a half circle never meet; those of two quarters do at its corners."""
    told = machine_bends(PlanePath((Arc(1000.0, math.pi),)))
    assert [b.at for b in told.bends] == [
        pytest.approx((1000.0, 0.0)), pytest.approx((1000.0, 2000.0)),
    ]  # fmt: skip
    assert not told.rotary


def test_arcs_without_a_straight_between_are_no_bends_of_a_rotary_bender() -> None:
    between = PlanePath((Line(300.0), Arc(200.0, 0.5), Line(80.0), Arc(400.0, 0.5)))
    joined = PlanePath((Line(300.0), Arc(200.0, 0.5), Arc(400.0, 0.5)))
    assert machine_bends(between).rotary
    assert [b.has_grip for b in machine_bends(joined).bends] == [True, False]


def test_the_rise_under_a_gauge_is_that_of_the_circle() -> None:
    """3-4-5: in a radius of 500 under a chord of 600 the rise is 500 - 400."""
    assert rise_mm(500.0, 600.0) == pytest.approx(100.0, rel=1e-12)
    assert rise_mm(1e9, 1000.0) == pytest.approx(1000.0**2 / 8 / 1e9, rel=1e-9)
    with pytest.raises(ValueError, match="does not lie"):
        rise_mm(100.0, 201.0)


def test_a_gauge_lies_inside_the_bend() -> None:
    """A quarter at 1000 inside has a chord of 1414: the straightedge of 1 m lies in it."""
    (bend,) = stretches(PlanePath((Arc(1020.0, math.pi / 2),)))
    assert gauge_for(bend, 20.0, (250.0, 500.0, 1000.0, 1500.0)) == 1000.0
    assert gauge_for(bend, 20.0, (1500.0,)) is None


def test_chord_and_sagitta_are_those_of_the_circle() -> None:
    """Two arcs of one radius are one bend: a quarter at 1000, chord 1000 √2."""
    (bend,) = stretches(PlanePath((Arc(1000.0, math.pi / 4), Arc(1000.0, math.pi / 4))))
    assert bend.chord_mm == pytest.approx(1000.0 * math.sqrt(2))
    assert bend.sagitta_mm == pytest.approx(1000.0 * (1 - math.sqrt(0.5)))


def test_a_straight_that_is_a_straight_is_called_so() -> None:
    """8 in of a radius of 134 ft 8 in are off by 64 / 2 / 1616 in, a fiftieth of an inch."""
    inch = 25.4
    flat = Arc(1616 * inch, 8 / 1616)
    path = PlanePath((Line(500.0), Arc(300.0, 0.5), flat))
    assert [one.is_straight for one in stretches(path, inch / 16)] == [True, False, True]
    assert [one.is_straight for one in stretches(path, inch / 100)] == [True, False, False]
    # Before a long straight the same bend leads its tip away, and stays a bend.
    long = PlanePath((Line(4000.0), flat, Arc(300.0, 0.5)))
    assert [one.is_straight for one in stretches(long, inch / 16)] == [True, False, False]


def test_stretches_lie_end_to_end() -> None:
    path = PlanePath((Line(100.0), Line(50.0), Arc(300.0, 0.5), Arc(300.0, -0.5)))
    found = stretches(path)
    assert [(one.start_mm, one.end_mm) for one in found] == [(0, 150), (150, 300), (300, 450)]
    assert [one.angle_rad for one in found] == [0.0, 0.5, -0.5]
