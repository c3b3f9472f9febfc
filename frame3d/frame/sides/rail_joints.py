"""Where the pieces of a rail line are joined: midway between hoops, clear of other bolts."""

from __future__ import annotations

import itertools
import math

from msgspec import Struct

_TINY = 1e-6


class RailRun(Struct, frozen=True, kw_only=True):
    """A rail line as far as its joints go by it; lengths in mm.

    Parameters
    ----------
    ends_mm : (float, float)
        Of the whole line along Y; hoops stand at whole multiples of the spacing.
    spacing_mm, stock_mm, overlap_mm : float
        Of the hoops; length of tube that can be bought; length of the swage at a joint.
    turn : int
        Lines with different turns have their joints in different bays where they can.
    beside_mm : float
        Left free between a joint, with its swage, and the hoops beside it.
    barred_mm : tuple of (float, float)
        Stretches in which no joint may begin, as its swage would lie on a bolt's hole.
    """

    ends_mm: tuple[float, float]
    spacing_mm: float
    stock_mm: float
    overlap_mm: float
    turn: int
    beside_mm: float
    barred_mm: tuple[tuple[float, float], ...] = ()

    def is_barred(self, joint_mm: float) -> bool:
        """Whether no joint may begin there."""
        return any(low + _TINY < joint_mm < high - _TINY for low, high in self.barred_mm)


def rail_pieces(run: RailRun) -> list[tuple[float, float]] | None:
    """Start and end of each piece of a rail line.

    Joints lie mid-bay; where all such layouts have one on a bolt's hole, joints are moved
    along their bay, as far as the tube reaches and no farther than they must.

    Returns
    -------
    list of (start, end), mm, or None
        Swages not counted; None where the stock is shorter than a bay needs.
    """
    low, high = run.ends_mm
    if high - low <= run.stock_mm:
        return [(low, high)]
    layouts = _mid_bay(run)
    if not layouts:
        return None
    free = [joints for joints in layouts if not any(map(run.is_barred, joints))]
    layouts = free or [moved for joints in layouts if (moved := _moved(run, joints))] or layouts
    fewest = min(len(joints) for joints in layouts)
    good = [joints for joints in layouts if len(joints) == fewest]
    if len(good) == 1 and run.turn:
        good = [joints for joints in layouts if len(joints) <= fewest + 1]
    joints = good[run.turn % len(good)]
    return list(itertools.pairwise([low, *joints, high]))


def _mid_bay(run: RailRun) -> list[list[float]]:
    """Every layout with whole bays between joints, the longest first piece first."""
    low, high = run.ends_mm
    spacing, stock, overlap = run.spacing_mm, run.stock_mm, run.overlap_mm
    bays = round((high + low) / spacing)
    inner = math.floor((stock - overlap + _TINY) / spacing)
    first = math.floor((stock - overlap + low + _TINY) / spacing - 0.5)
    if inner < 1 or first < 0:
        return []
    layouts = []
    for start in range(first, -1, -1):
        joints = [start]
        while high - (joints[-1] + 0.5) * spacing > stock + _TINY:
            joints.append(joints[-1] + inner)
        if joints[-1] <= bays - 1:
            layouts.append([(j + 0.5) * spacing for j in joints])
    return layouts


def _moved(run: RailRun, joints: list[float]) -> list[float] | None:
    """The joints with those that are barred moved along their bay; None where one cannot be."""
    low, high = run.ends_mm
    stops = [low, *joints, high]
    for order in range(1, len(stops) - 1):
        at, before = stops[order], stops[order - 1]
        if not run.is_barred(at):
            continue
        hoop = math.floor(at / run.spacing_mm) * run.spacing_mm
        last = order == len(stops) - 2
        least = max(
            hoop + run.beside_mm,
            stops[order + 1] - run.stock_mm + (0.0 if last else run.overlap_mm),
        )
        most = min(hoop + run.spacing_mm - run.beside_mm, before + run.stock_mm) - run.overlap_mm
        places = [
            edge
            for stretch in run.barred_mm
            for edge in stretch
            if least - _TINY <= edge <= most + _TINY and not run.is_barred(edge)
        ]
        if not places:
            return None
        stops[order] = min(places, key=lambda place: abs(place - at))
    return stops[1:-1]
