"""Sheets of parts: what stands on them against closed forms and the rules of the parts."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace
from part_drawings import counts_told, part_desk, tables, views_of

from frame3d import lay_out, load_design
from frame3d.catalog.sections import TubeSection
from frame3d.examples import example_paths
from frame3d.frame.describe.through import hole_uses
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame, PartCount
from frame3d.frame.model.parts import Flat, Hole, Swage, Tube
from frame3d.frame.model.roles import Role
from frame3d.geometry.paths import Arc, Line, PlanePath
from frame3d.sheets.annotation.annotated_view import place
from frame3d.sheets.primitives.primitives import (
    AngleDimension,
    Label,
    Layer,
    LinearDimension,
    RunningDimension,
    Stroke,
)
from frame3d.sheets.shop.bend_tables import arc_table, bend_stops_mm, letters
from frame3d.sheets.shop.hoop_assembly import hoop_kinds, hoop_sheet
from frame3d.sheets.shop.rail_key import rail_key, rail_lines
from frame3d.sheets.shop.straight_tubes import drawn_table, is_plain
from frame3d.sheets.shop.tube_lengths import clock_key, straight_view
from frame3d.sheets.shop.tube_views import ACROSS, FROM_ZERO, bounds_of, developed, outline
from frame3d.units import LengthFormat, UnitSystem

METRIC = LengthFormat(system=UnitSystem.METRIC)
SECTION = TubeSection(name="42 x 3", od_mm=42.0, wall_mm=3.0)


@pytest.fixture(scope="module")
def gothic() -> Frame:
    return lay_out(load_design(example_paths()["long_meadow_gothic"]))


@pytest.fixture(scope="module")
def quonset() -> Frame:
    return lay_out(load_design(example_paths()["long_meadow_quonset"]))


def test_a_part_left_out_is_missed(quonset: Frame) -> None:
    """The count that the property test relies on fails when a sheet is taken away."""
    builder = part_desk(quonset)
    whole = counts_told(builder)
    while not builder.drafts.pop().title.startswith("Rails"):
        pass
    assert sum(counts_told(builder).values()) < sum(whole.values())


def test_points_of_a_hoop_lie_on_its_arcs(quonset: Frame) -> None:
    """Eave radius 2 m turns until 3-4-5: 3200 - 2000 (1 - 3/5) = 2400, 1000 + 2000 x 4/5 = 2600.

    The straight leg ends 1 m above its end in the socket.
    """
    sheet = hoop_sheet(quonset, 1, hole_uses(quonset, METRIC))
    bends = [
        (round(abs(p.at[0])), round(p.at[1] - sheet.leg_end_mm))
        for p in sheet.points
        if p.what.startswith("bend")
    ]
    assert bends == [(3200, 1000), (2400, 2600)]
    assert sheet.mirrored


def test_a_splice_off_the_middle_is_named_on_its_side(quonset: Frame) -> None:
    sheet = hoop_sheet(quonset, 1, hole_uses(quonset, METRIC))
    meets = [p for p in sheet.points if "meet" in p.what]
    sleeve = next(m for m in quonset.of(Role.SPLICE))
    middle = sleeve.part.axis.at(sleeve.part.length_mm / 2)
    x, _, z = sleeve.placement.point((middle.x_mm, middle.y_mm, 0.0))
    assert [p.what for p in meets] == ["pieces meet, at the left only"]
    assert meets[0].at == pytest.approx((x, z))


def test_hoops_that_differ_have_sheets_each(gothic: Frame) -> None:
    """The end walls drill the first and the last hoop, each in places of its own."""
    assert hoop_kinds(gothic) == [(1,), tuple(range(2, 25)), (25,)]
    titles = [draft.title for draft in part_desk(gothic).drafts]
    assert [t for t in titles if t.startswith("Hoop assembly")] == [
        f"Hoop assembly, {hoops}" for hoops in ("hoop 1", "hoops 2 to 24", "hoop 25")
    ]


def test_the_sheet_of_sockets_says_where_the_driving_mark_goes(gothic: Frame) -> None:
    """The example's sockets stand 12 in out of the ground."""
    (draft,) = (d for d in part_desk(gothic).drafts if d.title.startswith("Sockets"))
    assert any(
        "Driving mark of sockets: all round the tube, 1'-0\" from the start" in n
        for n in draft.notes
    )


def test_every_hole_of_the_gothic_hoop_says_what_it_is_for(gothic: Frame) -> None:
    uses = hole_uses(gothic, lengths_of(gothic))
    marks = {m.mark for m in gothic.of(Role.HOOP, Role.RIDGE_JOINT, Role.RAIL, Role.SOCKET)}
    for mark in marks:
        assert all(uses[mark]), mark
    assert uses["H3"][0].endswith("to sill board and socket")
    assert {use.rsplit(", to ", 1)[1] for use in uses["H1"]} == {
        "sill board and socket",
        "hip board",
        "rail",
        "end wall stud",
        "hoop",
    }


def test_a_hole_that_nothing_goes_through_says_so(quonset: Frame) -> None:
    bare = Frame(
        design=quonset.design,
        grid=quonset.grid,
        arch=quonset.arch,
        members=tuple(m for m in quonset.members if m.role is not Role.BOLT),
    )
    assert set(hole_uses(bare, METRIC)["H1"]) == {""}
    assert any(row[-1] == "-" for rows in tables(part_desk(bare), "Holes") for row in rows)


def test_lines_of_rails_run_from_end_to_end(gothic: Frame) -> None:
    lines = rail_lines(gothic, lengths_of(gothic))
    assert len(lines) == 5  # one under the ridge and two on each side, as the design says
    total = gothic.grid.length_mm
    for line in lines:
        orders = [piece.spot.order for piece in line.pieces]
        assert orders == list(range(1, len(orders) + 1))
        shown = sum(
            m.part.length_mm - (m.part.end.length_mm if m.part.end else 0.0) for m in line.pieces
        )
        overhang = -line.pieces[0].placement.origin[1]
        assert shown == pytest.approx(total + 2 * overhang, abs=1e-3)


def test_the_key_shows_the_marks_of_each_line_in_order(gothic: Frame) -> None:
    form = lengths_of(gothic)
    view = place(rail_key(gothic, form, 380.0), 96, form)
    marks = [i for i in view.primitives if isinstance(i, Label) and i.layer is Layer.MARKS]
    lines = rail_lines(gothic, form)
    assert len(marks) == sum(len(line.pieces) for line in lines)
    rows: dict[int, list[Label]] = {}
    for label in marks:
        rows.setdefault(round(label.at[1] / 100), []).append(label)
    told = [
        [label.text for label in sorted(row, key=lambda label: label.at[0])]
        for _, row in sorted(rows.items(), reverse=True)
    ]
    assert told == [[piece.mark for piece in line.pieces] for line in lines]


def test_a_slanting_cut_is_longest_where_its_words_say() -> None:
    """A positive slant leaves the side longer that lies a quarter turn on from the normal."""
    for slant, told, below in ((0.4, "longest at 90°", True), (-0.4, "longest at 270°", False)):
        end = Flat(length_mm=120.0, transition_mm=40.0, slant_rad=slant)
        tube = Tube(section=SECTION, axis=PlanePath((Line(900.0),)), end=end)
        corners = list(outline(tube, FROM_ZERO).area.exterior.coords)
        assert (max(corners)[1] < 0) is below
        group = PartCount(mark="X1", role=Role.STUD, part=tube, members=())
        row = drawn_table([group], METRIC).rows[0]
        assert row[3] == f"flat, cut at an angle, {told}"


@pytest.mark.parametrize("at_start", [True, False])
@pytest.mark.parametrize("slant", [0.4, -0.4, 0.05])
def test_a_slanting_cut_has_a_live_angle_on_the_edge_that_is_drawn(slant, at_start) -> None:
    """What the dimension spans is the slant, and one of its sides is the edge of the outline."""
    end = Flat(length_mm=120.0, transition_mm=40.0, slant_rad=slant)
    ends = {"start": end} if at_start else {"end": end}
    tube = Tube(section=SECTION, axis=PlanePath((Line(900.0),)), **ends)
    placed = place(straight_view(tube, "X1", FROM_ZERO, mark="X1", letters=[]), 10, METRIC)
    [angle] = [item for item in placed.primitives if isinstance(item, AngleDimension)]
    assert angle.second_rad - angle.first_rad == pytest.approx(abs(slant), abs=1e-9)
    assert angle.text == f"{math.degrees(abs(slant)):.1f}°"
    assert placed.problems == ()
    corners = outline(tube, FROM_ZERO).area.exterior.coords
    assert min(math.dist(angle.vertex, corner) for corner in corners) < 0.02
    ways = [
        math.atan2(y - angle.vertex[1], x - angle.vertex[0])
        for x, y in corners
        if math.dist(angle.vertex, (x, y)) > 1.0
    ]
    leaning = angle.first_rad, angle.second_rad
    [cut] = [way for way in leaning if abs(way - math.pi / 2) > 1e-9]
    assert min(abs(way - cut) for way in ways) < 1e-3


def test_a_cut_that_is_seen_edge_on_is_told_in_degrees() -> None:
    end = Flat(length_mm=120.0, transition_mm=40.0, slant_rad=0.4, clock_rad=math.pi / 2)
    tube = Tube(section=SECTION, axis=PlanePath((Line(900.0),)), end=end)
    placed = place(straight_view(tube, "X1", FROM_ZERO, mark="X1", letters=[]), 10, METRIC)
    assert not [item for item in placed.primitives if isinstance(item, AngleDimension)]
    group = PartCount(mark="X1", role=Role.STUD, part=tube, members=())
    assert f"{math.degrees(0.4):.1f}° off square" in drawn_table([group], METRIC).rows[0][3]


def test_a_straight_tube_is_measured_over_its_longest_points() -> None:
    """The cut leans by the slant over the width of the flat, half of it past the axis' end."""
    end = Flat(length_mm=120.0, transition_mm=40.0, slant_rad=0.3)
    tube = Tube(section=SECTION, axis=PlanePath((Line(900.0),)), end=end)
    view = straight_view(tube, "X1", FROM_ZERO, mark="X1", letters=[])
    placed = place(view, 10, METRIC)
    over_all = next(
        i for i in placed.primitives if isinstance(i, LinearDimension) and i.name == "overall"
    )
    wide = math.pi * (21.0 - 3.0) + 6.0
    wanted = 900.0 + wide / 2 * math.tan(0.3)
    assert over_all.second[0] - over_all.first[0] == pytest.approx(wanted, abs=1e-6)
    assert outline(tube, FROM_ZERO).area.bounds[2] == pytest.approx(wanted, abs=0.02)


def test_ends_are_dimensioned() -> None:
    swage = Swage(od_mm=35.0, length_mm=110.0, taper_mm=12.0)
    tube = Tube(
        section=SECTION,
        axis=PlanePath((Line(2000.0),)),
        end=swage,
        holes=(Hole(at_mm=50.0, diameter_mm=11.0), Hole(at_mm=1950.0, diameter_mm=11.0)),
    )
    placed = place(straight_view(tube, "", FROM_ZERO, mark="R1", letters=["a", "a"]), 10, METRIC)
    told = {i.text for i in placed.primitives if isinstance(i, LinearDimension)}
    assert told == {"2000 overall", "110 swage", "12 taper"}
    assert [i.text for i in placed.primitives if isinstance(i, RunningDimension)] == ["50", "1950"]
    assert bounds_of(tube, FROM_ZERO)[2] == pytest.approx(2000.0)


def test_a_tube_before_bending_keeps_its_holes_and_has_the_axis_length() -> None:
    bent = Tube(
        section=SECTION,
        axis=PlanePath((Line(500.0), Arc(900.0, 1.0), Line(200.0))),
        holes=(Hole(at_mm=700.0, diameter_mm=11.0, clock_rad=math.pi / 2),),
    )
    flat = developed(bent)
    assert flat.length_mm == pytest.approx(500.0 + 900.0 + 200.0)
    assert flat.holes == bent.holes and flat.axis.is_straight
    assert bend_stops_mm(bent, METRIC) == pytest.approx([500.0, 1400.0])
    # Seen square to the bend, a hole at a quarter turn is a circle, one at 0 is not.
    view = straight_view(flat, "", ACROSS, mark="H1", letters=["a"])
    assert any(hasattr(i, "radius") for i in view.primitives)
    turned = replace(flat, holes=(Hole(at_mm=700.0, diameter_mm=11.0),))
    view = straight_view(turned, "", ACROSS, mark="H1", letters=["a"])
    assert not any(hasattr(i, "radius") for i in view.primitives)
    assert sum(isinstance(i, Stroke) and i.layer is Layer.HIDDEN for i in view.primitives) == 2


def test_plain_pieces_are_those_without_work() -> None:
    axis = PlanePath((Line(1000.0),))
    assert is_plain(Tube(section=SECTION, axis=axis))
    assert not is_plain(Tube(section=SECTION, axis=axis, holes=(Hole(at_mm=5.0, diameter_mm=3.0),)))
    assert not is_plain(
        Tube(section=SECTION, axis=axis, end=Flat(length_mm=60.0, transition_mm=30.0))
    )


def test_letters_do_not_look_like_figures() -> None:
    names = letters(60)
    assert len(set(names)) == 60
    assert not {"l", "o"} & set("".join(names))


def test_the_key_of_clock_angles_runs_clockwise() -> None:
    at = {i.text: i.at for i in clock_key(42.0, 3.0, "").primitives if isinstance(i, Label)}
    assert at["0°"][1] > 0 > at["180°"][1] and at["90°"][0] > 0 > at["270°"][0]


@pytest.mark.parametrize("name", sorted(example_paths()))
def test_nothing_on_the_sheets_of_the_examples_is_crowded(name: str) -> None:
    builder = part_desk(lay_out(load_design(example_paths()[name])))
    assert builder.findings == []
    assert {draft.kind for draft in builder.drafts} == {"Part drawing", "Assembly drawing"}
    assert all(view.problems == () for _, view in views_of(builder))


def test_an_arc_whose_sagitta_no_figure_shows_is_told_by_its_angle():
    """s = R (1 - cos(a/2)): 224 mm turned 1.5 deg rise 0.02 mm; turned 30 deg 7.6 mm."""
    for degrees, told in ((1.5, "-"), (30.0, 224 * (1 - math.cos(math.radians(15))))):
        bend = Arc(224.0, math.radians(degrees))
        tube = Tube(section=SECTION, axis=PlanePath((Line(200.0), bend, Line(200.0))))
        [row] = arc_table(tube, METRIC).rows
        assert row[4] == told if isinstance(told, str) else row[4].mm == pytest.approx(told)
