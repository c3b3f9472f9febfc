"""Cutting plans: rules of the saw, stock, aims, errors; and that the judge sees what is spoilt."""

from __future__ import annotations

import math

import pytest
from cutting_judge import faults
from msgspec import structs

from frame3d.errors import CuttingError, Frame3dError
from frame3d.takeoff.cutting.plan_cuts import (
    Aim,
    AimReached,
    Bar,
    Cut,
    CuttingPlan,
    CuttingRules,
    Goal,
    Piece,
    Stock,
    plan_cuts,
)  # fmt: skip

INCH = 25.4
FOOT = 304.8


def piece(length: float, count: int = 1, mark: str | None = None) -> Piece:
    return Piece(mark=mark or f"L{length:g}", length_mm=length, count=count)


def bar(length: float, **more) -> Stock:
    return Stock(name=more.pop("name", f"{length:g}"), length_mm=length, **more)


def planned(pieces, stocks, goal: Goal = Goal.LEAST_WASTE, **rules) -> CuttingPlan:
    """The plan, after the judge has looked at it."""
    rules = CuttingRules(**rules)
    plan = plan_cuts(pieces, stocks, rules, goal=goal)
    assert faults(plan, pieces, stocks, rules) == []
    return plan


def taken(plan: CuttingPlan) -> list[float]:
    return [b.stock.length_mm for b in plan.bars]


def test_one_kerf_less_where_the_last_piece_ends_with_the_bar() -> None:
    # 3 x 1000 + 2 x 5 = 3010.
    assert len(planned([piece(1000, 3)], [bar(3010)], kerf_mm=5).bars) == 1
    assert len(planned([piece(1000, 3)], [bar(3009.99)], kerf_mm=5).bars) == 2


def test_a_rest_shorter_than_a_kerf_is_sawn_away() -> None:
    plan = planned([piece(1000, 3)], [bar(3013)], kerf_mm=5)
    assert [b.rest_mm for b in plan.bars] == [0]
    assert plan.waste_mm == 13


def test_end_trim_is_taken_off_each_bar_owned_ones_too() -> None:
    stocks = [bar(2020), bar(1020, owned=True, available=1)]
    assert taken(planned([piece(1000, 3)], stocks, end_trim_mm=20)) == [1020, 2020]
    assert taken(planned([piece(1000, 3)], stocks, end_trim_mm=21)) == [2020, 2020, 2020]


def test_sixteenths_of_an_inch_fit_exactly() -> None:
    # 3 x 24 1/16 in = 72 3/16 in, none of them a whole number of hundredths of a mm.
    pieces, stocks = [piece(24.0625 * INCH, 3)], [bar(72.1875 * INCH)]
    assert len(planned(pieces, stocks).bars) == 1
    assert len(planned(pieces, [bar(72.1875 * INCH - 0.001)]).bars) == 2


def test_noise_of_floats_is_forgiven() -> None:
    lengths = [0.1 + 0.2, 0.3, 1800 / 7 * 7 - 0.6]
    assert sum(lengths) > 1800 - 1e-9
    assert len(planned([piece(length) for length in lengths], [bar(1800)]).bars) == 1


def test_cuts_come_longest_first_with_their_marks_and_exact_lengths() -> None:
    pieces = [
        piece(700.123456, 2, "B"), piece(1200.5, 1, "A"), piece(700.123456, 1, "C"),
        piece(800, 0, "none"),
    ]  # fmt: skip
    plan = planned(pieces, [bar(4000)])
    (only,) = plan.bars
    assert [cut.mark for cut in only.cuts] == ["A", "B", "B", "C"]
    assert only.cuts[1].length_mm == 700.123456


def test_owned_stock_is_used_first_and_costs_nothing() -> None:
    stocks = [bar(6000, price=30), bar(3100, owned=True, available=1, price=99)]
    plan = planned([piece(3000, 3)], stocks, Goal.LEAST_COST)
    assert taken(plan) == [3100, 6000]
    assert plan.cost == 30
    assert plan.bought == ((stocks[0], 1),)


def test_owned_stock_that_saves_nothing_stays_in_the_yard() -> None:
    stocks = [bar(6000), bar(3500, owned=True, available=1)]
    assert taken(planned([piece(3000, 2)], stocks)) == [6000]


def test_as_few_owned_bars_are_used_as_can_be() -> None:
    # Nothing is bought, so the first aim says nothing; first-fit decreasing needs three bars.
    pieces = [piece(length * 100, count) for length, count in ((5, 1), (4, 2), (3, 1), (2, 2))]
    for kept in (math.inf, 400):
        plan = planned(pieces, [bar(1000, owned=True, available=3)], shortest_kept_mm=kept)
        assert len(plan.bars) == 2
        assert all(aim.proven for aim in plan.aims)


def test_an_offcut_takes_what_leaves_the_rest_worth_keeping() -> None:
    # Bought is 6000 either way; with the two short pieces from the offcut 1500 mm stay whole.
    pieces = [piece(4500), piece(500, 2)]
    stocks = [bar(6000), bar(1000, owned=True, available=1)]
    plan = planned(pieces, stocks, shortest_kept_mm=1200)
    assert taken(plan) == [1000, 6000]
    assert (plan.waste_mm, plan.kept_mm) == (0, 1500)
    # Where it isn't worth keeping, one bar does.
    assert taken(planned(pieces, stocks, shortest_kept_mm=1600)) == [6000]


def test_offcuts_are_no_reason_to_buy_more() -> None:
    plan = planned([piece(1000, 5)], [bar(6000)], shortest_kept_mm=600, kerf_mm=3)
    assert taken(plan) == [6000]
    assert plan.kept_mm == 1000 - 5 * 3


def test_rests_are_gathered_into_one_worth_keeping() -> None:
    # Two bars in any case; 1500 + 1500 and 1000 + 1000 leave 1000, two of 1500 + 1000 only 500.
    plan = planned([piece(1000, 2), piece(1500, 2)], [bar(3000)], shortest_kept_mm=1000)
    assert plan.kept_mm == 1000
    assert plan.waste_mm == 0


def test_least_cost_and_least_waste_part_ways() -> None:
    # 24 ft for 30, or 20 ft for 20: four pieces of 6 ft take one 24 ft bar, or two of 20 ft.
    stocks = [bar(24 * FOOT, price=45), bar(20 * FOOT, price=20)]
    pieces = [piece(6 * FOOT, 4)]
    assert taken(planned(pieces, stocks)) == [24 * FOOT]
    cheap = planned(pieces, stocks, Goal.LEAST_COST)
    assert taken(cheap) == [20 * FOOT] * 2
    assert cheap.cost == 40
    assert cheap.aims[0] == AimReached(aim=Aim.COST, value=40, bound=40, proven=True)


def test_limited_stock_is_not_overdrawn() -> None:
    stocks = [bar(4000, available=2), bar(6000)]
    # Twelve pieces of 2000 fill bars of 4000 and of 6000 whole.
    plan = planned([piece(2000, 12)], stocks)
    assert plan.waste_mm == 0
    assert taken(plan).count(4000) <= 2


def test_a_plan_is_found_where_greedy_ones_run_out() -> None:
    # 5 + 3 + 2 and 4 + 4 + 2 fill two bars; first-fit decreasing pairs 5 with 4 and needs three.
    pieces = [piece(length * 100, count) for length, count in ((5, 1), (4, 2), (3, 1), (2, 2))]
    assert len(planned(pieces, [bar(1000, available=2)]).bars) == 2
    # 6, 5, 5, 4 and bars of 11 and 9: the long bar must take 6 + 5, not what fills it least.
    plan = planned(
        [piece(600), piece(500, 2), piece(400)], [bar(1100, available=1), bar(900, available=1)]
    )
    assert sorted(taken(plan)) == [900, 1100]


def test_stocks_of_one_length_keep_their_names() -> None:
    stocks = [bar(3000, name="rack 1", available=1), bar(3000, name="rack 2")]
    plan = planned([piece(3000, 3)], stocks)
    assert [b.stock.name for b in plan.bars] == ["rack 1", "rack 2", "rack 2"]
    assert plan.bought == ((stocks[0], 1), (stocks[1], 2))
    assert plan.cost is None


def test_nothing_to_cut_needs_nothing() -> None:
    plan = planned([piece(1000, 0)], [])
    assert (plan.bars, plan.bought, plan.waste_mm, plan.kept_mm) == ((), (), 0, 0)
    assert plan.proven and plan.gap == 0


def test_the_same_input_gives_the_same_plan() -> None:
    pieces = [piece(700 + 37.3 * n, 5 + n) for n in range(12)]
    stocks = [bar(6000, price=20), bar(7300, price=24), bar(2100, owned=True, available=2)]
    rules = CuttingRules(kerf_mm=3, shortest_kept_mm=600)
    first, second = (
        plan_cuts(pieces, stocks, rules, goal=Goal.LEAST_COST, seconds=0.5) for _ in range(2)
    )
    assert first == second


def test_what_is_not_proven_states_its_gap() -> None:
    aims = (
        AimReached(aim=Aim.COST, value=200, bound=190, proven=False),
        AimReached(aim=Aim.WASTE, value=5, bound=0, proven=False),
    )
    plan = CuttingPlan(bars=(), bought=(), waste_mm=0, kept_mm=0, cost=200, aims=aims)
    assert (plan.proven, plan.aims[0].bound, plan.gap) == (False, 190, 0.05)


def test_a_hard_case_without_time_is_told_honestly() -> None:
    # 60 triplets, all different: the optimum is 60 bars; next to no time is given.
    pieces, n = [], 60
    for k in range(n):
        long, middle = 380 + k * 0.91, 251 + (k * 37 % n) * 0.07
        pieces += [piece(long), piece(middle), piece(1000 - long - middle)]
    stocks, rules = [bar(1000)], CuttingRules()
    plan = plan_cuts(pieces, stocks, rules, seconds=0.01)
    assert faults(plan, pieces, stocks, rules) == []
    assert plan.aims[0].bound == pytest.approx(n * 1000)
    assert plan.proven == (len(plan.bars) == n)
    assert plan.gap == pytest.approx(1 - n / len(plan.bars))


@pytest.mark.parametrize(
    ("pieces", "stocks", "rules", "message"),
    [
        ([piece(6001)], [bar(6000)], {}, r"piece L6001 is 6001\.00 mm long; the longest stock is "
         r"6000\.00 mm: give longer stock"),
        ([piece(6000)], [bar(6000)], {"end_trim_mm": 10}, "after an end trim of 10 mm"),
        ([piece(1)], [], {}, r"no stock to cut 1 pieces from \(got: none\)"),
        ([piece(1)], [bar(10)], {"end_trim_mm": 10}, "longer than the trim and available"),
        ([piece(1)], [bar(10, available=0)], {}, r"got: 10 \(10 mm\)"),
        ([piece(3000, 5)], [bar(6000, available=2)], {}, 
         "the stock runs out: 1 of 5 pieces do not fit; give more stock"),
        ([piece(5000, 2), piece(1000, 4)], [bar(5500, available=1), bar(2000)], {},
         "runs out: 1 of 6 pieces do not fit"),
        ([piece(0)], [bar(10)], {}, r"piece L0 has a length of 0 mm; give at least 0\.01 mm"),
        ([piece(math.nan)], [bar(10)], {}, "piece Lnan has a length of nan mm"),
        ([piece(5, -1)], [bar(10)], {}, "piece L5 has a count of -1; give a whole number"),
        ([piece(5, 1.5)], [bar(10)], {}, r"piece L5 has a count of 1\.5"),
        ([piece(5)], [bar(-10)], {}, "stock -10 has a length of -10 mm; give one above zero"),
        ([piece(5)], [bar(10, available=-1)], {}, "stock 10 has -1 available; give a whole"),
        ([piece(5)], [bar(10, price=-1)], {}, "stock 10 has a price of -1; give zero or more"),
        ([piece(5)], [bar(10)], {"kerf_mm": -1}, "kerf_mm is -1; give a length of zero or more"),
        ([piece(5)], [bar(10)], {"end_trim_mm": math.inf}, "end_trim_mm is inf"),
        ([piece(5)], [bar(10)], {"shortest_kept_mm": math.nan}, "shortest_kept_mm is nan"),
    ],
)  # fmt: skip
def test_what_cannot_be_cut_is_told(pieces, stocks, rules, message: str) -> None:
    with pytest.raises(CuttingError, match=message):
        plan_cuts(pieces, stocks, CuttingRules(**rules))


def test_least_cost_asks_for_every_price() -> None:
    with pytest.raises(CuttingError, match="stock 10 has no price, which least cost needs"):
        plan_cuts([piece(5)], [bar(10)], goal=Goal.LEAST_COST)
    owned = bar(10, owned=True, available=1)
    assert plan_cuts([piece(5)], [owned], goal=Goal.LEAST_COST).cost == 0


@pytest.mark.parametrize("seconds", [0, -1, math.inf, math.nan])
def test_time_must_be_above_zero(seconds: float) -> None:
    with pytest.raises(CuttingError, match="seconds for a cutting plan; give a number above zero"):
        plan_cuts([piece(5)], [bar(10)], seconds=seconds)


def test_the_error_is_one_of_ours_and_a_value_error() -> None:
    assert issubclass(CuttingError, Frame3dError) and issubclass(CuttingError, ValueError)


PIECES = [piece(1000, 3, "A"), piece(500, 1, "B")]
STOCKS = [bar(2100, available=2, price=7.0)]
RULES = CuttingRules(kerf_mm=3, shortest_kept_mm=500)


def spoilt(**changes) -> CuttingPlan:
    """A sound plan, changed in one thing."""
    return structs.replace(plan_cuts(PIECES, STOCKS, RULES), **changes)


def spoilt_bar(number: int, **changes) -> CuttingPlan:
    bars = list(spoilt().bars)
    bars[number] = structs.replace(bars[number], **changes)
    return spoilt(bars=tuple(bars))


def test_the_judge_finds_nothing_in_a_sound_plan() -> None:
    assert faults(spoilt(), PIECES, STOCKS, RULES) == []


LONG = tuple(Cut(mark="A", length_mm=1000) for _ in range(3))
OTHER = bar(9000)


@pytest.mark.parametrize(
    ("plan", "told"),
    [
        (lambda: spoilt_bar(0, cuts=LONG[:1]), "wanted"),
        (lambda: spoilt_bar(0, cuts=()), "nothing is cut"),
        (lambda: spoilt_bar(0, cuts=LONG), "mm too short"),
        (lambda: spoilt_bar(1, cuts=spoilt().bars[1].cuts[::-1]), "not longest first"),
        (lambda: spoilt_bar(0, rest_mm=700.0), "are left, not 700"),
        (lambda: spoilt_bar(0, stock=OTHER), "no such stock"),
        (lambda: spoilt(bars=spoilt().bars * 2), "4 of 2100 used, 2 there"),
        (lambda: spoilt(bought=()), "bought is not"),
        (lambda: spoilt(cost=13.0), "sum of the prices"),
        (lambda: spoilt(kept_mm=0.0), "are kept, not 0"),
        (lambda: spoilt(waste_mm=1.0), "pieces, kept and waste"),
        (
            lambda: spoilt(aims=(AimReached(aim=Aim.WASTE, value=1, bound=2, proven=False),)),
            "bound 2 of 1",
        ),
    ],
)
def test_the_judge_sees_what_is_spoilt(plan, told: str) -> None:
    assert any(told in fault for fault in faults(plan(), PIECES, STOCKS, RULES))


def test_the_judge_wants_no_cost_without_a_price() -> None:
    stocks = [bar(2100, available=2)]
    plan = plan_cuts(PIECES, stocks, RULES)
    assert plan.cost is None
    wrong = structs.replace(plan, cost=14.0)
    assert faults(wrong, PIECES, stocks, RULES) == ["cost without a price"]


def test_a_bar_names_what_it_is_cut_from() -> None:
    assert plan_cuts([piece(5)], [bar(10)]).bars == (
        Bar(stock=bar(10), cuts=(Cut(mark="L5", length_mm=5),), rest_mm=5.0),
    )
