"""Boards on sloping ground as parts: where they lie, what holds them, what is refused."""

from __future__ import annotations

import functools
import math
from collections import Counter

import pytest

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Severity
from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignError
from frame3d.frame.lay_out import lay_out
from frame3d.frame.measure.measures import mass_kg, volume_mm3
from frame3d.frame.model.canonical import canonical
from frame3d.frame.model.end_forms import BoardEnd
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Board, RippedBoard
from frame3d.frame.model.roles import Role, Side
from frame3d.frame.model.surveyed import GroundUnder
from frame3d.sheets.projection.silhouettes import reach_of
from frame3d.solids.parts.make_solids import make_solid

FLAT = ((-10000.0, 0.0), (20000.0, 0.0))
UP = (0.0, 0.0, 1.0)


@functools.cache
def on(boards: str | None, low: float = -80.0, high: float = -80.0) -> Frame:
    """Five bays with an opening at the side, the right side ``low`` at its start."""
    mapping = {
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "5 m", "ridge_height": "3.2 m"},
        "bays": {"count": 5, "spacing": "1.5 m"},
        "rail": [{"at": "ridge"}],
        "socket": {"upper_hole": "140 mm", "lower_hole": "240 mm"},
        "sill_board": {},
        "side_opening": {},
        "end_wall": [{}],
        "staking": {"boards": boards} if boards else {},
    }
    right = ((0.0, low), (7500.0, high))
    ground = GroundUnder(left=FLAT, right=right, front=FLAT, back=FLAT)
    return lay_out(design_from_mapping(mapping), ground)


@pytest.mark.parametrize("boards", ["level", "follow", "skirt", "fill"])
def test_no_answer_brings_a_fault_of_the_assembly(boards: str) -> None:
    found = [f for f in check_frame(on(boards)) if f.severity is Severity.ERROR]
    assert found == []


def test_a_skirt_board_hangs_under_the_sill_board_by_two_blocks() -> None:
    frame = on("skirt")
    boards = list(frame.of_kind(RippedBoard, Role.SKIRT_BOARD))
    assert Counter(m.spot.side for m in boards) == {Side.RIGHT: 5}
    sill = [reach_of(m, UP)[0] for m in frame.of(Role.SILL_BOARD) if m.spot.side is Side.RIGHT]
    for member in boards:
        low, high = reach_of(member, UP)
        assert high == pytest.approx(sill[0])
        assert high - low == pytest.approx(80.0)
        joints = frame.joints_with(member)
        assert len(joints) == 4  # bolts of two blocks
        assert {other.role for joint in joints for other in joint.members} == {
            Role.SKIRT_BOARD, Role.JOINT_BLOCK,
        }  # fmt: skip


def test_a_ripped_edge_follows_a_ramp() -> None:
    frame = on("skirt", -60.0, -160.0)
    ends = sorted(
        (reach_of(m, (0.0, 1.0, 0.0))[0], m.part.left_mm)
        for m in frame.of_kind(RippedBoard, Role.SKIRT_BOARD)
    )
    depths = [sorted(left) for _, left in ends]
    # 100 mm over five bays: 20 mm each, whole steps of 2 mm.
    assert [b - a for a, b in depths] == pytest.approx([20.0] * 5, abs=2.0)
    assert depths[-1][1] == pytest.approx(160, abs=2.0)


def test_boards_that_follow_keep_the_sockets_holes() -> None:
    """The bolts stay where they are, so the holes of a board that went down are higher in it."""
    level, follow = on("level"), on("follow")
    bolts = [
        sorted(m.placement.origin for m in frame.of(Role.BOLT) if m.source == "sill_board")
        for frame in (level, follow)
    ]
    sockets = 2 * len(level.grid.hoop_y_mm)
    assert len(bolts[0]) == len(bolts[1])
    same = sum(any(math.dist(a, b) < 1e-6 for b in bolts[1]) for a in bolts[0])
    assert same >= 2 * sockets  # all through sockets, and those of the other side's blocks
    drop = {
        side: min(reach_of(m, UP)[0] for m in follow.of(Role.SILL_BOARD) if m.spot.side is side)
        for side in (Side.LEFT, Side.RIGHT)
    }
    assert drop[Side.RIGHT] < drop[Side.LEFT] - 10


def test_a_gap_beyond_one_board_is_refused_with_its_bays() -> None:
    with pytest.raises(DesignError) as caught:
        on("skirt", -100.0, -260.0)
    text = str(caught.value)
    assert "bay" in text
    assert "on the right" in text
    assert 'boards = "fill"' in text


def test_ground_too_steep_for_any_answer_is_an_error_that_names_the_bays() -> None:
    found = [f for f in check_frame(on(None, 0.0, -900.0)) if f.rule.name == "ground-too-steep"]
    assert len(found) == 1
    assert "on the right" in found[0].where
    assert 'string = "slope"' in found[0].advice


RIPPED = next(on("skirt", -60.0, -160.0).of_kind(RippedBoard)).part


def test_a_ripped_board_has_the_volume_of_its_trapezium() -> None:
    first, last = RIPPED.left_mm
    flat = RIPPED.length_mm * (first + last) / 2
    holes = sum(math.pi / 4 * hole.diameter_mm**2 for hole in RIPPED.holes)
    wanted = (flat - holes) * RIPPED.section.thickness_mm
    assert volume_mm3(RIPPED) == pytest.approx(wanted, rel=1e-9)
    assert mass_kg(RIPPED) == pytest.approx(wanted * RIPPED.section.density_kg_per_m3 * 1e-9)
    made = make_solid(RIPPED, mark="SK1", role=Role.SKIRT_BOARD)
    assert made.volume_mm3 == pytest.approx(wanted, rel=1e-6)


def test_a_ripped_board_turned_over_is_the_same_part_and_a_plain_one_is_not() -> None:
    turned = RippedBoard(
        section=RIPPED.section, length_mm=RIPPED.length_mm, left_mm=RIPPED.left_mm[::-1],
        holes=tuple(
            type(hole)(along_mm=RIPPED.length_mm - hole.along_mm, up_mm=hole.up_mm,
                       diameter_mm=hole.diameter_mm)
            for hole in RIPPED.holes
        ),
    )  # fmt: skip
    assert canonical(turned)[0] == canonical(RIPPED)[0]
    plain = Board(section=RIPPED.section, length_mm=RIPPED.length_mm, holes=RIPPED.holes)
    assert canonical(plain)[0] != canonical(RIPPED)[0]
    slant = BoardEnd(mitre_rad=0.1)
    with pytest.raises(ValueError, match="square ends"):
        RippedBoard(
            section=RIPPED.section,
            length_mm=100.0,
            left_mm=(50.0, 50.0),
            start=slant,
        )
