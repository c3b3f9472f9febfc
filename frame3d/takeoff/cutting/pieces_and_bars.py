"""What a cutting plan is asked for: pieces, stock and the rules of the saw.

Words as in :mod:`frame3d.takeoff.cutting.plan_cuts`.
"""

from __future__ import annotations

import math

from msgspec import Struct


class Piece(Struct, frozen=True, kw_only=True):
    """Pieces of one mark: how long, mm, and how many."""

    mark: str
    length_mm: float
    count: int


class Stock(Struct, frozen=True, kw_only=True):
    """Bars of one length that can be bought, or that are in the yard.

    Parameters
    ----------
    name : str
        As the list shows it.
    length_mm : float
        Before the end trim, mm.
    price : float or None
        Of one bar, in the user's currency; needed for least cost, and not used where owned.
    available : int or None
        How many there are; None for any number.
    owned : bool
        Already in the yard: costs nothing and is used first.
    """

    name: str
    length_mm: float
    price: float | None = None
    available: int | None = None
    owned: bool = False


class CuttingRules(Struct, frozen=True, kw_only=True):
    """How bars are sawn; see the glossary of :mod:`frame3d.takeoff.cutting.plan_cuts`.

    Parameters
    ----------
    kerf_mm, end_trim_mm : float
        Zero or more, mm.
    shortest_kept_mm : float
        Shortest offcut worth keeping, mm; infinite where none is.
    """

    kerf_mm: float = 0.0
    end_trim_mm: float = 0.0
    shortest_kept_mm: float = math.inf
