"""Screws of the end stops of side openings: each goes through a board and into the stop."""

from __future__ import annotations

import pytest
from site_frames import laid_on

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Severity
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Board, ScrewKind
from frame3d.frame.model.roles import Role
from frame3d.frame.space.envelopes import reach_of
from frame3d.geometry.placement import Vector, add, dot


def frame(height: str, timber: str = "47x150") -> Frame:
    """A half circle of 4 m on legs of 0.6 m: the higher the hip, the more it leans."""
    return lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "4 m", "ridge_height": "2.6 m",
                    "leg_height": "0.6 m"},
        "bays": {"count": 3, "spacing": "1.6 m"},
        "hoop": {"tube": "42 x 2 mm"}, "socket": {"tube": "50 x 3 mm"},
        "sill_board": {"bottom": "20 mm"},
        "side_opening": {"height": height, "timber": timber, "end_stop": "300 mm"},
    }))  # fmt: skip


def inside(member: Member, point: Vector) -> bool:
    """Whether a point lies in a board, by its own three axes."""
    part, place = member.part, member.placement
    apart = add(point, place.origin, -1.0)
    sizes = (part.length_mm, part.section.depth_mm, part.section.thickness_mm)
    return all(
        0 < dot(apart, axis) < size
        for axis, size in zip((place.x, place.y, place.z), sizes, strict=True)
    )


def lengths_in(frame: Frame, screw: Member) -> dict[Role, float]:
    """How much of a screw's shank lies in boards of each role, mm, by steps of half a mm."""
    found: dict[Role, float] = {}
    boards = [m for m in frame.members if isinstance(m.part, Board)]
    for step in range(int(screw.part.length_mm * 2)):
        point = add(screw.placement.origin, screw.placement.z, step / 2 + 0.25)
        for board in boards:
            if inside(board, point):
                found[board.role] = found.get(board.role, 0.0) + 0.5
    return found


@pytest.mark.parametrize("height", ["1000 mm", "1200 mm", "1300 mm"])
def test_screws_go_through_leaning_boards_into_the_stop(height: str) -> None:
    made = frame(height)
    screws = [m for m in made.of(Role.SCREW) if m.part.kind is ScrewKind.LAG]
    # Two ends on two sides: two screws in the sill board, one in the hip board.
    assert len(screws) == 4 * 3
    roles = [lengths_in(made, screw) for screw in screws]
    assert sum(Role.HIP_BOARD in found for found in roles) == 4
    assert sum(Role.SILL_BOARD in found for found in roles) == 8
    for screw, found in zip(screws, roles, strict=True):
        through = found.get(Role.HIP_BOARD) or found.get(Role.SILL_BOARD)
        # Its head lies on the face: all of the board is gone through. 20 mm hold in the stop.
        assert through == pytest.approx(47.0, abs=1.0)
        assert found[Role.END_STOP] >= 20.0
        tip = add(screw.placement.origin, screw.placement.z, screw.part.length_mm)
        stops = [m for m in made.of(Role.END_STOP) if inside(m, tip)]
        assert len(stops) == 1


@pytest.mark.parametrize("hip", ["board", "rail"])
def test_stops_stand_behind_sill_boards_that_follow_the_ground(hip: str) -> None:
    level = lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "5 m", "ridge_height": "3 m",
                    "leg_height": "0.8 m"},
        "bays": {"count": 6, "spacing": "1.5 m"},
        "rail": [{"at": "ridge"}],
        "sill_board": {"timber": "47x200", "stock_length": "3 m"},
        "side_opening": {"height": "1.2 m", "hip": hip},
        "staking": {"boards": "follow"},
    }))  # fmt: skip
    followed, _ = laid_on(level, lambda x, y: -0.03 * y + 0.01 * x)
    lengths = {m.part.length_mm for m in followed.of(Role.END_STOP)}
    # The ground falls, so boards stand at different heights and the stops behind them too.
    assert len(lengths) > len({m.part.length_mm for m in level.of(Role.END_STOP)})
    boards = list(followed.of(Role.SILL_BOARD))
    screws = [m for m in followed.of(Role.SCREW) if m.part.kind is ScrewKind.LAG]
    sills = [s for s in screws if Role.SILL_BOARD in lengths_in(followed, s)]
    assert len(sills) == 4 * 2
    for stop in followed.of(Role.END_STOP):
        board = min(boards, key=lambda m: _apart(m, stop.placement.origin))
        # Plumb legs: a stop begins at the lower edge of the board before it; it leans a little.
        low, edge = (-reach_of(member, (0.0, 0.0, -1.0)) for member in (stop, board))
        assert low == pytest.approx(edge, abs=5.0)
    told = [f for f in check_frame(followed) if f.severity is Severity.ERROR]
    assert [f for f in told if "screw" in f.rule.name or "bolt" in f.rule.name] == []


def _apart(board: Member, point: Vector) -> float:
    """How far a point is from the middle of a board, mm, but for its height."""
    middle = board.placement.point((board.part.length_mm / 2, 0.0, 0.0))
    beside = max(0.0, abs(middle[1] - point[1]) - board.part.length_mm / 2)
    return beside + abs(middle[0] - point[0])
