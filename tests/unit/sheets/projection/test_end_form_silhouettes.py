"""Flat ends of tubes and cut boards true to scale seen, against points of their true shape."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from msgspec.structs import replace
from shapely import MultiPoint, Polygon, box

from frame3d.catalog.sections import TimberSection, TubeSection
from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import Board, BoardEnd, Flat, Swage, Tube
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.geometry.paths import Arc, Line, PlanePath
from frame3d.geometry.placement import Placement
from frame3d.sheets.primitives.primitives import ArcStroke, CircleStroke, Layer, Stroke
from frame3d.sheets.projection.hiding import visible
from frame3d.sheets.projection.silhouettes import ABOVE, FRONT, RIGHT_SIDE, reach_of, silhouette
from frame3d.sheets.projection.tube_outlines import body

RADIUS, WALL = 21.0, 3.0
SECTION = TubeSection(name="42 x 3", od_mm=2 * RADIUS, wall_mm=WALL)
HALF_WIDE = math.pi * (RADIUS - WALL) / 2 + WALL
FLAT = Flat(length_mm=70.0, transition_mm=60.0)
STRUT = Tube(section=SECTION, axis=PlanePath((Line(1000.0),)), end=FLAT)
TWO_BY_FOUR = TimberSection(name="2x4", thickness_mm=38.0, depth_mm=89.0)
SLANT = math.radians(25)


def member(part, origin=(0, 0, 0), x=(0, 0, 1), y=(1, 0, 0)):
    return Member(
        mark="T1",
        role=Role.WEB,
        part=part,
        spot=Spot(side=Side.RIGHT, hoop=1),
        placement=Placement.of(origin=origin, x=x, y=y),
    )


def width_at(area: Polygon, height: float) -> float:
    left, _, right, _ = area.intersection(box(-1e4, height - 1e-4, 1e4, height + 1e-4)).bounds
    return right - left


# standing up, own y along x: square to the flat is x, its width lies along y
@pytest.mark.parametrize(("eye", "half"), [(FRONT, WALL), (RIGHT_SIDE, HALF_WIDE)])
def test_a_flat_is_thin_from_one_side_and_wide_from_the_other(eye, half) -> None:
    seen = silhouette(member(STRUT), eye)
    assert seen.area.geom_type == "Polygon"
    assert seen.area.bounds[1::2] == pytest.approx((0.0, 1000.0))
    for height, expected in (
        (500.0, RADIUS),
        (869.0, RADIUS),
        (900.0, (RADIUS + half) / 2),
        (931.0, half),
        (999.0, half),
    ):
        # 0.02 mm: at 869 and 931 beside the corners, where it is taken over 2e-4 mm
        assert width_at(seen.area, height) == pytest.approx(2 * expected, abs=0.02)


@pytest.mark.parametrize("clock", [0.0, 0.5, 2.0])
@pytest.mark.parametrize(
    ("x", "eye"),
    [
        ((0, 0, 1), FRONT),
        ((0, 0, 1), RIGHT_SIDE),
        ((0, 1, 0), RIGHT_SIDE),
        ((0, 1, 0), ABOVE),
        ((1, 1, 1), FRONT),
        ((1, 1, 1), RIGHT_SIDE),
        ((1, 1, 1), ABOVE),
        ((0.2, 1, 0.4), RIGHT_SIDE),
        ((0.2, 1, 0.4), ABOVE),
        # along the tube
        ((0, 0, 1), ABOVE),
        ((0, 1, 0), FRONT),
    ],
)
def test_outline_is_that_of_the_sections_points(eye, clock, x) -> None:
    """Points round the oblongs of the law in the docstring of Flat, thrown on the sheet."""
    tube = replace(STRUT, end=replace(FLAT, clock_rad=clock))
    placed = member(tube, x=x, y=(1, 0, 0.3))
    seen = silhouette(placed, eye)
    (u0, v0), (u1, v1) = (eye.flat(placed.placement.point(p)) for p in ((0, 0, 0), (1000, 0, 0)))
    run = math.hypot(u1 - u0, v1 - v0)
    beside = (-(v1 - v0) / run, (u1 - u0) / run) if run > 1 else (1.0, 0.0)
    turns = np.linspace(0, 2 * math.pi, 721)
    for at in (880.0, 900.0, 930.0, 965.0, 1000.0):
        s = min(1.0, (at - 870.0) / 60.0)
        half, radius = s * math.pi * (RADIUS - WALL) / 2, RADIUS + s * (WALL - RADIUS)
        along = radius * np.sin(turns) + half * np.sign(np.sin(turns))
        out = radius * np.cos(turns)
        points = np.column_stack(
            [
                np.full_like(turns, at),
                out * math.cos(clock) - along * math.sin(clock),
                out * math.sin(clock) + along * math.cos(clock),
            ]
        )
        flat = np.array([eye.flat(placed.placement.point(tuple(p))) for p in points])
        if run < 1:  # along the tube: all of the flat lies in the area
            assert seen.area.buffer(0.01).contains(MultiPoint(flat))
            continue
        reach = np.abs((flat - np.array((u0, v0))) @ beside).max()
        share = at / 1000.0
        place = np.array((u0 + share * (u1 - u0), v0 + share * (v1 - v0)))
        inner = place - np.array((u1 - u0, v1 - v0)) / run * 0.01
        for side in (1, -1):
            edge = inner + side * np.array(beside) * (reach - 0.02)
            beyond = inner + side * np.array(beside) * (reach + 0.02)
            assert seen.area.contains(MultiPoint([edge]))
            assert not seen.area.contains(MultiPoint([beyond]))


def test_lines_of_a_flat_are_drawn_once() -> None:
    seen = silhouette(member(STRUT), RIGHT_SIDE)
    outline = [line for line in seen.lines if line.layer is Layer.OUTLINE]
    ends = {
        tuple(sorted((tuple(np.round(line.start, 3)), tuple(np.round(line.end, 3)))))
        for line in outline
    }
    # the body's 4; 2 sides and the border of the transition; 2 sides and the end of the flat
    assert len(outline) == len(ends) == 4 + 3 + 3
    centre = [line for line in seen.lines if line.layer is Layer.CENTRE]
    assert sum(math.dist(line.start, line.end) for line in centre) == pytest.approx(1000.0)


def test_a_flat_seen_along_its_tube_is_an_oblong_joined_to_a_circle() -> None:
    for tube in (STRUT, replace(STRUT, start=FLAT)):
        seen = silhouette(member(tube), ABOVE)
        kinds = [type(line) for line in seen.lines]
        # the oblong's two sides and round ends; four tangents from it to the circle
        assert kinds.count(ArcStroke) == 2 and kinds.count(Stroke) == 2 + 4
        assert CircleStroke in kinds
        arcs = [line for line in seen.lines if isinstance(line, ArcStroke)]
        assert [arc.radius for arc in arcs] == [WALL, WALL]
        strokes = [line for line in seen.lines if isinstance(line, Stroke)]
        tangents = [line for line in strokes if math.isclose(math.hypot(*line.end), RADIUS)]
        assert len(tangents) == 4
        for line in tangents:
            middle = np.add(line.start, line.end) / 2
            assert seen.area.exterior.distance(MultiPoint([middle])) < 1e-3
            assert math.hypot(abs(line.start[0]) - (HALF_WIDE - WALL), line.start[1]) == (
                pytest.approx(WALL)
            )
        # from above y runs to the right, which is where this flat is wide
        assert seen.area.bounds == pytest.approx((-HALF_WIDE, -RADIUS, HALF_WIDE, RADIUS), abs=1e-6)


CUT = 0.6


@pytest.mark.parametrize("turn", [1, -1])
@pytest.mark.parametrize("at_start", [True, False])
def test_a_slanting_cut_is_a_straight_edge_seen_square_to_the_flat(at_start, turn) -> None:
    """Own y along x of the frame, so own z along y: to the right, seen from the right side."""
    flat = replace(FLAT, slant_rad=turn * CUT)
    tube = replace(STRUT, end=flat) if not at_start else replace(STRUT, end=None, start=flat)
    seen = silhouette(member(tube), RIGHT_SIDE)
    rise = math.tan(turn * CUT) * HALF_WIDE  # positive: longest at the right
    foot, way = (0.0, 1) if at_start else (1000.0, -1)
    right, left = (foot - way * rise, foot + way * rise)
    corners = [(HALF_WIDE, right), (-HALF_WIDE, left)]
    # straight lines of the law of the flat, round it: its inner end, transition, round tube
    inner = [
        (w * half, foot + way * at)
        for at, half in ((70, HALF_WIDE), (130, RADIUS))
        for w in (1, -1)
    ]
    far = [(w * RADIUS, 1000.0 - foot) for w in (1, -1)]
    expected = Polygon(
        [corners[1], corners[0], inner[0], inner[2], far[0], far[1], inner[3], inner[1]]
    )
    assert seen.area.symmetric_difference(expected).area < 0.1
    outline = [line for line in seen.lines if line.layer is Layer.OUTLINE]
    assert len(outline) == 4 + 3 + 3
    ends = [{tuple(np.round(line.start, 6)), tuple(np.round(line.end, 6))} for line in outline]
    assert {tuple(np.round(corner, 6)) for corner in corners} in ends
    for w, corner in ((1, corners[0]), (-1, corners[1])):
        assert {tuple(np.round(corner, 6)), (round(w * HALF_WIDE, 6), foot + way * 70.0)} in ends
    # the long half hides what is behind it too, at the flat's own depth
    assert seen.nearness(
        (
            0.95 * math.copysign(HALF_WIDE, way * rise),
            foot + 0.9 * abs(rise) if not at_start else foot - 0.9 * abs(rise),
        )
    ) == pytest.approx(WALL)


@pytest.mark.parametrize("clock", [0.0, 0.5, 2.0])
@pytest.mark.parametrize(
    ("x", "eye"),
    [
        ((0, 0, 1), FRONT),
        ((0, 0, 1), RIGHT_SIDE),
        ((0, 1, 0), ABOVE),
        ((1, 1, 1), FRONT),
        ((0.2, 1, 0.4), RIGHT_SIDE),
    ],
)
def test_outline_of_a_slanting_end_is_that_of_its_points(eye, clock, x) -> None:
    """Points round the cut by the words of Flat, thrown on the sheet: their hull, and the area."""
    tube = replace(STRUT, end=replace(FLAT, clock_rad=clock, slant_rad=-CUT))
    placed = member(tube, x=x, y=(1, 0, 0.3))
    seen = silhouette(placed, eye)
    turns = np.linspace(0, 2 * math.pi, 2001)
    rims = []
    for at, lean in ((1000.0, -math.tan(CUT)), (960.0, 0.0)):
        across = WALL * np.cos(turns) + (HALF_WIDE - WALL) * np.sign(np.cos(turns))
        out = WALL * np.sin(turns)
        points = np.column_stack(
            [
                at + lean * across,
                out * math.cos(clock) - across * math.sin(clock),
                out * math.sin(clock) + across * math.cos(clock),
            ]
        )
        rims.append([eye.flat(placed.placement.point(tuple(p))) for p in points])
    end = MultiPoint(rims[0])
    assert max(seen.area.distance(p) for p in end.geoms) < 0.02
    # and beyond the hull of cut and flat there is nothing
    (u0, v0), (u1, v1) = (eye.flat(placed.placement.point(p)) for p in ((960, 0, 0), (1960, 0, 0)))
    run = math.hypot(u1 - u0, v1 - v0)
    outward = np.array((u1 - u0, v1 - v0)) / run
    reach = max((np.array(rims[0]) - (u0, v0)) @ outward)
    found = np.array(seen.area.exterior.coords) - (u0, v0)
    assert max(found @ outward) == pytest.approx(reach, abs=0.02)
    hull = MultiPoint([*rims[0], *rims[1]]).convex_hull
    # only the end itself: what lies farther out than the flat's middle 40 mm before it
    outside = seen.area.difference(hull.buffer(0.02))
    beyond = [
        point for part in getattr(outside, "geoms", [outside]) for point in part.exterior.coords
    ]
    allowed = max((np.array(rims[1]) - (u0, v0)) @ outward) + 0.02
    assert all((np.array(point) - (u0, v0)) @ outward <= allowed for point in beyond)


def test_body_is_what_is_round() -> None:
    path, first = body(replace(STRUT, start=Swage(od_mm=34.0, length_mm=80.0, taper_mm=20.0)))
    assert first == 100.0
    assert path.length_mm == pytest.approx(1000.0 - 100.0 - 130.0)


@pytest.mark.parametrize("eye", [FRONT, RIGHT_SIDE])
def test_a_bent_tube_keeps_its_flat(eye) -> None:
    bent = Tube(
        section=SECTION, axis=PlanePath((Line(300.0), Arc(400.0, 0.5), Line(200.0))), start=FLAT
    )
    seen = silhouette(member(bent), eye)
    assert seen.area.geom_type == "Polygon"
    half = WALL if eye is FRONT else HALF_WIDE
    assert width_at(seen.area, 30.0) == pytest.approx(2 * half, abs=1e-3)
    assert width_at(seen.area, 100.0) == pytest.approx(RADIUS + half, abs=1e-3)


def test_nearness_of_a_flat_is_that_of_its_face() -> None:
    seen = silhouette(member(STRUT), RIGHT_SIDE)
    # looking along x at the face of the flat, a wall from the axis; round: half the diameter
    assert seen.nearness((0.0, 990.0)) == pytest.approx(WALL)
    assert seen.nearness((0.0, 500.0)) == pytest.approx(RADIUS)
    assert seen.nearness((0.0, 900.0)) == pytest.approx((WALL + RADIUS) / 2)
    assert silhouette(member(STRUT), FRONT).nearness((0.0, 990.0)) == pytest.approx(HALF_WIDE)


def test_a_flat_before_a_board_is_seen_and_one_behind_it_is_not() -> None:
    board = Board(section=TWO_BY_FOUR, length_mm=600.0)
    far_edge = member(board, origin=(-60.0, -300.0, 955.0), x=(0, 1, 0), y=(0, 0, 1))
    near = far_edge.placement.origin[0] + 38.0
    assert near < -WALL, "the board stands behind the flat, seen along x from the right"

    def flat_lines(place):
        moved = replace(far_edge, placement=replace(far_edge.placement, origin=place))
        shapes = [silhouette(m, RIGHT_SIDE) for m in (member(STRUT), moved)]
        lines = [line for line in visible(shapes) if isinstance(line, Stroke)]
        return [
            line
            for line in lines
            if line.layer is Layer.OUTLINE
            and abs(abs(line.start[0]) - HALF_WIDE) < 1e-6
            and abs(line.start[0] - line.end[0]) < 1e-6
        ]

    assert sum(math.dist(a.start, a.end) for a in flat_lines((-60.0, -300.0, 955.0))) == (
        pytest.approx(2 * 70.0, abs=0.5)
    )
    hidden = flat_lines((60.0, -300.0, 955.0))
    assert sum(math.dist(a.start, a.end) for a in hidden) == pytest.approx(2 * 25.0, abs=0.5)


STUD = Board(section=TWO_BY_FOUR, length_mm=1500.0, end=BoardEnd(bevel_rad=SLANT))


def test_a_plumb_stud_shows_its_bevel_from_one_side_only() -> None:
    """Own y along y of the frame, own z along -x: longest at its right face."""
    stud = member(STUD, origin=(0, 0, 0), x=(0, 0, 1), y=(0, 1, 0))
    drop = 38.0 * math.tan(SLANT)
    seen = silhouette(stud, FRONT)
    assert (
        Polygon([(0, 0), (0, 1500), (-38, 1500 - drop), (-38, 0)])
        .symmetric_difference(seen.area)
        .area
        < 1e-6
    )
    from_side = silhouette(stud, RIGHT_SIDE)
    assert from_side.area.bounds == pytest.approx((0.0, 0.0, 89.0, 1500.0))
    assert from_side.area.area == pytest.approx(89.0 * 1500.0)


def test_a_lap_is_seen_as_a_step_from_the_face_and_not_from_the_edge() -> None:
    lapped = replace(
        STUD,
        end=BoardEnd(bevel_rad=SLANT, lap_mm=100.0, lap_depth_mm=40.0, lap_from_top=True),
        start=BoardEnd(lap_mm=60.0, lap_depth_mm=30.0),
    )
    stud = member(lapped, x=(0, 0, 1), y=(0, 1, 0))
    seen = silhouette(stud, RIGHT_SIDE).area
    assert seen.geom_type == "Polygon"
    # across the face: the lap begins where it does at the longest point of the bevel
    assert seen.area == pytest.approx(89.0 * 1500.0 - 40.0 * 100.0 - 30.0 * 60.0)
    assert len(seen.exterior.coords) - 1 == 8
    assert width_at(seen, 1450.0) == pytest.approx(49.0)
    assert width_at(seen, 30.0) == pytest.approx(59.0)
    edge = silhouette(stud, FRONT).area
    assert edge.area == pytest.approx(38.0 * 1500.0 - 38.0**2 * math.tan(SLANT) / 2)


@pytest.mark.parametrize("end", [None, BoardEnd(mitre_rad=0.4), BoardEnd(bevel_rad=-0.4)])
def test_a_board_reaches_as_far_as_its_farthest_corner(end) -> None:
    board = replace(STUD, end=end, start=BoardEnd(mitre_rad=-0.3))
    placed = member(board, origin=(10, 20, 30), x=(0.3, 0.2, 1), y=(1, 0, 0))

    def recess(form, y, z):
        if form is None:
            return 0.0
        slant, at, size = (form.mitre_rad, y, 89.0) if form.mitre_rad else (form.bevel_rad, z, 38.0)
        return math.tan(abs(slant)) * (at if slant > 0 else size - at)

    corners = [
        placed.placement.point((x, y, z))
        for y, z in itertools.product((0.0, 89.0), (0.0, 38.0))
        for x in (recess(board.start, y, z), 1500.0 - recess(end, y, z))
    ]
    for direction in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (0.6, 0.0, 0.8)):
        values = [float(np.dot(corner, direction)) for corner in corners]
        assert reach_of(placed, direction) == pytest.approx((min(values), max(values)))


def test_a_tube_reaches_as_far_as_its_axis() -> None:
    assert reach_of(member(STRUT), (0.0, 0.0, 1.0)) == (0.0, 1000.0)
