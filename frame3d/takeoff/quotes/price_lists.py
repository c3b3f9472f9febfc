"""Price lists of several suppliers, and what each offers for the lines of an order."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

from msgspec import Struct

from frame3d.design.reading.user_lists import GivenList
from frame3d.errors import DesignError
from frame3d.takeoff.quantities.offers import offers_of
from frame3d.takeoff.quantities.prices import Per, Prices, bar_price, read_prices
from frame3d.takeoff.quotes.order_lines import OrderLine

QUOTE_OPTION = "--quote"


class PriceList(Struct, frozen=True, kw_only=True):
    """The price list of one supplier; its name is that of its file."""

    name: str
    prices: Prices


class PackPrice(Struct, frozen=True, kw_only=True):
    """What a supplier sells of a thing: how many in a pack, and what the pack costs."""

    pack: int
    price: Decimal


def money(value: float) -> Decimal:
    """A price as it is written in a list, without the noise of floating point."""
    return Decimal(repr(round(value, 6)))


def read_price_lists(sources: Sequence[Path | GivenList]) -> tuple[PriceList, ...]:
    """The lists in files, each called by the name of its file.

    Raises
    ------
    DesignError
        If a file cannot be read, or two are called the same.
    ListFaults
        With every fault of one file.
    """
    found: list[PriceList] = []
    for source in sources:
        name = Path(source.name).stem
        if any(one.name == name for one in found):
            raise DesignError(
                f"two price lists are called {name}; rename one, as suppliers are told apart by "
                "the names of their files",
                QUOTE_OPTION,
            )
        found.append(PriceList(name=name, prices=read_prices(source, QUOTE_OPTION)))
    return tuple(found)


def pack_prices(line: OrderLine, prices: Prices) -> tuple[PackPrice, ...]:
    """What a list offers for a line with a price: each pack at its least, the smallest first."""
    found: list[PackPrice] = []
    rows = prices.rows(line.item, line.length_mm)
    if line.length_mm is None:
        for offer in offers_of(rows, line.pack):
            if offer.price is not None:
                times = 1 if offer.per is Per.PACK else offer.pack
                found.append(PackPrice(pack=offer.pack, price=money(offer.price) * times))
    else:
        for row in rows:
            pack, price = row.pack or 1, row.price
            if price is not None and row.per is not Per.PACK:
                one = bar_price(row, line.length_mm, line.kg_per_m)
                price = None if one is None else one * pack
            if price is not None:
                found.append(PackPrice(pack=pack, price=money(price)))
    cheapest: dict[int, Decimal] = {}
    for one_pack in found:
        price_now = cheapest.get(one_pack.pack, one_pack.price)
        cheapest[one_pack.pack] = min(one_pack.price, price_now)
    return tuple(PackPrice(pack=pack, price=cheapest[pack]) for pack in sorted(cheapest))
