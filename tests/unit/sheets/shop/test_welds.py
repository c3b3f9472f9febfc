"""Symbols of welds and the feet of what is welded, and how sliding doors travel, by hand."""

from __future__ import annotations

import math
from collections import Counter

import pytest
from msgspec.structs import replace
from sound_design import frame_of

from frame3d.frame.describe.plate_joints import plate_joints
from frame3d.frame.doors.plates import slab
from frame3d.frame.model.members import Member
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.sheets.annotation.annotated_view import place
from frame3d.sheets.annotation.annotations import Chain, View, Weld
from frame3d.sheets.primitives.primitives import Label, Layer, Pattern, Stroke
from frame3d.sheets.shop.flat_patterns import flat_view
from frame3d.sheets.shop.plate_pieces import plate_view, weld_notes
from frame3d.sheets.shop.welds import WELD_NOTE, feet_of, foot_lines, hands_words
from frame3d.sheets.views.swing_plan import door_plans
from frame3d.units import LengthFormat, UnitSystem

MM = LengthFormat(system=UnitSystem.METRIC)
SPOT = Spot(side=Side.MIDDLE, hoop=1)


def member(mark: str, axis: int, corners, ends) -> Member:
    draft = slab(Role.BRACKET, mark, axis, corners, ends, SPOT)
    return Member(
        mark=mark, role=Role.BRACKET, part=draft.part, placement=draft.placement, spot=SPOT
    )  # fmt: skip


def box(u, v):
    return ((u[0], v[0]), (u[1], v[0]), (u[1], v[1]), (u[0], v[1]))


@pytest.fixture(scope="module")
def plain():
    return frame_of(make={"inside_radius": "6 mm", "k_factor": 0.4})


def standing(plain, *, up: bool, at: float = 100.0):
    """A plate of 200 by 80 lying, and one 5 mm thick that stands across it from ``at`` on."""
    lying = member("BK1", 2, box((0.0, 200.0), (0.0, 80.0)), (0.0, 5.0))
    high = (5.0, 45.0) if up else (-40.0, 0.0)
    stands = member("BK2", 0, box((20.0, 60.0), high), (at, at + 5.0))
    return replace(plain, members=(lying, stands))


@pytest.mark.parametrize("up", [True, False])
def test_a_foot_lies_where_the_plate_stands(plain, up):
    """100 mm along and 20 up, 5 by 40 mm: as it was put there."""
    frame = standing(plain, up=up)
    lying = frame.members[0]
    feet = feet_of("BK1", plate_joints(frame), ())
    (foot,) = feet
    # In the plate's own axes, whichever way these lie.
    own = [lying.placement.point((x, y, 0.0)) for x, y in lying.part.outline]
    assert {round(x) for x, _, _ in own} == {0, 200}
    wide = foot.right - foot.left, foot.top - foot.bottom
    assert sorted(wide) == pytest.approx([5.0, 40.0])
    z = lying.placement.z[2]
    assert foot.near is ((z > 0) is up)
    layers = {line.layer.pattern for line in foot_lines(foot)}
    assert layers == {Pattern.SOLID if foot.near else Pattern.DASHED}


def test_hands_are_told_where_there_are_both(plain):
    near, far = (feet_of("BK1", plate_joints(standing(plain, up=up)), ()) for up in (True, False))
    plate = standing(plain, up=True).members[0].part
    assert hands_words(near, plate) == ""
    assert hands_words(near + far, plate) == "1 as drawn, 1 opposite hand"
    moved = feet_of("BK1", plate_joints(standing(plain, up=True, at=95.0)), ())
    assert "opposite" in hands_words(near + moved, plate)  # 95 to 100 is 100 to 105 mirrored


def test_a_weld_without_a_bend_has_its_symbol_and_note(plain):
    frame = standing(plain, up=True)
    (group,) = (g for g in frame.parts() if g.mark == "BK1")
    joints = plate_joints(frame)
    view = plate_view(frame, group, MM, "", feet_of("BK1", joints, ()))
    assert weld_notes([view]) == (WELD_NOTE,)
    assert "by the fabricator" in WELD_NOTE
    bare = plate_view(frame, group, MM)
    assert weld_notes([bare]) == () and not any(isinstance(a, Weld) for a in bare.annotations)


@pytest.mark.parametrize("scale", [1, 5, 20])
def test_a_symbol_is_an_arrow_a_line_two_triangles_and_a_tail(scale):
    """ISO 2553, from memory: the upright side of a fillet is the left one, whichever way it goes.

    Both sides are told by a triangle above and one below the line, without a figure.
    """
    at = (100.0, 50.0)
    edge = Stroke(start=(0.0, 50.0), end=(100.0, 50.0))
    view = View(title="", primitives=(edge,), bounds=(0, 0, 100, 50),
                annotations=(Weld(text="HI5", at=at, ways=(), leader=True),))  # fmt: skip
    placed = place(view, scale, MM)
    assert placed.problems == ()
    lines = [i for i in placed.primitives if isinstance(i, Stroke) and i.layer is Layer.TEXT]
    (arrow,) = [i for i in placed.primitives if isinstance(i, Stroke) and i.layer is Layer.MARKS]
    assert arrow.start == at and sum(line.start == at for line in lines) == 2  # its head
    level = arrow.end[1]
    upright = [line for line in lines if line.start[0] == line.end[0]]
    slopes = [
        line for line in lines if line.start == upright[0].end or line.start == upright[1].end
    ]
    assert len(upright) == len(slopes) == 2
    assert {math.copysign(1, line.end[1] - level) for line in upright} == {1, -1}
    assert all(slope.end[0] > slope.start[0] and slope.end[1] == level for slope in slopes)
    (text,) = [i.text for i in placed.primitives if isinstance(i, Label)]
    assert text == "HI5"  # and no size


def test_eyes_welded_to_hinges_are_drawn():
    """A hinge's eye is welded to its band, in a design with a hinged door."""
    frame = frame_of(door=[{"width": "1 m", "height": "2 m"}], machine=None)
    joints = plate_joints(frame)
    welds = Counter(j.on.mark for j in joints if not j.is_bend)
    assert welds and all(feet_of(mark, joints, ()) for mark in welds)


def test_a_mark_off_its_leg_has_a_leader(plain):
    """A lip of 8 mm is narrower than its mark at 1:4."""
    from frame3d.frame.describe.plate_joints import BentLeg, BentPlate

    piece = BentPlate(
        legs=(BentLeg(mark="BK1", start_mm=0.0, end_mm=100.0, holes=()),
              BentLeg(mark="BK2", start_mm=110.0, end_mm=118.0, holes=())),
        count=1, width_mm=40.0, length_mm=118.0, thickness_mm=5.0,
        bends=((105.0, True),), allowance_mm=10.0,
    )  # fmt: skip
    placed = place(flat_view(plain, piece, MM), 5, MM)
    leaders = [i for i in placed.primitives if isinstance(i, Stroke) and i.layer is Layer.MARKS]
    assert [leader.start for leader in leaders] == [(114.0, 20.0)]


@pytest.mark.parametrize("end", ["front", "back"])
def test_a_sliding_door_tells_how_far_its_leaves_travel(end):
    """Each by what the model says, dashed at its open place."""
    door = {"kind": "sliding", "width": "1.6 m", "height": "2 m", "at": end}
    frame = frame_of(door=[door], machine=None)
    leaves = [leaf for one in frame.doors for leaf in one.leaves]
    (view,) = door_plans(frame)
    assert view.title == f"Door travel, {end} end"
    travels = [
        abs(a.points[1][0] - a.points[0][0])
        for a in view.annotations
        if isinstance(a, Chain) and a.names == ("travel",)
    ]
    assert travels == pytest.approx([abs(leaf.slide_mm) for leaf in leaves])
    dashed = {
        round(x, 3)
        for item in view.primitives
        if isinstance(item, Stroke) and item.layer is Layer.HIDDEN
        for x, _ in (item.start, item.end)
    }
    for leaf in leaves:
        assert round(leaf.low_x_mm + leaf.slide_mm, 3) in dashed
    placed = place(view, 50, MM)
    assert placed.problems == ()
