"""Brackets bent from one plate or welded, and the flat patterns, by arithmetic of their own."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace
from sound_design import frame_of

from frame3d.frame.describe.plate_joints import bent_plates, plate_joints
from frame3d.frame.doors.plates import slab
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Plate
from frame3d.frame.model.roles import Role, Side, Spot

SPOT = Spot(side=Side.MIDDLE, hoop=1)


def member(mark: str, axis: int, corners, ends, holes=()) -> Member:
    """A plate square to an axis of the frame."""
    draft = slab(Role.BRACKET, mark, axis, corners, ends, SPOT, holes)
    return Member(
        mark=mark, role=Role.BRACKET, part=draft.part, placement=draft.placement, spot=SPOT
    )  # fmt: skip


def box(u, v):
    return ((u[0], v[0]), (u[1], v[0]), (u[1], v[1]), (u[0], v[1]))


@pytest.fixture(scope="module")
def plain():
    return frame_of(make={"inside_radius": "6 mm", "k_factor": 0.4})


def with_plates(plain: Frame, *members: Member) -> Frame:
    return replace(plain, members=members)


# An angle of 40 mm: its back 60 mm high at y = 0 to 5, its shelf 45 mm deep before it, level with
# the top of the back; a hole 20 mm under the top of the back, one 30 mm from the back's outside.
BACK = member("A1", 1, box((0, 40), (0, 60)), (0, 5), [(20, 40, 9)])
SHELF = member("A2", 2, box((0, 40), (-45, 0)), (55, 60), [(10, -25, 7)])


def test_an_angle_is_bent_from_one_piece(plain):
    """Outside 60 and 50 mm, 5 thick, inside radius 6: flat 60 + 50 - 4 x 5.5 + pi/2 (6 + 2)."""
    frame = with_plates(plain, BACK, SHELF)
    joints = plate_joints(frame)
    assert [(j.standing.mark, j.on.mark, j.is_bend) for j in joints] == [("A2", "A1", True)]
    (piece,) = bent_plates(frame, joints)
    allowance = math.pi / 2 * (6 + 0.4 * 5)
    assert piece.allowance_mm == pytest.approx(allowance)
    assert piece.length_mm == pytest.approx(60 + 50 - 2 * 11 + allowance)
    assert (piece.width_mm, piece.thickness_mm, piece.count) == (40, 5, 1)
    assert piece.bends[0][0] == pytest.approx(60 - 11 + allowance / 2)
    back, shelf = piece.legs
    assert (back.mark, shelf.mark) == ("A1", "A2")
    assert back.holes == ((pytest.approx(40), pytest.approx(20), 9),)
    # 30 mm from the outside of the back: 11 of them are in the bend, 19 on the flat.
    along = 60 - 11 + allowance + (30 - 11)
    assert shelf.holes == ((pytest.approx(along), pytest.approx(10), 7),)


def test_an_edge_that_stands_elsewhere_is_welded(plain):
    """In the middle of a face, or shorter than the edge that it meets: no bend makes it."""
    low = member("A3", 2, box((0, 40), (-45, 0)), (20, 25))
    short = member("A4", 2, box((0, 30), (-45, 0)), (55, 60))
    for other in (low, short):
        joints = plate_joints(with_plates(plain, BACK, other))
        assert [(j.standing.mark, j.is_bend) for j in joints] == [(other.mark, False)]
        assert bent_plates(with_plates(plain, BACK, other), joints) == ()


def test_plates_that_do_not_touch_are_not_joined(plain):
    away = member("A5", 2, box((0, 40), (-45, -0.5)), (55, 60))
    assert plate_joints(with_plates(plain, BACK, away)) == ()


def test_a_leg_too_short_for_its_radius_is_not_bent(plain):
    """Of 10 mm outside nothing is left flat past an inside radius of 6 and 5 mm of plate."""
    stub = member("A6", 2, box((0, 40), (-5, 0)), (55, 60))
    frame = with_plates(plain, BACK, stub)
    assert bent_plates(frame, plate_joints(frame)) == ()


def test_a_hole_in_a_bend_is_not_bent(plain):
    near = member("A7", 2, box((0, 40), (-45, 0)), (55, 60), [(10, -8, 7)])
    frame = with_plates(plain, BACK, near)
    assert bent_plates(frame, plate_joints(frame)) == ()


def test_a_channel_and_a_zed_tell_which_way_they_bend(plain):
    """A foot before the back with a lip on its front edge: up for a channel, down for a zed."""
    foot = member("B2", 2, box((0, 40), (-60, 0)), (0, 5))
    back = member("B1", 1, box((0, 40), (0, 60)), (0, 5))
    up = member("B3", 1, box((0, 40), (5, 40)), (-60, -55))
    down = member("B4", 1, box((0, 40), (-40, 0)), (-60, -55))
    for lip, ways, reach in ((up, {True}, 40), (down, {True, False}, 45)):
        frame = with_plates(plain, back, foot, lip)
        (piece,) = bent_plates(frame, plate_joints(frame))
        assert {way for _, way in piece.bends} == ways
        # Outside 60 and 65 mm and to the far face of the foot; each bend is 22 mm less and its
        # allowance more.
        flat = 60 + 65 + reach - 2 * 22 + 2 * piece.allowance_mm
        assert piece.length_mm == pytest.approx(flat)
        assert {leg.mark for leg in piece.legs} == {"B1", "B2", lip.mark}


def test_hinges_of_a_whole_frame_are_welded(plain):
    joints = plate_joints(plain)
    names = {(j.standing.part.name, j.is_bend) for j in joints if j.standing.role is Role.HINGE}
    assert names == {("hinge band, eye", False), ("hinge hook, eye", False)}
    assert all(isinstance(j.on.part, Plate) for j in joints)
