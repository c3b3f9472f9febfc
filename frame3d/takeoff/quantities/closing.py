"""What closes the frame, as it is ordered: film, wire for its channel, sheets of end walls.

Channel itself is cut by a plan like tube, and its screws are hardware.
"""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.frame.describe.closing import BoughtCover, bought_cover
from frame3d.frame.model.members import Frame
from frame3d.takeoff.quantities.cost import CostLine
from frame3d.takeoff.quantities.prices import Per, Prices
from frame3d.takeoff.quantities.supply import Supply
from frame3d.units import MM_PER_FOOT


def closing_lines(frame: Frame, prices: Prices) -> Iterator[CostLine]:
    """What they cost: things of one name together."""
    counts: dict[str, int] = {}
    known: dict[str, BoughtCover] = {}
    for one in bought_cover(frame):
        counts[one.item] = counts.get(one.item, 0) + one.count
        known[one.item] = one
    for item, count in counts.items():
        yield CostLine(
            item=item,
            length_mm=None,
            quantity=count,
            per=Per.EACH,
            pack=1,
            price=_price(known[item], prices),
            pieces=count,
            supply=Supply.COVER,
        )


def _price(thing: BoughtCover, prices: Prices) -> float | None:
    """Of one; of film by its length too, where it is priced by the metre or foot."""
    row = prices.find(thing.item)
    if row is None or row.price is None:
        return None
    amounts = {Per.EACH: 1.0}
    if thing.by_length and thing.length_mm is not None:
        amounts |= {Per.METRE: thing.length_mm / 1000, Per.FOOT: thing.length_mm / MM_PER_FOOT}
    return round(row.price * amounts[row.per], 4) if row.per in amounts else None
