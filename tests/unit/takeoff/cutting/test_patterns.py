"""Patterns and bounds against plain enumeration."""

from __future__ import annotations

import itertools
import random

import pytest

from frame3d.takeoff.cutting.bound import length_bound, lower_bound
from frame3d.takeoff.cutting.greedy import greedy_plans
from frame3d.takeoff.cutting.patterns import best_pattern, patterns_worth
from frame3d.takeoff.cutting.pieces_and_bars import CuttingRules, Piece, Stock
from frame3d.takeoff.cutting.problem import state_problem

SEEDS = range(60)


def drawn(seed: int):
    """Sizes, counts, values and room of a small knapsack."""
    draw = random.Random(seed)
    sizes = sorted(draw.sample(range(3, 40), draw.randint(1, 5)), reverse=True)
    counts = [draw.randint(1, 4) for _ in sizes]
    values = [draw.choice([0, size, draw.randint(0, 50)]) for size in sizes]
    return sizes, counts, values, draw.randint(2, 80)


def every_pattern(sizes, counts, room):
    """All ways of filling a bar, by trying all numbers."""
    for taken in itertools.product(*(range(count + 1) for count in counts)):
        if 0 < sum(t * s for t, s in zip(taken, sizes, strict=True)) <= room:
            yield taken


def worth(taken, values) -> int:
    return sum(t * v for t, v in zip(taken, values, strict=True))


def sparse(taken):
    return tuple((item, number) for item, number in enumerate(taken) if number)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_best_pattern_is_the_best_of_all(seed: int) -> None:
    sizes, counts, values, room = drawn(seed)
    best = max((worth(taken, values) for taken in every_pattern(sizes, counts, room)), default=0)
    found = best_pattern(sizes, counts, values, room, 10_000)
    assert found.value == found.ceiling == best
    assert sum(values[item] * number for item, number in found.pattern) == best
    cut_off = best_pattern(sizes, counts, values, room, 0)
    assert cut_off.value <= best <= cut_off.ceiling


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("maximal", [False, True])
def test_patterns_worth_at_least_so_much_are_all_found(seed: int, maximal: bool) -> None:
    sizes, counts, values, room = drawn(seed)
    for threshold in (0, 20, 45):
        expected = {
            sparse(taken)
            for taken in every_pattern(sizes, counts, room)
            if worth(taken, values) >= threshold
            and not (maximal and _can_take_more(taken, sizes, counts, room))
        }
        found = list(
            patterns_worth(sizes, counts, values, room, threshold, maximal=maximal, nodes=100_000)
        )
        assert len(found) == len(set(found))
        assert set(found) == expected


def _can_take_more(taken, sizes, counts, room) -> bool:
    left = room - sum(t * s for t, s in zip(taken, sizes, strict=True))
    return any(t < c and s <= left for t, s, c in zip(taken, sizes, counts, strict=True))


def test_too_many_patterns_end_with_none() -> None:
    found = list(patterns_worth([3, 2], [9, 9], [1, 1], 20, 0, maximal=False, nodes=5))
    assert found[-1] is None


def test_the_column_bound_is_that_of_the_linear_programme() -> None:
    # By hand: two pieces of 60 % of a bar never share one, so n pieces need n bars; by length
    # alone 10 x 0.6 = 6 bars.
    pieces = [Piece(mark="A", length_mm=600, count=10)]
    stocks = [Stock(name="m", length_mm=1000)]
    problem = state_problem(pieces, stocks, CuttingRules(), by_cost=False)
    plan = greedy_plans(problem)[0]
    by_length = length_bound(problem, plan, 99 * problem.kinds[0].price)
    assert by_length.price == 6 * problem.kinds[0].price
    assert lower_bound(problem, by_length, 99 * problem.kinds[0].price, 1).price == (
        10 * problem.kinds[0].price
    )


def test_a_limited_bar_lowers_the_bound_by_what_it_saves() -> None:
    # By hand: eight pieces of 500; a bar of 1000 for 10, and two for 4 each: 2 x 4 + 2 x 10 = 28.
    pieces = [Piece(mark="A", length_mm=500, count=8)]
    stocks = [
        Stock(name="full", length_mm=1000, price=10),
        Stock(name="cheap", length_mm=1000, price=4, available=2),
    ]
    problem = state_problem(pieces, stocks, CuttingRules(), by_cost=True)
    first = length_bound(problem, greedy_plans(problem)[0], 10**9)
    assert lower_bound(problem, first, 10**9, 1).price == 280_000
