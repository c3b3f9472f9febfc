"""Boards, plates and doors as drawn: their figures are those of the part."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace
from walled_designs import DESIGNS, walled

from frame3d.catalog.sections import TimberSection
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.end_forms import BoardEnd
from frame3d.frame.model.members import PartCount
from frame3d.frame.model.parts import Board, BoardHole, EdgeHole, Plate
from frame3d.frame.model.roles import Role
from frame3d.sheets.annotation.annotated_view import place
from frame3d.sheets.annotation.annotations import Aligned, Angle, Chain, Running, Table, ViewEdge
from frame3d.sheets.primitives.primitives import (
    AngleDimension,
    LinearDimension,
    RunningDimension,
    Stroke,
)
from frame3d.sheets.projection.stretch import whole
from frame3d.sheets.shop.board_pieces import board_view, patterns_of
from frame3d.sheets.shop.board_runs import lines_of, run_view
from frame3d.sheets.shop.door_frame_views import frame_view
from frame3d.sheets.shop.door_views import leaf_kinds, leaf_view
from frame3d.sheets.shop.plate_pieces import plate_view
from frame3d.sheets.shop.timber_sheets import hands, mirrored

TIMBER = TimberSection(name="47x150", thickness_mm=47.0, depth_mm=150.0)
FRAME = lay_out(design_from_mapping(walled()))
US_FRAME = lay_out(design_from_mapping(walled(output={"units": "metric", "sheets": "us"})))
MM = lengths_of(FRAME)


def count_of(part, role=Role.SILL_BOARD, mark="SB1") -> PartCount:
    first = next(m for m in FRAME.of(Role.SILL_BOARD))
    return PartCount(mark=mark, role=role, part=part, members=(replace(first, part=part),) * 3)


def runs(view, edge) -> list[float]:
    """Figures of running dimensions beside an edge, mm."""
    axis = 0 if edge.runs_along_x else 1
    return sorted(
        abs(point[axis] - annotation.datum[axis])
        for annotation in view.annotations
        if isinstance(annotation, Running) and annotation.edge is edge
        for point in annotation.points
    )


def test_holes_stand_by_distance_from_the_left_and_height_from_below():
    part = Board(section=TIMBER, length_mm=2000.0, holes=(
        BoardHole(along_mm=75.0, up_mm=40.0, diameter_mm=11.0),
        BoardHole(along_mm=75.0, up_mm=110.0, diameter_mm=11.0),
        BoardHole(along_mm=1200.0, up_mm=60.0, diameter_mm=11.0),
    ))  # fmt: skip
    view = board_view(FRAME, count_of(part), MM)
    assert runs(view, ViewEdge.TOP) == [75.0, 1200.0]
    assert runs(view, ViewEdge.LEFT) == [40.0, 110.0]
    assert runs(view, ViewEdge.RIGHT) == [60.0]
    assert view.title == "SB1 × 3"
    assert "3 holes Ø 11 mm" in view.caption[0]
    [overall] = [w for w in view.annotations if isinstance(w, Chain)]
    assert overall.points == ((0.0, 0.0), (2000.0, 0.0))


def test_more_patterns_than_two_get_a_table_with_every_hole():
    holes = tuple(
        BoardHole(along_mm=300.0 * k, up_mm=20.0 * k, diameter_mm=11.0) for k in range(1, 4)
    )
    part = Board(section=TIMBER, length_mm=2000.0, holes=holes)
    assert len(patterns_of(part)) == 3
    view = board_view(FRAME, count_of(part), MM)
    [table] = [w for w in view.annotations if isinstance(w, Table)]
    assert [(row[1].mm, row[2].mm) for row in table.rows] == [(h.along_mm, h.up_mm) for h in holes]
    assert not runs(view, ViewEdge.LEFT) and not runs(view, ViewEdge.RIGHT)


def test_a_notch_and_a_hole_from_edge_to_edge_are_given():
    part = Board(
        section=TIMBER,
        length_mm=1500.0,
        end=BoardEnd(bevel_rad=0.3, lap_mm=60.0, lap_depth_mm=50.0),
        edge_holes=(EdgeHole(along_mm=1470.0, across_mm=20.0, diameter_mm=11.0),),
    )
    view = board_view(FRAME, count_of(part, Role.STUD, "ST1"), MM)
    chains = [w for w in view.annotations if isinstance(w, Chain)]
    assert any(abs(w.points[0][0] - w.points[1][0]) == 60.0 for w in chains)
    assert 50.0 in runs(view, ViewEdge.RIGHT)
    # Seen from above the near face, z = 47, is the lower edge: 47 - 20 from there.
    assert 27.0 in [round(v, 6) for v in runs(view, ViewEdge.RIGHT)]
    assert 1470.0 in runs(view, ViewEdge.BOTTOM)
    assert "bevelled, long at the far face" in view.caption[0]


@pytest.mark.parametrize("at", ["start", "end"])
@pytest.mark.parametrize(
    "cut",
    [
        {"mitre_rad": 0.3},
        {"mitre_rad": -0.3},
        {"bevel_rad": 0.3},
        {"bevel_rad": -0.3},
    ],
)
@pytest.mark.parametrize("frame", [FRAME, US_FRAME])
def test_an_end_cut_is_given_by_its_angle_off_square_at_its_corners(frame, cut, at):
    part = Board(section=TIMBER, length_mm=1500.0, **{at: BoardEnd(**cut)})
    view = board_view(frame, count_of(part, Role.STUD, "ST1"), MM)
    (angle,) = (w for w in view.annotations if isinstance(w, Angle))
    assert angle.second_rad - angle.first_rad == pytest.approx(0.3)
    # The outline goes from the vertex along the one side; the other is square to the board.
    (square,) = {angle.first_rad, angle.second_rad} - {angle.drawn_rad}
    assert abs(math.sin(square)) == 1.0
    other = (
        angle.vertex[0] + angle.side * math.cos(angle.drawn_rad),
        angle.vertex[1] + angle.side * math.sin(angle.drawn_rad),
    )
    assert any(
        {tuple(round(c, 3) for c in p) for p in (i.start, i.end)}
        == {tuple(round(c, 3) for c in p) for p in (angle.vertex, other)}
        for i in view.primitives
        if isinstance(i, Stroke)
    )
    placed = place(view, 10, MM)
    (made,) = (i for i in placed.primitives if isinstance(i, AngleDimension))
    assert made.text == f"{math.degrees(0.3):.1f}°"
    # Its arc lies beyond the outline, where an extension line leads to it.
    assert made.radius > made.side and made.drawn_rad == angle.drawn_rad


@pytest.mark.parametrize("scale", [10, 20, 50])
def test_placed_figures_read_as_the_part(scale):
    part = Board(section=TIMBER, length_mm=2345.0, holes=(
        BoardHole(along_mm=123.0, up_mm=75.0, diameter_mm=11.0),))  # fmt: skip
    placed = place(board_view(FRAME, count_of(part), MM), scale, MM)
    texts = {i.text for i in placed.primitives if isinstance(i, LinearDimension | RunningDimension)}
    assert texts == {"2345", "123", "75"}


def test_mirror_images_stand_on_one_drawing():
    left = Board(
        section=TIMBER,
        length_mm=1500.0,
        end=BoardEnd(bevel_rad=0.3),
        edge_holes=(EdgeHole(along_mm=700.0, across_mm=20.0, diameter_mm=11.0),),
    )
    right = mirrored(left)
    assert right != left and mirrored(right) == left
    counts = [count_of(left, Role.STUD, "ST1"), count_of(right, Role.STUD, "ST2")]
    [(first, other)] = hands(counts)
    assert (first.mark, other.mark) == ("ST1", "ST2")
    title = board_view(FRAME, first, MM, other).title
    assert title == "ST1 × 3, ST2 × 3 opposite hand"
    square = [count_of(Board(section=TIMBER, length_mm=n), Role.GIRT, f"G{n}") for n in (900, 901)]
    assert [other for _, other in hands(square)] == [None, None]


def test_a_plate_gives_corners_and_holes_from_its_lower_left():
    plate = Plate(
        name="plate",
        outline=((-30, 0), (60, -10), (80, 50), (0, 70)),
        thickness_mm=5.0,
        holes=((10.0, 20.0, 11.0), (40.0, 30.0, 11.0)),
    )
    view = plate_view(FRAME, count_of(plate, Role.GUSSET, "GP1"), MM)
    assert runs(view, ViewEdge.BOTTOM) == [30.0, 90.0, 110.0]
    assert runs(view, ViewEdge.LEFT) == [10.0, 60.0, 80.0]
    assert runs(view, ViewEdge.TOP) == [40.0, 70.0]
    assert runs(view, ViewEdge.RIGHT) == [30.0, 40.0]
    assert "5 mm thick" in view.caption[0] and "2 holes Ø 11 mm" in view.caption[0]


@pytest.mark.parametrize("name", list(DESIGNS))
def test_boards_of_a_run_add_up_to_its_length(name):
    frame = lay_out(design_from_mapping(DESIGNS[name]))
    for line in lines_of(frame):
        view = run_view(frame, line, whole(frame.grid))
        [overall] = [w for w in view.annotations if isinstance(w, Chain)]
        length = abs(overall.points[1][0] - overall.points[0][0])
        assert math.fsum(m.part.length_mm for m in line.boards) == pytest.approx(length, abs=0.01)
        [joints] = [w for w in view.annotations if isinstance(w, Running)]
        assert len(joints.points) == len(line.boards) + 1


@pytest.mark.parametrize("name", list(DESIGNS))
def test_leaves_and_frames_are_the_design_s(name):
    """Each leaf is in one kind; sizes overall, diagonal by Pythagoras, clear opening."""
    frame = lay_out(design_from_mapping(DESIGNS[name]))
    kinds = leaf_kinds(frame)
    drawn = sum(len(kind.alike) + len(kind.opposite) for kind in kinds)
    assert drawn == sum(len(door.leaves) for door in frame.doors)
    for kind in kinds:
        leaf, view = kind.drawn.leaf, leaf_view(kind)
        height = leaf.top_mm - leaf.bottom_mm
        spans = [math.dist(*w.points) for w in view.annotations if isinstance(w, Chain)]
        assert any(span == pytest.approx(leaf.width_mm) for span in spans)
        assert any(span == pytest.approx(height) for span in spans)
        [diagonal] = [w for w in view.annotations if isinstance(w, Aligned)]
        assert math.dist(diagonal.first, diagonal.second) == pytest.approx(
            math.hypot(leaf.width_mm, height)
        )
        marks = {w.text for w in view.annotations if hasattr(w, "text")}
        boards = {shape.member.mark for shape in kind.drawn.boards}
        assert boards and boards <= marks
    for door in frame.doors:
        spans = [
            math.dist(*w.points)
            for w in frame_view(frame, door).annotations
            if isinstance(w, Chain)
        ]
        assert spans == pytest.approx([door.width_mm, door.top_mm - max(0.0, door.bottom_mm)])
