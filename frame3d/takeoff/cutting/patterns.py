"""Cutting patterns: the most valuable one, and all that are worth at least so much.

Both walk the same tree: the size worth most for its length first, as many as fit, then one
fewer. What the room left could at most be worth cuts branches off; everything is whole
numbers, so nothing is lost to rounding.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from frame3d.takeoff.cutting.problem import Pattern


class Walk(NamedTuple):
    """Sizes in the order of the walk, and the least size from each on."""

    items: tuple[int, ...]
    sizes: tuple[int, ...]
    values: tuple[int, ...]
    most: tuple[int, ...]
    least: tuple[int, ...]


class Worth(NamedTuple):
    """The most valuable pattern found, its value, and what no pattern is worth more than.

    ``nodes`` is how many steps of the walk were not needed, below zero if it was cut off.
    """

    pattern: Pattern
    value: int
    ceiling: int
    nodes: int


def _walk(sizes: Sequence[int], counts: Sequence[int], values: Sequence[int], room: int) -> Walk:
    items = [i for i, size in enumerate(sizes) if size <= room and counts[i]]
    items.sort(key=lambda i: (-Fraction(values[i], sizes[i]), i))
    least, small = [], room + 1
    for item in reversed(items):
        small = min(small, sizes[item])
        least.append(small)
    return Walk(
        tuple(items),
        tuple(sizes[i] for i in items),
        tuple(values[i] for i in items),
        tuple(min(counts[i], room // sizes[i]) for i in items),
        tuple(reversed(least)),
    )


def _as_pattern(walk: Walk, taken: Sequence[int]) -> Pattern:
    return tuple(sorted((item, n) for item, n in zip(walk.items, taken, strict=True) if n))


def best_pattern(
    sizes: Sequence[int], counts: Sequence[int], values: Sequence[int], room: int, nodes: int
) -> Worth:
    """Return the most valuable pattern of a bar (a bounded knapsack).

    Parameters
    ----------
    sizes, counts, values : sequences of int
        For each size: steps, how many at most, what one is worth (zero or more).
    room : int
        Steps.
    nodes : int
        Most steps of the walk; past them the ceiling is that of the whole tree.
    """
    walk = _walk(sizes, [c if v else 0 for c, v in zip(counts, values, strict=True)], values, room)
    items, size, value, most, least = walk
    last = len(items)
    taken, chosen = [0] * last, [0] * last
    filled: list[int] = []  # places where something is taken
    place, worth, best = 0, 0, 0
    ceiling = room * value[0] // size[0] if items else 0
    while True:
        nodes -= 1
        while place < last and room >= least[place]:
            nodes -= 1
            if worth + room * value[place] // size[place] <= best:
                break
            if number := min(most[place], room // size[place]):
                taken[place] = number
                filled.append(place)
                room -= number * size[place]
                worth += number * value[place]
            place += 1
        if worth > best:
            best, chosen = worth, taken[:]
        if not filled or best == ceiling:
            return Worth(_as_pattern(walk, chosen), best, best, nodes)
        if nodes < 0:
            return Worth(_as_pattern(walk, chosen), best, ceiling, nodes)
        place = filled[-1]
        taken[place] -= 1
        room += size[place]
        worth -= value[place]
        if not taken[place]:
            filled.pop()
        place += 1


def patterns_worth(
    sizes: Sequence[int],
    counts: Sequence[int],
    values: Sequence[int],
    room: int,
    threshold: int,
    *,
    maximal: bool,
    nodes: int,
) -> Iterator[Pattern | None]:
    """Yield every pattern worth at least a threshold; None at last if there were too many.

    Parameters
    ----------
    maximal : bool
        Only those to which no further piece can be added.
    nodes : int
        Most steps of the walk.
    """
    walk = _walk(sizes, counts, values, room)
    items, size, value, most, least = walk
    last = len(items)
    taken = [0] * last
    filled: list[int] = []
    place, worth = 0, 0
    while True:
        nodes -= 1
        if nodes < 0:
            yield None
            return
        while place < last and room >= least[place]:
            nodes -= 1
            if worth + room * value[place] // size[place] < threshold:
                break
            if number := min(most[place], room // size[place]):
                taken[place] = number
                filled.append(place)
                room -= number * size[place]
                worth += number * value[place]
            place += 1
        else:
            whole = not maximal or all(taken[i] == most[i] or size[i] > room for i in range(last))
            if worth >= threshold and filled and whole:
                yield _as_pattern(walk, taken)
        if not filled:
            return
        place = filled[-1]
        taken[place] -= 1
        room += size[place]
        worth -= value[place]
        if not taken[place]:
            filled.pop()
        place += 1
