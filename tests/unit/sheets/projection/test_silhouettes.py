"""What members look like: lines and arcs stay what they are, near things hide far ones."""

from __future__ import annotations

import math

import drawn_frames as drawn
import pytest
from shapely import box

from frame3d.catalog.sections import NutSize
from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import Nut, Swage, Tube
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.geometry.paths import Arc, Line, PlanePath
from frame3d.geometry.placement import Placement
from frame3d.sheets.primitives.primitives import ArcStroke, CircleStroke, Layer, Stroke
from frame3d.sheets.projection.hiding import inside, outside, visible
from frame3d.sheets.projection.silhouettes import ABOVE, FRONT, RIGHT_SIDE, silhouette


def tube(path, origin=(0, 0, 0), x=(0, 0, 1), y=(1, 0, 0), section=drawn.HOOP, **ends):
    return Member(
        mark="T1",
        role=Role.RAIL,
        part=Tube(section=section, axis=path, **ends),
        placement=Placement.of(origin=origin, x=x, y=y),
        spot=Spot(side=Side.RIGHT, hoop=1),
    )


BEND = PlanePath((Line(500.0), Arc(1000.0, math.pi / 2)))


@pytest.mark.parametrize("y", [(1, 0, 0), (-1, 0, 0)])
def test_a_bend_seen_square_keeps_its_arcs(y):
    seen = silhouette(tube(BEND, y=y), FRONT)
    arcs = {round(line.radius, 6): line for line in seen.lines if isinstance(line, ArcStroke)}
    # edges at half the diameter (42.4 / 2) beside the axis of radius 1000
    assert sorted(arcs) == [978.8, 1000.0, 1021.2]
    sign = y[0]
    for arc in arcs.values():
        assert arc.centre == pytest.approx((sign * 1000.0, 500.0))
        assert arc.end_rad - arc.start_rad == pytest.approx(math.pi / 2)
        middle = (arc.start_rad + arc.end_rad) / 2
        # the quarter bends from plumb to level, so its middle lies up and away from the centre
        assert (sign * math.cos(middle), math.sin(middle)) == pytest.approx(
            (-math.sqrt(0.5), math.sqrt(0.5))
        )


def test_a_bend_seen_from_its_edge_is_a_straight_band():
    seen = silhouette(tube(BEND), RIGHT_SIDE)
    assert all(isinstance(line, Stroke) for line in seen.lines)
    # highest point: axis 500 + 1000, plus half the diameter; lowest: the square end at 0
    assert seen.area.bounds == pytest.approx((-21.2, 0.0, 21.2, 1521.2))


def test_nearness_of_a_band_is_that_of_its_height():
    seen = silhouette(tube(BEND, y=(-1, 0, 0)), RIGHT_SIDE)
    # looking along -x at a bend that leads away toward -x: the foot is the nearest
    assert seen.nearness((0.0, 100.0)) == pytest.approx(21.2)
    # at the top the nearest of the axis within half a diameter of the height counts:
    # sin t = 0.9788, so 1000 (1 - cos t) = 795 away; the axis is sampled every 40 mm
    away = 1000 * (1 - math.sqrt(1 - 0.9788**2))
    assert seen.nearness((0.0, 1500.0)) == pytest.approx(21.2 - away, abs=45)


def test_a_tube_seen_along_its_axis_is_a_circle():
    seen = silhouette(tube(PlanePath((Line(800.0),)), x=(0, 0, 1), origin=(100, 200, 0)), ABOVE)
    circles = [line for line in seen.lines if isinstance(line, CircleStroke)]
    assert circles[0].centre == pytest.approx((200.0, -100.0))
    assert circles[0].radius == pytest.approx(21.2)


def test_a_swage_is_inside_the_next_tube_and_not_drawn():
    swage = Swage(od_mm=35.0, length_mm=80.0, taper_mm=20.0)
    seen = silhouette(tube(PlanePath((Line(800.0),)), x=(0, 1, 0), end=swage), RIGHT_SIDE)
    assert seen.area.bounds[::2] == pytest.approx((0.0, 700.0))


def test_hardware_is_too_small_to_draw():
    nut = Nut(size=NutSize(name="M10", diameter_mm=10, flats_mm=16, height_mm=8.4))
    member = Member(
        mark="N1", role=Role.NUT, part=nut, placement=Placement(), spot=Spot(side=Side.LEFT, hoop=1)
    )
    assert silhouette(member, FRONT) is None


def test_the_nearer_tube_hides_the_farther():
    near = silhouette(
        tube(PlanePath((Line(1000.0),)), origin=(100, 500, 0), x=(0, 0, 1)), RIGHT_SIDE
    )
    far = silhouette(tube(PlanePath((Line(1000.0),)), origin=(0, 0, 500), x=(0, 1, 0)), RIGHT_SIDE)
    lines = [line for line in visible([far, near]) if line.layer is Layer.OUTLINE]
    level = [line for line in lines if abs(line.start[1] - line.end[1]) < 1e-6]
    edges = sorted(line.start[0] for line in level if abs(line.start[1] - 500) < 30)
    # the level tube is broken where the upright one, 42.4 wide about y = 500, stands before it
    lengths = sorted(abs(line.end[0] - line.start[0]) for line in level)
    assert lengths[-1] == pytest.approx(500 - 21.2, abs=0.2)
    assert len(edges) == 4
    upright = [line for line in lines if abs(line.start[0] - line.end[0]) < 1e-6]
    assert max(abs(line.end[1] - line.start[1]) for line in upright) == pytest.approx(1000.0)


def test_an_arc_is_cut_to_arcs():
    arc = ArcStroke(centre=(0, 0), radius=100.0, start_rad=0.0, end_rad=math.pi)
    parts = outside(arc, box(-10, 50, 10, 150))
    assert [type(part) for part in parts] == [ArcStroke, ArcStroke]
    # x = ±10 on the circle: the angle is acos(±0.1)
    assert parts[0].end_rad == pytest.approx(math.acos(0.1), abs=1e-3)
    assert parts[1].start_rad == pytest.approx(math.acos(-0.1), abs=1e-3)


def test_a_window_keeps_what_lies_in_it():
    line = Stroke(start=(0, 0), end=(100, 0))
    kept = inside(line, (20, -10, 60, 10))
    assert len(kept) == 1
    assert (kept[0].start[0], kept[0].end[0]) == pytest.approx((20, 60), abs=0.2)
    assert inside(line, (20, 5, 60, 10)) == []
    assert inside(line, (-10, -10, 200, 10)) == [line]
