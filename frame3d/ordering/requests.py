"""Requests for quotation: one for each group of suppliers, as PDF to print and CSV to fill in.

They hold no name of a person or a place: the number of the design, quantities, what is wanted
and blanks. A CSV that a supplier has filled in is a price list as it stands.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from frame3d.design.tables.whole_design import SheetStandard
from frame3d.frame.describe.wording import fine_lengths, lengths_of
from frame3d.frame.revisions.words import with_revision
from frame3d.takeoff.quantities.prices import COLUMNS, Per
from frame3d.takeoff.quantities.supply import Supply
from frame3d.takeoff.quotes.order_lines import OrderLine, groups_of, order_lines
from frame3d.takeoff.take_off import Takeoff
from frame3d.takeoff.write.records import FIRST_LINE
from frame3d.units import LengthFormat
from frame3d.units.cells import as_csv

STANDARD_NAMES = tuple(f"request-{kind.value}" for kind in Supply)
"""Without their endings, where the design has no groups of its own."""
_SIZES = {SheetStandard.ISO: (297.0, 210.0), SheetStandard.US: (279.4, 215.9)}
"""A4 (ISO 216) and A (ASME Y14.1) lying on their sides, mm."""
_CHARGES = (("freight", Per.EACH), ("minimum order", Per.EACH), ("tax", Per.PERCENT))
_HEAD = ("line", "item", "length", "quantity", "unit", "standard", "grade", "finish",
         "alternatives", *COLUMNS[2:])  # fmt: skip
_BLANK = "_" * 18


def file_stem(group: str) -> str:
    """What the files of a group are called, without their ending."""
    plain = re.sub(r"[^a-z0-9]+", "-", group.casefold()).strip("-")
    return f"request-{plain or 'group'}"


def requests_of(takeoff: Takeoff) -> dict[str, tuple[OrderLine, ...]]:
    """The lines of each request, by the stem of its files; no two have the same."""
    found: dict[str, tuple[OrderLine, ...]] = {}
    for group, lines in groups_of(order_lines(takeoff)).items():
        stem, number = file_stem(group), 2
        while stem in found:
            stem, number = f"{file_stem(group)}-{number}", number + 1
        found[stem] = lines
    return found


def request_csv(takeoff: Takeoff, lines: Sequence[OrderLine]) -> str:
    """The text of a list to fill in."""
    design = takeoff.frame.design
    order, form = design.order, fine_lengths(lengths_of(takeoff.frame))
    rows = [(
        line.number, line.item, _length(form, line), line.pieces, line.unit, line.standard,
        line.grade, line.finish, order.alternatives, "", Per.EACH.value, "", "", "",
    ) for line in lines]  # fmt: skip
    charges = [("", item, *[""] * 8, per.value, "", "", "") for item, per in _CHARGES]
    comments = "".join(f"{line}\n" for line in _comments(takeoff, lines))
    return f"\ufeff{comments}{as_csv([_HEAD, *rows, *charges])}"


def request_pdf(takeoff: Takeoff, lines: Sequence[OrderLine]) -> bytes:
    """The request on paper."""
    # Only here: what writes a PDF takes long to load.
    from frame3d.sheets.paper.table_pages import Form, FormColumn, table_pdf

    design, form = takeoff.frame.design, lengths_of(takeoff.frame)
    title = _title(takeoff, lines)
    columns = (
        FormColumn(header="Line", share=5, right=True),
        FormColumn(header="Item", share=24),
        FormColumn(header="Length", share=8, right=True),
        FormColumn(header="Quantity", share=8, right=True),
        FormColumn(header="Standard, grade, finish", share=24),
        FormColumn(header="Sold in packs of", share=9),
        FormColumn(header="Price for one, or for a pack", share=14),
        FormColumn(header="Remarks", share=16),
    )
    rows = tuple(
        (
            f"{line.number}", line.item, _length(form, line), line.quantity,
            ", ".join(filter(None, (line.standard, line.grade, line.finish))), "", "", "",
        )
        for line in lines
    )  # fmt: skip
    charges = tuple(("", name, *[""] * 6) for name in
                    ("Freight for this order", "Minimum order", "Tax, percent"))  # fmt: skip
    return table_pdf(
        [Form(title=title, notes=_told(takeoff, lines), columns=columns, rows=(*rows, *charges),
              below=(f"Prices valid until {_BLANK}   Currency {_BLANK}   Delivery {_BLANK}",
                     f"Supplier {_BLANK}{_BLANK}   Date {_BLANK}"))],
        size_mm=_SIZES[design.output.sheets],
        title=title,
        foot=(FIRST_LINE.removeprefix("# "),),
    )  # fmt: skip


def _comments(takeoff: Takeoff, lines: Sequence[OrderLine]) -> Iterator[str]:
    """Lines above the names of the columns, each in one cell."""
    yield FIRST_LINE
    yield f"# {_title(takeoff, lines)}".replace(",", ";")
    for told in _told(takeoff, lines):
        yield f"# {told}".replace(",", ";")


def _title(takeoff: Takeoff, lines: Sequence[OrderLine]) -> str:
    number = with_revision(takeoff.frame, takeoff.frame.design.project.number)
    return f"Request for quotation {number}: {lines[0].group}"


def _told(takeoff: Takeoff, lines: Sequence[OrderLine]) -> tuple[str, ...]:
    """What stands above the lines of a request."""
    order = takeoff.frame.design.order
    is_cut = any(line.length_mm is not None for line in lines)
    told = [
        f"Reply wanted by {_day(order.reply_by)}. Goods wanted by {_day(order.deliver_by)}.",
        f"Accepted in place of what is asked for: {order.alternatives}.",
    ]
    told += list(takeoff.status.told[:1]) if takeoff.status.is_stopped else []
    if any(line.length_mm is None for line in lines):
        told.append(
            "Quantities are pieces, spares included. Give the price of each pack that you "
            "sell, a line for each size of pack."
        )
    if any(not line.grade for line in lines):
        told.append("Where no grade is given, say which you offer.")
    drawn = [f"line {line.number}: {_marked(line)}" for line in lines if line.marks]
    if drawn:
        told.append(
            f"Made by the drawings that go with this request: {'; '.join(drawn)}. Ask for them if "
            "they are not with it."
        )
    if is_cut:
        told.append(
            "Bars and boards in the lengths given: they are cut to a plan. Say it where you stock "
            "others."
        )
    return tuple(told)


def _marked(line: OrderLine) -> str:
    return ", ".join(f"{count} × {mark}" for mark, count in line.marks)


def _day(date: str) -> str:
    return _BLANK if date == "-" else date


def _length(form: LengthFormat, line: OrderLine) -> str:
    return "" if line.length_mm is None else form.text(line.length_mm, unit=True)
