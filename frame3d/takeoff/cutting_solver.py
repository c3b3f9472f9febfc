"""The best plan in whole numbers: start, bound, and the solver for what lies between them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from frame3d.errors import CuttingError
from frame3d.geometry.sawing import steps_to_mm
from frame3d.takeoff.cutting_bound import Bound, lower_bound, step_of_prices
from frame3d.takeoff.cutting_choice import choose_covering, choose_exact
from frame3d.takeoff.cutting_greedy import fill, greedy_plans, shrink, trim_surplus
from frame3d.takeoff.cutting_patterns import patterns_worth
from frame3d.takeoff.cutting_problem import Column, Kind, Plan, Problem, Score

_MOST_COLUMNS = 20_000
_NODES = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """A plan, with a lower bound and whether it is proven for each part of its score."""

    plan: Plan
    bounds: Score
    proven: tuple[bool, bool, bool]


def solve(problem: Problem, seconds: float) -> Solution:
    """Return the best plan found.

    Raises
    ------
    CuttingError
        If the stock runs out.
    """
    plans = greedy_plans(problem) or [_plan_in_need(problem, seconds)]
    best = min(plans, key=problem.score)
    best, bound, lowest = _least_price(problem, plans, best, seconds)
    proven = problem.score(best).price == lowest
    return _least_waste(problem, best, bound, lowest, seconds, proven=proven)


def _least_price(
    problem: Problem, plans: Sequence[Plan], best: Plan, seconds: float
) -> tuple[Plan, Bound, int]:
    """The cheapest plan found, the columns' bound, and the best bound on the price known."""
    step = step_of_prices(problem)
    price = problem.score(best).price
    columns = dict.fromkeys(column for plan in plans for column in plan)
    bound = lower_bound(problem, columns, price)
    lowest = bound.price
    best = min([best, *_rounded(problem, bound.columns)], key=problem.score)
    price = problem.score(best).price
    for share, columns, whole in (
        (0.2, bound.columns, False),
        (0.8, None, True),
    ):
        if price <= lowest:
            break
        if columns is None:
            columns, whole = _columns(problem, bound, price - step, maximal=True)
        surplus = [bound.duals.surplus(i, price - step) for i in range(len(problem.sizes))]
        choice = choose_covering(problem, columns, surplus, price - step, lowest, seconds * share)
        if choice.plan is not None:
            best = min(best, trim_surplus(problem, choice.plan), key=problem.score)
            price = problem.score(best).price
        if whole:
            lowest = max(lowest, min(price, choice.bound))
    return best, bound, lowest


def _columns(
    problem: Problem, bound: Bound, price: int, *, maximal: bool
) -> tuple[list[Column], bool]:
    """All columns that a plan no dearer than a price can have, or those found and False."""
    found: dict[Column, None] = {}
    for place, kind in enumerate(problem.kinds):
        patterns = patterns_worth(
            problem.sizes, problem.counts, bound.duals.pieces, kind.room,
            bound.duals.threshold(problem, place, price), maximal=maximal, nodes=_NODES,
        )  # fmt: skip
        for pattern in patterns:
            if pattern is None or len(found) >= _MOST_COLUMNS:
                return list(bound.columns), False
            found[kind, pattern] = None
    return list(found), True


def _rounded(problem: Problem, columns: Iterable[Column]) -> list[Plan]:
    """Plans that use one column as often as they can, then the next, and fill up greedily."""
    plans = []
    fullest = sorted(columns, key=lambda column: problem.waste(*column) / column[0].length)
    for order in (fullest, fullest[::-1][: len(fullest) // 2]):
        left, plan = list(problem.counts), Counter()
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
        less = (score.price - lowest) // max(1, step_of_prices(problem))
        length = problem.kinds[0].length
        bounds = Score(lowest, score.waste - less * length, score.bars - less)
        return Solution(plan=best, bounds=bounds, proven=(proven, proven, proven))
    columns, whole = _columns(problem, bound, score.price, maximal=False)
    if not whole:
        columns = _parts_of([*best, *bound.columns])
    choice = choose_exact(problem, columns, best, seconds / 2)
    if choice.plan is not None:
        best = min(best, choice.plan, key=problem.score)
    score = problem.score(best)
    sure = proven and whole and choice.optimal
    waste = choice.bound if whole else 0
    bounds = Score(lowest, score.waste if sure else max(0, min(waste, score.waste)), score.bars)
    if not sure:
        bounds = bounds._replace(bars=_fewest_bars(problem))
    return Solution(plan=best, bounds=bounds, proven=(proven, sure, sure))


def _waste_is_fixed(problem: Problem) -> bool:
    return problem.kept is None and len(problem.kinds) == 1


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
    more = Kind(
        room=room, length=room, price=1, available=problem.total, limited=False, owned=False
    )
    asked = replace(problem, kinds=(*free, more), kept=None)
    plans = greedy_plans(asked)
    best, _, lowest = _least_price(asked, plans, min(plans, key=asked.score), seconds)
    if asked.score(best).price:
        raise CuttingError(_shortage(asked, best, more, proven=lowest > 0))
    own = dict(zip(free, problem.kinds, strict=True))
    return Counter({(own[kind], pattern): times for (kind, pattern), times in best.items()})


def _shortage(problem: Problem, plan: Plan, more: Kind, *, proven: bool) -> str:
    lost: Counter = Counter()
    for (kind, pattern), times in plan.items():
        for item, count in pattern if kind == more else ():
            lost[item] += count * times
    told = ", ".join(
        f"{count} of {steps_to_mm(problem.sizes[item] - problem.kerf):.2f} mm"
        for item, count in sorted(lost.items())
    )
    advice = "give more stock, or longer stock"
    if proven:
        return f"the stock runs out: {lost.total()} of {problem.total} pieces are left over " \
            f"({told}); {advice}"  # fmt: skip
    return (
        f"no plan was found in the time given that cuts all {problem.total} pieces from the stock "
        f"({told} left over); {advice}, or more seconds"
    )
