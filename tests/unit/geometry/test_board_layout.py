"""Boards along the sides: the trade's examples, the rule, its breaches, errors."""

from __future__ import annotations

import math

import pytest

from frame3d.errors import BoardError, Frame3dError
from frame3d.frame.sides.board_joints import board_joints, boards_needed
from frame3d.geometry.board_layout import BoardLayout, lay_out_boards

FOOT = 304.8


def laid(
    bays: int, bay: float, stock: list[float], *, overhang: float = 0.0, unit: float = FOOT, **more
) -> BoardLayout:
    """Boards past so many equal bays; lengths in feet, or in another unit."""
    more = {"least_clear_mm": 300.0, **more}
    return lay_out_boards(
        (-overhang * unit, (bays * bay + overhang) * unit),
        [n * bay * unit for n in range(bays + 1)],
        [length * unit for length in stock],
        **more,
    )


def lengths(layout: BoardLayout, unit: float = FOOT) -> list[list[float]]:
    return [[round(length / unit, 6) for length in side] for side in layout.lengths_mm]


@pytest.mark.parametrize(
    ("bays", "stock", "pieces", "boards"),
    [
        # Eleven hoops at 4 ft and 8 ft boards: five a side and nothing wasted; 36 ft of 12 ft
        # boards: three a side (common practice, no source).
        (10, 8, [6, 8, 8, 8, 8, 2], 5),
        (9, 12, [6, 12, 12, 6], 3),
    ],
)
@pytest.mark.parametrize("sides", [1, 2])
def test_examples_of_the_trade(bays, stock, pieces, boards, sides) -> None:
    found = laid(bays, 4, [stock], sides=sides)
    assert lengths(found) == [pieces] * sides
    assert len(found.boards) == boards * sides
    # One board of a side is cut in two; the last piece ends with it.
    assert found.cuts == sides
    assert found.waste_mm == pytest.approx(0, abs=1e-6)
    assert found.breaches == () and found.proven


@pytest.mark.parametrize("bays", range(1, 25))
@pytest.mark.parametrize("stock", [8, 10, 12, 16])
@pytest.mark.parametrize("overhang", [0, 1 / 6])
def test_never_more_boards_than_the_rule_of_the_frame(bays, stock, overhang) -> None:
    run = (-overhang * FOOT, (bays * 4 + overhang) * FOOT)
    joints = board_joints(run, 4 * FOOT, stock * FOOT)
    stops = [run[0], *joints, run[1]]
    needed = boards_needed([b - a for a, b in zip(stops, stops[1:], strict=False)], stock * FOOT)
    found = laid(bays, 4, [stock], overhang=overhang, sides=1)
    assert (len(found.boards), len(found.joints_mm[0])) <= (needed, len(joints))


def test_two_sides_share_an_offcut() -> None:
    # By hand: each side is 8 ft 8 in long, so 12 ft boards do one side and 18 ft boards both.
    assert len(laid(2, 4, [12], overhang=1 / 3).boards) == 2
    both = laid(2, 4, [18], overhang=1 / 3)
    assert [board.pieces for board in both.boards] == [((0, 0), (1, 0))]


def test_a_kerf_can_cost_a_board() -> None:
    # 6 ft and 2 ft come out of 8 ft only if the saw takes nothing.
    assert len(laid(10, 4, [8], sides=1, kerf_mm=3).boards) == 6


def test_joints_stay_mid_bay_though_that_costs_boards() -> None:
    # Bays of 5 ft, boards of 8 ft: mid-bay to mid-bay a board gives 5 ft, and 60 ft are seven
    # and a half boards.
    kept = laid(12, 5, [8], sides=1)
    assert {round(j / FOOT / 5 % 1, 6) for j in kept.joints_mm[0]} == {0.5}
    assert len(kept.boards) > math.ceil(60 / 8)


def test_mid_bay_is_left_where_it_cannot_be_kept() -> None:
    # From mid-bay to mid-bay are 2 m; from the start to the first mid-bay and so on 1.5 m, so
    # 1.9 m boards reach only from clear places nearer to the hoops.
    hoops = [0.0, 3000.0, 4000.0, 7000.0]
    found = lay_out_boards((0, 7000), hoops, [1900], least_clear_mm=300, sides=1)
    assert found.breaches == ()
    clear = [min(abs(joint - hoop) for hoop in hoops) for joint in found.joints_mm[0]]
    assert min(clear) >= 300
    assert max(found.lengths_mm[0]) <= 1900


def test_several_stock_lengths_waste_least() -> None:
    # 20 ft with hoops at 4 ft: 12 + 8 would meet at a hoop, 10 + 10 is mid-bay.
    found = laid(5, 4, [8, 10, 12], sides=1)
    assert lengths(found) == [[10, 10]]
    assert [round(board.stock_mm / FOOT) for board in found.boards] == [10, 10]
    assert (found.cuts, round(found.waste_mm, 6)) == (0, 0)


def test_the_rule_broken_is_told_with_where() -> None:
    # A bay of 4 m needs three boards of 1.5 m, and there are two hoops to cross.
    found = laid(1, 4, [1.5], unit=1000, sides=1)
    assert [breach.clear_mm for breach in found.breaches] == [None]
    # Six boards of 2 m on five hoops: one joint on the middle hoop, and each board has one.
    found = laid(4, 3, [2], unit=1000, sides=1)
    assert [(breach.at_mm, breach.clear_mm) for breach in found.breaches] == [(6000, 0)]
    # Joints cannot stay 1.1 m from hoops 2 m apart; mid-bay they are 1 m from them.
    found = laid(6, 2, [4], unit=1000, sides=1, least_clear_mm=1100)
    near = [breach for breach in found.breaches if breach.clear_mm is not None]
    assert [breach.clear_mm for breach in near] == [1000] * len(found.joints_mm[0])


def test_one_board_is_enough_for_a_short_side() -> None:
    found = laid(2, 4, [8, 12], sides=2)
    assert found.joints_mm == ((), ())
    assert [round(board.stock_mm / FOOT) for board in found.boards] == [8, 8]


def test_joints_are_where_the_hoops_put_them() -> None:
    bay = 1234.56789
    found = lay_out_boards((0, 4 * bay), [n * bay for n in range(5)], [3000], least_clear_mm=300)
    middles = {(n * bay + (n + 1) * bay) / 2 for n in range(4)}
    assert {joint for side in found.joints_mm for joint in side} <= middles


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ({"run_mm": (5, 5)}, "a side runs from 5 to 5 mm; its end must lie past its start"),
        ({"run_mm": (0, math.nan)}, "a side runs from 0 to nan mm"),
        ({"stock_mm": []}, "no length of board to lay out; give at least one"),
        ({"stock_mm": [99]}, "got a board of 99 mm; give lengths of at least 100 mm"),
        ({"hoops_mm": [0, 0]}, "got hoops at 0, 0 mm; give each once, rising"),
        ({"hoops_mm": [0, 4001]}, r"within the side \(0 to 4000 mm\)"),
        ({"least_clear_mm": -1}, "least_clear_mm is -1; give a length of zero or more"),
        ({"kerf_mm": math.inf}, "kerf_mm is inf; give a length of zero or more"),
        ({"sides": 0}, "got 0 sides; give at least one"),
    ],
)
def test_what_makes_no_sense_is_told(arguments, message: str) -> None:
    sound = {
        "run_mm": (0, 4000), "hoops_mm": [0, 2000, 4000], "stock_mm": [3000],
        "least_clear_mm": 300, "kerf_mm": 3, "sides": 2,
    }  # fmt: skip
    lay_out_boards(**sound)
    with pytest.raises(BoardError, match=message):
        lay_out_boards(**{**sound, **arguments})


def test_the_error_is_one_of_ours_and_a_value_error() -> None:
    assert issubclass(BoardError, Frame3dError) and issubclass(BoardError, ValueError)
