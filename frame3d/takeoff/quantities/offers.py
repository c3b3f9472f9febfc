"""What a price list offers for a thing: packs and their prices, and the cheapest that suffice.

Glossary
--------
cover : packs that together hold at least what is needed.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from msgspec import Struct

from frame3d.takeoff.quantities.prices import Per, Price

_MICROS = 1_000_000
"""Money is counted in whole millionths, so that equal sums are equal."""


class Offer(Struct, frozen=True, kw_only=True):
    """A pack: how many it holds, and the row of the list that says what it costs.

    Parameters
    ----------
    pack : int
    per : Per
        Each or pack: what the price is for.
    price : float or None
        Of that; None where it is not known.
    """

    pack: int
    per: Per
    price: float | None

    @property
    def pack_price(self) -> float | None:
        """Of a whole pack."""
        if self.price is None:
            return None
        return self.price if self.per is Per.PACK else self.price * self.pack


def offers_of(rows: Sequence[Price], pack: int) -> tuple[Offer, ...]:
    """The packs in rows of a price list for one item; those without a number have ``pack``.

    By the metre or kilogram hardware has no price.
    """
    return tuple(
        Offer(
            pack=row.pack or pack,
            per=row.per if row.per is Per.PACK else Per.EACH,
            price=row.price if row.per in (Per.EACH, Per.PACK) else None,
        )
        for row in rows
    )


def best_cover(needed: int, offers: Sequence[Offer]) -> tuple[tuple[Offer, int], ...]:
    """The packs that hold ``needed`` for the least money, the largest first.

    Of equal money the fewest pieces, then the fewest packs. Where no offer has a price it is the
    first of them alone.
    """
    priced = [(offer, offer.pack_price) for offer in offers]
    known = [(offer, round(price * _MICROS)) for offer, price in priced if price is not None]
    if not known:
        first = offers[0]
        return ((first, -(-needed // first.pack)),)
    step = math.gcd(*(offer.pack for offer, _ in known))
    best: list[tuple[tuple[int, int, int], int]] = [((0, 0, 0), -1)]
    for count in range(1, -(-needed // step) + 1):
        best.append(min(
            (_added(best[max(0, count - offer.pack // step)][0], price, offer.pack), number)
            for number, (offer, price) in enumerate(known)
        ))  # fmt: skip
    packs: Counter[int] = Counter()
    at = len(best) - 1
    while at > 0:
        number = best[at][1]
        packs[number] += 1
        at = max(0, at - known[number][0].pack // step)
    found = [(known[number][0], count) for number, count in packs.items()]
    return tuple(sorted(found, key=lambda one: -one[0].pack))


def _added(before: tuple[int, int, int], price: int, pack: int) -> tuple[int, int, int]:
    return before[0] + price, before[1] + pack, before[2] + 1
