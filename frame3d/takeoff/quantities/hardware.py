"""Bought hardware: how many of each thing are needed, to spare, and in packs."""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec import Struct

from frame3d.catalog import CatalogKind
from frame3d.catalog.designations import designation
from frame3d.design.tables.whole_design import Order
from frame3d.frame.describe.bought import Bought, bought
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Bolt, Nut, Part, Screw, ScrewKind, Washer
from frame3d.takeoff.quantities.offers import Offer, best_cover, offers_of
from frame3d.takeoff.quantities.prices import Per, Prices
from frame3d.takeoff.quantities.supply import Supply, supply_of


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
    needed, spares : int
        How many of what the frame has, and to spare, are to come out of these packs. Where an
        item is bought in packs of several sizes, each size has a row.
    pack, packs : int
        How many are sold together, and how many times that.
    per : Per
    price : float or None
        Of one, or of a pack, as ``per`` says; None where the list has none.
    supply : Supply
    standard : str
        By which it is ordered; empty where there is none.
    """

    item: str
    kind: str
    size: str
    length_mm: float | None
    grade: str
    finish: str
    marks: tuple[str, ...]
    members: tuple[Member, ...]
    needed: int
    spares: int
    pack: int
    packs: int
    per: Per
    price: float | None
    supply: Supply
    standard: str

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
    rows = [row for thing in bought(frame) for row in _rows(thing, frame.design.order, prices)]
    return tuple(
        sorted(rows, key=lambda row: (row.kind, row.size, row.length_mm or 0.0, -row.pack))
    )


def _rows(thing: Bought, order: Order, prices: Prices) -> Iterator[HardwareRow]:
    """One thing in the packs that cost least, a row for each size of pack."""
    item, needed = thing.item, thing.count
    size, length, grade, pack = _facts(thing.part, order)
    spares = spares_for(needed, order.spare_percent, order.spare_least)
    alone = (Offer(pack=pack, per=Per.EACH, price=None),)
    offers = offers_of(prices.rows(item), pack) or alone
    for offer, packs in best_cover(needed + spares, offers):
        # What is needed comes first, so that a pack which is not there leaves no gap.
        own = min(needed, offer.pack * packs)
        spare = min(spares, offer.pack * packs - own)
        needed, spares = needed - own, spares - spare
        yield HardwareRow(
            item=item,
            kind=item.partition(f" {size}")[0] if size else item,
            size=size,
            length_mm=length,
            grade=grade,
            finish=order.finish,
            marks=thing.marks,
            members=thing.members,
            needed=own,
            spares=spare,
            pack=offer.pack,
            packs=packs,
            per=offer.per,
            price=offer.price,
            supply=supply_of(thing.part, thing.members[0].role),
            standard=_standard(thing.part),
        )


def _standard(part: Part) -> str:
    match part:
        case Bolt():
            return designation(CatalogKind.BOLT, part.size.name, part.size.head.value)
        case Nut():
            return designation(CatalogKind.NUT, part.size.name)
        case Washer():
            return designation(CatalogKind.WASHER, part.size.name)
        case Screw():
            is_lag = part.kind is ScrewKind.LAG
            return designation(CatalogKind.LAG_SCREW if is_lag else CatalogKind.SCREW, part.name)
    return ""


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
