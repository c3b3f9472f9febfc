"""The user's price list: what an item costs, and what has no price.

Columns: ``item`` as the take-off calls it, ``length`` for bars of tube and boards (empty: any
length), ``price`` (empty: not known yet), ``per`` (each, pack, m, ft, kg, lb; empty: each),
``pack`` (how many are in a pack), ``currency``, ``note``. An item may stand there in several
packs. Three items are no goods: ``freight`` and ``minimum order``, in money for one order, and
``tax`` in percent. A request for quotation that has been filled in is such a list.
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
REQUEST_COLUMNS = ("line", "quantity", "unit", "standard", "grade", "finish", "alternatives")
"""What a request for quotation has besides; passed over where it is read back."""
PRICE_FIELD = "order.price_file"
_CHARGES = ("freight", "minimum order", "tax")
_SAME_MM = 1.0
_MOST_TAX = 100.0
_FORMER = tuple(
    (re.compile(former, re.IGNORECASE), today)
    for former, today in (
        (r"^hexagon\s+(bolt|nut)\b", r"hex \1"),
        (r"^plain\s+washer\b", "flat washer"),
    )
)
"""What items were called once, and are called today: lists that people have filled in go on."""
_HALF_CLAMP = re.compile(r"(?:clamp|coup\w+)\s+half\b", re.IGNORECASE)
"""Of those that are no more, as nobody sells halves."""


class Per(enum.Enum):
    """What a price is for."""

    EACH = "each"
    PACK = "pack"
    METRE = "m"
    FOOT = "ft"
    KILOGRAM = "kg"
    POUND = "lb"
    PERCENT = "percent"


_Key = tuple[str, int | None, int | None]
"""Of an item, its length in whole mm and its pack; None for any length and a pack not named."""


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


class Charges(Struct, frozen=True, kw_only=True):
    """What comes to an order besides its goods; None for what the list does not say.

    Parameters
    ----------
    freight : float or None
        For one order.
    minimum : float or None
        An order for less counts as this much.
    tax_percent : float or None
        Of goods and freight.
    """

    freight: float | None = None
    minimum: float | None = None
    tax_percent: float | None = None


class Prices(Struct, frozen=True, kw_only=True):
    """A price list; empty where the design names none.

    Parameters
    ----------
    currency : str
        As the list has it; empty where it has none.
    by_item : dict
        Rows by the key of their item.
    charges : Charges
    """

    currency: str = ""
    by_item: dict[str, tuple[Price, ...]] = field(default_factory=dict)
    charges: Charges = Charges()

    def rows(self, item: str, length_mm: float | None = None) -> tuple[Price, ...]:
        """The rows for an item, a pack each: those of its length, or else those of any length."""
        rows = self.by_item.get(name_key(item), ())
        of_length = tuple(
            row
            for row in rows
            if row.length_mm is not None
            and length_mm is not None
            and abs(row.length_mm - length_mm) < _SAME_MM
        )
        return of_length or tuple(row for row in rows if row.length_mm is None)

    def find(self, item: str, length_mm: float | None = None) -> Price | None:
        """The first row for an item."""
        return next(iter(self.rows(item, length_mm)), None)

    def of_bar(self, section: str, length_mm: float, kg_per_m: float) -> float | None:
        """The price of one bar of a section, the least of its rows; None where there is none."""
        prices = (bar_price(row, length_mm, kg_per_m) for row in self.rows(section, length_mm))
        return min((price for price in prices if price is not None), default=None)


def half_clamps(prices: Prices) -> tuple[str, ...]:
    """Items of a list that are half a clamp, as lists from before clamps were sold complete."""
    return tuple(
        rows[0].item for rows in prices.by_item.values() if _HALF_CLAMP.match(rows[0].item)
    )


def bar_price(row: Price, length_mm: float, kg_per_m: float) -> float | None:
    """What one bar costs by a row that is for single bars, metres or masses."""
    amounts = {
        Per.EACH: 1.0,
        Per.METRE: length_mm / 1000,
        Per.FOOT: length_mm / MM_PER_FOOT,
        Per.KILOGRAM: kg_per_m * length_mm / 1000,
        Per.POUND: kg_per_m * length_mm / 1000 / KG_PER_LB,
    }
    if row.price is None or row.per not in amounts:
        return None
    return round(row.price * amounts[row.per], 4)


def read_prices(path: ListSource, where: str = PRICE_FIELD) -> Prices:
    """The price list in a file, which the field or the option ``where`` names.

    Raises
    ------
    DesignError
        If the file cannot be read.
    ListFaults
        With every fault of its rows.
    """
    columns = (*COLUMNS, *REQUEST_COLUMNS)
    found = read_user_list(path, columns=columns, needed=("item", "price"), where=where)
    by_item: dict[str, list[Price]] = {}
    charges: dict[str, float | None] = {}
    seen: dict[_Key, int] = {}
    currencies: dict[str, int] = {}
    for row in found.rows:
        key = name_key(row.cells["item"])
        price = None if key in _CHARGES else _price(found, row)
        _check_once(found, row, price, seen)
        if price is None:
            charges[key] = _charge(found, row, key)
        else:
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
    freight, minimum, tax = (charges.get(key) for key in _CHARGES)
    return Prices(
        currency=next(iter(currencies), ""),
        by_item={key: tuple(prices) for key, prices in by_item.items()},
        charges=Charges(freight=freight, minimum=minimum, tax_percent=tax),
    )


def _charge(found: UserList, row: Row, key: str) -> float | None:
    """Freight and minimum in money, tax in percent."""
    is_tax = key == "tax"
    per = found.choice(row, "per", [Per.PERCENT.value] if is_tax else [Per.EACH.value])
    value = found.number(row, "price")
    if is_tax and value is not None and value > _MOST_TAX:
        found.fault(row.number, "price", f"got {value:g}; tax is in percent, at most {_MOST_TAX:g}")
    if is_tax and value is not None and per is None:
        found.fault(row.number, "per", 'is empty; write "percent" for tax')
    for column in ("length", "pack"):
        if row.cells.get(column, ""):
            found.fault(row.number, column, f"must be empty for {key}")
    return value


def _price(found: UserList, row: Row) -> Price:
    item = row.cells["item"]
    if not item:
        found.fault(row.number, "item", "is empty; name the item as in the take-off")
    per = found.choice(row, "per", [per.value for per in Per if per is not Per.PERCENT])
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


def _check_once(found: UserList, row: Row, price: Price | None, seen: dict[_Key, int]) -> None:
    if price is None:
        key: _Key = (name_key(row.cells["item"]), None, None)
    else:
        length = None if price.length_mm is None else round(price.length_mm)
        key = (name_key(price.item), length, price.pack)
    if key in seen:
        found.fault(
            row.number, "item",
            f"has a price in row {seen[key]} already; remove one of the two rows, or give each "
            "its own pack",
        )  # fmt: skip
    seen.setdefault(key, row.number)
