"""A lower bound on what must be bought, by column generation, exact in spite of floats.

Glossary
--------
dual prices : what one more piece of a size would cost, and what one more bar of a limited
    kind would save. Prices under which no pattern is worth more than its bar costs give a
    lower bound: what all pieces are worth, less what limited bars save.
reduced cost : what a bar costs beyond the worth of its pattern. A plan costs the bound plus
    the reduced costs of its bars, at least.

The linear programme is solved in floats, but its prices are then rounded to whole numbers and
the most valuable pattern of each kind is found in whole numbers, so the bound holds.

References
----------
P. C. Gilmore and R. E. Gomory, Operations Research 9 (1961), 849-859, for the columns;
A. A. Farley, "A note on bounding a class of linear programming problems, including cutting
stock problems", Operations Research 38 (1990), 922-923, for scaling the prices (both from
memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from msgspec import Struct

from frame3d.takeoff.cutting.patterns import best_pattern
from frame3d.takeoff.cutting.problem import Column, Problem

_FINENESS = 1 << 40
"""The dearest bar costs about so many units of the dual prices."""

_MOST_ROUNDS = 400
_ROWS_A_SECOND = 12_000
"""Sizes that the rounds may have, all together: more of them make a round longer."""

_NODES_A_KNAPSACK = 100_000
_NODES_A_SECOND = 2_000_000


class DualPrices(Struct, frozen=True, kw_only=True):
    """Whole dual prices under which the bound holds.

    Parameters
    ----------
    pieces : tuple of int
        For each size.
    bars : tuple of int
        For each kind, what it saves; zero where any number can be had.
    scale : int
        Units to one unit of price.
    total : int
        The bound, in units.
    """

    pieces: tuple[int, ...]
    bars: tuple[int, ...]
    scale: int
    total: int

    def threshold(self, problem: Problem, place: int, price: int) -> int:
        """What a pattern of a kind must be worth to be in a plan no dearer than a price."""
        kind = problem.kinds[place]
        return kind.price * self.scale + self.bars[place] - (price * self.scale - self.total)

    def surplus(self, item: int, price: int) -> int | None:
        """How many pieces too many a plan no dearer than a price can cut; None for any number."""
        worth = self.pieces[item]
        return (price * self.scale - self.total) // worth if worth else None


class Bound(Struct, frozen=True, kw_only=True):
    """The lower bound on the price of any plan, its dual prices, and the columns found."""

    price: int
    duals: DualPrices
    columns: tuple[Column, ...]


def step_of_prices(problem: Problem) -> int:
    """What all prices are whole multiples of, so that every plan's price is too."""
    return math.gcd(*(kind.price for kind in problem.kinds)) or 1


def length_bound(problem: Problem, start: Iterable[Column], enough: int) -> Bound:
    """Return the bound by length alone: all pieces together need so much bar."""
    dearest = max(kind.price for kind in problem.kinds)
    duals = _by_length(problem, max(1, _FINENESS // max(1, dearest)))
    price = _rounded_up(problem, duals)
    return Bound(price=min(price, enough), duals=duals, columns=tuple(dict.fromkeys(start)))


def lower_bound(problem: Problem, first: Bound, enough: int, seconds: float) -> Bound:
    """Return the bound by column generation, and columns among which a good plan is likely.

    Parameters
    ----------
    first : Bound
        A bound to improve, with the columns of a plan that holds all pieces.
    enough : int
        The price of the best plan known; a bound that reaches it is not improved.
    seconds : float
        What it may take, about; counted, not measured.
    """
    columns = dict.fromkeys(first.columns)
    best, price, nodes = first.duals, first.price, seconds * _NODES_A_SECOND
    scale = best.scale
    for _ in range(min(_MOST_ROUNDS, 1 + int(seconds * _ROWS_A_SECOND) // len(problem.sizes))):
        if price >= enough or nodes <= 0:
            break
        wanted, savings = _solve_master(problem, list(columns))
        values = [max(0, math.floor(value * scale)) for value in wanted]
        worths = []
        for kind in problem.kinds:
            worths.append(
                best_pattern(problem.sizes, problem.counts, values, kind.room, _NODES_A_KNAPSACK)
            )
            nodes -= _NODES_A_KNAPSACK - worths[-1].nodes
        duals = _safe(problem, values, [worth.ceiling for worth in worths], scale)
        if duals.total > best.total:
            best, price = duals, _rounded_up(problem, duals)
        new = [
            (kind, worth.pattern)
            for kind, worth, saving in zip(problem.kinds, worths, savings, strict=True)
            if worth.pattern and worth.value > (kind.price + saving) * scale * (1 + 1e-9)
            and (kind, worth.pattern) not in columns
        ]  # fmt: skip
        if not new:
            break
        columns.update(dict.fromkeys(new))
    return Bound(price=min(price, enough), duals=best, columns=tuple(columns))


def _rounded_up(problem: Problem, duals: DualPrices) -> int:
    """The lowest price from the bound on that a plan can have."""
    step = step_of_prices(problem)
    return max(0, -(-duals.total // (duals.scale * step)) * step)


def _by_length(problem: Problem, scale: int) -> DualPrices:
    """Dual prices in proportion to length."""
    kind = min(
        (kind for kind in problem.kinds if not kind.limited),
        key=lambda kind: kind.price / kind.room,
        default=problem.kinds[-1],
    )
    values = [size * kind.price * scale // kind.room for size in problem.sizes]
    ceilings = [other.room * kind.price * scale // kind.room for other in problem.kinds]
    return _safe(problem, values, ceilings, scale)


def _solve_master(problem: Problem, columns: list[Column]) -> tuple[list[float], list[float]]:
    """Dual prices of the cheapest fractional plan: of the sizes, and of limited kinds."""
    from scipy.optimize import linprog
    from scipy.sparse import csr_array

    limited = [kind for kind in problem.kinds if kind.limited]
    rows, places, entries = [], [], []
    for place, (kind, pattern) in enumerate(columns):
        for item, count in pattern:
            rows.append(item)
            places.append(place)
            entries.append(-float(count))
        if kind.limited:
            rows.append(len(problem.sizes) + limited.index(kind))
            places.append(place)
            entries.append(1.0)
    unit = max(kind.price for kind in problem.kinds) or 1
    shape = (len(problem.sizes) + len(limited), len(columns))
    result = linprog(
        [kind.price / unit for kind, _ in columns],
        A_ub=csr_array((entries, (rows, places)), shape=shape),
        b_ub=[-float(count) for count in problem.counts] + [float(k.available) for k in limited],
        bounds=(0, None),
        method="highs-ds",
    )
    if result.ineqlin is None or result.status != 0:  # no prices: the bound stays as it is
        return [0.0] * len(problem.sizes), [0.0] * len(problem.kinds)
    duals = [-float(value) * unit for value in result.ineqlin.marginals]
    savings = dict(zip(limited, duals[len(problem.sizes) :], strict=True))
    return duals[: len(problem.sizes)], [savings.get(kind, 0.0) for kind in problem.kinds]


def _safe(problem: Problem, values: list[int], ceilings: list[int], scale: int) -> DualPrices:
    """Dual prices made such that no pattern is worth more than its bar costs and saves."""
    top, below = 1, 1
    for kind, ceiling in zip(problem.kinds, ceilings, strict=True):
        cost = kind.price * scale
        if not kind.limited and ceiling > cost and cost * below < top * ceiling:
            top, below = cost, ceiling
    pieces = tuple(value * top // below for value in values)
    bars = tuple(
        max(0, ceiling * top // below - kind.price * scale) if kind.limited else 0
        for kind, ceiling in zip(problem.kinds, ceilings, strict=True)
    )
    saved = sum(kind.available * bar for kind, bar in zip(problem.kinds, bars, strict=True))
    worth = sum(count * piece for count, piece in zip(problem.counts, pieces, strict=True))
    return DualPrices(pieces=pieces, bars=bars, scale=scale, total=worth - saved)
