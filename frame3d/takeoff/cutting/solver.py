"""The best plan in whole numbers: start, bound, and the solver for what lies between them.

First-fit and best-fit decreasing give a start, column generation a lower bound. What lies
between is settled by OR-Tools CP-SAT, which counts how often each cutting pattern is used: equal
bars are not told apart, so there is no symmetry. Patterns whose reduced cost exceeds the gap
are in no better plan and are left out; where the rest are still too many, the solver gets a
choice of them, and nothing is called proven but what meets the bound.
"""

from __future__ import annotations

import functools
from collections import Counter
from collections.abc import Iterable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from frame3d.errors import CuttingError
from frame3d.takeoff.cutting.bound import Bound, length_bound, lower_bound, step_of_prices
from frame3d.takeoff.cutting.choice import choose_covering, choose_exact
from frame3d.takeoff.cutting.greedy import fill, greedy_plans, shrink, trim_surplus
from frame3d.takeoff.cutting.patterns import patterns_worth
from frame3d.takeoff.cutting.problem import BarKind, Column, Plan, Problem, Score

_FEW_COLUMNS = 2_000
_MOST_COLUMNS = 20_000
_MOST_RAISES = 8
_NODES_A_COLUMN = 100
_NODES_A_SECOND = 2_000_000
"""Steps of the walk that finds columns: for each that there may be, and for the time given."""


class Solution(Struct, frozen=True, kw_only=True):
    """A plan, with a lower bound and whether it is proven for each part of its score."""

    plan: Plan
    bounds: Score
    proven: tuple[bool, bool, bool]


@functools.lru_cache(maxsize=256)  # designs that are compared share most of their sections
def solve(problem: Problem, seconds: float) -> Solution:
    """Return the best plan found; the same problem has the same one.

    Raises
    ------
    CuttingError
        If the stock runs out.
    """
    plans = greedy_plans(problem) or [_plan_in_need(problem, seconds)]
    best, bound, lowest = _least_price(problem, plans, seconds * 0.65)
    proven = problem.score(best).price == lowest
    return _least_waste(problem, best, bound, lowest, seconds * 0.35, proven=proven)


def _least_price(
    problem: Problem, plans: Sequence[Plan], seconds: float
) -> tuple[Plan, Bound, int]:
    """The cheapest plan found, the columns' bound, and the best bound on the price known."""
    best = min(plans, key=problem.score)
    first = length_bound(
        problem, (column for plan in plans for column in plan), problem.score(best).price
    )
    lowest = first.price
    if problem.score(best).price > lowest:
        # Where hardly anything can be wasted, few columns are left by length alone.
        best, lowest, settled = _try_all(problem, first, best, lowest, seconds / 4, _FEW_COLUMNS)
        if settled:
            return best, first, lowest
    bound = lower_bound(problem, first, problem.score(best).price, seconds)
    lowest = max(lowest, bound.price)
    best = min([best, *_rounded(problem, bound.columns)], key=problem.score)
    best, lowest = _raise(problem, bound, best, lowest, seconds / 4)
    best, _ = _try(problem, bound.columns, bound, best, lowest, seconds / 8)
    best, lowest, _ = _try_all(problem, bound, best, lowest, seconds / 2, _MOST_COLUMNS)
    return best, bound, lowest


def _raise(
    problem: Problem, bound: Bound, best: Plan, lowest: int, seconds: float
) -> tuple[Plan, int]:
    """The plan and the bound made better by asking for a plan that costs no more than the bound.

    Few columns can be in such a plan. If there is none, the bound is raised, and so on.
    """
    step = step_of_prices(problem)
    for _ in range(_MOST_RAISES):
        price = problem.score(best).price
        if price <= lowest:
            break
        columns = _columns(problem, bound, lowest, _FEW_COLUMNS, seconds, maximal=True)
        if columns is None:
            break
        surplus = [bound.duals.surplus(item, lowest) for item in range(len(problem.sizes))]
        choice = choose_covering(problem, columns, surplus, lowest, lowest, seconds / _MOST_RAISES)
        if choice.plan is not None:
            best = min(best, trim_surplus(problem, choice.plan), key=problem.score)
            break
        if not choice.optimal:
            break
        lowest += step
    return best, min(lowest, problem.score(best).price)


def _try_all(
    problem: Problem, bound: Bound, best: Plan, lowest: int, seconds: float, most: int
) -> tuple[Plan, int, bool]:
    """The plan and the bound made better with all columns of cheaper plans, if those are few.

    The last answer is whether nothing is left to be tried.
    """
    price = problem.score(best).price
    if price <= lowest:
        return best, lowest, True
    cheaper = price - step_of_prices(problem)
    columns = _columns(problem, bound, cheaper, most, seconds, maximal=True)
    if columns is None:
        return best, lowest, False
    best, reached = _try(problem, columns, bound, best, lowest, seconds)
    price = problem.score(best).price
    lowest = max(lowest, min(price, reached))
    return best, lowest, price <= lowest


def _try(
    problem: Problem, columns: Sequence[Column], bound: Bound, best: Plan, lowest: int,
    seconds: float,
) -> tuple[Plan, int]:  # fmt: skip
    """The best plan of some columns, and the bound that holds for these columns."""
    price = problem.score(best).price
    if price <= lowest:
        return best, price
    price -= step_of_prices(problem)
    surplus = [bound.duals.surplus(item, price) for item in range(len(problem.sizes))]
    choice = choose_covering(problem, columns, surplus, price, lowest, seconds)
    if choice.plan is not None:
        best = min(best, trim_surplus(problem, choice.plan), key=problem.score)
    return best, choice.bound


def _columns(
    problem: Problem, bound: Bound, price: int, most: int, seconds: float, *, maximal: bool
) -> list[Column] | None:
    """All columns that a plan no dearer than a price can have; None if they are too many."""
    nodes = min(most * _NODES_A_COLUMN, int(seconds * _NODES_A_SECOND))
    found: dict[Column, None] = {}
    for place, kind in enumerate(problem.kinds):
        patterns = patterns_worth(
            problem.sizes, problem.counts, bound.duals.pieces, kind.room,
            bound.duals.threshold(problem, place, price), maximal=maximal, nodes=nodes,
        )  # fmt: skip
        for pattern in patterns:
            if pattern is None or len(found) >= most:
                return None
            found[kind, pattern] = None
    return list(found)


def _rounded(problem: Problem, columns: Iterable[Column]) -> list[Plan]:
    """Plans that use one column as often as they can, then the next, and fill up greedily."""
    plans = []
    fullest = sorted(columns, key=lambda column: problem.waste(*column) / column[0].length)
    for order in (fullest, fullest[::-1][: len(fullest) // 2]):
        left = list(problem.counts)
        plan: Plan = Counter()
        stock = {kind: kind.available for kind in problem.kinds}
        for kind, pattern in order:
            times = min(stock[kind], *(left[item] // count for item, count in pattern))
            if times:
                plan[kind, pattern] += times
                stock[kind] -= times
                for item, count in pattern:
                    left[item] -= times * count
        kinds = [replace(kind, available=stock[kind]) for kind in problem.kinds]
        rest, missing = fill(problem, left, kinds, best=True)
        if not any(missing):
            whole = {kind: own for kind, own in zip(kinds, problem.kinds, strict=True)}
            for (kind, pattern), times in rest.items():
                plan[whole[kind], pattern] += times
            plans.append(shrink(problem, plan))
    return plans


def _least_waste(
    problem: Problem, best: Plan, bound: Bound, lowest: int, seconds: float, *, proven: bool
) -> Solution:
    """Among plans of the same price the one with least waste, then with fewest bars."""
    score = problem.score(best)
    if _waste_is_fixed(problem):
        # Price fixes the bars, and what they leave over is all waste.
        less = (score.price - lowest) // problem.kinds[0].price
        length = problem.kinds[0].length
        bounds = Score(lowest, score.waste - less * length, score.bars - less)
        return Solution(plan=best, bounds=bounds, proven=(proven, proven, proven))
    columns = _columns(problem, bound, score.price, _MOST_COLUMNS, seconds, maximal=False)
    whole = columns is not None
    if columns is None:
        columns = _parts_of([*best, *bound.columns])
    choice = choose_exact(problem, columns, best, seconds)
    if choice.plan is not None:
        best = min(best, choice.plan, key=problem.score)
    score = problem.score(best)
    sure = whole and choice.optimal
    waste = choice.bound if whole else 0
    bounds = Score(lowest, score.waste if sure else max(0, min(waste, score.waste)), score.bars)
    if not sure:
        bounds = bounds._replace(bars=_fewest_bars(problem))
    return Solution(plan=best, bounds=bounds, proven=(proven, sure, sure))


def _waste_is_fixed(problem: Problem) -> bool:
    return problem.kept is None and len(problem.kinds) == 1 and problem.kinds[0].price > 0


def _fewest_bars(problem: Problem) -> int:
    load = sum(size * count for size, count in zip(problem.sizes, problem.counts, strict=True))
    return -(-load // max(kind.room for kind in problem.kinds))


def _parts_of(columns: Iterable[Column]) -> list[Column]:
    """The columns, and each with its shortest pieces left out one after the other."""
    found: dict[Column, None] = {}
    for kind, pattern in columns:
        while pattern:
            found[kind, pattern] = None
            *front, (item, count) = pattern
            pattern = (*front, (item, count - 1)) if count > 1 else tuple(front)
    return list(found)[:_MOST_COLUMNS]


def _plan_in_need(problem: Problem, seconds: float) -> Plan:
    """A plan where greedy ones run out of stock, by asking for the fewest bars more.

    Raises
    ------
    CuttingError
        If there is none, or none is found.
    """
    free = [replace(kind, price=0, limited=True) for kind in problem.kinds]
    room = max(kind.room for kind in problem.kinds)
    more = BarKind(
        room=room, length=room, price=1, available=problem.total, limited=False, owned=False
    )
    asked = replace(problem, kinds=(*free, more), kept=None)
    plans = greedy_plans(asked)
    best, _, lowest = _least_price(asked, plans, seconds)
    if asked.score(best).price:
        raise CuttingError(_shortage(asked, best, more, proven=lowest > 0))
    own = dict(zip(free, problem.kinds, strict=True))
    return Counter({(own[kind], pattern): times for (kind, pattern), times in best.items()})


def _shortage(problem: Problem, plan: Plan, more: BarKind, *, proven: bool) -> str:
    lost = sum(
        count * times
        for (kind, pattern), times in plan.items()
        if kind == more
        for _, count in pattern
    )
    if proven:
        return (
            f"the stock runs out: {lost} of {problem.total} pieces do not fit; give more stock, or "
            "longer stock"
        )
    return (
        f"no plan was found in the time given: {lost} of {problem.total} pieces do not fit; give "
        "more stock, longer stock, or more seconds"
    )
