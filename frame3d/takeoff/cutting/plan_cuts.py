"""Cutting plans: which bars to use and what to cut from each, with proof where there is one.

Glossary
--------
bar : one length of stock, bought or already in the yard: a tube, a bar, a board.
kerf : what one saw cut takes. Every piece is parted with one cut; the last piece of a bar
    needs none if it ends where the bar ends, and where less than a kerf would be left the
    saw takes what there is.
end trim : what is cut off a bar before it is used, both ends together, the saw's own cuts
    there included. It is taken off every bar and offcut, owned ones too.
rest : what is left of a bar after its last cut.
kept : a rest at least as long as the shortest offcut worth keeping.
waste : whatever is neither piece nor kept: saw cuts, end trims, rests too short to keep.
owned : stock in the yard. It costs nothing and is used first: no plan that buys more is
    taken while one that uses owned stock buys less.

What a plan is chosen by, in this order (:class:`Aim`):

1. least cost of what is bought, or least length of it, as the goal says;
2. least waste, owned bars that are used counted too;
3. fewest bars.

An offcut worth keeping is never a reason to buy more: with waste first, one piece from each
of many bars would look best of all.

A piece that needs a straight end for the rolls, trimmed afterwards, comes in with that
length added. Joint blocks come in as pieces; they find their offcuts by themselves.

Lengths are taken in steps of 1/1600 mm (:mod:`frame3d.geometry.sawing`): pieces, kerf and trim
rounded up, bars down, so each plan can be sawn. "Proven" is meant for these whole numbers.
How a plan is found: :mod:`frame3d.takeoff.cutting.solver`.
"""

from __future__ import annotations

import enum
import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from frame3d.errors import CuttingError
from frame3d.geometry.sawing import NOISE_MM, steps_to_mm
from frame3d.takeoff.cutting.pieces_and_bars import CuttingRules, Piece, Stock
from frame3d.takeoff.cutting.problem import (
    PRICE_STEPS,
    BarKind,
    Column,
    Plan,
    Problem,
    state_problem,
)

__all__ = [
    "Aim", "AimReached", "Bar", "Cut", "CuttingError", "CuttingPlan", "CuttingRules", "Goal",
    "Piece", "Stock", "plan_cuts",
]  # fmt: skip


class Goal(enum.Enum):
    """What a cutting plan saves first."""

    LEAST_WASTE = "least waste"
    LEAST_COST = "least cost"


class Aim(enum.Enum):
    """What plans are compared by; one goal is a list of them."""

    COST = "cost of stock bought"
    BOUGHT_LENGTH = "length of stock bought"
    WASTE = "waste"
    BARS = "number of bars"


class Cut(Struct, frozen=True, kw_only=True):
    """One piece as it comes off a bar."""

    mark: str
    length_mm: float


class Bar(Struct, frozen=True, kw_only=True):
    """One bar with its cuts in the order of the saw, longest first, and what is left, mm."""

    stock: Stock
    cuts: tuple[Cut, ...]
    rest_mm: float


class AimReached(Struct, frozen=True, kw_only=True):
    """What a plan reaches in one aim, and what none can go below.

    Parameters
    ----------
    value, bound : float
        Of the plan, and the lower bound; currency, mm or a number, as the aim has it.
    proven : bool
        No plan that is at least as good in the aims before this one is better in this one.
    """

    aim: Aim
    value: float
    bound: float
    proven: bool


class CuttingPlan(Struct, frozen=True, kw_only=True):
    """Which bars to take and what to cut from each.

    Parameters
    ----------
    bars : tuple of Bar
        Owned ones first, then in the order of the stock list; equal bars together.
    bought : tuple of (Stock, int)
        How many of each stock to buy, in the order of the stock list; none with zero.
    waste_mm, kept_mm : float
        Together with the pieces they are the length of all bars used, mm.
    cost : float or None
        Of what is bought; None where a price is missing.
    aims : tuple of AimReached
        In the order in which plans are compared.
    """

    bars: tuple[Bar, ...]
    bought: tuple[tuple[Stock, int], ...]
    waste_mm: float
    kept_mm: float
    cost: float | None
    aims: tuple[AimReached, ...]

    @property
    def proven(self) -> bool:
        """Whether no plan buys less, in money or length as the goal has it (the first aim)."""
        return self.aims[0].proven

    @property
    def gap(self) -> float:
        """By what share of its own cost or length a better plan could at most buy less."""
        first = self.aims[0]
        return 0.0 if first.proven else (first.value - first.bound) / first.value


def plan_cuts(
    pieces: Iterable[Piece],
    stocks: Iterable[Stock],
    rules: CuttingRules | None = None,
    *,
    goal: Goal = Goal.LEAST_WASTE,
    seconds: float = 5.0,
) -> CuttingPlan:
    """Return the best cutting plan found, and how much of that is proven.

    Parameters
    ----------
    pieces, stocks : iterables of Piece and Stock
    rules : CuttingRules, optional
        Default: no kerf, no trim, no offcut worth keeping.
    goal : Goal
    seconds : float
        What the solver may take, on its own deterministic clock: counted work that takes
        about as long on an ordinary machine. So the plan does not depend on what else the
        machine does: the same input gives the same plan. The start and the bound come on top;
        they are quick unless hundreds of pieces all differ.

    Raises
    ------
    CuttingError
        If a length, count or price makes no sense, a piece is longer than every stock, or the
        stock runs out.

    Examples
    --------
    >>> plan = plan_cuts(
    ...     [Piece(mark="R1", length_mm=1500, count=4), Piece(mark="R2", length_mm=3000, count=2)],
    ...     [Stock(name="6 m", length_mm=6000)],
    ... )
    >>> [[cut.mark for cut in bar.cuts] for bar in plan.bars], plan.proven
    ([['R2', 'R2'], ['R1', 'R1', 'R1', 'R1']], True)
    """
    from frame3d.takeoff.cutting.solver import solve

    pieces, stocks, rules = tuple(pieces), tuple(stocks), rules or CuttingRules()
    if not (seconds > 0 and math.isfinite(seconds)):
        raise CuttingError(f"got {seconds} seconds for a cutting plan; give a number above zero")
    problem = state_problem(pieces, stocks, rules, by_cost=goal is Goal.LEAST_COST)
    if not problem.sizes:
        return CuttingPlan(
            bars=(), bought=(), waste_mm=0.0, kept_mm=0.0, cost=0.0,
            aims=tuple(
                AimReached(aim=aim, value=0.0, bound=0.0, proven=True) for aim in _aims(goal)
            ),
        )  # fmt: skip
    solution = solve(problem, seconds)
    bars = _bars(problem, solution.plan, pieces, stocks, rules)
    return _plan(bars, stocks, rules, goal, solution.bounds, solution.proven)


def _aims(goal: Goal) -> tuple[Aim, Aim, Aim]:
    first = Aim.COST if goal is Goal.LEAST_COST else Aim.BOUGHT_LENGTH
    return first, Aim.WASTE, Aim.BARS


def _plan(
    bars: tuple[Bar, ...],
    stocks: Sequence[Stock],
    rules: CuttingRules,
    goal: Goal,
    bounds: Sequence[int],
    proven: Sequence[bool],
) -> CuttingPlan:
    """The plan with its figures, taken from the bars themselves and not from the solver."""
    counts = Counter(bar.stock for bar in bars if not bar.stock.owned)
    bought = tuple((stock, counts[stock]) for stock in dict.fromkeys(stocks) if counts[stock])
    kept = math.fsum(b.rest_mm for b in bars if b.rest_mm >= rules.shortest_kept_mm - NOISE_MM)
    cut = math.fsum(cut.length_mm for bar in bars for cut in bar.cuts)
    used = math.fsum(bar.stock.length_mm for bar in bars)
    costs = [n * stock.price for stock, n in bought if stock.price is not None]
    cost = math.fsum(costs) if len(costs) == len(bought) else None
    waste = max(0.0, used - cut - kept)
    aims = _aims(goal)
    length = math.fsum(n * stock.length_mm for stock, n in bought)
    # Least cost is not asked for where a price is missing.
    first = cost if aims[0] is Aim.COST and cost is not None else length
    values = (first, waste, float(len(bars)))
    scales = (PRICE_STEPS if aims[0] is Aim.COST else 1 / steps_to_mm(1), 1 / steps_to_mm(1), 1)
    return CuttingPlan(
        bars=bars, bought=bought, waste_mm=waste, kept_mm=kept, cost=cost,
        aims=tuple(
            # What is proven is the value itself, without the rounding to steps.
            AimReached(aim=a, value=v, bound=v if p else min(v, b / scale), proven=p)
            for a, v, b, scale, p in zip(aims, values, bounds, scales, proven, strict=True)
        ),
    )  # fmt: skip


def _bars(
    problem: Problem,
    plan: Plan,
    pieces: Sequence[Piece],
    stocks: Sequence[Stock],
    rules: CuttingRules,
) -> tuple[Bar, ...]:
    """The bars of a plan, with names: stock and marks are given out in the order of the lists."""
    queues = problem.queues(pieces)
    shelves = {kind: _shelf(kind, stocks) for kind in problem.kinds}
    order = sorted(
        plan.items(), key=lambda entry: (problem.kinds.index(entry[0][0]), _longest_first(entry[0]))
    )
    bars = []
    for (kind, pattern), times in order:
        for _ in range(times):
            cuts = []
            for item, count in pattern:
                for _ in range(count):
                    piece = next(queues[item])
                    cuts.append(Cut(mark=piece.mark, length_mm=piece.length_mm))
            cuts.sort(key=lambda cut: -cut.length_mm)
            stock = next(shelves[kind])
            used = math.fsum(cut.length_mm for cut in cuts) + len(cuts) * rules.kerf_mm
            rest = max(0.0, stock.length_mm - rules.end_trim_mm - used)
            bars.append(Bar(stock=stock, cuts=tuple(cuts), rest_mm=rest))
    # One kind can hold several stocks of one length; they come in the order of the list.
    places = {stock: place for place, stock in reversed(list(enumerate(stocks)))}
    return tuple(sorted(bars, key=lambda bar: (not bar.stock.owned, places[bar.stock])))


def _longest_first(column: Column) -> list[tuple[int, int]]:
    """A key that puts bars with more of the longest pieces first."""
    return [(item, -count) for item, count in column[1]]


def _shelf(kind: BarKind, stocks: Sequence[Stock]) -> Iterator[Stock]:
    """The bars of a kind one by one."""
    for place in kind.places:
        available = stocks[place].available
        number = 0
        while available is None or number < available:
            yield stocks[place]
            number += 1
