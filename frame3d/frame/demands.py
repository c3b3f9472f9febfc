"""What families ask of the hoops: holes in some of them, and stretches to leave free.

Glossary
--------
demand : a hole that one hoop needs at one place.
claim : a stretch of a half that no splice may lie on, whichever hoop needs it; the
    splices of all hoops are at the same places.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from frame3d.errors import DesignError
from frame3d.frame.members import Side
from frame3d.frame.parts import Hole
from frame3d.frame.plan import Say
from frame3d.frame.stops import Stretch

_APART = 2.0
"""Centres of holes in one tube lie at least this many diameters apart (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
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


def claims_of(demands: Iterable[Demand], reach_mm: float) -> tuple[Stretch, ...]:
    """The stretches that the holes of ``demands`` take up of a half, each once."""
    places = {demand.hole.at_mm for demand in demands}
    return tuple(Stretch.around(at, reach_mm) for at in sorted(places))


def check_apart(holes: Iterable[Hole], demands: Iterable[Demand], say: Say) -> None:
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
            least = _APART * max(other.diameter_mm, demand.hole.diameter_mm)
            if abs(other.at_mm - demand.hole.at_mm) < least:
                raise DesignError(
                    f"its hole in hoop {demand.hoop} is {say(abs(other.at_mm - demand.hole.at_mm))}"
                    f" along the tube from one for {what}; holes must be {say(least)} apart, so "
                    "move one of them",
                    demand.where,
                )
        row.append((demand.hole, demand.where))
