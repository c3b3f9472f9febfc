"""The tables of an order by groups, and of what suppliers ask for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from frame3d.frame.describe.wording import lengths_of
from frame3d.takeoff.quotes.mix import Alone, Bill, Mix
from frame3d.takeoff.quotes.order_lines import OrderLine, order_lines
from frame3d.takeoff.take_off import Takeoff
from frame3d.takeoff.write.cut_lists import length_columns
from frame3d.units import LengthFormat
from frame3d.units.data_tables import DataColumn, DataTable, Quantity, Value

_COUNT, _MONEY = Quantity.COUNT, Quantity.MONEY
QUOTE_TABLES = ("quotes", "bills", "mix")
_CHARGES = ("goods", "to_minimum", "freight", "tax")
_HEADS = ("Goods", "To minimum order", "Freight", "Tax")
_ONLY = "{mix:currency}={currency}"


def order_table(takeoff: Takeoff) -> DataTable:
    """What is asked for, by the groups of who sells it."""
    form = lengths_of(takeoff.frame)
    return DataTable(
        key="order",
        title="Order by supplier",
        columns=(
            DataColumn(key="group", header="Group", width=16),
            DataColumn(key="line", header="Line", quantity=_COUNT, width=7),
            DataColumn(key="item", header="Item", width=40),
            *length_columns(takeoff.frame, "length", "Length"),
            DataColumn(key="quantity", header="Quantity", quantity=_COUNT, width=9),
            DataColumn(key="unit", header="Unit", width=9),
            DataColumn(key="standard", header="Standard", width=18),
            DataColumn(key="grade", header="Grade", width=20),
            DataColumn(key="finish", header="Finish", width=32),
        ),
        rows=tuple(
            {
                "group": line.group,
                "line": line.number,
                "item": line.item,
                "length": line.length_mm,
                "length_text": _said(form, line),
                "quantity": line.pieces,
                "unit": line.unit,
                "standard": line.standard,
                "grade": line.grade,
                "finish": line.finish,
            }
            for line in order_lines(takeoff)
        ),
        note="What each supplier is asked for, spares included, before packs are filled up.",
    )


def quote_tables(takeoff: Takeoff, mixes: Sequence[Mix]) -> tuple[DataTable, ...]:
    """What each supplier asks, what is paid in the cheapest mix, and what is bought where.

    None where there are no price lists.
    """
    if not mixes:
        return ()
    form, alone = lengths_of(takeoff.frame), len(mixes) == 1
    return (
        DataTable(
            key="quotes",
            title="Each supplier alone",
            columns=(
                DataColumn(key="supplier", header="Supplier", width=20),
                DataColumn(key="currency", header="Currency", width=11),
                DataColumn(key="lines", header="Lines", quantity=_COUNT, width=7),
                *_charge_columns(),
                _total_column(total=False),
                DataColumn(key="without", header="Lines missing", quantity=_COUNT, width=9),
                DataColumn(key="missing", header="Missing", width=60),
            ),
            rows=tuple(_alone_row(mix, one, form) for mix in mixes for one in mix.alone),
            note="What each supplier would be paid for all that it has of the order. Compare only "
            "suppliers that lack the same lines.",
        ),
        DataTable(
            key="bills",
            title="Cheapest mix by supplier",
            columns=(
                DataColumn(key="supplier", header="Supplier", width=20),
                DataColumn(key="currency", header="Currency", width=11),
                DataColumn(key="lines", header="Lines", quantity=_COUNT, width=7),
                *_charge_columns(
                    f"SUMPRODUCT(({{mix:supplier}}={{supplier}})*({_ONLY})*{{mix:amount}})"
                ),
                _total_column(total=alone),
            ),
            rows=tuple(_bill_row(mix, bill) for mix in mixes for bill in mix.bills),
            note=_mix_note(mixes),
        ),
        DataTable(
            key="mix",
            title="Cheapest mix by line",
            columns=(
                DataColumn(key="line", header="Line", quantity=_COUNT, width=7),
                DataColumn(key="item", header="Item", width=40),
                *length_columns(takeoff.frame, "length", "Length"),
                DataColumn(key="supplier", header="Supplier", width=20),
                DataColumn(key="currency", header="Currency", width=11),
                DataColumn(key="pack", header="Per pack", quantity=_COUNT, width=8),
                DataColumn(key="packs", header="Packs", quantity=_COUNT, width=8),
                DataColumn(key="price", header="Price of a pack", quantity=_MONEY, width=12),
                DataColumn(key="amount", header="Amount", quantity=_MONEY, width=13, total=alone,
                           product=("packs", "price")),
            ),
            rows=tuple(_mix_rows(mixes, form)),
            note="Lines without a price in any list of a currency are not here; each supplier's "
            "table names them.",
        ),
    )  # fmt: skip


def line_name(line: OrderLine, form: LengthFormat) -> str:
    """A line in a few words."""
    length = _said(form, line)
    return f"{line.item}, {length}" if length else line.item


def _said(form: LengthFormat, line: OrderLine) -> str:
    return "" if line.length_mm is None else form.text(line.length_mm, unit=True)


def _charge_columns(goods: str = "") -> list[DataColumn]:
    return [
        DataColumn(key=key, header=header, quantity=_MONEY, width=12,
                   formula=goods if key == "goods" else "")
        for key, header in zip(_CHARGES, _HEADS, strict=True)
    ]  # fmt: skip


def _total_column(*, total: bool) -> DataColumn:
    summed = "+".join(f"{{{key}}}" for key in _CHARGES)
    return DataColumn(
        key="total", header="To pay", quantity=_MONEY, width=13, total=total, formula=summed
    )


def _bill_row(mix: Mix, bill: Bill) -> dict[str, Value]:
    row: dict[str, Value] = {
        "supplier": bill.supplier, "currency": mix.currency, "lines": bill.lines,
    }  # fmt: skip
    return row | {key: _number(getattr(bill, key)) for key in (*_CHARGES, "total")}


def _alone_row(mix: Mix, one: Alone, form: LengthFormat) -> dict[str, Value]:
    return _bill_row(mix, one.bill) | {
        "without": len(one.missing),
        "missing": "; ".join(line_name(line, form) for line in one.missing),
    }


def _mix_rows(mixes: Sequence[Mix], form: LengthFormat) -> Iterator[dict[str, Value]]:
    for mix in mixes:
        for buy in mix.bought:
            yield {
                "line": buy.line.number,
                "item": buy.line.item,
                "length": buy.line.length_mm,
                "length_text": _said(form, buy.line),
                "supplier": buy.supplier,
                "currency": mix.currency,
                "pack": buy.pack,
                "packs": buy.packs,
                "price": _number(buy.price),
            }


def _mix_note(mixes: Sequence[Mix]) -> str:
    told = ["Of the order as it stands: the cutting plan is not changed by it."]
    for mix in mixes:
        name = f"{mix.currency}: " if mix.currency else ""
        if not mix.is_proven:
            told.append(f"{name}not proven best; no mix costs less than {mix.least:.2f}.")
        if mix.missing:
            told.append(f"{name}{len(mix.missing)} lines have no price in any list.")
    if len(mixes) > 1:
        told.append("Currencies are compared apart and never added.")
    return " ".join(told)


def _number(amount: Decimal) -> float:
    return round(float(amount), 6)
