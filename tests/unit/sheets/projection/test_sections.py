"""Sections of members against closed forms; hatches and breaks at their scale."""

from __future__ import annotations

import math

import numpy as np
import pytest
from msgspec.structs import replace
from shapely import LineString, Polygon, box

from frame3d.catalog.sections import BoltSize, Head, TimberSection, TubeSection
from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import (
    Board,
    BoardEnd,
    BoardHole,
    Bolt,
    ClampHalf,
    Hole,
    Plate,
    Swage,
    Tube,
)
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.geometry.paths import Arc, Line, PlanePath
from frame3d.geometry.placement import Placement
from frame3d.sheets.primitives.hatching import BreakLine, Hatch, at_scale, hatch_lines
from frame3d.sheets.primitives.primitives import Layer
from frame3d.sheets.projection.projection import FRONT
from frame3d.sheets.projection.section_plane import Plane
from frame3d.sheets.projection.section_view import bounds_of, section, section_primitives

TUBE = TubeSection(name="50 x 3", od_mm=50.0, wall_mm=3.0)
TIMBER = TimberSection(name="47x200", thickness_mm=47.0, depth_mm=200.0)
BOLT = BoltSize(
    name="M10",
    head=Head.HEX,
    diameter_mm=10.0,
    pitch_mm=1.5,
    flats_mm=16.0,
    head_height_mm=6.4,
    thread_mm=26.0,
    hole_mm=11.0,
    lengths_mm=(100.0,),
)
WINDOW = (-500.0, -500.0, 500.0, 500.0)
AT_HOOP = Plane(projection=FRONT, at_mm=0.0)
SPOT = Spot(side=Side.RIGHT, hoop=1)


def member(part, mark="X1", role=Role.RAIL, **placed) -> Member:
    placement = Placement.of(**{"origin": (0, 0, 0), "x": (1, 0, 0), "y": (0, 0, 1), **placed})
    return Member(mark=mark, role=role, part=part, placement=placement, spot=SPOT)


def face_of(one: Member, plane: Plane = AT_HOOP):
    [shown] = section([one], plane, WINDOW)
    return shown.face


def straight(length: float, **more) -> Tube:
    return Tube(section=TUBE, axis=PlanePath((Line(length),)), **more)


def test_a_tube_along_the_plane_is_two_walls():
    face = face_of(member(straight(400.0)))
    assert face.area == pytest.approx(2 * 3.0 * 400.0)
    assert face.bounds == pytest.approx((0.0, -25.0, 400.0, 25.0))


def test_beside_the_axis_the_walls_are_cut_aslant():
    """At 10 mm from the axis the half chords are sqrt(25² - 10²) and sqrt(22² - 10²)."""
    face = face_of(member(straight(400.0), origin=(0, 10.0, 0)))
    half, bore = math.sqrt(25**2 - 10**2), math.sqrt(22**2 - 10**2)
    assert face.area == pytest.approx(2 * (half - bore) * 400.0)


def test_a_tube_square_to_the_plane_is_a_ring():
    face = face_of(member(straight(400.0), origin=(0, -200.0, 0), x=(0, 1, 0)))
    # A circle by chords of 192 corners is less by (2 pi / n)² / 6.
    assert face.area == pytest.approx(math.pi * (25**2 - 22**2), rel=3e-4)


@pytest.mark.parametrize("slope", [20.0, 45.0, 60.0])
def test_a_tube_on_a_slant_is_an_oval_ring(slope):
    """Its area is that of the ring over the cosine of the slant."""
    cos, sin = math.cos(math.radians(slope)), math.sin(math.radians(slope))
    face = face_of(member(straight(600.0), origin=(-300 * sin, -300 * cos, 0), x=(sin, cos, 0)))
    assert face.area == pytest.approx(math.pi * (25**2 - 22**2) / cos, rel=3e-4)
    left, bottom, right, top = face.bounds
    assert (right - left, top - bottom) == pytest.approx((50.0 / cos, 50.0), rel=1e-3)


def test_a_bend_keeps_its_walls():
    """Pappus in the plane: the bands of a bend have the length of their middles."""
    tube = Tube(section=TUBE, axis=PlanePath((Arc(300.0, 1.0),)))
    face = face_of(member(tube))
    outer = (325.0**2 - 322.0**2) / 2 + (278.0**2 - 275.0**2) / 2
    assert face.area == pytest.approx(outer, rel=1e-3)


def test_a_swage_is_narrower_and_its_taper_runs_between():
    tube = straight(400.0, end=Swage(od_mm=43.0, length_mm=100.0, taper_mm=20.0))
    face = face_of(member(tube))
    assert face.intersection(box(350, -40, 400, 40)).bounds[3] == pytest.approx(21.5)
    assert face.intersection(box(0, -40, 200, 40)).bounds[3] == pytest.approx(25.0)
    assert face.area == pytest.approx(2 * 3.0 * 400.0)


def test_holes_along_the_plane_open_both_walls_and_others_do_not():
    """A hole of 12 mm whose axis lies in the plane takes 2 x 12 x 3 mm² from the walls."""
    along = member(straight(400.0, holes=(Hole(at_mm=200.0, diameter_mm=12.0),)))
    across = member(
        straight(400.0, holes=(Hole(at_mm=200.0, clock_rad=math.pi / 2, diameter_mm=12.0),))
    )
    # Own y is up, so clock 0 lies in the plane.
    assert face_of(along).area == pytest.approx(2 * 3.0 * 400.0 - 2 * 12.0 * 3.0)
    assert face_of(across).area == pytest.approx(2 * 3.0 * 400.0)


def test_a_board_is_cut_with_its_holes():
    """Through the middle of a hole across the thickness, 47 x 200 less 11 x 47 mm²."""
    board = Board(
        section=TIMBER,
        length_mm=1000.0,
        holes=(BoardHole(along_mm=500.0, up_mm=60.0, diameter_mm=11.0),),
    )
    one = member(board, origin=(0, -500, 0), x=(0, 1, 0), y=(0, 0, 1))
    assert face_of(one).area == pytest.approx(47.0 * 200.0 - 11.0 * 47.0)
    clear = member(board, origin=(0, -300, 0), x=(0, 1, 0), y=(0, 0, 1))
    assert face_of(clear).area == pytest.approx(47.0 * 200.0)


def test_a_notched_board_is_cut_without_its_notch():
    board = Board(section=TIMBER, length_mm=1000.0, end=BoardEnd(lap_mm=60.0, lap_depth_mm=80.0))
    one = member(board, origin=(-500, 20, 0), x=(1, 0, 0), y=(0, 0, 1))
    assert face_of(one).area == pytest.approx(1000.0 * 200.0 - 60.0 * 80.0)


def test_a_plate_on_edge_shows_its_thickness():
    """A line through the middle of a rectangle of 120 x 80: 5 x 120 mm²."""
    plate = Plate(name="plate", outline=((0, 0), (120, 0), (120, 80), (0, 80)), thickness_mm=5.0)
    one = member(plate, origin=(0, -40, 0), x=(1, 0, 0), y=(0, 1, 0))
    face = face_of(one)
    assert face.area == pytest.approx(600.0)
    assert face.bounds == pytest.approx((0.0, 0.0, 120.0, 5.0))


def test_what_lies_before_the_plane_is_left_out_and_behind_is_not_hatched():
    before = member(straight(400.0), origin=(0, -100, 0))  # the viewer looks along +y
    behind = member(straight(400.0), origin=(0, 100, 0))
    assert section([before], AT_HOOP, WINDOW) == []
    [shown] = section([behind], AT_HOOP, WINDOW)
    assert shown.face.is_empty


def test_bolts_in_the_plane_are_not_cut_and_cover_what_is():
    bolt = member(
        Bolt(size=BOLT, length_mm=100.0),
        "BT1",
        Role.BOLT,
        origin=(0, 0, -50),
        x=(1, 0, 0),
        y=(0, 1, 0),
    )  # along +z
    tube = member(straight(400.0), origin=(-200, 0, 0))
    shown = section([tube, bolt], AT_HOOP, WINDOW)
    assert [item.face.is_empty for item in shown] == [False, True]
    hatched = [item.area for item in section_primitives(shown, WINDOW) if isinstance(item, Hatch)]
    assert sum(area.area for area in hatched) == pytest.approx(2 * 3.0 * (400.0 - 10.0), rel=2e-3)


def test_a_bolt_across_the_plane_shows_its_shank_cut():
    bolt = member(
        Bolt(size=BOLT, length_mm=100.0),
        "BT1",
        Role.BOLT,
        origin=(0, -50, 0),
        x=(0, 0, 1),
        y=(1, 0, 0),
    )  # along +y
    [shown] = section([bolt], AT_HOOP, WINDOW)
    # A regular polygon of 24 corners in a circle of 5 mm.
    assert shown.face.area == pytest.approx(12 * 25.0 * math.sin(2 * math.pi / 24))


def test_a_clamp_across_its_tube_is_a_split_ring_with_ears_and_boss():
    clamp = ClampHalf(
        tube_od_mm=50.0,
        band_mm=3.0,
        width_mm=36.0,
        boss_mm=5.0,
        boss_diameter_mm=24.0,
        ear_mm=24.0,
        gap_mm=6.0,
        bolt=BOLT,
    )
    one = member(clamp, "C1", Role.CLAMP, origin=(0, 0, 0), x=(0, 1, 0), y=(1, 0, 0))
    face = face_of(one)
    ring = math.pi * (28**2 - 25**2)
    ears = 2 * 3.0 * 24.0
    assert ring + ears - 6 * 3 < face.area < ring + ears + 24 * 5.0 + 12
    assert not face.contains(Polygon([(26, -1), (50, -1), (50, 1), (26, 1)]).centroid)


def test_hatch_lines_lie_in_their_face_at_their_spacing():
    face = box(0, 0, 200, 100).difference(box(50, 20, 120, 70))
    lines = hatch_lines(Hatch(area=face, angle_rad=math.pi / 4, spacing=2.0), 5)
    grown = face.buffer(1e-6)
    assert lines and all(grown.contains(LineString([s.start, s.end])) for s in lines)
    assert {s.layer for s in lines} == {Layer.HATCH}
    offsets = sorted({round((s.start[1] - s.start[0]) / math.sqrt(2), 6) for s in lines})
    steps = {round(b - a, 6) for a, b in zip(offsets, offsets[1:], strict=False)}
    assert steps == {10.0}  # 2 mm on paper at 1:5


def test_hatches_of_a_section_lie_in_what_is_cut():
    tubes = [
        member(straight(900.0), origin=(-450, 0, 0)),
        member(straight(900.0), "X2", origin=(-450, 0, 52.0)),
    ]
    shown = section(tubes, AT_HOOP, WINDOW)
    window = (-300.0, -100.0, 300.0, 120.0)
    for item in section_primitives(shown, window):
        if isinstance(item, Hatch):
            assert box(*window).buffer(1e-6).contains(item.area)
            assert any(one.face.buffer(1e-6).contains(item.area) for one in shown)
    hatches = [item for item in section_primitives(shown, window) if isinstance(item, Hatch)]
    assert len({item.angle_rad for item in hatches}) == 2, "neighbours are told apart"


def test_members_that_go_on_end_in_breaks():
    tube = member(straight(2000.0), origin=(-1000, 0, 0))
    shown = section([tube], AT_HOOP, WINDOW)
    breaks = [item for item in section_primitives(shown, WINDOW) if isinstance(item, BreakLine)]
    assert len(breaks) == 2
    assert all(math.dist(b.start, b.end) == pytest.approx(50.0) for b in breaks)
    strokes = at_scale(breaks[0], 5)
    assert len(strokes) == 5  # a zigzag has four corners
    assert bounds_of(shown, WINDOW) == pytest.approx((-500.0, -25.0, 500.0, 25.0))


def test_a_carriage_bolt_shows_its_square_neck():
    """Half the diameter deep under the head (catalogue, as the solid); a diameter wide."""
    size = replace(BOLT, head=Head.CARRIAGE, flats_mm=22.0, head_height_mm=5.0)
    bolt = member(Bolt(size=size, length_mm=80.0), role=Role.BOLT, y=(0, 1, 0))
    [shown] = section([bolt], AT_HOOP, WINDOW)
    shank, neck, head = (shape.area.bounds for shape in shown.shapes)
    assert shank == pytest.approx((-5.0, 5.0, 5.0, 80.0))
    assert neck == pytest.approx((-5.0, 0.0, 5.0, 5.0))
    assert head == pytest.approx((-11.0, -5.0, 11.0, 0.0))


@pytest.mark.parametrize("degrees", range(0, 90, 3))
def test_a_hole_through_a_board_is_open_at_both_faces(degrees):
    """However the board leans in the plane of the section, the hole parts its face in two."""
    turn = math.radians(degrees)
    across, along = (-math.sin(turn), 0.0, math.cos(turn)), (math.cos(turn), 0.0, math.sin(turn))
    y = tuple(-a for a in np.cross(along, across))
    board = Board(
        section=TIMBER, length_mm=400.0,
        holes=(BoardHole(along_mm=200.0, up_mm=100.0, diameter_mm=12.0),),
    )  # fmt: skip
    placed = member(board, origin=(3224.6, -100.0 * y[1], 20.6), x=along, y=y)
    face = section([placed], AT_HOOP, (2000.0, -1000.0, 4000.0, 1000.0))[0].face
    assert len(face.geoms) == 2
    assert not any(piece.interiors for piece in face.geoms)
