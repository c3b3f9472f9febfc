"""The surface through the points: against scipy, by hand, and its contours."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.interpolate import griddata

from frame3d.frame.model.surveyed import Level
from frame3d.site.ground.surface import contour, ground_through


def levels(points, heights) -> list[Level]:
    return [
        Level(row=i, name="", x_mm=float(x), y_mm=float(y), z_mm=float(z))
        for i, ((x, y), z) in enumerate(zip(points, heights, strict=True), start=2)
    ]


def made(count: int = 60, seed: int = 4):
    random = np.random.default_rng(seed)
    points = random.uniform(0, 20000, (count, 2))
    heights = 0.02 * points[:, 0] - 0.01 * points[:, 1] + random.normal(0, 80, count)
    return points, heights


def test_heights_are_those_of_scipy_and_of_barycentric_coordinates() -> None:
    points, heights = made()
    ground = ground_through(levels(points, heights))
    places = np.random.default_rng(5).uniform(3000, 17000, (200, 2))
    found, outside = ground.at(places)
    other = griddata(points, heights, places, method="linear")
    assert not outside.any()
    assert found == pytest.approx(other, abs=1e-6)
    # By hand in the triangle of the first place: areas of the parts as weights.
    corners = ground.triangles[ground.mesh.find_simplex(places[0] - points.mean(axis=0))]
    a, b, c = points[corners]

    def area(p, q, r) -> float:
        return abs((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])) / 2

    parts = [area(places[0], b, c), area(a, places[0], c), area(a, b, places[0])]
    assert sum(parts) == pytest.approx(area(a, b, c))
    by_hand = np.dot(parts, heights[corners]) / area(a, b, c)
    assert found[0] == pytest.approx(by_hand, abs=1e-6)


def test_the_surface_goes_through_every_point() -> None:
    points, heights = made()
    found, outside = ground_through(levels(points, heights)).at(points)
    assert found == pytest.approx(heights, abs=1e-6)
    assert outside.max() == 0.0


def test_outside_the_points_the_nearest_place_on_their_edge_counts() -> None:
    """A square of 10 m rising by 1 in 100 to the right: 3 m outside it is as high as its edge."""
    square = [(0, 0), (10000, 0), (0, 10000), (10000, 10000)]
    ground = ground_through(levels(square, [0, 100, 0, 100]))
    found, outside = ground.at(np.array([(13000, 4000), (-4000, -3000), (5000, 12000)]))
    assert found == pytest.approx([100, 0, 50])
    assert outside == pytest.approx([3000, 5000, 2000])


def test_contours_are_as_high_as_they_say_and_end_at_the_edge_or_close() -> None:
    points, heights = made()
    ground = ground_through(levels(points, heights))
    hull = ground.mesh.convex_hull
    for height in (-100.0, 0.0, 150.0):
        lines = contour(ground, height)
        assert lines
        for line in lines:
            along, _ = ground.at(np.array(line))
            assert along == pytest.approx([height] * len(line), abs=1e-5)
            middles = np.array(
                [np.mean(pair, axis=0) for pair in zip(line, line[1:], strict=False)]
            )
            assert ground.at(middles)[0] == pytest.approx([height] * len(middles), abs=1e-5)
            closed = math.dist(line[0], line[-1]) < 1e-6
            assert closed or all(_on_hull(end, points, hull) for end in (line[0], line[-1]))


def _on_hull(place, points, hull) -> bool:
    for a, b in hull:
        run = points[b] - points[a]
        share = np.dot(np.subtract(place, points[a]), run) / np.dot(run, run)
        if 0 <= share <= 1 and math.dist(points[a] + share * run, place) < 1e-3:
            return True
    return False


def test_the_contour_of_a_cone_closes() -> None:
    ring = [(math.cos(a) * 5000, math.sin(a) * 5000) for a in np.linspace(0, 2 * math.pi, 13)[:-1]]
    ground = ground_through(levels([(0, 0), *ring], [1000, *([0] * 12)]))
    (line,) = contour(ground, 500.0)
    assert line[0] == pytest.approx(line[-1])
    # Half-way up each of the twelve edges to the middle.
    assert len(line) == 13
    assert [math.hypot(*place) for place in line] == pytest.approx([2500] * 13)


def test_a_contour_at_the_height_of_points_is_drawn_once() -> None:
    square = [(x, y) for x in (0, 1000, 2000) for y in (0, 1000, 2000)]
    ground = ground_through(levels(square, [x / 10 for x, _ in square]))
    (line,) = contour(ground, 100.0)
    assert sum(math.dist(a, b) for a, b in zip(line, line[1:], strict=False)) == pytest.approx(2000)
