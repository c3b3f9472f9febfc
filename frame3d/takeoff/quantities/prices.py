"""The user's price list: what an item costs, and what has no price.

Columns: ``item`` as the take-off calls it, ``length`` for bars of tube and boards (empty: any
length), ``price`` (empty: not known yet), ``per`` (each, pack, m, ft, kg, lb; empty: each),
``pack`` (how many are in a pack), ``currency``, ``note``.
"""

from __future__ import annotations

import enum
import re

from msgspec import Struct, field

from frame3d.design.reading.user_lists import ListSource, Row, UserList, name_key, read_user_list
from frame3d.design.tables.fields import shown
from frame3d.design.tables.letters import fault_of_text
from frame3d.units import KG_PER_LB, MM_PER_FOOT

COLUMNS = ("item", "length", "price", "per", "pack", "currency", "note")
_WHERE = "order.price_file"
_SAME_MM = 1.0
_FORMER = tuple(
    (re.compile(former, re.IGNORECASE), today)
    for former, today in (
        (r"^hexagon\s+(bolt|nut)\b", r"hex \1"),
        (r"^plain\s+washer\b", "flat washer"),
        (
            r"^half of a swivel coupler for tube of (.+) outside$",
            r"swivel clamp half for \1 tube",
        ),
        (r"^swivel coupler half\b", "swivel clamp half"),
    )
)
"""What items were called once, and are called today: lists that people have filled in go on."""

__all__ = ["COLUMNS", "Per", "Price", "Prices", "read_prices"]


class Per(enum.Enum):
    """What a price is for."""

    EACH = "each"
    PACK = "pack"
    METRE = "m"
    FOOT = "ft"
    KILOGRAM = "kg"
    POUND = "lb"


_Key = tuple[str, int | None]
"""Of an item and its length in whole mm; None for any length."""


class Price(Struct, frozen=True, kw_only=True):
    """One row of the list.

    Parameters
    ----------
    item : str
    length_mm : float or None
        None where it goes for any length.
    price : float or None
        None where it is not known.
    per : Per
    pack : int or None
        How many are in a pack.
    """

    item: str
    length_mm: float | None
    price: float | None
    per: Per
    pack: int | None


class Prices(Struct, frozen=True, kw_only=True):
    """A price list; empty where the design names none.

    Parameters
    ----------
    currency : str
        As the list has it; empty where it has none.
    by_item : dict
        Rows by the key of their item.
    """

    currency: str = ""
    by_item: dict[str, tuple[Price, ...]] = field(default_factory=dict)

    def find(self, item: str, length_mm: float | None = None) -> Price | None:
        """The row for an item: that of its length, or else that of any length."""
        rows = self.by_item.get(name_key(item), ())
        for row in rows:
            if row.length_mm is None or length_mm is None:
                continue
            if abs(row.length_mm - length_mm) < _SAME_MM:
                return row
        return next((row for row in rows if row.length_mm is None), None)

    def of_bar(self, section: str, length_mm: float, kg_per_m: float) -> float | None:
        """The price of one bar of a section, or None where there is none."""
        row = self.find(section, length_mm)
        if row is None or row.price is None:
            return None
        amounts = {
            Per.EACH: 1.0,
            Per.METRE: length_mm / 1000,
            Per.FOOT: length_mm / MM_PER_FOOT,
            Per.KILOGRAM: kg_per_m * length_mm / 1000,
            Per.POUND: kg_per_m * length_mm / 1000 / KG_PER_LB,
        }
        if row.per not in amounts:
            return None
        return round(row.price * amounts[row.per], 4)


def read_prices(path: ListSource) -> Prices:
    """The price list in a file.

    Raises
    ------
    DesignError
        If the file cannot be read.
    ListFaults
        With every fault of its rows.
    """
    found = read_user_list(path, columns=COLUMNS, needed=("item", "price"), where=_WHERE)
    by_item: dict[str, list[Price]] = {}
    seen: dict[_Key, int] = {}
    currencies: dict[str, int] = {}
    for row in found.rows:
        price = _price(found, row)
        _check_once(found, row, price, seen)
        by_item.setdefault(name_key(price.item), []).append(price)
        if currency := row.cells.get("currency", ""):
            # All else in the list is looked up and not shown.
            if fault := fault_of_text(currency):
                found.fault(row.number, "currency", f"got {shown(currency)}; {fault}")
            currencies.setdefault(currency, row.number)
    if len(currencies) > 1:
        (first, _), (other, number), *_ = currencies.items()
        found.fault(
            number, "currency",
            f'got "{other}" after "{first}"; give all prices in one currency',
        )  # fmt: skip
    found.done()
    return Prices(
        currency=next(iter(currencies), ""),
        by_item={key: tuple(prices) for key, prices in by_item.items()},
    )


def _price(found: UserList, row: Row) -> Price:
    item = row.cells["item"]
    if not item:
        found.fault(row.number, "item", "is empty; name the item as in the take-off")
    per = found.choice(row, "per", [per.value for per in Per])
    pack = found.whole(row, "pack", low=1)
    for former, today in _FORMER:
        item = former.sub(today, item)
    return Price(
        item=item,
        length_mm=found.length_mm(row, "length"),
        price=found.number(row, "price"),
        per=Per(per) if per else Per.EACH,
        pack=pack,
    )


def _check_once(found: UserList, row: Row, price: Price, seen: dict[_Key, int]) -> None:
    length = None if price.length_mm is None else round(price.length_mm)
    key = (name_key(price.item), length)
    if key in seen:
        found.fault(
            row.number, "item",
            f"has a price in row {seen[key]} already; remove one of the two rows",
        )  # fmt: skip
    seen.setdefault(key, row.number)
