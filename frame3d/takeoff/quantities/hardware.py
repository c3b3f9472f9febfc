"""Bought hardware: how many of each thing are needed, to spare, and in packs."""

from __future__ import annotations

import math

from msgspec import Struct

from frame3d.design.tables.whole_design import Order
from frame3d.frame.describe.bought import bought
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Bolt, Nut, Part, Screw, Washer
from frame3d.takeoff.quantities.prices import Prices

__all__ = ["HardwareRow", "hardware_rows", "spares_for"]


class HardwareRow(Struct, frozen=True, kw_only=True):
    """One thing that is bought.

    Parameters
    ----------
    item : str
        In words; equal words are equal things.
    kind : str
        The item without its size.
    size : str
        Of the thread; empty where there is none.
    length_mm : float or None
    grade, finish : str
        As the design orders them; the grade is empty where it has none.
    marks : tuple of str
    members : tuple of Member
        Where it goes.
    spares : int
    pack : int
        How many are sold together.
    """

    item: str
    kind: str
    size: str
    length_mm: float | None
    grade: str
    finish: str
    marks: tuple[str, ...]
    members: tuple[Member, ...]
    spares: int
    pack: int

    @property
    def needed(self) -> int:
        """How many the frame has."""
        return len(self.members)

    @property
    def packs(self) -> int:
        """Packs that hold what is needed and the spares."""
        return -(-(self.needed + self.spares) // self.pack)

    @property
    def buy(self) -> int:
        """How many come in those packs."""
        return self.packs * self.pack


def spares_for(needed: int, percent: float, least: int) -> int:
    """Spares for ``needed`` pieces: a percentage, rounded up, but at least so many.

    Examples
    --------
    >>> spares_for(100, 5, 2), spares_for(101, 5, 2), spares_for(4, 5, 2)
    (5, 6, 2)
    """
    return max(least, math.ceil(needed * percent / 100 - 1e-9))


def hardware_rows(frame: Frame, prices: Prices) -> tuple[HardwareRow, ...]:
    """Every thing that is bought for ``frame``, in the order of kind and words."""
    order = frame.design.order
    rows = []
    for thing in bought(frame):
        item, part, price = thing.item, thing.part, prices.find(thing.item)
        size, length, grade, pack = _facts(part, order)
        kind = item.partition(f" {size}")[0] if size else item
        rows.append(
            HardwareRow(
                item=item,
                kind=kind,
                size=size,
                length_mm=length,
                grade=grade,
                finish=order.finish,
                marks=thing.marks,
                members=thing.members,
                spares=spares_for(len(thing.members), order.spare_percent, order.spare_least),
                pack=price.pack if price is not None and price.pack else pack,
            )
        )
    return tuple(sorted(rows, key=lambda row: (row.kind, row.size, row.length_mm or 0.0)))


def _facts(part: Part, order: Order) -> tuple[str, float | None, str, int]:
    """Size, length, grade and pack of a part."""
    match part:
        case Bolt():
            return part.size.name, part.length_mm, order.bolt_grade, order.bolt_pack
        case Nut():
            return part.size.name, None, order.bolt_grade, order.nut_pack
        case Washer():
            return part.size.name, None, "", order.washer_pack
        case Screw():
            return part.name, part.length_mm, "", order.screw_pack
    return "", None, "", 1
