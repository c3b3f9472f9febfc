"""Plans made piece by piece: a start for the solver, and what is left when it finds no better.

Glossary
--------
first-fit decreasing : longest piece first, each on the first open bar that it fits.
best fit : on the open bar that it fills most.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from msgspec import Struct

from frame3d.takeoff.cutting.patterns import best_pattern
from frame3d.takeoff.cutting.problem import BarKind, Pattern, Plan, Problem

_NODES_A_BAR = 10_000
_NODES_IN_ALL = 500_000


class _OpenBar(Struct, kw_only=True):
    """A bar, the room left on it, and how many pieces of each size lie there."""

    kind: BarKind
    room: int
    content: dict[int, int] = {}

    def put(self, item: int, take: int, size: int) -> None:
        self.room -= take * size
        self.content[item] = self.content.get(item, 0) + take


def greedy_plans(problem: Problem) -> list[Plan]:
    """Return complete plans, several ways of choosing bars; empty where all run out of stock."""
    plans = []
    for order in _orders(problem.kinds):
        for best in (False, True):
            for fitting in (False, True):
                plan, missing = fill(problem, problem.counts, order, best=best, fitting=fitting)
                if not any(missing):
                    plans += [plan, shrink(problem, plan)]
        plan, missing = fill_fullest(problem, order)
        if not any(missing):
            plans += [plan, shrink(problem, plan)]
    return plans


def _orders(kinds: Sequence[BarKind]) -> Iterator[list[BarKind]]:
    """Owned bars first, short or long ones; then each kind that can be bought as the first."""
    owned = sorted((kind for kind in kinds if kind.owned), key=lambda kind: kind.room)
    bought = [kind for kind in kinds if not kind.owned]
    cheap = sorted(bought, key=lambda kind: (kind.price / kind.length, -kind.length))
    firsts: Sequence[BarKind | None] = bought or [None]
    for first in firsts:
        rest = [kind for kind in cheap if kind is not first]
        buying = ([first] if first else []) + rest
        yield owned + buying
        if len(owned) > 1:
            yield owned[::-1] + buying


def fill(
    problem: Problem,
    counts: Sequence[int],
    order: Sequence[BarKind],
    *,
    best: bool = False,
    fitting: bool = False,
) -> tuple[Plan, list[int]]:
    """Return the bars that hold the pieces, and how many of each size found no bar.

    Parameters
    ----------
    counts : sequence of int
        Pieces of each size.
    order : sequence of BarKind
        Which bars are opened first.
    best : bool
        Best fit in place of first fit.
    fitting : bool
        Of the bought kinds open the shortest one that the longest piece left fits, in place
        of the first.
    """
    left = {kind: kind.available for kind in order}
    bars: list[_OpenBar] = []
    missing = [0] * len(counts)
    for item, count in enumerate(counts):
        size = problem.sizes[item]
        for bar in sorted(bars, key=lambda bar: bar.room) if best else bars:
            if not count:
                break
            if take := min(count, bar.room // size):
                bar.put(item, take, size)
                count -= take
        while count:
            fits = [kind for kind in order if kind.room >= size and left[kind]]
            if not fits:
                missing[item] = count
                break
            kind = fits[0]
            if fitting and not kind.owned:
                kind = min(fits, key=lambda kind: kind.room)
            left[kind] -= 1
            bars.append(_OpenBar(kind=kind, room=kind.room))
            take = min(count, kind.room // size)
            bars[-1].put(item, take, size)
            count -= take
    plan = Counter((bar.kind, tuple(sorted(bar.content.items()))) for bar in bars)
    return plan, missing


def fill_fullest(problem: Problem, order: Sequence[BarKind]) -> tuple[Plan, list[int]]:
    """Return bars each with the longest piece left and whatever fills it best, and the missing.

    Parameters
    ----------
    order : sequence of BarKind
        Which bars are opened first.
    """
    left = {kind: kind.available for kind in order}
    counts, missing = list(problem.counts), [0] * len(problem.counts)
    plan: Plan = Counter()
    nodes = _NODES_IN_ALL
    for item, size in enumerate(problem.sizes):
        while counts[item]:
            kind = next((k for k in order if k.room >= size and left[k]), None)
            if kind is None:
                missing[item], counts[item] = counts[item], 0
                break
            counts[item] -= 1
            worth = best_pattern(
                problem.sizes, counts, problem.sizes, kind.room - size, min(nodes, _NODES_A_BAR)
            )
            nodes -= min(nodes, _NODES_A_BAR) - worth.nodes
            counts[item] += 1
            content = Counter(dict(worth.pattern))
            content[item] += 1
            times = min(left[kind], *(counts[i] // n for i, n in content.items()))
            left[kind] -= times
            for other, number in content.items():
                counts[other] -= number * times
            plan[kind, tuple(sorted(content.items()))] += times
    return plan, missing


def shrink(problem: Problem, plan: Plan) -> Plan:
    """Return the plan with each bar exchanged for the cheapest that still holds its pieces."""
    left = {kind: kind.available for kind in problem.kinds}
    for (kind, _), times in plan.items():
        left[kind] -= times
    better: Plan = Counter()
    for (kind, pattern), times in plan.items():
        load = problem.load(pattern)
        for _ in range(times):
            left[kind] += 1
            fits = [other for other in problem.kinds if other.room >= load and left[other]]
            chosen = min(fits, key=lambda k: (k.price, problem.waste(k, pattern), k is not kind))
            left[chosen] -= 1
            better[chosen, pattern] += 1
    return better


def trim_surplus(problem: Problem, plan: Plan) -> Plan:
    """Return a plan that cuts more than is asked for without the surplus.

    Each surplus piece is left out where that leaves the longest rest.
    """
    surplus = [-count for count in problem.counts]
    bars = [(kind, dict(pattern)) for (kind, pattern), n in plan.items() for _ in range(n)]
    for _, content in bars:
        for item, count in content.items():
            surplus[item] += count
    for item, count in enumerate(surplus):
        while count > 0:
            holders = [bar for bar in bars if bar[1].get(item)]
            kind, content = max(holders, key=lambda bar: bar[0].room - _load(problem, bar[1]))
            take = min(count, content[item])
            content[item] -= take
            count -= take
    trimmed: Plan = Counter()
    for kind, content in bars:
        pattern: Pattern = tuple(sorted((i, n) for i, n in content.items() if n))
        if pattern:
            trimmed[kind, pattern] += 1
    return shrink(problem, trimmed)


def _load(problem: Problem, content: dict[int, int]) -> int:
    return sum(problem.sizes[item] * count for item, count in content.items())
