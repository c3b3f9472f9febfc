"""Plane paths of lines and arcs."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.geometry.paths import Arc, Line, PlanePath, Station, advance

segments = st.one_of(
    st.builds(Line, st.floats(1, 5000)),
    st.builds(Arc, st.floats(10, 20000), st.one_of(st.floats(0.01, 3.0), st.floats(-3.0, -0.01))),
)
paths = st.lists(segments, min_size=1, max_size=6).map(lambda s: PlanePath(tuple(s)))
FIXED = settings(max_examples=80, deadline=None, derandomize=True)


def near(a: Station, b: Station, tolerance: float = 1e-6) -> bool:
    """True if two stations are one."""
    same = math.hypot(a.x_mm - b.x_mm, a.y_mm - b.y_mm) <= tolerance
    return same and abs(a.heading_rad - b.heading_rad) <= 1e-9


def test_quarter_turn_left_and_right() -> None:
    """A quarter of a circle of radius 200 goes 200 on and 200 aside."""
    left = PlanePath((Arc(200.0, math.pi / 2),)).end
    assert (left.x_mm, left.y_mm) == pytest.approx((200, 200))
    assert left.tangent == pytest.approx((0, 1), abs=1e-15)
    assert left.normal == pytest.approx((-1, 0), abs=1e-15)
    right = PlanePath((Arc(200.0, -math.pi / 2),)).end
    assert (right.x_mm, right.y_mm) == pytest.approx((200, -200))


def test_length_is_the_sum() -> None:
    path = PlanePath((Line(100.0), Arc(50.0, -math.pi), Line(7.0)))
    assert path.length_mm == pytest.approx(107 + 50 * math.pi, rel=1e-15)
    assert not path.is_straight and PlanePath((Line(3.0),)).is_straight
    assert Line(3.0).angle_rad == 0


def test_huge_radius_is_a_line() -> None:
    """The sagitta of 5 m on a radius of 1e12 mm is 3e-6 mm."""
    end = PlanePath((Arc(1e12, 5e-9),)).end
    assert end.x_mm == pytest.approx(5000, abs=1e-9)
    assert end.y_mm == pytest.approx(5000**2 / 2e12, rel=1e-6)


def test_beyond_the_ends_the_segments_go_on() -> None:
    path = PlanePath((Line(10.0), Arc(5.0, math.pi / 2)))
    assert path.at(-4).x_mm == pytest.approx(-4)
    beyond = path.at(10 + 5 * math.pi)
    assert (beyond.x_mm, beyond.y_mm) == pytest.approx((10, 10))
    first = PlanePath((Arc(5.0, math.pi / 2),)).at(-5 * math.pi / 2)
    assert (first.x_mm, first.y_mm) == pytest.approx((-5, 5))


@pytest.mark.parametrize(
    "bad", [Line(0.0), Line(-5.0), Line(math.nan), Arc(100.0, 0.0), Arc(-100.0, 1.0), Arc(0.0, 1.0)]
)
def test_no_empty_segments(bad) -> None:
    with pytest.raises(ValueError, match="is too short"):
        PlanePath((Line(10.0), bad))


def test_no_empty_path() -> None:
    with pytest.raises(ValueError, match="at least one segment"):
        PlanePath(())


@pytest.mark.parametrize(("start", "end"), [(-1, 5), (0, 11), (5, 5), (7, 3), (20, 30)])
def test_no_stretch_beyond_the_path(start: float, end: float) -> None:
    with pytest.raises(ValueError, match="no stretch"):
        PlanePath((Line(10.0),)).cut(start, end)


@FIXED
@given(paths, st.floats(0, 1), st.floats(0, 1))
def test_a_stretch_is_the_same_curve(path: PlanePath, a: float, b: float) -> None:
    low, high = sorted((a * path.length_mm, b * path.length_mm))
    if high - low < 1e-3:
        return
    piece, start = path.cut(low, high), path.at(low)
    assert piece.length_mm == pytest.approx(high - low, abs=5e-6)
    for share in (0.3, 1.0):
        s = share * piece.length_mm
        here, there = piece.at(s), path.at(low + s)
        cos, sin = start.tangent
        assert start.x_mm + here.x_mm * cos - here.y_mm * sin == pytest.approx(there.x_mm, abs=2e-5)
        assert start.y_mm + here.x_mm * sin + here.y_mm * cos == pytest.approx(there.y_mm, abs=2e-5)


@FIXED
@given(paths)
def test_at_the_end_and_the_starts(path: PlanePath) -> None:
    assert near(path.at(path.length_mm), path.end)
    for along, start in path.starts:
        assert near(path.at(along), start)
    total = sum(s.angle_rad for s in path.segments)
    assert path.end.heading_rad == pytest.approx(total, abs=1e-12)


@FIXED
@given(paths)
def test_mirror_image(path: PlanePath) -> None:
    end, image = path.end, path.mirrored().end
    assert (image.x_mm, image.y_mm) == pytest.approx((end.x_mm, -end.y_mm))
    assert image.heading_rad == -end.heading_rad
    assert path.mirrored().mirrored() == path


@FIXED
@given(paths)
def test_turned_end_for_end(path: PlanePath) -> None:
    """Seen from its other end and turned over, the curve has the same chord."""
    end, back = path.end, path.reversed().end
    assert math.hypot(back.x_mm, back.y_mm) == pytest.approx(
        math.hypot(end.x_mm, end.y_mm), abs=1e-6
    )
    # From the end, looking back along the tangent, the start lies at -end; flipped over.
    cos, sin = end.tangent
    assert back.x_mm == pytest.approx(end.x_mm * cos + end.y_mm * sin, abs=1e-6)
    assert back.y_mm == pytest.approx(end.x_mm * sin - end.y_mm * cos, abs=1e-6)
    assert path.reversed().reversed() == path


@FIXED
@given(paths)
def test_bounds_hold_every_point_and_are_touched(path: PlanePath) -> None:
    x0, y0, x1, y1 = path.bounds()
    points = np.array([(p.x_mm, p.y_mm) for p in map(path.at, np.linspace(0, path.length_mm, 400))])
    low, high = points.min(axis=0), points.max(axis=0)
    assert np.all(low >= (x0 - 1e-6, y0 - 1e-6)) and np.all(high <= (x1 + 1e-6, y1 + 1e-6))
    # An arc sampled at steps s misses its extreme by at most s²/(8 r); a line by nothing
    # but its ends, which lie at most a step from a sample.
    step = path.length_mm / 399
    assert np.all(low - (x0, y0) <= step) and np.all((x1, y1) - high <= step)


def test_bounds_of_a_half_circle_are_exact() -> None:
    bounds = PlanePath((Arc(100.0, math.pi),)).bounds()
    assert bounds == pytest.approx((0, 0, 100, 200), abs=1e-12)


def test_advance_is_reversible() -> None:
    start = Station(3.0, 4.0, 0.7)
    for segment in (Line(50.0), Arc(80.0, 0.9), Arc(80.0, -0.9)):
        there = advance(start, segment, 30.0)
        assert near(advance(there, segment, -30.0), start)
