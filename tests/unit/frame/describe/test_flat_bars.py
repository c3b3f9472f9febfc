"""What is cut from flat bar, by arithmetic of its own."""

from __future__ import annotations

import math
from collections import Counter

import pytest
from msgspec.structs import replace
from sound_design import frame_of

from frame3d.frame.describe.flat_bars import flat_blanks
from frame3d.frame.describe.plate_joints import bent_plates, plate_joints
from frame3d.frame.doors.plates import slab
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.roles import Role, Side, Spot

SPOT = Spot(side=Side.MIDDLE, hoop=1)
MAKE = {"inside_radius": "6 mm", "k_factor": 0.4}


def member(mark: str, axis: int, corners, ends, role: Role = Role.BRACKET) -> Member:
    draft = slab(role, mark, axis, corners, ends, SPOT)
    return Member(mark=mark, role=role, part=draft.part, placement=draft.placement, spot=SPOT)


def box(u, v):
    return ((u[0], v[0]), (u[1], v[0]), (u[1], v[1]), (u[0], v[1]))


@pytest.fixture(scope="module")
def plain() -> Frame:
    return frame_of(make=MAKE)


def blanks(plain: Frame, *members: Member) -> list[tuple[str, str, float, int]]:
    frame = replace(plain, members=members)
    return [
        (b.section.name, b.name, pytest.approx(b.length_mm), b.count) for b in flat_blanks(frame)
    ]


# Outside 60 and 50 mm, 5 thick, inside radius 6, K-factor 0.4: each leg is 11 mm less at the bend,
# whose middle line is pi/2 (6 + 2) long. Flat bar of 40 mm is stocked, of 46 mm not.
FLAT = 60 + 50 - 2 * 11 + math.pi / 2 * (6 + 0.4 * 5)


def angle(wide: float, at: float = 0.0) -> tuple[Member, Member]:
    back = member("A1", 1, box((at, at + wide), (0, 60)), (0, 5))
    shelf = member("A2", 2, box((at, at + wide), (-45, 0)), (55, 60))
    return back, shelf


def test_a_bent_piece_is_one_piece_of_bar_as_long_as_its_flat_pattern(plain):
    found = blanks(plain, *angle(40), *angle(40, at=100))
    assert found == [("flat bar 40 mm x 5 mm", "A1-A2", FLAT, 2)]
    frame = replace(plain, members=angle(40))
    (pattern,) = bent_plates(frame, plate_joints(frame))
    assert flat_blanks(frame)[0].length_mm == pattern.length_mm


def test_a_back_without_its_shelf_is_a_strap(plain):
    back, shelf = angle(40)
    apart = member("A1", 1, box((300, 340), (0, 60)), (0, 5))
    assert blanks(plain, back, shelf, apart) == [
        ("flat bar 40 mm x 5 mm", "A1-A2", FLAT, 1),
        ("flat bar 40 mm x 5 mm", "A1", 60, 1),
    ]


def test_what_no_stocked_bar_is_as_wide_as_is_no_flat_bar(plain):
    assert blanks(plain, *angle(46)) == []
    round_end = ((0, 0), (40, 0), (40, 90), (20, 110), (0, 90))
    assert blanks(plain, member("B1", 1, round_end, (0, 5))) == []
    gusset = member("G1", 1, box((0, 40), (0, 90)), (0, 5), role=Role.GUSSET)
    assert blanks(plain, gusset) == []


@pytest.mark.parametrize(
    ("size", "section", "length"),
    [
        ((40, 300), "flat bar 40 mm x 5 mm", 300), ((300, 40), "flat bar 40 mm x 5 mm", 300),
        # Both are stocked: a strap runs along the bar.
        ((40, 70), "flat bar 40 mm x 5 mm", 70), ((70, 24), "flat bar 70 mm x 5 mm", 24),
    ],
)  # fmt: skip
def test_a_strap_is_cut_across_the_bar_of_its_width(plain, size, section, length):
    strap = member("B1", 1, box((0, size[0]), (0, size[1])), (0, 5))
    assert blanks(plain, strap) == [(section, "B1", length, 1)]


@pytest.mark.parametrize("come_by", ["made", "bought"])
def test_what_is_bought_complete_is_not_cut(come_by):
    frame = frame_of(make=MAKE, hardware={"door_fittings": come_by})
    names = Counter(m.part.name for m in frame.members if m.role is Role.HINGE)
    cut = {b.plates[0].part.name: b.count for b in flat_blanks(frame)}
    assert names["hinge band"] > 0
    assert cut.get("hinge band", 0) == (names["hinge band"] if come_by == "made" else 0)


def test_the_width_that_the_design_asks_for_is_one_that_is_stocked():
    frame = frame_of(hardware={"door_bar_width": "46 mm"})
    sections = {b.section.name for b in flat_blanks(frame) if b.plates[0].part.name == "hinge band"}
    assert sections == {"flat bar 46 mm x 5 mm"}
