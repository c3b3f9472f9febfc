"""End walls on a plane that falls across: closed forms of gaps, steps and leaves."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from site_frames import ground_of

from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.tables.whole_design import End
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.roles import Role
from frame3d.frame.model.surveyed import Survey
from frame3d.frame.space.sweeps import sweeps_of
from frame3d.site.driving.driving_plan import plan_driving
from frame3d.site.driving.under import ground_under
from frame3d.site.earthwork.end_walls import walls_on_ground
from frame3d.site.staking.setting_out import set_out
from frame3d.site.survey import site_of
from frame3d.site.write.wall_words import wall_findings

FALL = 0.03


def walled(foot: str, corner: str = "front left", height=lambda x, y: -FALL * x):
    """A frame with a door in front on ground that falls by 3 % to the right, and its driving."""
    design = design_from_mapping(
        {
            "output": {"units": "metric"},
            "profile": {"style": "quonset", "width": "5 m", "ridge_height": "3.2 m"},
            "bays": {"count": 4, "spacing": "1.5 m"},
            "rail": [{"at": "ridge"}],
            "end_wall": [{"foot": foot}],
            "door": [{"at": "front", "kind": "hinged", "width": "1.2 m", "height": "2 m"}],
            "staking": {"corner": corner},
        }
    )
    frame = lay_out(design)
    ground = ground_of(frame, height)
    driving = plan_driving(frame, set_out(frame), ground)
    frame = replace(
        lay_out(design, ground_under(frame, driving)), survey=Survey(levels=ground.levels)
    )
    return frame, driving


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

    for piece in front.pieces:
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
    assert any("strikes the ground" in text for text in told)
