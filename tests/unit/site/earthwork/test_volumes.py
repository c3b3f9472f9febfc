"""Cut and fill: closed forms, and pads of frames."""

from __future__ import annotations

import math

import numpy as np
import pytest
from site_frames import driven_on, small_frame

from frame3d.frame.model.surveyed import Level
from frame3d.site.earthwork.volumes import cut_and_fill, earthwork_of
from frame3d.site.ground.facets import Rectangle, ground_over
from frame3d.site.ground.surface import ground_through


def through(rows):
    return ground_through(
        [Level(row=i, name="", x_mm=x, y_mm=y, z_mm=z) for i, (x, y, z) in enumerate(rows)]
    )


def test_a_plane_cut_level_at_its_middle_is_two_wedges() -> None:
    """10 m by 20 m at 5 % along: each wedge is 10 m long and 0.5 m high at its end, so
    10 * 10 * 0.5 / 2 = 25 m³ (closed form)."""
    ground = through([(0, 0, 0), (10000, 0, 0), (0, 20000, 1000), (10000, 20000, 1000)])
    over = Rectangle(left_mm=0, right_mm=10000, front_mm=0, back_mm=20000)
    facets = ground_over(ground, over)
    moved = cut_and_fill(facets, 500.0, 0.0)
    assert moved.cut_mm3 == pytest.approx(25e9)
    assert moved.fill_mm3 == pytest.approx(25e9)
    assert (moved.deepest_mm, moved.highest_mm) == (pytest.approx(500), pytest.approx(500))
    assert cut_and_fill(facets, 0.0, 0.05).cut_mm3 == pytest.approx(0, abs=1)
    # All of it dug to 200 mm under its lower end: 200 m² by 0.2 m and by 0.5 m in the mean.
    assert cut_and_fill(facets, -200.0, 0.0).cut_mm3 == pytest.approx(200 * 0.7 * 1e9)


def test_a_pyramid_above_a_plane_at_half_its_height() -> None:
    """A square pyramid of 4 m by 4 m, 1.2 m high: the part above half of it is an eighth of
    its 6.4 m³, and under the plane, what is missing to 9.6 m³ is filled (Euclid, XII.7)."""
    corners = [(0, 0, 0), (4000, 0, 0), (0, 4000, 0), (4000, 4000, 0)]
    ground = through([*corners, (2000, 2000, 1200)])
    over = Rectangle(left_mm=0, right_mm=4000, front_mm=0, back_mm=4000)
    moved = cut_and_fill(ground_over(ground, over), 600.0, 0.0)
    assert moved.cut_mm3 == pytest.approx(0.8e9)
    assert moved.fill_mm3 == pytest.approx((9.6 - 6.4 + 0.8) * 1e9)


def test_ground_that_is_the_pad_moves_nothing() -> None:
    plan = driven_on(small_frame(), lambda x, y: 700.0)
    for pad in earthwork_of(small_frame(), plan).pads:
        assert pad.start_mm == pytest.approx(700)
        assert (pad.moved.cut_mm3, pad.moved.fill_mm3) == (0.0, 0.0)


def test_pads_of_a_sloping_string_lie_under_it_and_balance() -> None:
    frame = small_frame(string="slope", most_slope=4.0, pad_margin="500 mm")
    plan = driven_on(frame, lambda x, y: 0.03 * x + 0.02 * y)
    earth = earthwork_of(frame, plan)
    own, balanced, level = earth.pads
    # 5 m wide and 9 m along the string, 0.5 m more on each side.
    along = 9000 * math.cos(math.atan(0.02))
    assert earth.over.area_mm2 == pytest.approx(6000 * (along + 1000), rel=1e-6)
    assert own.slope == pytest.approx(0.02, abs=1e-6)
    # The string is level across, so the ground lies 3 % of up to 3 m above and below it: two
    # wedges of 3 m by 90 mm at most (closed form), if the string runs over the middle.
    wedge = 3000 * 90 / 2 * (along + 1000)
    assert balanced.moved.cut_mm3 == pytest.approx(wedge, rel=1e-4)
    assert own.start_mm == pytest.approx(
        plan.string.start_mm - frame.design.socket.exposed, abs=1e-6
    )
    for pad in (balanced, level):
        assert pad.moved.cut_mm3 == pytest.approx(pad.moved.fill_mm3, rel=1e-9)
    assert level.moved.cut_mm3 > balanced.moved.cut_mm3


@pytest.mark.parametrize("seed", range(4))
def test_random_surfaces_against_a_mesh_library(seed: int) -> None:
    """The same ground as a solid of trimesh, cut by a plane by manifold3d, which knows nothing
    of our triangles but their corners."""
    trimesh = pytest.importorskip("trimesh")
    random = np.random.default_rng(seed)
    places = np.vstack([random.uniform(0, 12000, (30, 2)), [(0, 0), (12000, 0), (0, 9000)],
                        [(12000, 12000), (0, 12000)]])  # fmt: skip
    heights = random.uniform(500, 1500, len(places))
    ground = through([(*place, z) for place, z in zip(places, heights, strict=True)])
    over = Rectangle(left_mm=1500, right_mm=10500, front_mm=1000, back_mm=8000)
    slope, start = 0.03, 800.0
    moved = cut_and_fill(ground_over(ground, over), start, slope)
    solid = _solid(trimesh, ground)
    column = _prism(trimesh, over, lambda y: start + slope * y, 5000.0)
    below = _prism(trimesh, over, lambda y: -1000.0, lambda y: start + slope * y)
    above = trimesh.boolean.intersection([solid, column], engine="manifold").volume
    under = trimesh.boolean.intersection([solid, below], engine="manifold").volume
    assert moved.cut_mm3 == pytest.approx(above, rel=1e-6)
    assert moved.fill_mm3 == pytest.approx(below.volume - under, rel=1e-6)


def _solid(trimesh, ground):
    """The ground down to -1000 mm, closed by its outline."""
    top = np.column_stack([ground.points, ground.heights])
    bottom = np.column_stack([ground.points, np.full(len(top), -1000.0)])
    count, faces = len(top), []
    for a, b, c in ground.triangles:
        (ux, uy), (vx, vy) = ground.points[[b, c]] - ground.points[a]
        a, b = (a, b) if ux * vy - uy * vx > 0 else (b, a)
        faces += [(a, b, c), (b + count, a + count, c + count)]
    edges = {(i, j) for a, b, c in faces[::2] for i, j in ((a, b), (b, c), (c, a))}
    for i, j in edges:
        if (j, i) not in edges:
            faces += [(i, i + count, j), (j, i + count, j + count)]
    solid = trimesh.Trimesh(np.vstack([top, bottom]), faces, process=False)
    assert solid.is_volume
    return solid


def _prism(trimesh, over, low, high):
    corners = [(x, y) for x in (over.left_mm, over.right_mm) for y in (over.front_mm, over.back_mm)]
    level = [value if callable(value) else (lambda y, v=value: v) for value in (low, high)]
    return trimesh.convex.convex_hull([(x, y, at(y)) for x, y in corners for at in level])
