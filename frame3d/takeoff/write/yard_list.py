"""What lies in the yard when everything is cut, as a stock list that the next design reads."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from msgspec import Struct

from frame3d.design.reading.user_lists import name_key
from frame3d.frame.describe.wording import fine_lengths, lengths_of
from frame3d.takeoff.quantities.stock import COLUMNS, StockRow
from frame3d.takeoff.take_off import Takeoff
from frame3d.takeoff.write.records import FIRST_LINE
from frame3d.units.cells import as_csv

_NOISE_MM = 1e-3


class YardRow(Struct, frozen=True, kw_only=True):
    """Bars or offcuts of one length: those owned, or what a supplier still has of them."""

    section: str
    length_mm: float
    count: int | None
    owned: bool
    price: float | None
    note: str = ""


def yard_rows(takeoff: Takeoff) -> tuple[YardRow, ...]:
    """The user's stock list without what this order takes from it, and the offcuts to keep.

    A length that the saw leaves is rounded down to what the list can say of it.
    """
    return (*_left_of(takeoff), *_offcuts(takeoff))


def yard_text(takeoff: Takeoff) -> str:
    """The text of the list."""
    form = fine_lengths(lengths_of(takeoff.frame))
    rows = [(
        row.section, form.text(row.length_mm, unit=True), row.count,
        "yes" if row.owned else "", row.price, row.note,
    ) for row in yard_rows(takeoff)]  # fmt: skip
    return f"\ufeff{FIRST_LINE}\n{as_csv([COLUMNS, *rows])}"


def _left_of(takeoff: Takeoff) -> Iterator[YardRow]:
    """The rows of the user's list, less what is taken; rows of which nothing is left go away."""
    taken = _taken(takeoff)
    for row in takeoff.stock:
        count = row.count
        if count is not None:
            used = min(count, sum(taken[key] for key in _keys(row)))
            for key in _keys(row):
                here = min(used, taken[key])
                taken[key] -= here
                used, count = used - here, count - here
        if count != 0:
            yield YardRow(
                section=row.name, length_mm=row.length_mm, count=count, owned=row.owned,
                price=row.price,
            )  # fmt: skip


_Key = tuple[str, float, bool]
"""A section by its key, a stock length, and whether it is owned."""


def _keys(row: StockRow) -> list[_Key]:
    return [(key, row.length_mm, row.owned) for key in row.sections]


def _taken(takeoff: Takeoff) -> Counter[_Key]:
    """How many bars of each stock the plans use."""
    return Counter(
        (name_key(section.section.name), bar.stock.length_mm, bar.stock.owned)
        for section in takeoff.sections
        if section.plan is not None
        for bar in section.plan.bars
    )


def _offcuts(takeoff: Takeoff) -> Iterator[YardRow]:
    form = fine_lengths(lengths_of(takeoff.frame))
    shortest = takeoff.frame.design.order.shortest_offcut - _NOISE_MM
    note = f"offcut of {takeoff.frame.design.project.number}"
    for section in takeoff.sections:
        bars = section.plan.bars if section.plan is not None else ()
        rests = Counter(
            form.floor_mm(bar.rest_mm + _NOISE_MM)
            for bar in bars
            if bar.rest_mm >= max(shortest, 1.0)
        )
        for length, count in sorted(rests.items(), reverse=True):
            if length >= 1.0:
                yield YardRow(
                    section=section.section.name, length_mm=length, count=count, owned=True,
                    price=None, note=note,
                )  # fmt: skip
