"""Joints of boards and hip rails keep clear of the end stops behind them."""

from __future__ import annotations

import itertools

import pytest
from walks import STARTS, start

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Severity
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.roles import Role
from frame3d.frame.sides.rail_joints import RailRun, rail_pieces
from frame3d.units import UnitSystem


def opened(style, units, bays: int = 8, **opening) -> Frame:
    """A starter without end walls and braces, with side openings."""
    design = start(style, units, walls=False)
    design["bays"]["count"] = bays
    return lay_out(design_from_mapping({**design, "brace": [], "side_opening": opening}))


def stop_lengths(units: UnitSystem, low: int, high: int) -> list[str]:
    """Every 3 in, or every 75 mm."""
    sign = ("in", 1) if units is UnitSystem.IMPERIAL else ("mm", 25)
    return [f"{n * sign[1]} {sign[0]}" for n in range(low, high, 3)]


def span(member: Member) -> tuple[float, float]:
    """From where to where a board along the tunnel or an upright one reaches along Y, mm."""
    part, place = member.part, member.placement
    corners = [place.point((x, y, 0.0))[1]
               for x in (0.0, part.length_mm) for y in (0.0, part.section.depth_mm)]  # fmt: skip
    return round(min(corners), 3), round(max(corners), 3)


def errors(frame: Frame) -> list:
    return [f for f in check_frame(frame) if f.severity is Severity.ERROR]


@pytest.mark.parametrize(("style", "units"), STARTS)
def test_blocks_behind_board_joints_stand_clear_of_end_stops(style, units) -> None:
    """A stop 18 to 30 in from the end stood in the block of a joint at the middle of a 4 ft bay."""
    for stop in stop_lengths(units, 15, 34):
        made = opened(style, units, end_stop=stop)
        assert errors(made) == [], stop
        stops = {span(member) for member in made.of(Role.END_STOP)}
        blocks = [span(member) for member in made.of(Role.JOINT_BLOCK)]
        assert blocks and len(stops) == 2
        for (low, high), (front, back) in itertools.product(blocks, stops):
            assert high < front or back < low, stop
        for board in made.of(Role.SILL_BOARD, Role.HIP_BOARD):
            stock = (made.design.sill_board if board.role is Role.SILL_BOARD
                     else made.design.side_opening).stock_length  # fmt: skip
            assert board.part.length_mm <= stock + 1e-3


@pytest.mark.parametrize(("style", "units"), STARTS)
@pytest.mark.parametrize("fixing", ["bolted", "clamped"])
def test_bolts_of_end_stops_go_through_hip_rails_beside_their_joints(style, units, fixing) -> None:
    for stop, bays in itertools.product(stop_lengths(units, 18, 40), (3, 5)):
        made = opened(style, units, bays, hip="rail", fixing=fixing, end_stop=stop)
        assert errors(made) == [], (stop, bays)


def test_a_joint_moves_only_as_far_as_a_bolt_asks_for() -> None:
    """Bays of 1.2 m, tube of 3 m: of two bays and a half, joints can be at 0.6, 1.8 or 3.0 m.

    All three are barred by 0.1 m to each side; the layouts with one joint are those at 1.8 m.
    """
    run = {"ends_mm": (-50.0, 3650.0), "spacing_mm": 1200.0, "stock_mm": 3000.0,
           "overlap_mm": 100.0, "turn": 0, "beside_mm": 60.0}  # fmt: skip
    free = rail_pieces(RailRun(**run))
    assert free == [(-50.0, 1800.0), (1800.0, 3650.0)]
    barred = tuple((at - 80.0, at + 100.0) for at in (600.0, 1800.0, 3000.0))
    moved = rail_pieces(RailRun(**run, barred_mm=barred))
    assert moved == [(-50.0, 1720.0), (1720.0, 3650.0)]
    # Where the tube reaches no farther the joint stays, for a rail must have one.
    whole = ((0.0, 3600.0),)
    assert rail_pieces(RailRun(**run, barred_mm=whole)) == free


@pytest.mark.parametrize(("stop", "expected"), [("3 ft", 36.0), ("47 in", None), ("4 ft", None)])
def test_an_end_stop_that_would_stand_in_a_hoop_stands_beside_it(stop, expected) -> None:
    """Bays of 4 ft: the second hoop stands 48 in from the end, in a socket of 2 in, 1 in to
    either side. A 2x4 is 3 1/2 in wide, so with 5 mm of room its middle is 1 + 1 3/4 + 0.197 in
    from the hoop's; at 48 in it stands beyond the hoop, which closes more.
    """
    style, units = STARTS[0]
    assert units is UnitSystem.IMPERIAL
    made = opened(style, units, end_stop=stop)
    half = next(made.of(Role.SOCKET)).part.section.od_mm / 2
    beside = half / 25.4 + 1.75 + 5 / 25.4
    if expected is None:
        expected = 48 + beside if stop == "4 ft" else 48 - beside
    low, high = min(span(member) for member in made.of(Role.END_STOP))
    assert (low + high) / 2 / 25.4 == pytest.approx(expected, abs=1e-3)
    assert errors(made) == []
