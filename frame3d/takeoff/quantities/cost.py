"""What the order costs by the user's price list; what has no price is listed, never guessed."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from msgspec import Struct

from frame3d.frame.describe.cut_lengths import is_sawn
from frame3d.frame.describe.wording import describe, lengths_of
from frame3d.frame.model.members import Frame
from frame3d.takeoff.quantities.cuts import SectionPlan
from frame3d.takeoff.quantities.hardware import HardwareRow
from frame3d.takeoff.quantities.prices import Per, Price, Prices

__all__ = ["CostLine", "cost_lines", "missing_items", "total_cost"]


class CostLine(Struct, frozen=True, kw_only=True):
    """One line of the order.

    Parameters
    ----------
    item : str
        As the price list must call it.
    length_mm : float or None
        For bars and boards.
    quantity : int
        Of what ``per`` says.
    per : Per
        Each or pack.
    pack : int
        How many are in a pack; 1 for what is sold one by one.
    price : float or None
        Of one; None where the list has none.
    """

    item: str
    length_mm: float | None
    quantity: int
    per: Per
    pack: int
    price: float | None

    @property
    def amount(self) -> float | None:
        """What the line costs; None where the price is missing."""
        return None if self.price is None else self.quantity * self.price


def cost_lines(
    frame: Frame,
    sections: Sequence[SectionPlan],
    hardware: Sequence[HardwareRow],
    prices: Prices,
) -> tuple[CostLine, ...]:
    """Bars and boards to buy, plates, and hardware."""
    return tuple([*_bars(sections), *_plates(frame, prices), *_hardware(hardware, prices)])


def total_cost(lines: Iterable[CostLine]) -> float:
    """The sum of the lines that have a price."""
    return math.fsum(line.amount for line in lines if line.amount is not None)


def missing_items(lines: Iterable[CostLine]) -> tuple[CostLine, ...]:
    """The lines without a price."""
    return tuple(line for line in lines if line.price is None)


def _bars(sections: Sequence[SectionPlan]) -> Iterable[CostLine]:
    for section in sections:
        if section.plan is None:
            continue
        for stock, count in section.plan.bought:
            yield CostLine(
                item=section.section.name,
                length_mm=stock.length_mm,
                quantity=count,
                per=Per.EACH,
                pack=1,
                price=stock.price,
            )


def _plates(frame: Frame, prices: Prices) -> Iterable[CostLine]:
    form = lengths_of(frame)
    counts: dict[str, int] = {}
    for group in frame.parts():
        if not (group.part.is_bought or is_sawn(group)):
            item = describe(group.part, form)
            counts[item] = counts.get(item, 0) + group.count
    for item, count in counts.items():
        yield _line(item, count, 1, prices.find(item))


def _hardware(rows: Sequence[HardwareRow], prices: Prices) -> Iterable[CostLine]:
    for row in rows:
        yield _line(row.item, row.buy, row.pack, prices.find(row.item))


def _line(item: str, count: int, pack: int, row: Price | None) -> CostLine:
    """A line by the pack where the price is for a pack; by the metre or kilogram makes no sense."""
    by_pack = row is not None and row.per is Per.PACK
    usable = row if row is not None and row.per in (Per.EACH, Per.PACK) else None
    return CostLine(
        item=item,
        length_mm=None,
        quantity=count // pack if by_pack else count,
        per=Per.PACK if by_pack else Per.EACH,
        pack=pack,
        price=None if usable is None else usable.price,
    )
