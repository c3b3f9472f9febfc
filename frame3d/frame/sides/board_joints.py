"""Where the boards of a side are joined: midway between hoops, with the fewest boards."""

from __future__ import annotations

import functools
import itertools
import math

from frame3d.geometry.board_layout import lay_out_boards

_TINY = 1e-6
_MOST_BAYS = 60
"""In longer tunnels the sides are laid out alike: looking further takes too long."""

Stretches = tuple[tuple[float, float], ...]
"""Stretches along Y, from and to, mm."""


def board_joints(
    run_mm: tuple[float, float], spacing_mm: float, stock_mm: float, barred_mm: Stretches = ()
) -> list[float]:
    """Where the boards of a side are joined: midway between hoops, with the fewest boards.

    Parameters
    ----------
    run_mm : (float, float)
        Ends of the side; hoops stand at whole multiples of the spacing.
    barred_mm : tuple of (float, float)
        Stretches in which no joint may lie.

    Returns
    -------
    list of float
        Rising; empty where one board is long enough, or where there is no such layout, for
        the stock is shorter than a bay or each has a joint where none may lie.
    """
    low, high = run_mm
    if high - low <= stock_mm + _TINY:
        return []
    bays = round((high + low) / spacing_mm)
    whole = math.floor((stock_mm + _TINY) / spacing_mm)
    layouts = []
    for start in range(bays):
        first = (start + 0.5) * spacing_mm
        if whole < 1 or first - low > stock_mm + _TINY:
            break
        joints = [first]
        while high - joints[-1] > stock_mm + _TINY:
            joints.append(joints[-1] + whole * spacing_mm)
        if joints[-1] < bays * spacing_mm and not any(_is_in(at, barred_mm) for at in joints):
            layouts.append(joints)
    if not layouts:
        return []

    def worth(joints: list[float]) -> tuple[int, int, float, float]:
        stops = [low, *joints, high]
        lengths = [b - a for a, b in zip(stops, stops[1:], strict=False)]
        return (
            boards_needed(lengths, stock_mm),
            len(lengths),
            round(abs(lengths[0] - lengths[-1]), 3),
            -lengths[0],
        )

    return min(layouts, key=worth)


def boards_needed(lengths_mm: list[float], stock_mm: float) -> int:
    """Boards to buy for pieces of these lengths, longest cut first, kerf not counted."""
    left: list[float] = []
    for length in sorted(lengths_mm, reverse=True):
        for index, rest in enumerate(left):
            if rest >= length - _TINY:
                left[index] -= length
                break
        else:
            left.append(stock_mm - length)
    return len(left)


def _is_in(at_mm: float, barred_mm: Stretches) -> bool:
    return any(low + _TINY < at_mm < high - _TINY for low, high in barred_mm)


@functools.lru_cache(maxsize=64)  # asked for by boards, blocks and checks of one frame
def joints_of_sides(
    run_mm: tuple[float, float],
    hoops_mm: tuple[float, ...],
    stock_mm: float,
    clear_mm: float,
    barred_mm: Stretches = (),
) -> tuple[tuple[float, ...], ...]:
    """Joints of the left and the right side, with the fewest boards for both together.

    The sides are alike unless boards are saved against the best layout of one side, by
    offcuts of one that serve the other.
    Boards are not charged for the saw's cut: they are sold a little longer than they are
    called (common practice). Where no layout has all joints midway between hoops, the one
    whose joints are farthest from hoops is taken, and a check tells of it.

    Parameters
    ----------
    run_mm : (float, float)
        Ends of a side.
    hoops_mm : tuple of float
        Evenly spaced, from 0.
    stock_mm, clear_mm : float
        Length of board, and how far from a hoop a joint should be.
    barred_mm : tuple of (float, float)
        Stretches in which no joint may lie; one lies there only where the boards cannot be
        laid out otherwise, and a check tells of it.

    Returns
    -------
    tuple of two tuples of float, mm, or an empty one
        Empty where boards of that length cannot be laid out at all.
    """
    low, high = run_mm
    if high - low <= stock_mm + _TINY:
        return (), ()
    bays = len(hoops_mm) - 1
    alike = board_joints(run_mm, hoops_mm[-1] / bays, stock_mm, barred_mm)
    if bays > _MOST_BAYS:
        alike = alike or board_joints(run_mm, hoops_mm[-1] / bays, stock_mm)
        return (tuple(alike), tuple(alike)) if alike else ()
    needed = math.inf
    if alike:
        lengths = [b - a for a, b in itertools.pairwise((low, *alike, high))]
        needed = boards_needed(lengths * 2, stock_mm)
        if needed <= math.ceil(2 * (high - low) / stock_mm - _TINY):
            return tuple(alike), tuple(alike)  # no layout can do with less
    found = lay_out_boards(
        run_mm, hoops_mm, (stock_mm,), least_clear_mm=clear_mm, sides=2, barred_mm=barred_mm
    )
    if alike and (found.breaches or len(found.boards) >= needed):
        return tuple(alike), tuple(alike)
    if any(breach.clear_mm is None for breach in found.breaches):
        return ()
    return found.joints_mm[0], found.joints_mm[1]
