"""Where the boards along the sides are joined, and which board each piece is cut from.

Glossary
--------
run : one side, from the start of its first board to the end of its last.
bay : between two neighbouring hoops.
joint : where two boards of a side meet end to end.
clear : how far a joint is from the nearest hoop.
rule : a joint lies between two hoops, at least so far from both; each board crosses a hoop,
    to which it is bolted.
barred : a stretch of the run in which no joint may lie, as something stands there.
piece : what lies between two joints, or a joint and an end of the run; one length of board.
cut : one pass of the saw. The last piece of a board needs none if it ends with the board.

Layouts are compared by, in this order: by how much joints are too near to hoops, all together
(a board that crosses no hoop counts as two joints on hoops); breaches of the rule; boards to
buy; joints; cuts; length bought; how far joints are from mid-bay; how even the pieces are;
and longer pieces first. Offcuts of one side serve the others too. That is exact among these
places for joints:
every mid-bay and, where others are looked at, the edges of where the rule allows one, those of
barred stretches, and whole boards laid from either end. A joint lies in a barred stretch only
where the side cannot be laid otherwise.
"""

from __future__ import annotations

import bisect
import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from frame3d.errors import BoardError, present
from frame3d.geometry.board_search import BoardPiece, JointPlace, Search, search
from frame3d.geometry.sawing import steps_down, steps_near, steps_to_mm, steps_up

_MOST_WHOLE_BOARDS = 200


class Breach(Struct, frozen=True, kw_only=True):
    """A place where a layout breaks the rule.

    Parameters
    ----------
    side : int
        Counted from 0.
    at_mm : float
        The joint, or the middle of a board that crosses no hoop.
    clear_mm : float or None
        How far the joint is from the nearest hoop, zero where it is beyond the last one; None
        for a board that crosses no hoop.
    """

    side: int
    at_mm: float
    clear_mm: float | None


class SawnBoard(Struct, frozen=True, kw_only=True):
    """One board to buy: its length, mm, and its pieces as (side, place in the side), from 0."""

    stock_mm: float
    pieces: tuple[tuple[int, int], ...]


class BoardLayout(Struct, frozen=True, kw_only=True):
    """The boards of all sides.

    Parameters
    ----------
    joints_mm : tuple of tuple of float
        For each side, rising; empty where one board is long enough.
    lengths_mm : tuple of tuple of float
        For each side, its pieces from start to end.
    boards : tuple of SawnBoard
        In the order in which they are first needed.
    cuts : int
    waste_mm : float
        What is bought and does not become a piece, mm; offcuts are in it.
    breaches : tuple of Breach
        Empty where the rule is kept.
    proven : bool
        No layout with joints at the places looked at is better.
    """

    joints_mm: tuple[tuple[float, ...], ...]
    lengths_mm: tuple[tuple[float, ...], ...]
    boards: tuple[SawnBoard, ...]
    cuts: int
    waste_mm: float
    breaches: tuple[Breach, ...]
    proven: bool


def lay_out_boards(
    run_mm: tuple[float, float],
    hoops_mm: Sequence[float],
    stock_mm: Sequence[float],
    *,
    least_clear_mm: float,
    kerf_mm: float = 0.0,
    sides: int = 2,
    barred_mm: Sequence[tuple[float, float]] = (),
) -> BoardLayout:
    """Return the best layout of the boards of all sides.

    Joints lie mid-bay and nowhere else, if there is such a layout. Where no layout keeps the
    rule, it is the one that breaks it least, and says so in ``breaches``.

    Parameters
    ----------
    run_mm : (float, float)
        Ends of a side, mm.
    hoops_mm : sequence of float
        Where the hoops stand along it, rising, mm.
    stock_mm : sequence of float
        Lengths that can be bought, mm, any number of each.
    least_clear_mm : float
        Least distance of a joint from a hoop, mm.
    kerf_mm : float
    sides : int
        How many equal sides there are.
    barred_mm : sequence of (float, float)
        Stretches from and to which no joint may lie; their ends are allowed.

    Raises
    ------
    BoardError
        If a number makes no sense.

    Examples
    --------
    >>> foot = 304.8
    >>> found = lay_out_boards(
    ...     (0, 36 * foot), [n * 4 * foot for n in range(10)], [12 * foot],
    ...     least_clear_mm=1 * foot, sides=1,
    ... )
    >>> [round(length / foot, 6) for length in found.lengths_mm[0]], len(found.boards)
    ([6.0, 12.0, 12.0, 6.0], 3)
    """
    _check(run_mm, hoops_mm, stock_mm, least_clear_mm, kerf_mm, sides)
    wanted = _Wanted(
        low=steps_near(run_mm[0]),
        high=steps_near(run_mm[1]),
        hoops=tuple(steps_near(hoop) for hoop in hoops_mm),
        stock=tuple(sorted({steps_down(length) for length in stock_mm}, reverse=True)),
        clear=steps_down(least_clear_mm),
        barred=tuple((steps_near(low), steps_near(high)) for low, high in barred_mm),
    )
    found = _find(wanted, kerf_mm, sides)
    return _layout(found, run_mm, hoops_mm, stock_mm)


class _Wanted(Struct, frozen=True, kw_only=True):
    """What is asked for, in steps."""

    low: int
    high: int
    hoops: tuple[int, ...]
    stock: tuple[int, ...]
    clear: int
    barred: tuple[tuple[int, int], ...]

    def is_barred(self, place: JointPlace) -> bool:
        """Whether no joint may lie there."""
        return any(low < place.at < high for low, high in self.barred)

    def place(self, at: int) -> JointPlace:
        """A place for a joint, with its distance from hoops and from mid-bay."""
        after = bisect.bisect_left(self.hoops, at)
        if 0 < after < len(self.hoops):
            near, far = self.hoops[after - 1], self.hoops[after]
            return JointPlace(
                at=at, clear=min(at - near, far - at), off_middle=abs(2 * at - near - far) // 2
            )
        return JointPlace(at=at, clear=0, off_middle=self.high - self.low)


def _find(wanted: _Wanted, kerf_mm: float, sides: int) -> Search:
    """The best layout, in steps, of the first stage that has any."""
    tried = (
        search(
            places, wanted.hoops, wanted.stock, wanted.clear,
            kerf=steps_up(kerf_mm), sides=sides, strict=stage < 2,
        )
        for stage, places in enumerate(_stages(wanted))
    )  # fmt: skip
    found = next(filter(None, tried), None)
    return present(found, "layout of boards, which whole boards have in any case")


def _stages(wanted: _Wanted) -> Iterator[list[JointPlace]]:
    """Sets of places to try: mid-bay, all that the rule allows, those that break it, and all."""
    hoops = wanted.hoops
    middles = {(a + b) // 2 for a, b in zip(hoops, hoops[1:], strict=False)}
    edges = {hoop + sign * wanted.clear for hoop in hoops for sign in (-1, 1)}
    edges |= {edge for stretch in wanted.barred for edge in stretch}
    every = middles | edges | _whole_boards(wanted)
    for places in (middles, every):
        free = [place for place in _places(wanted, places) if not wanted.is_barred(place)]
        yield [place for place in free if place.clear >= wanted.clear]
    # The rule cannot be kept: any of these places, and whole boards reach the end in any case.
    if wanted.barred:
        yield free
    yield _places(wanted, every)


def _places(wanted: _Wanted, places: set[int]) -> list[JointPlace]:
    inside = sorted(at for at in places if wanted.low < at < wanted.high)
    ends = (wanted.low, wanted.high)
    return [JointPlace(at=at, clear=wanted.clear, off_middle=0) for at in ends[:1]] + [
        wanted.place(at) for at in inside
    ] + [JointPlace(at=at, clear=wanted.clear, off_middle=0) for at in ends[1:]]  # fmt: skip


def _whole_boards(wanted: _Wanted) -> set[int]:
    """Where whole boards laid from either end would end, shortest distances first."""
    length, reached, frontier = wanted.high - wanted.low, {0}, [0]
    while frontier:
        frontier = sorted(
            {a + b for a in frontier for b in wanted.stock if a + b < length} - reached
        )[:_MOST_WHOLE_BOARDS]
        reached.update(frontier)
        if len(reached) > _MOST_WHOLE_BOARDS:
            # Too many sums of several lengths: those of the longest alone still reach the end.
            reached |= set(range(0, length, wanted.stock[0]))
            break
    return {wanted.low + at for at in reached} | {wanted.high - at for at in reached}


def _layout(
    found: Search,
    run_mm: tuple[float, float],
    hoops_mm: Sequence[float],
    stock_mm: Sequence[float],
) -> BoardLayout:
    """The layout in mm, its joints where the hoops given put them."""
    middles = {
        (steps_near(a) + steps_near(b)) // 2: (a + b) / 2
        for a, b in zip(hoops_mm, hoops_mm[1:], strict=False)
    }
    bought = {steps_down(length): length for length in stock_mm}
    joints, lengths, breaches = [], [], []
    for side, pieces in enumerate(found.sides):
        stops = [run_mm[0], *(middles.get(p.end, steps_to_mm(p.end)) for p in pieces[:-1]),
                 run_mm[1]]  # fmt: skip
        joints.append(tuple(stops[1:-1]))
        lengths.append(tuple(b - a for a, b in zip(stops, stops[1:], strict=False)))
        for number, piece in enumerate(pieces):
            breaches += _breaches(side, piece, stops[number], stops[number + 1])
    boards = tuple(
        SawnBoard(stock_mm=bought[stock], pieces=tuple(pieces)) for stock, pieces in found.boards
    )
    return BoardLayout(
        joints_mm=tuple(joints), lengths_mm=tuple(lengths), boards=boards, cuts=found.cuts,
        waste_mm=max(0.0, math.fsum(b.stock_mm for b in boards) - math.fsum(sum(lengths, ()))),
        breaches=tuple(breaches), proven=found.proven,
    )  # fmt: skip


def _breaches(side: int, piece: BoardPiece, start_mm: float, end_mm: float) -> list[Breach]:
    found = []
    if piece.loose:
        found.append(Breach(side=side, at_mm=(start_mm + end_mm) / 2, clear_mm=None))
    if piece.near is not None:
        found.append(Breach(side=side, at_mm=end_mm, clear_mm=steps_to_mm(piece.near)))
    return found


def _check(
    run_mm: tuple[float, float],
    hoops_mm: Sequence[float],
    stock_mm: Sequence[float],
    least_clear_mm: float,
    kerf_mm: float,
    sides: int,
) -> None:
    low, high = run_mm
    if not high > low or not math.isfinite(high - low):
        raise BoardError(f"a side runs from {low} to {high} mm; its end must lie past its start")
    if not stock_mm:
        raise BoardError("there is no length of board to lay out; give at least one")
    for length in stock_mm:
        if not (math.isfinite(length) and length >= 100):
            raise BoardError(f"got a board of {length} mm; give lengths of at least 100 mm")
    if list(hoops_mm) != sorted(set(hoops_mm)) or not all(low <= h <= high for h in hoops_mm):
        raise BoardError(
            f"got hoops at {', '.join(f'{hoop:g}' for hoop in hoops_mm)} mm; give each once, "
            f"rising, within the side ({low:g} to {high:g} mm)"
        )
    for name, value in (("least_clear_mm", least_clear_mm), ("kerf_mm", kerf_mm)):
        if not (math.isfinite(value) and value >= 0):
            raise BoardError(f"{name} is {value}; give a length of zero or more")
    if sides < 1:
        raise BoardError(f"got {sides} sides; give at least one")
