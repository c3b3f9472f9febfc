"""Distances in the plane against shapely, another library, and against closed forms."""

from __future__ import annotations

import math
import random

import pytest
from shapely import LineString, Point, Polygon

from frame3d.geometry.plane import (
    area,
    circles_meet,
    contains,
    cross,
    crossing_sides,
    inset,
    nearest,
    nearest_of_rings,
    nearest_on,
    sides,
)


def somewhere(rng: random.Random) -> tuple[float, float]:
    return rng.uniform(-50, 50), rng.uniform(-50, 50)


def ring_about(rng: random.Random, count: int) -> list[tuple[float, float]]:
    """A ring that cannot cross itself: corners in order round the middle; often not convex."""
    turns = sorted(rng.uniform(0, 2 * math.pi) for _ in range(count))
    return [(rng.uniform(5, 60) * math.cos(t), rng.uniform(5, 60) * math.sin(t)) for t in turns]


def test_distances_of_segments_are_those_of_shapely():
    rng = random.Random(1)
    for _ in range(400):
        one, other = ((somewhere(rng), somewhere(rng)) for _ in range(2))
        ends = nearest(one, other)
        assert math.dist(*ends) == pytest.approx(
            LineString(one).distance(LineString(other)), abs=1e-9
        )
        assert LineString(one).distance(Point(ends[0])) < 1e-9
        assert LineString(other).distance(Point(ends[1])) < 1e-9
        point = somewhere(rng)
        assert math.dist(point, nearest_on(one, point)) == pytest.approx(
            LineString(one).distance(Point(point)), abs=1e-9
        )


def test_area_inside_and_crossing_are_those_of_shapely():
    rng, crossed = random.Random(2), 0
    for _ in range(300):
        ring = [somewhere(rng) for _ in range(rng.randint(3, 7))]
        shape = Polygon(ring)
        assert (crossing_sides(ring) is None) is shape.is_valid
        crossed += not shape.is_valid
        ring = ring_about(rng, rng.randint(3, 9))
        if Polygon(ring).is_valid:
            shape = Polygon(ring)
            assert abs(area(ring)) == pytest.approx(shape.area)
            assert (area(ring) > 0) is shape.exterior.is_ccw
            for _ in range(10):
                point = somewhere(rng)
                assert contains(ring, point) is shape.contains(Point(point))
    assert 50 < crossed < 250  # both kinds were met


def test_the_distance_of_two_rings_is_that_of_shapely():
    rng = random.Random(3)
    for _ in range(100):
        one = ring_about(rng, 6)
        other = [(x + rng.choice((0, 150)), y) for x, y in ring_about(rng, 5)]
        wanted = Polygon(one).exterior.distance(Polygon(other).exterior)
        found = nearest_of_rings(one, list(sides(other)))
        assert math.dist(*found) == pytest.approx(wanted, abs=1e-9)


@pytest.mark.parametrize(
    "ring",
    [
        [(0, 0), (10, 0), (0, 10), (10, 10)],  # a bow
        [(0, 0), (10, 0), (5, 0), (5, 5)],  # runs back over itself
        [(0, 0), (10, 0), (10, 10), (5, 0), (0, 10)],  # touches itself at a corner
    ],
)
def test_a_ring_that_meets_itself_is_told(ring):
    assert crossing_sides([(float(x), float(y)) for x, y in ring]) is not None


def test_segments_on_one_line_do_not_cross_at_a_point():
    assert cross(((0, 0), (4, 0)), ((2, 0), (6, 0))) is None
    assert cross(((0, 0), (4, 4)), ((0, 4), (4, 0))) == (2, 2)


def test_two_tapes_find_a_place():
    # The triangle of 3, 4 and 5 (Euclid, Elements, I.48).
    assert circles_meet((0.0, 0.0), 3.0, (5.0, 0.0), 4.0) == (
        pytest.approx((1.8, 2.4)),
        pytest.approx((1.8, -2.4)),
    )
    assert circles_meet((0.0, 0.0), 3.0, (5.0, 0.0), 1.0) is None
    assert circles_meet((0.0, 0.0), 9.0, (5.0, 0.0), 1.0) is None
    assert circles_meet((0.0, 0.0), 9.0, (0.0, 0.0), 9.0) is None


def test_lines_inside_a_ring_lie_so_far_from_each_side():
    # A right triangle of 30, 40, 50 with all sides moved by 4: similar, its inradius 10 less 4.
    ring = [(0.0, 0.0), (40.0, 0.0), (0.0, 30.0)]
    made = inset(ring, (4.0, 4.0, 4.0))
    assert area(made) == pytest.approx(600 * 0.6**2)
    # The other way round, and with different setbacks: a rectangle, by hand.
    box = [(0.0, 0.0), (0.0, 20.0), (30.0, 20.0), (30.0, 0.0)]
    assert inset(box, (1.0, 2.0, 3.0, 4.0)) == (
        pytest.approx((1.0, 4.0)), pytest.approx((1.0, 18.0)), pytest.approx((27.0, 18.0)),
        pytest.approx((27.0, 4.0)),
    )  # fmt: skip


def test_neighbours_on_one_line_may_have_different_setbacks():
    ring = [(0.0, 0.0), (10.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0)]
    assert inset(ring, (3.0, 5.0, 0.0, 0.0, 0.0))[1] == pytest.approx((10.0, 5.0))
