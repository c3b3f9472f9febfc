"""What can be done about boards on a slope: closed forms, limits, and the rule."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.design.tables.staking import GroundBoards
from frame3d.frame.model.roles import Side
from frame3d.frame.model.surveyed import height_on, stretch_of
from frame3d.frame.sides.ground_answers import Footing, answers_for

LEVEL, FOLLOW, SKIRT, FILL = GroundBoards
FLAT = ((-1000.0, 0.0), (7000.0, 0.0))
FOOTING = Footing(
    hoops_mm=(0.0, 1500.0, 3000.0, 4500.0, 6000.0), overhang_mm=0.0,
    joints_mm={Side.LEFT: (2250.0,), Side.RIGHT: (2250.0,)}, bottom_mm=20.0, depth_mm=200.0,
    thick_mm=47.0, holes_mm=(40.0, 140.0), edge_mm=16.0, step_mm=2.0,
)  # fmt: skip
"""Four bays of 1.5 m; holes at 40 and 140 mm of 200: a board may go 24 mm up and 44 mm down."""


def found(right, asked=None, footing=FOOTING):
    return answers_for({Side.LEFT: FLAT, Side.RIGHT: right}, footing, asked)


def test_level_ground_needs_nothing() -> None:
    answers = found(FLAT)
    assert (answers.kind, answers.by_rule) == (LEVEL, True)
    assert [gap.gap_mm for gap in answers.level.gaps] == pytest.approx([20.0] * 8)
    assert all(one.fill_mm3 == 0 and one.dig_mm3 == 0 for one in answers.answers)
    assert answers.of(SKIRT).skirts == ()


def test_a_side_that_lies_lower_by_a_step() -> None:
    """80 mm lower: a gap of 100 mm; a skirt of 80 mm; fill of 47 mm by 80 mm and two banks of
    1 in 2, each 80 by 160 mm over two, along 6 m (closed form)."""
    answers = found(((-1000.0, -80.0), (7000.0, -80.0)))
    right = [gap for gap in answers.level.gaps if gap.side is Side.RIGHT]
    assert [gap.gap_mm for gap in right] == pytest.approx([100.0] * 4)
    assert [s.depths_mm for s in answers.of(SKIRT).skirts] == [(80.0, 80.0)] * 4
    assert answers.of(SKIRT).gap_mm == pytest.approx(20)
    assert answers.of(FILL).fill_mm3 == pytest.approx((47 * 80 + 2 * 80 * 160 / 2) * 6000)
    # A board goes 44 mm down, which leaves 56 mm: more than 45 mm, so it does not do.
    assert answers.of(FOLLOW).rises_mm[Side.RIGHT] == (-44.0, -44.0)
    assert answers.of(FOLLOW).gap_mm == pytest.approx(56)
    assert answers.kind is SKIRT


def test_boards_that_follow_step_at_their_joint() -> None:
    """Level for 1.5 m, then down by 30 mm to the end: 5 mm at the joint, so the second board goes
    down by that, and leaves 20 - 5 + 30 = 45 mm at its end, where a level one leaves 50."""
    answers = found(((0.0, 0.0), (1500.0, 0.0), (6000.0, -30.0)))
    follow = answers.of(FOLLOW)
    assert follow.rises_mm[Side.RIGHT] == pytest.approx((0.0, -5.0))
    assert follow.rises_mm[Side.LEFT] == (0.0, 0.0)
    assert (answers.level.gap_mm, follow.gap_mm) == (pytest.approx(50), pytest.approx(45))
    assert answers.kind is FOLLOW


def test_ground_that_rises_is_dug_away() -> None:
    """From 0 to 60 mm over 6 m: 40 mm into the board's place at the end, over 4 m of it, by a
    spade's width and the board's (closed form of a triangle)."""
    answers = found(((0.0, 0.0), (6000.0, 60.0)))
    assert answers.level.dig_mm == pytest.approx(40)
    assert answers.level.dig_mm3 == pytest.approx(147 * 40 * 4000 / 2)
    # The first board lies over ground of up to 22.5 mm, the second of up to 60 mm, of which its
    # holes allow 24.
    assert answers.of(FOLLOW).rises_mm[Side.RIGHT] == pytest.approx((22.5, 24.0))


def test_fill_under_a_ramp() -> None:
    """From 0 down to 120 mm over 6 m: t h L / 2 and n h² L / 3 (closed forms)."""
    fill = found(((0.0, 0.0), (6000.0, -120.0))).of(FILL)
    assert fill.fill_mm3 == pytest.approx(47 * 120 * 6000 / 2 + 2 * 120**2 * 6000 / 3)


def test_what_is_too_steep_names_its_bays_and_nothing_else() -> None:
    answers = found(((0.0, 0.0), (3000.0, 0.0), (6000.0, -1000.0)))
    assert answers.fitting == ()
    assert answers.kind is LEVEL
    assert [(gap.side, gap.bay) for gap in answers.of(FILL).unfit] == [
        (Side.RIGHT, 3), (Side.RIGHT, 4),
    ]  # fmt: skip
    assert found(FLAT, asked=FILL).kind is FILL
    assert not found(FLAT, asked=FILL).by_rule


GROUND = st.lists(
    st.tuples(st.floats(-900, 6900), st.floats(-250, 60)), min_size=2, max_size=9,
    unique_by=lambda point: round(point[0]),
)  # fmt: skip


@settings(max_examples=120, deadline=None, derandomize=True)
@given(points=GROUND)
def test_a_skirt_ends_above_its_ground_and_closes_its_bay(points) -> None:
    line = tuple(sorted(points))
    skirts = found(line).of(SKIRT)
    for skirt in skirts.skirts:
        first, last = skirt.depths_mm
        for at, z in stretch_of(line, skirt.low_mm, skirt.high_mm):
            share = (at - skirt.low_mm) / (skirt.high_mm - skirt.low_mm)
            under = 20.0 - (first + share * (last - first)) - z
            # As far above the ground as the board was, less where a strip would be too narrow.
            assert under >= 20.0 - 1e-6 or min(first, last) == 38.0
    for gap, level in zip(skirts.gaps, found(line).level.gaps, strict=True):
        assert gap.gap_mm <= level.gap_mm + 1e-6


@settings(max_examples=120, deadline=None, derandomize=True)
@given(points=GROUND)
def test_boards_that_follow_keep_to_their_holes_and_steps(points) -> None:
    line = tuple(sorted(points))
    for rises in found(line).of(FOLLOW).rises_mm.values():
        assert all(-44.0 - 1e-9 <= rise <= 24.0 + 1e-9 for rise in rises)
        assert all(abs(a - b) <= FOOTING.most_step_mm + 1e-9 for a, b in itertools.pairwise(rises))


def test_heights_between_points_are_straight() -> None:
    line = ((0.0, 0.0), (10.0, 20.0), (30.0, 0.0))
    assert [height_on(line, at) for at in (-5.0, 5.0, 20.0, 99.0)] == [0.0, 10.0, 10.0, 0.0]
    assert stretch_of(line, 5.0, 20.0) == ((5.0, 10.0), (10.0, 20.0), (20.0, 10.0))
