"""Earthwork against worked examples that were published."""

from __future__ import annotations

import pytest

from frame3d.frame.model.surveyed import Level
from frame3d.site.earthwork.volumes import cut_and_fill
from frame3d.site.ground.facets import Rectangle, ground_over
from frame3d.site.ground.surface import ground_through


def _over(rows, right, back):
    ground = ground_through(
        [Level(row=i, name="", x_mm=x, y_mm=y, z_mm=z) for i, (x, y, z) in enumerate(rows)]
    )
    return ground_over(ground, Rectangle(left_mm=0.0, right_mm=right, front_mm=0.0, back_mm=back))


def test_a_pit_by_the_method_of_triangles() -> None:
    """B. C. Punmia, Surveying, vol. 1, the chapter on volumes, example of a rectangular pit
    ABCD of 50 m by 80 m with E where the diagonals meet (data and result from memory). Depths
    from original and final levels; triangles of 1000 m² each:
    8700 + 9366.7 + 8166.7 + 7500 = 33733 m³."""
    depths = [45.2 - 38.6, 49.8 - 39.8, 51.2 - 42.6, 47.2 - 40.8, 52.0 - 42.5]
    places = [(0, 0), (50000, 0), (50000, 80000), (0, 80000), (25000, 40000)]
    rows = [(x, y, 1000 * depth) for (x, y), depth in zip(places, depths, strict=True)]
    moved = cut_and_fill(_over(rows, 50000, 80000), 0.0, 0.0)
    assert moved.cut_mm3 / 1e9 == pytest.approx(33733, abs=0.5)
    assert moved.fill_mm3 == 0.0


def test_borrow_by_the_grid_method() -> None:
    """A square of 50 ft with 87.6, 87.6, 87.6 and 88.6 ft at its corners, filled to 90 ft: 2.15
    ft in the mean, 199 yd³ (worked example at www.expertsmind.com, "Amount of borrow needed to
    bring area to elevation of 90 ft"). The mean of the corners stands in the middle, as the
    unit-area method takes it."""
    foot = 304.8
    corners = [(0, 0, 87.6), (50, 0, 87.6), (0, 50, 87.6), (50, 50, 88.6), (25, 25, 87.85)]
    rows = [(x * foot, y * foot, z * foot) for x, y, z in corners]
    moved = cut_and_fill(_over(rows, 50 * foot, 50 * foot), 90 * foot, 0.0)
    assert moved.fill_mm3 / 914.4**3 == pytest.approx(199, abs=0.5)
    assert moved.cut_mm3 == 0.0
