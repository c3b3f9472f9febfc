"""Orders side by side: what a design, and others beside it, take to buy."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from frame3d.takeoff.quantities.cost import missing_items, total_cost
from frame3d.takeoff.quotes.mix import Mix
from frame3d.takeoff.take_off import Takeoff
from frame3d.units.data_tables import DataColumn, DataTable, Quantity, Value

ALTERNATIVES = "alternatives"
_COUNT, _LENGTH, _MASS, _MONEY = (
    Quantity.COUNT, Quantity.LENGTH, Quantity.MASS, Quantity.MONEY,
)  # fmt: skip


class SideBySide(Struct, frozen=True, kw_only=True):
    """An order by its name, and its cheapest mix where price lists of suppliers were given."""

    name: str
    takeoff: Takeoff
    quotes: tuple[Mix, ...] = ()


def alternatives_table(orders: Sequence[SideBySide]) -> DataTable:
    """The orders, a row each; the first is the design itself."""
    currencies = {mix.currency for one in orders for mix in one.quotes}
    mixes = [
        column
        for number, currency in enumerate(sorted(currencies))
        for column in (
            DataColumn(key=_mix_key(number), header=f"Cheapest mix {currency}".strip(), width=13,
                       quantity=_MONEY),
            DataColumn(key=f"{_mix_key(number)}_without", header="Lines without a price in it",
                       width=9, quantity=_COUNT),
        )
    ]  # fmt: skip
    return DataTable(
        key=ALTERNATIVES,
        title="Alternatives side by side",
        columns=(
            DataColumn(key="name", header="Alternative", width=44),
            DataColumn(key="bars", header="Bars and boards", quantity=_COUNT, width=9),
            DataColumn(key="bought", header="Length bought", quantity=_LENGTH, width=13),
            DataColumn(key="waste", header="Waste", quantity=_LENGTH, width=11),
            DataColumn(key="kept", header="Offcuts to keep", quantity=_LENGTH, width=11),
            DataColumn(key="uncut", header="Pieces not planned", quantity=_COUNT, width=9),
            DataColumn(key="hardware", header="Hardware to buy", quantity=_COUNT, width=10),
            DataColumn(key="surplus", header="Hardware beyond spares", quantity=_COUNT, width=10),
            DataColumn(key="mass", header="Mass of all parts", quantity=_MASS, width=11),
            DataColumn(key="cost", header="Cost", quantity=_MONEY, width=12),
            DataColumn(key="unpriced", header="Items without a price", quantity=_COUNT, width=9),
            *mixes,
        ),
        rows=tuple(_row(one, sorted(currencies)) for one in orders),
        note="Cost is by the price list of each design, without what has no price: compare only "
        "orders that lack the same prices.",
    )  # fmt: skip


def _mix_key(number: int) -> str:
    return "mix" if not number else f"mix{number + 1}"


def _row(one: SideBySide, currencies: Sequence[str]) -> dict[str, Value]:
    order = one.takeoff
    plans = [section.plan for section in order.sections if section.plan is not None]
    bought = [bar for plan in plans for bar in plan.bought]
    unpriced = len(missing_items(order.cost))
    row: dict[str, Value] = {
        "name": one.name,
        "bars": sum(count for _, count in bought),
        "bought": math.fsum(stock.length_mm * count for stock, count in bought),
        "waste": math.fsum(plan.waste_mm for plan in plans),
        "kept": math.fsum(plan.kept_mm for plan in plans),
        "uncut": order.uncut,
        "hardware": sum(row.buy for row in order.hardware),
        "surplus": sum(row.buy - row.needed - row.spares for row in order.hardware),
        "mass": order.mass_kg,
        "cost": None if unpriced == len(order.cost) else total_cost(order.cost),
        "unpriced": unpriced,
    }
    for number, currency in enumerate(currencies):
        own = next((mix for mix in one.quotes if mix.currency == currency), None)
        row[_mix_key(number)] = round(float(own.total), 6) if own else None
        row[f"{_mix_key(number)}_without"] = len(own.missing) if own else None
    return row
