"""A cutting problem in whole numbers: sizes, kinds of bar, patterns, and what a plan is worth.

Glossary
--------
size : length of a piece with one kerf, steps. A bar that is given one kerf more then holds
    what its sizes add up to: the last piece needs no cut if it ends with the bar.
kind : bars that nothing but a name tells apart.
pattern : what is cut from one bar: ((size's number, how many), ...), numbers rising.
column : a kind and a pattern; a plan counts how often each column is used.
price : what a bar adds to the first aim: money or length bought, zero where owned.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import chain, repeat
from typing import NamedTuple

from msgspec import Struct

from frame3d.errors import CuttingError
from frame3d.geometry.sawing import steps_down, steps_up
from frame3d.takeoff.cutting.pieces_and_bars import CuttingRules, Piece, Stock

PRICE_STEPS = 10_000
"""Prices are compared to 1/10000 of the currency."""

Pattern = tuple[tuple[int, int], ...]
Column = tuple["BarKind", Pattern]
Plan = Counter[Column]
"""Column -> how many bars."""


class Score(NamedTuple):
    """What plans are compared by, best least: price, waste in steps, number of bars."""

    price: int
    waste: int
    bars: int


class BarKind(Struct, frozen=True, kw_only=True):
    """Bars of one length and price.

    Parameters
    ----------
    room : int
        What the sizes on a bar may add up to, steps: length less end trim, and one kerf.
    length : int
        Of the whole bar, steps.
    price : int
    available : int
        Never more than there are pieces, which is as good as any number.
    limited : bool
        Whether there is a number at all; of owned ones there always is.
    owned : bool
    places : tuple of int
        Where in the stock list its bars are.
    """

    room: int
    length: int
    price: int
    available: int
    limited: bool
    owned: bool
    places: tuple[int, ...] = ()


class Problem(Struct, frozen=True, kw_only=True):
    """Everything the solver needs.

    Parameters
    ----------
    sizes, counts : tuples of int
        Longest first.
    kinds : tuple of BarKind
        Owned ones first, each group in the order of the stock list.
    kerf : int
    kept : int or None
        Shortest rest that is kept, steps.
    """

    sizes: tuple[int, ...]
    counts: tuple[int, ...]
    kinds: tuple[BarKind, ...]
    kerf: int
    kept: int | None

    @property
    def total(self) -> int:
        """Number of pieces."""
        return sum(self.counts)

    def load(self, pattern: Pattern) -> int:
        """What the sizes of a pattern add up to."""
        return sum(self.sizes[item] * count for item, count in pattern)

    def waste(self, kind: BarKind, pattern: Pattern) -> int:
        """What of a bar is neither piece nor kept, steps."""
        load = self.load(pattern)
        net = load - self.kerf * sum(count for _, count in pattern)
        rest = max(0, kind.room - self.kerf - load)
        kept = rest if self.kept is not None and rest >= self.kept else 0
        return kind.length - net - kept

    def score(self, plan: Plan) -> Score:
        """What a plan is worth."""
        return Score(
            price=sum(kind.price * times for (kind, _), times in plan.items()),
            waste=sum(self.waste(*column) * times for column, times in plan.items()),
            bars=plan.total(),
        )

    def queues(self, pieces: Sequence[Piece]) -> list[Iterator[Piece]]:
        """For each size its pieces one by one, in the order of the list."""
        groups: dict[int, list[Piece]] = {size: [] for size in self.sizes}
        for piece in pieces:
            if piece.count:
                groups[steps_up(piece.length_mm) + self.kerf].append(piece)
        return [
            chain.from_iterable(repeat(piece, piece.count) for piece in groups[size])
            for size in self.sizes
        ]


def state_problem(
    pieces: Sequence[Piece], stocks: Sequence[Stock], rules: CuttingRules, *, by_cost: bool
) -> Problem:
    """Return the problem in whole numbers, after everything given has been looked at.

    Raises
    ------
    CuttingError
    """
    _check_rules(rules)
    for piece in pieces:
        _check_piece(piece)
    for stock in stocks:
        _check_stock(stock, by_cost=by_cost)
    kerf, trim = steps_up(rules.kerf_mm), steps_up(rules.end_trim_mm)
    amounts: Counter[int] = Counter()
    for piece in pieces:
        if piece.count:
            amounts[steps_up(piece.length_mm) + kerf] += piece.count
    sizes = tuple(sorted(amounts, reverse=True))
    problem = Problem(
        sizes=sizes,
        counts=tuple(amounts[size] for size in sizes),
        kinds=_kinds(stocks, kerf, trim, amounts.total(), by_cost=by_cost),
        kerf=kerf,
        kept=None if math.isinf(rules.shortest_kept_mm) else steps_up(rules.shortest_kept_mm),
    )
    _check_longest(problem, pieces, stocks, rules)
    return problem


def _kinds(
    stocks: Sequence[Stock], kerf: int, trim: int, total: int, *, by_cost: bool
) -> tuple[BarKind, ...]:
    groups: dict[tuple[bool, int, int], list[int]] = {}
    for place, stock in enumerate(stocks):
        length = steps_down(stock.length_mm)
        if stock.available == 0 or length <= trim:
            continue
        if stock.owned:
            price = 0
        elif by_cost and stock.price is not None:
            price = round(stock.price * PRICE_STEPS)
        else:
            price = length
        groups.setdefault((not stock.owned, length, price), []).append(place)
    kinds = []
    for (bought, length, price), places in groups.items():
        numbers = [n for place in places if (n := stocks[place].available) is not None]
        limited = len(numbers) == len(places)
        kinds.append(
            BarKind(
                room=length - trim + kerf, length=length, price=price, owned=not bought,
                available=min(sum(numbers), total) if limited else total,
                limited=limited or not bought, places=tuple(places),
            )
        )  # fmt: skip
    return tuple(sorted(kinds, key=lambda kind: (not kind.owned, kind.places)))


def _number(value: float | None, *, least: float = 0.0) -> bool:
    return value is not None and math.isfinite(value) and value >= least


def _check_rules(rules: CuttingRules) -> None:
    for name in ("kerf_mm", "end_trim_mm", "shortest_kept_mm"):
        value = getattr(rules, name)
        if name == "shortest_kept_mm" and value == math.inf:
            continue
        if not _number(value):
            raise CuttingError(f"{name} is {value}; give a length of zero or more")


def _check_piece(piece: Piece) -> None:
    if not _number(piece.length_mm) or piece.length_mm < 0.01:
        raise CuttingError(
            f"piece {piece.mark} has a length of {piece.length_mm} mm; give at least 0.01 mm"
        )
    if piece.count != int(piece.count) or piece.count < 0:
        raise CuttingError(
            f"piece {piece.mark} has a count of {piece.count}; give a whole number, zero or more"
        )


def _check_stock(stock: Stock, *, by_cost: bool) -> None:
    if not _number(stock.length_mm) or stock.length_mm <= 0:
        raise CuttingError(
            f"stock {stock.name} has a length of {stock.length_mm} mm; give one above zero"
        )
    number = stock.available
    if number is not None and (number != int(number) or number < 0):
        raise CuttingError(
            f"stock {stock.name} has {number} available; give a whole number, or leave it out "
            "for any number"
        )
    if stock.price is not None and not _number(stock.price):
        raise CuttingError(f"stock {stock.name} has a price of {stock.price}; give zero or more")
    if by_cost and not stock.owned and stock.price is None:
        raise CuttingError(
            f"stock {stock.name} has no price, which least cost needs; give one, or ask for "
            "least waste"
        )


def _check_longest(
    problem: Problem, pieces: Sequence[Piece], stocks: Sequence[Stock], rules: CuttingRules
) -> None:
    if not problem.sizes:
        return
    trimmed = f" after an end trim of {rules.end_trim_mm:g} mm" if rules.end_trim_mm else ""
    if not problem.kinds:
        offered = ", ".join(f"{stock.name} ({stock.length_mm:g} mm)" for stock in stocks)
        raise CuttingError(
            f"there is no stock to cut {problem.total} pieces from (got: {offered or 'none'}"
            f"{trimmed}); give at least one length that is longer than the trim and available"
        )
    room = max(kind.room for kind in problem.kinds)
    if problem.sizes[0] > room:
        piece = max((p for p in pieces if p.count), key=lambda p: p.length_mm)
        longest = max(stocks[place].length_mm for kind in problem.kinds for place in kind.places)
        raise CuttingError(
            f"piece {piece.mark} is {piece.length_mm:.2f} mm long; the longest stock is "
            f"{longest:.2f} mm{trimmed}: give longer stock, or make the piece in two"
        )
