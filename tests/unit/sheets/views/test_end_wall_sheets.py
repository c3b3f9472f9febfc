"""What the elevations of end walls say, against closed forms and against the design."""

from __future__ import annotations

import math

import pytest
from walled_designs import DESIGNS, GOTHIC, walled

from frame3d.design.reading.reader import design_from_mapping, read_design
from frame3d.design.tables.whole_design import End
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.roles import Role
from frame3d.sheets.annotation.annotated_view import place
from frame3d.sheets.annotation.annotations import AngleCell, LengthCell
from frame3d.sheets.primitives.primitives import (
    Dimension,
    Label,
    Layer,
    LinearDimension,
    RunningDimension,
    Stroke,
)
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.views.door_signs import door_signs
from frame3d.sheets.views.end_wall import are_alike, end_wall, notes, pieces, tables
from frame3d.sheets.views.seen_wall import BACK, wall_seen, walled_ends
from frame3d.units import LengthFormat, UnitSystem

MM = LengthFormat(system=UnitSystem.METRIC)
HALF_CIRCLE = {"style": "quonset", "width": "6 m", "ridge_height": "4 m", "leg_height": "1 m"}

ONE_STUD = {"positions": ["1500 mm"], "braces": "none"}


def seen(end: End = End.FRONT, **more):
    """The end wall of a round tunnel at one end."""
    return wall_seen(lay_out(design_from_mapping(walled(**more))), end)


def texts(what, kind=Dimension) -> list[str]:
    return [i.text for i in place(end_wall(what, "Wall"), 50, MM).primitives if isinstance(i, kind)]


def marks(what) -> list[str]:
    return [
        i.text for i in place(end_wall(what, "Wall"), 20, MM).primitives
        if isinstance(i, Label) and i.layer is Layer.MARKS
    ]  # fmt: skip


def rows(what) -> dict[str, tuple]:
    """Rows of the table by mark."""
    return {row[0]: row for row in pieces(what).rows}


@pytest.mark.parametrize("x", [600.0, 1500.0, 2100.0])
def test_stud_lengths_and_top_cuts_under_a_half_circle(x):
    """Hoop of 48 mm about (0, 1000) with R = 3000; studs of 47 mm notched over it, on 47 mm.

    Under the tube z = 1000 + sqrt(2976² - x²), over it with 3024. The top is cut along the
    chord under the tube, raised by the least height of the tube over the stud's width.
    """
    what = seen(profile=HALF_CIRCLE, end_wall=[{"positions": [f"{x} mm", f"-{x} mm"]}], door=[])
    faces = (x - 23.5, x + 23.5)
    under = [1000 + math.sqrt(2976**2 - face**2) for face in faces]
    over = [1000 + math.sqrt(3024**2 - face**2) for face in faces]
    notch = min(b - a for a, b in zip(under, over, strict=True))
    studs = [row for mark, row in rows(what).items() if mark.startswith("ST")]
    assert sum(int(row[1]) for row in studs) == 2
    for _, _, length, cut, lap in studs:
        assert length.mm == pytest.approx(max(under) + notch - 47, abs=0.01)
        assert cut.rad == pytest.approx(math.atan((under[0] - under[1]) / 47), abs=1e-6)
        assert lap.mm == pytest.approx(notch, abs=0.01)


def test_the_table_is_written_in_the_units_of_the_sheet():
    what = seen(profile=HALF_CIRCLE, end_wall=[ONE_STUD], door=[])
    table = pieces(what)
    view = end_wall(what, "Wall")
    inches = LengthFormat(system=UnitSystem.IMPERIAL, denominator=16)
    [row] = [row for row in table.rows if row[0] == "ST1"]
    for lengths in (MM, inches):
        placed = place(
            type(view)(title="", primitives=(), bounds=view.bounds, annotations=(table,)),
            50,
            lengths,
        )
        written = {i.text for i in placed.primitives if isinstance(i, Label)}
        cells = [cell for cell in row if isinstance(cell, LengthCell)]
        assert {lengths.text(cell.mm) for cell in cells} <= written
        [angle] = [cell for cell in row if isinstance(cell, AngleCell)]
        assert lengths.angle(angle.rad) in written


def test_centres_of_studs_are_running_figures_from_the_centreline():
    places = ["-1.9 m", "-700 mm", "0.4 m", "2 m"]
    what = seen(profile=HALF_CIRCLE, rail=[], end_wall=[{"positions": places}], door=[])
    assert sorted(texts(what, RunningDimension)) == sorted(["1900", "700", "400", "2000"])


def test_a_door_has_clear_width_place_and_height():
    what = seen(door=[{"width": "1100 mm", "height": "2 m", "position": "900 mm"}])
    found = texts(what, LinearDimension)
    for text in ("1100 opening", "2000 clear", "900 to middle of door"):
        assert text in found
    # jambs of 47 mm beside the opening: their middles at 900 ± (550 + 23.5)
    assert {"327", "1474"} <= set(texts(what, RunningDimension))


def test_over_a_threshold_the_header_is_given_from_the_ground_too():
    # the threshold is a board of 47 mm
    found = texts(seen(door=[{"threshold": "board", "height": "1950 mm"}]), LinearDimension)
    assert {"47", "1950 clear", "(1997) to the header"} <= set(found)


def test_girts_are_given_from_the_ground():
    found = texts(seen(end_wall=[{"girts": ["1150 mm", "700 mm"]}]), RunningDimension)
    assert {"700", "1150"} <= set(found)


def test_the_back_is_seen_from_behind():
    what = seen(End.BACK, door=[{"at": "both", "position": "900 mm"}])
    assert BACK.toward == (0.0, 1.0, 0.0)
    [door] = what.doors
    # to the right for one who stands before the front is to the left from behind
    assert sum(what.reveals(door)) / 2 == pytest.approx(-900)


def test_every_piece_of_the_wall_is_marked():
    what = wall_seen(lay_out(design_from_mapping(DESIGNS["two doors, two ties"])), End.FRONT)
    wanted = {s.member.mark for s in what.of(
        Role.STUD, Role.GIRT, Role.WALL_SILL, Role.DOOR_JAMB, Role.DOOR_HEADER, Role.THRESHOLD,
        Role.DOOR_LEAF, Role.HINGE,
    )}  # fmt: skip
    assert wanted <= {mark.split(" × ")[0] for mark in marks(what)}
    # every upright by itself
    uprights = [s.member.mark for s in what.of(Role.STUD, Role.DOOR_JAMB)]
    assert all(marks(what).count(mark) == uprights.count(mark) for mark in uprights)


def test_dashed_lines_meet_at_the_hinges():
    what = seen(door=[{"hand": "right", "width": "1 m", "height": "2 m"}])
    first, second = door_signs(what.doors, what.across)
    assert first.layer is second.layer is Layer.OPENING
    assert first.end == second.end
    # the pin stands 15 mm past the reveal, half way up the leaf, from 25 to 2015 mm
    assert first.end == pytest.approx((515, 1020))
    assert (first.start[0], second.start[0]) == pytest.approx((-515, -515))


@pytest.mark.parametrize(("hand", "way"), [("left", -1), ("right", 1)])
@pytest.mark.parametrize("end", list(End))
def test_an_arrow_shows_the_run_of_a_sliding_leaf_as_one_sees_it(hand, way, end):
    what = seen(end, door=[{"at": "both", "kind": "sliding", "hand": hand, "height": "1.9 m"}])
    shaft, *head = door_signs(what.doors, what.across)
    assert (shaft.end[0] - shaft.start[0]) * way > 300
    assert all(part.end == shaft.end for part in head)


def test_a_roll_up_door_has_an_arrow_up():
    what = seen(door=[{"kind": "roll-up", "height": "1.9 m"}])
    shaft, *_ = door_signs(what.doors, what.across)
    assert shaft.start[0] == pytest.approx(shaft.end[0])
    assert shaft.end[1] > shaft.start[1]


@pytest.mark.parametrize(
    ("door", "said"),
    [
        ({}, "meet at the hinge side. The leaves open out."),
        ({"swing": "in"}, "The leaves open in."),
        ({"kind": "sliding", "height": "1.9 m"}, "arrow on a sliding leaf"),
        ({"kind": "roll-up", "height": "1.9 m"}, "curtain rolls up"),
    ],
)
def test_the_notes_say_what_the_signs_mean(door, said):
    assert said in " ".join(notes(seen(door=[door])))


def test_doors_that_open_in_and_out_are_told_apart():
    doors = [{"position": "-1.6 m"}, {"position": "1.6 m", "swing": "in"}]
    what = seen(**GOTHIC, door=doors)
    said = " ".join(notes(what))
    assert "from left to right" in said and "out, in" in said


def test_walls_that_are_alike_share_a_sheet():
    frame = lay_out(design_from_mapping(DESIGNS["flattened tubes, double door"]))
    assert walled_ends(frame) == [End.FRONT, End.BACK]
    assert are_alike(*(wall_seen(frame, end) for end in End))
    titles = [sheet.title for sheet in draw_sheets(frame).sheets]
    assert "End walls, front and back" in titles


def test_walls_that_differ_have_a_view_each():
    frame = lay_out(design_from_mapping(walled()))  # a door in front only
    assert not are_alike(*(wall_seen(frame, end) for end in End))
    views = {one.view.title for sheet in draw_sheets(frame).sheets for one in sheet.views}
    assert {f"{end} end wall, from outside" for end in ("Front", "Back")} <= views


def test_without_end_walls_there_is_no_such_sheet():
    frame = lay_out(design_from_mapping(walled(end_wall=[], door=[])))
    assert walled_ends(frame) == []
    assert not any("wall" in sheet.title for sheet in draw_sheets(frame).sheets)


def test_the_hoop_covers_the_notched_top_of_a_stud():
    """Above the notch, whose foot is the tube's inner face, no line of the stud is seen."""
    what = seen(profile=HALF_CIRCLE, end_wall=[ONE_STUD], door=[])
    upright = [
        line for line in end_wall(what, "Wall").primitives
        if isinstance(line, Stroke) and line.layer is Layer.OUTLINE
        and abs(line.start[0] - line.end[0]) < 0.01 and 1470 < line.start[0] < 1530
    ]  # fmt: skip
    assert len(upright) == 2
    for line in upright:
        top = max(line.start[1], line.end[1])
        assert top == pytest.approx(1000 + math.sqrt(2976**2 - line.start[0] ** 2), abs=0.5)


def test_a_flat_top_cut_on_a_slant_is_told_with_its_length_over_all():
    """A tube of 42.4 x 3.2 mm (EN 10255 DN32) flattened: π (21.2 - 3.2) + 2 * 3.2 wide.

    What the slant adds on one side is half the width times its tangent.
    """
    what = seen(**GOTHIC, end_wall=[{"studs": "tube", "top": "flattened"}], door=[])
    wide = math.pi * (21.2 - 3.2) + 2 * 3.2
    studs = {s.member.mark: s.member.part for s in what.of(Role.STUD)}
    slants = []
    for mark, part in studs.items():
        _, _, length, cut = rows(what)[mark]
        [slant] = {abs(end.slant_rad) for end in (part.start, part.end) if end is not None}
        slants.append(slant)
        assert cut == (AngleCell(slant, "flat") if slant else "flat")
        assert length.mm == pytest.approx(part.length_mm + wide / 2 * math.tan(slant), abs=0.01)
    assert max(slants) > 0.1


def test_the_brackets_of_a_track_are_placed_by_a_table():
    """Middles of their shelves, from the corners of the members themselves; a gate with two
    leaves hangs on as many to the left as to the right.
    """
    frame = lay_out(read_design(example_paths()["long_meadow_gothic"]))
    what = wall_seen(frame, End.FRONT)
    _, table = tables(what)
    wanted = []
    for member in frame.of(Role.BRACKET):
        if member.part.name.endswith("shelf"):
            xs = [member.placement.point((x, y, 0.0))[0] for x, y in member.part.outline]
            wanted.append((min(xs) + max(xs)) / 2)
    sides = {"left": -1.0, "": 0.0, "right": 1.0}
    found = [sides[cell.word] * cell.mm for _, cell in table.rows]
    assert found == pytest.approx(sorted(wanted), abs=0.01)
    assert found == pytest.approx([-x for x in reversed(found)], abs=0.01)
    assert [number for number, _ in table.rows] == [str(k + 1) for k in range(len(wanted))]
    assert tables(wall_seen(frame, End.BACK)) == (pieces(wall_seen(frame, End.BACK)),)
