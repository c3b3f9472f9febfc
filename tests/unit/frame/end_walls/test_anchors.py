"""What holds the sill of an end wall, and the boards under it, on planes: closed forms."""

from __future__ import annotations

import functools
import math

import pytest
from site_frames import FALL, walled

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Severity
from frame3d.checks.rules.survey_rules import check_survey
from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.tables.whole_design import End
from frame3d.errors import DesignFaults
from frame3d.frame.describe.wall_feet import anchors_at, sentences_of_frame
from frame3d.frame.model.parts import RippedBoard
from frame3d.frame.model.roles import Role
from frame3d.frame.space.envelopes import reach_of
from frame3d.site.earthwork.end_walls import anchored
from frame3d.site.plot.outline import in_ground
from frame3d.site.survey import site_of

KINDS = ("stakes", "posts", "ground anchors")
SILL_MM, DEPTH_MM, STEP_MM = 47.0, 600.0, 25.0
"""The default metric sill (47x150), depth and the step of lengths."""


@functools.cache
def held_by(kind: str):
    """The frame on the plane with anchors of a kind, and its driving."""
    return walled("sill", wall={"anchors": kind})


def _bottom(member) -> float:
    return -reach_of(member, (0.0, 0.0, -1.0))


@pytest.mark.parametrize("kind", KINDS)
def test_anchors_follow_the_ground_on_a_plane(kind: str) -> None:
    frame, driving = held_by(kind)
    drawn_on = driving.string.start_mm - driving.exposure.wanted_mm
    members = anchors_at(frame, End.FRONT)
    pieces = anchored(frame, End.FRONT)
    assert len(pieces) == len(members) >= 4
    least = []
    for member, piece in zip(members, pieces, strict=True):
        # The plane falls by 3 % to the right, so the ground is lowest at the right edge.
        low = -FALL * (piece.high_x_mm + 2500.0) - drawn_on
        top = SILL_MM + (6.0 if kind == "ground anchors" else 0.0)  # with its lug
        assert piece.above_mm == pytest.approx(top - low, abs=0.01)
        assert piece.embedded_mm == pytest.approx(low - _bottom(member), abs=0.01)
        least.append(math.ceil((max(0.0, SILL_MM - low) + DEPTH_MM) / STEP_MM) * STEP_MM)
        assert piece.embedded_mm > DEPTH_MM - 0.01
    lengths = [SILL_MM - _bottom(member) for member in members]
    if kind == "ground anchors":  # bought in one length
        least = [max(least)] * len(least)
    assert lengths == pytest.approx(least, abs=0.01)
    # No two are farther apart than asked for, but where the door is.
    xs = [(p.low_x_mm + p.high_x_mm) / 2 for p in pieces]
    door = frame.doors[0]
    gaps = [b - a for a, b in zip(xs, xs[1:], strict=False) if not a < door.left_x_mm < b]
    assert max(gaps) <= 1200.0 + 200.0  # moved off studs by less than their width and screws


@pytest.mark.parametrize("kind", KINDS)
def test_each_anchor_is_screwed_to_the_sill_and_nothing_clashes(kind: str) -> None:
    frame, _ = held_by(kind)
    for member in frame.of(Role.WALL_ANCHOR):
        joined = [joint for joint in frame.joints if member in joint.members]
        assert joined
        assert all(Role.WALL_SILL in {m.role for m in joint.members} for joint in joined)
    errors = [f for f in check_frame(frame) if f.severity is Severity.ERROR]
    assert errors == []
    # Each is told where services in the ground are looked for.
    marks = {one.name for one in in_ground(frame)}
    assert {m.mark for m in frame.of(Role.WALL_ANCHOR)} <= marks


def test_without_any_others_see_to_it_and_with_some_nothing_is_said_of_what_they_hold() -> None:
    bare = list(sentences_of_frame(held_by("none")[0]))
    assert len(bare) == 2 and all("by others" in text for text in bare)
    frame, _ = held_by("stakes")
    told = list(sentences_of_frame(frame))
    count = len(anchors_at(frame, End.FRONT))
    assert told[0].startswith(f"{count} stakes hold") and "not known here" in told[0]
    assert not list(sentences_of_frame(walled("ground")[0]))


def test_studs_in_the_ground_need_none() -> None:
    with pytest.raises(DesignFaults, match="the sill is held to them"):
        design_from_mapping(
            {
                "output": {"units": "metric"},
                "profile": {"style": "quonset", "width": "5 m", "ridge_height": "3.2 m"},
                "bays": {"count": 4, "spacing": "1.5 m"},
                "end_wall": [{"foot": "ground", "anchors": "stakes"}],
            }
        )


def test_skirt_boards_close_the_gap_under_a_level_sill() -> None:
    """On the plane the gap at x is 3 % of the way from where the sill touches the ground."""
    frame, driving = held_by("none")
    drawn_on = driving.string.start_mm - driving.exposure.wanted_mm
    front = next(wall for wall in site_of(frame).walls if wall.end is End.FRONT)
    assert front.skirts and front.open_mm < 25.0 + 0.01
    for piece in front.skirts:
        assert isinstance(piece.member.part, RippedBoard)
        for x, depth in zip(
            (piece.low_x_mm, piece.high_x_mm), piece.member.part.depths_mm, strict=True
        ):
            gap = drawn_on + FALL * (x + 2500.0)
            # In steps of 2 mm, up; 38 mm is the narrowest that is ripped.
            assert depth == pytest.approx(max(38.0, math.floor(gap / 2.0 + 1e-9) * 2.0), abs=0.01)
    # Screws come from above through the sill, at every stretch of it.
    skirts = list(frame.of(Role.WALL_SKIRT))
    held = {m.mark for j in frame.joints for m in j.members if m.role is Role.WALL_SKIRT}
    assert held == {member.mark for member in skirts}
    assert not [f for f in check_frame(frame) if f.severity is Severity.ERROR]


def test_no_skirt_where_the_design_fills() -> None:
    frame, _ = walled("sill", staking={"boards": "fill"})
    assert not list(frame.of(Role.WALL_SKIRT))
    found = [f for f in check_survey(frame) if f.rule.name == "sill-hangs"]
    assert found and all(f.provided > 38.0 for f in found)
