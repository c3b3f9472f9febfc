"""End walls on a plane that falls across: closed forms of gaps, steps and leaves."""

from __future__ import annotations

import pytest
from site_frames import FALL, walled

from frame3d.checks.rules.doors import check_doors
from frame3d.design.tables.whole_design import End
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.roles import Role
from frame3d.frame.space.sweeps import sweeps_of
from frame3d.guide.make_guide import guide_of
from frame3d.sheets.views.end_wall import notes
from frame3d.sheets.views.seen_wall import wall_seen
from frame3d.site.earthwork.end_walls import walls_on_ground
from frame3d.site.survey import site_of
from frame3d.site.write.wall_words import wall_findings


@pytest.mark.parametrize("corner", ["front left", "back right"])
def test_uprights_in_the_ground_go_as_deep_everywhere(corner: str) -> None:
    frame, driving = walled("ground", corner)
    for wall in walls_on_ground(frame, driving):
        standing = [one for one in wall.pieces if one.embedded_mm is not None]
        assert len(standing) >= 4
        # 600 mm at the lowest ground across the stud (the design's default).
        assert [one.embedded_mm for one in standing] == pytest.approx([600.0] * len(standing))
        # Their feet fall by 3 % of the way between them.
        feet = sorted(
            (m.placement.origin[0], min(m.placement.origin[2], m.placement.point(
                (getattr(m.part, "length_mm", 0.0), 0.0, 0.0))[2]))
            for m in frame.of(Role.STUD) if m.spot.hoop == 1
        )  # fmt: skip
        (x0, z0), (x1, z1) = feet[0], feet[-1]
        assert (z1 - z0) / (x1 - x0) == pytest.approx(-FALL, abs=1e-6)


def test_gaps_steps_and_leaves_on_a_plane() -> None:
    frame, driving = walled("sill")
    front = next(w for w in walls_on_ground(frame, driving) if w.end is End.FRONT)
    drawn_on = driving.string.start_mm - driving.exposure.wanted_mm

    def ground(x: float) -> float:
        """Of the plane, from the middle of the tunnel, which is 2.5 m from its left side."""
        return -FALL * (x + 2500) - drawn_on

    for piece in (one for one in front.pieces if one.member.role is Role.WALL_SILL):
        assert piece.gap_mm == pytest.approx(max(0.0, -ground(piece.high_x_mm)), abs=0.01)
        assert piece.dig_mm == pytest.approx(max(0.0, ground(piece.low_x_mm)), abs=0.01)
    (door,) = front.doors
    opening = door.door
    assert door.steps_mm == pytest.approx(
        [opening.bottom_mm - ground(x) for x in (opening.left_x_mm, opening.right_x_mm)], abs=0.01
    )
    (leaf,) = opening.leaves
    # Shut, the ground is lowest at its right edge; on its way it is highest where the leaf
    # reaches farthest to the left.
    farthest = min(x for sweep in sweeps_of(opening) for x, _ in sweep.plan)
    assert door.gap_mm == pytest.approx(leaf.bottom_mm - ground(leaf.high_x_mm), abs=0.01)
    assert door.clear_mm == pytest.approx(leaf.bottom_mm - ground(farthest), abs=0.01)


def test_a_mound_in_front_of_a_door_is_struck() -> None:
    """A point 600 mm in front of the wall that stands 150 mm up, within the swing only."""

    def mound(x, y):
        return 150.0 if abs(x - 2500) < 700 and -1200 < y < -300 else 0.0

    frame, driving = walled("sill", height=mound)
    front = next(w for w in walls_on_ground(frame, driving) if w.end is End.FRONT)
    assert front.doors[0].clear_mm is not None
    assert front.doors[0].clear_mm < 0
    told = list(wall_findings(site_of(frame)))
    assert any("it strikes by" in text for text in told)
    # The check says the same figure as lists, sheet and guide.
    found = [one for one in check_doors(frame) if one.rule.name == "door-ground"]
    assert [one.provided for one in found] == [front.doors[0].clear_mm]
    figure = f"it strikes by {lengths_of(frame).text(-found[0].provided, unit=True)}"
    assert any(figure in note for note in notes(wall_seen(frame, End.FRONT)))
    told = [check for step in guide_of(frame, drawn=False).steps for check in step.words.checks]
    assert any(figure in check.figure for check in told)


def test_the_check_reckons_with_the_ground_under_the_whole_swing() -> None:
    """On a plane that rises toward whoever comes in, the leaf is lowest farthest out."""
    frame, driving = walled("sill", height=lambda x, y: -0.05 * y)
    drawn_on = driving.string.start_mm - driving.exposure.wanted_mm
    (opening,) = frame.doors
    farthest = min(y for sweep in sweeps_of(opening) for _, y in sweep.plan)
    clear = opening.leaves[0].bottom_mm - (-0.05 * farthest - drawn_on)
    (found,) = [one for one in check_doors(frame) if one.rule.name == "door-ground"]
    assert found.provided == pytest.approx(clear, abs=0.01)
    # Level, the same leaf has its 25 mm, and nothing is found.
    assert not [o for o in check_doors(lay_out(frame.design)) if o.rule.name == "door-ground"]


def test_ground_that_is_low_under_a_door_is_found() -> None:
    """The plane falls by 3 % from the left: at the right reveal it is lowest."""
    frame, driving = walled("sill", height=lambda x, y: -0.06 * x, door={"position": "1 m"})
    drawn_on = driving.string.start_mm - driving.exposure.wanted_mm
    (opening,) = frame.doors
    edge = max(opening.right_x_mm, opening.leaves[0].high_x_mm)
    low = drawn_on + 0.06 * (edge + 2500)
    (found,) = [one for one in check_doors(frame) if one.rule.name == "door-low-ground"]
    assert found.provided == pytest.approx(low, abs=0.01)
