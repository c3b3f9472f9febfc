"""Convex figures against shapely, a library of plane geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely.geometry import MultiPoint, Polygon

from frame3d.geometry.convex import between, hull, normals, separation, slabs


def clouds(count, size, seed):
    rng = np.random.default_rng(seed)
    return [
        [tuple(p) for p in rng.normal(size=(size, 2)) * 100 + rng.uniform(-300, 300, 2)]
        for _ in range(count)
    ]


@pytest.mark.parametrize("points", clouds(20, 12, 1))
def test_hull_is_shapelys(points):
    ours, theirs = Polygon(hull(points)), MultiPoint(points).convex_hull
    assert ours.exterior.is_ccw
    assert ours.symmetric_difference(theirs).area < 1e-9


def test_hull_of_a_line_and_a_point():
    assert hull([(0, 0), (1, 1), (2, 2)]) == [(0, 0), (2, 2)]
    assert hull([(3, 4), (3, 4)]) == [(3, 4)]


def test_separation_agrees_with_shapely_on_200_pairs():
    """Apart exactly where shapely says so, and never farther than the true distance."""
    apart = 0
    for first, second in zip(clouds(200, 8, 2), clouds(200, 8, 3), strict=True):
        a, b = hull(first), hull(second)
        gap, true = separation(a, b), Polygon(a).distance(Polygon(b))
        assert (gap > 0) == (true > 0)
        if gap > 0:
            apart += 1
            assert gap <= true + 1e-9
    assert 20 < apart < 180


def test_separation_of_squares_is_exact():
    square = [(0, 0), (10, 0), (10, 10), (0, 10)]
    beside = [(x + 13, y) for x, y in square]
    over = [(x + 7, y + 1) for x, y in square]
    assert separation(square, beside) == pytest.approx(3)
    assert separation(square, over) == pytest.approx(-3)


def test_normals_point_outward():
    corners = [(0, 0), (4, 0), (4, 3)]
    found = [(round(x, 9), round(y, 9)) for x, y in normals(corners)]
    assert found == [(0, -1), (1, 0), (-0.6, 0.8)]


def test_between_two_levels():
    """A cube between half and three quarters of its height is a slab of the same plan."""
    cube = [(x, y, z) for x in (0, 8) for y in (0, 8) for z in (0, 8)]
    found = between(cube, 4, 6)
    assert {round(p[2], 9) for p in found} == {4, 6}
    assert Polygon(hull((x, y) for x, y, _ in found)).area == pytest.approx(64)
    assert between(cube, 9, 10) == []


def test_between_cuts_a_cone_to_its_true_width():
    tip = [(0, 0, 10)] + [
        (5 * math.cos(a), 5 * math.sin(a), 0) for a in np.linspace(0, 2 * math.pi, 12, False)
    ]
    widest = max(math.hypot(x, y) for x, y, _ in between(tip, 4, 10))
    assert widest == pytest.approx(3)


@pytest.mark.parametrize(
    "outline",
    [
        [(0, 0), (4, 0), (4, 2), (0, 2)],
        [(-1, 0), (1, 0), (2, 3), (0, 5), (-2, 3)],
        [(0, 0), (6, 0), (6, 1), (4, 1), (4, 4), (6, 4), (6, 6), (0, 6)],
        [(0, 0), (6, 0), (6, 6), (4, 6), (3, 2), (2, 6), (0, 6)],
    ],
    ids=["rectangle", "house", "notch in the side", "notch from above"],
)
def test_slabs_make_up_the_outline(outline):
    parts = [Polygon(part) for part in slabs(outline)]
    whole = Polygon(outline)
    assert sum(part.area for part in parts) == pytest.approx(whole.area)
    union = parts[0]
    for part in parts[1:]:
        union = union.union(part)
    assert union.symmetric_difference(whole).area < 1e-9
    assert all(part.convex_hull.area == pytest.approx(part.area) for part in parts)
