"""What families ask of the hoops: holes in some of them, and stretches to leave free.

Glossary
--------
demand : a hole that one hoop needs at one place.
claim : a stretch of a half that no splice may lie on, whichever hoop needs it; the
    splices of all hoops are at the same places.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable

from msgspec import Struct

from frame3d.errors import DesignError
from frame3d.frame.model.parts import Hole
from frame3d.frame.model.roles import Side
from frame3d.units import LengthText

_APART = 2.0
"""Centres of holes in one tube lie at least this many diameters apart (common practice)."""


class Demand(Struct, frozen=True, kw_only=True):
    """A hole that a hoop needs.

    Parameters
    ----------
    hoop : int
        Number of the hoop, from 1.
    side : Side
        Left or right: from which leg end the hole's distance counts.
    hole : Hole
    where : str
        The field of the design that it comes from.
    """

    hoop: int
    side: Side
    hole: Hole
    where: str


def check_families_apart(
    families: Iterable[tuple[str, str, Iterable[Hole]]], say: LengthText
) -> None:
    """Refuse a design whose every half has holes that run into each other.

    Parameters
    ----------
    families : iterable of (str, str, iterable of Hole)
        The field of the design that holes come from, what they are for, and the holes.
    say : callable

    Raises
    ------
    DesignError
        Naming the field of the later family.
    """
    taken: list[tuple[Hole, str]] = []
    for where, name, holes in families:
        mine = list(holes)
        for hole, (other, what) in itertools.product(mine, taken):
            _check_pair(hole, other, ("each hoop", what, where), say)
        taken += [(hole, name) for hole in mine]


def check_apart(holes: Iterable[Hole], demands: Iterable[Demand], say: LengthText) -> None:
    """Refuse demands whose holes would run into each other or into those that all hoops have.

    Parameters
    ----------
    holes : iterable of Hole
        Of every half.
    demands : iterable of Demand
    say : callable

    Raises
    ------
    DesignError
        Naming the field that the hole comes from.
    """
    taken: dict[tuple[int, Side], list[tuple[Hole, str]]] = {}
    common = [(hole, "the hoop's own bolts and rails") for hole in holes]
    for demand in demands:
        row = taken.setdefault((demand.hoop, demand.side), [*common])
        for other, what in row:
            _check_pair(demand.hole, other, (f"hoop {demand.hoop}", what, demand.where), say)
        row.append((demand.hole, demand.where))


def _check_pair(hole: Hole, other: Hole, words: tuple[str, str, str], say: LengthText) -> None:
    """Refuse two holes too near to each other.

    ``words`` are the tube's, the other's and the field's of ``hole``.
    """
    tube, what, where = words
    least = _APART * max(other.diameter_mm, hole.diameter_mm)
    between = abs(other.at_mm - hole.at_mm)
    if between < least:
        raise DesignError(
            f"its hole in {tube} is {say(between)} from the hole for {what}; holes must be "
            f"{say.least(least)} apart; move one of them",
            where,
        )
