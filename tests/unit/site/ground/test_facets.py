"""The ground as flat pieces: areas, heights against the surface itself, bends of lines."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.frame.model.surveyed import Level
from frame3d.site.ground.facets import Rectangle, ground_line, ground_over
from frame3d.site.ground.surface import ground_through

INSIDE = Rectangle(left_mm=4000, right_mm=15000, front_mm=5000, back_mm=16000)
BEYOND = Rectangle(left_mm=-7000, right_mm=24000, front_mm=3000, back_mm=41000)
APART = Rectangle(left_mm=60000, right_mm=61000, front_mm=-5000, back_mm=52000)


def rough(seed: int = 3, count: int = 40):
    random = np.random.default_rng(seed)
    points = random.uniform(0, 20000, (count, 2))
    heights = 0.03 * points[:, 0] - 0.02 * points[:, 1] + random.normal(0, 120, count)
    return ground_through(
        [
            Level(row=i, name="", x_mm=float(x), y_mm=float(y), z_mm=float(z))
            for i, ((x, y), z) in enumerate(zip(points, heights, strict=True))
        ]
    )


@pytest.mark.parametrize("over", [INSIDE, BEYOND, APART])
@pytest.mark.parametrize("seed", [3, 4, 5])
def test_pieces_cover_a_rectangle_once_and_lie_in_the_surface(over: Rectangle, seed: int) -> None:
    ground = rough(seed)
    facets = ground_over(ground, over)
    assert facets.areas.sum() == pytest.approx(over.area_mm2, rel=1e-9)
    for weights in ((1 / 3, 1 / 3, 1 / 3), (0.6, 0.3, 0.1), (0.05, 0.15, 0.8)):
        places = np.einsum("nij,i->nj", facets.corners, weights)
        large = facets.areas > 1.0
        found, _ = ground.at(places[large, :2])
        assert found == pytest.approx(places[large, 2], abs=1e-3)


def test_a_plane_has_the_mean_height_of_its_middle() -> None:
    ground = ground_through(
        [Level(row=i, name="", x_mm=x, y_mm=y, z_mm=0.04 * x - 0.01 * y + 250)
         for i, (x, y) in enumerate([(0, 0), (30000, 0), (0, 30000), (30000, 30000)])]
    )  # fmt: skip
    assert ground_over(ground, INSIDE).mean_mm == pytest.approx(0.04 * 9500 - 0.01 * 10500 + 250)


@pytest.mark.parametrize(
    ("start", "end"),
    [((3000, 4000), (17000, 15000)), ((-6000, 9000), (26000, 9500)), ((9000, -8000), (9000, 30000)),
     ((-9000, -9000), (-3000, 30000))],
)  # fmt: skip
def test_a_line_has_every_bend_of_the_ground(start, end) -> None:
    """Between its bends the ground is straight: as high at ten places each as the line says."""
    ground = rough()
    line = ground_line(ground, start, end)
    long = float(np.hypot(*np.subtract(end, start)))
    assert line[0][0] == 0
    assert line[-1][0] == pytest.approx(long)
    at, heights = np.array(line).T
    assert (np.diff(at) > 0).all()
    shares = np.linspace(0, 1, 400)
    places = np.asarray(start) + shares[:, None] * np.subtract(end, start)
    assert np.interp(shares * long, at, heights) == pytest.approx(ground.at(places)[0], abs=1e-3)


def test_a_line_over_a_plane_bends_only_where_points_end() -> None:
    ground = ground_through(
        [Level(row=i, name="", x_mm=x, y_mm=y, z_mm=0.05 * y)
         for i, (x, y) in enumerate([(0, 0), (1000, 0), (0, 1000), (1000, 1000)])]
    )  # fmt: skip
    line = ground_line(ground, (700.0, -500.0), (700.0, 1500.0))
    # Level outside, 5 % between; one more stop where the triangles meet is no bend in truth.
    assert [z for _, z in line] == pytest.approx([0, 0, 35, 50, 50]) or [
        z for _, z in line
    ] == pytest.approx([0, 0, 15, 50, 50])
