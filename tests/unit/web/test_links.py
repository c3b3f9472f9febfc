"""A finding leads to the members and the field that it is about."""

from __future__ import annotations

import pytest
from sound_design import frame_of

from frame3d.checks.check import check_frame
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.members import Role
from frame3d.spec.reader import read_design
from frame3d.view.links import members_at
from frame3d.web.links import field_of


@pytest.fixture(scope="module")
def frame():
    return lay_out(read_design(example_paths()["long_meadow_gothic"]))


def spots(frame, numbers: list[int]) -> set[tuple]:
    members = [frame.members[number] for number in numbers]
    return {(m.mark, m.spot.side.value, m.spot.hoop) for m in members}


def test_a_mark_with_a_place_is_the_members_there(frame) -> None:
    mark = next(frame.of(Role.SOCKET)).mark
    found = members_at(frame, f"{mark}, left, hoop 3")
    assert spots(frame, found) == {(mark, "left", 3)}
    assert spots(frame, members_at(frame, f"{mark}: hoop 3, left; hoop 5, right")) == {
        (mark, "left", 3), (mark, "right", 5),
    }  # fmt: skip


def test_a_mark_alone_and_more_places_than_are_named_are_all_of_them(frame) -> None:
    mark = next(frame.of(Role.SOCKET)).mark
    every = [n for n, member in enumerate(frame.members) if member.mark == mark]
    assert members_at(frame, f"{mark}, socket") == every
    assert members_at(frame, f"{mark}: hoop 1, left; hoop 2, left (40 places in all)") == every


def test_what_names_no_mark_has_no_members(frame) -> None:
    for where in ("back end", "bays", "side_opening", "left side", "X99, hoop 1", ""):
        assert members_at(frame, where) == []


@pytest.mark.parametrize(
    ("where", "field"),
    [
        ("clearance.walking_lines, 0\" from the centreline", "clearance.walking_lines"),
        ("door[2], back", "door[2]"), ("machine[1] (Tractor)", "machine[1]"), ("bays", "bays"),
        ("hoop.pieces", "hoop.pieces"), ("hoop 3, left", ""), ("back end", ""), ("H1, hoop", ""),
        ("accept[1], door-facing", "accept[1]"), ("rail[2].height", "rail[2].height"), ("", ""),
    ],
)  # fmt: skip
def test_a_field_that_is_named_is_found(where: str, field: str) -> None:
    assert field_of(where) == field


BROKEN = (
    {"clearance": {"head_height": "10 ft", "bed_headroom": "9 ft"}},
    {"tie": [{"height": "6 ft"}]},
    {"machine": [{"width": "30 ft", "height": "9 ft"}]},
    {"practice": {"hoop_pieces": 1}},
)


@pytest.mark.parametrize("sections", BROKEN, ids=lambda s: next(iter(s)))
def test_every_finding_leads_somewhere_or_names_an_end(sections: dict) -> None:
    found = frame_of(**sections)
    findings = check_frame(found)
    assert findings
    for finding in findings:
        named = members_at(found, finding.where) or field_of(finding.where)
        assert named or finding.where.endswith((" end", " side")), finding.where
