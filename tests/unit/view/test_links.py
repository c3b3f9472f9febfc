"""From the words of a finding's place to the members it is about."""

from __future__ import annotations

import pytest
from walled_designs import walled

from frame3d.frame.lay_out import lay_out
from frame3d.frame.members import Frame, Side
from frame3d.spec.reader import design_from_mapping
from frame3d.view.links import members_at


@pytest.fixture(scope="module")
def frame() -> Frame:
    return lay_out(design_from_mapping(walled()))


def marks(frame: Frame, where: str) -> set[str]:
    return {frame.members[number].mark for number in members_at(frame, where)}


def test_a_mark_alone_is_all_of_its_members(frame: Frame) -> None:
    found = members_at(frame, "S1")
    assert len(found) == sum(1 for member in frame.members if member.mark == "S1") == 14


def test_a_place_narrows_it(frame: Frame) -> None:
    (number,) = members_at(frame, "S1: hoop 3, left")
    spot = frame.members[number].spot
    assert (spot.hoop, spot.side) == (3, Side.LEFT)


def test_several_places_and_marks(frame: Frame) -> None:
    found = members_at(frame, "S1: hoop 3, left; hoop 5, right")
    assert [frame.members[n].spot.hoop for n in found] == [3, 5]
    assert marks(frame, "S1 and SB1") == {"S1", "SB1"}


def test_places_that_are_not_all_told_mean_all(frame: Frame) -> None:
    assert len(members_at(frame, "S1: hoop 1, left; hoop 1, right (14 places in all)")) == 14


@pytest.mark.parametrize("where", ["bays", "front end", "tolerances", "ZZ9", "", "machine[1], T1"])
def test_what_names_no_mark_is_about_no_member(frame: Frame, where: str) -> None:
    assert members_at(frame, where) == []
