"""``takeoff.xlsx``: a sheet for each table, with sums that a spreadsheet works out again.

The library is loaded when a workbook is written. Dates are fixed and nothing depends on the
machine, so the same tables give the same bytes.
"""

from __future__ import annotations

import datetime
import io
import math
import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from frame3d.design.tables.whole_design import SheetStandard
from frame3d.frame.describe.as_built import titled
from frame3d.frame.describe.wording import CAUTIONS
from frame3d.frame.revisions.words import with_revision
from frame3d.takeoff.take_off import Takeoff
from frame3d.takeoff.write.records import assumptions, figures
from frame3d.units import UnitSystem
from frame3d.units.data_tables import DataColumn, DataTable, Quantity, Units, Value

if TYPE_CHECKING:
    from xlsxwriter import Workbook
    from xlsxwriter.format import Format
    from xlsxwriter.worksheet import Worksheet

CREATED = datetime.datetime(2000, 1, 1)
"""Written as the date of creation: a real one would make every build differ."""
TITLE_ROW, NOTE_ROW, SUM_ROW, HEAD_ROW, FIRST_ROW = range(5)
_PAPER = {SheetStandard.US: 1, SheetStandard.ISO: 9}  # letter, A4
_WRAPPED_FROM = 36
"""Columns of text of this width and more are wrapped, the others are as wide as their text."""
_LINE_HEIGHT = 15.0
_FORMATS = {
    Quantity.COUNT: "0",
    Quantity.NUMBER: "0.00##",
    Quantity.MASS: "#,##0.00",
    Quantity.AREA: "#,##0.00",
    Quantity.MONEY: "#,##0.00",
}


def sheet_name(table: DataTable) -> str:
    """What the sheet of a table is called."""
    return table.key.capitalize()


def write_workbook(path: Path, takeoff: Takeoff, tables: Sequence[DataTable], units: Units) -> None:
    """Write the workbook."""
    from xlsxwriter import Workbook

    # Into memory: the library has an error of its own for a file that cannot be written.
    content = io.BytesIO()
    book = Workbook(content, {"in_memory": True})
    book.set_properties({"title": f"{_name(takeoff)}: take-off", "created": CREATED})
    formats = _Formats(book, units)
    by_key = {table.key: table for table in tables}
    _notes(book, formats, takeoff)
    for table in tables:
        sheet = book.add_worksheet(sheet_name(table))
        _set_up_page(sheet, takeoff, table.title)
        sheet.repeat_rows(HEAD_ROW)
        sheet.freeze_panes(FIRST_ROW, 1)
        _table(sheet, formats, table, by_key, units, _name(takeoff))
    book.close()
    path.write_bytes(content.getvalue())


class _Formats:
    """Cell formats, each made once."""

    def __init__(self, book: Workbook, units: Units) -> None:
        self._book = book
        # A tenth of a millimetre, a hundredth of an inch: finer than anything is sawn.
        length = "0.00" if units.system is UnitSystem.IMPERIAL else "0.0"
        self._numbers = _FORMATS | {Quantity.LENGTH: length}
        self._made: dict[tuple[Quantity, bool, bool], Format] = {}
        self.title = book.add_format({"bold": True, "font_size": 14})
        self.note = book.add_format({"italic": True, "font_color": "#444444"})
        look = {"bold": True, "text_wrap": True, "valign": "top", "bottom": 1}
        look["bg_color"] = "#E4E9EE"
        self.head_of_text = book.add_format(look | {"align": "left", "indent": 1})
        self.head_of_numbers = book.add_format(look | {"align": "right"})
        self.text = book.add_format({"text_wrap": True, "valign": "top"})
        self.label = book.add_format({"text_wrap": True, "valign": "top", "bold": True})

    def head(self, column: DataColumn) -> Format:
        """The format of the head of ``column``."""
        return self.head_of_text if column.quantity is Quantity.TEXT else self.head_of_numbers

    def cell(self, column: DataColumn, *, bold: bool = False) -> Format:
        """The format of a cell of ``column``."""
        wrap = column.quantity is Quantity.TEXT and column.width >= _WRAPPED_FROM
        key = (column.quantity, wrap, bold)
        if key not in self._made:
            look = {"valign": "top", "bottom": 4, "bottom_color": "#BBBBBB", "bold": bold}
            if column.quantity is not Quantity.TEXT:
                look["num_format"] = self._numbers[column.quantity]
            else:
                # Or a text would touch the number on its left.
                look |= {"align": "left", "indent": 1, "text_wrap": wrap}
            self._made[key] = self._book.add_format(look)
        return self._made[key]


def _name(takeoff: Takeoff) -> str:
    return with_revision(takeoff.frame, titled(takeoff.frame))


def _set_up_page(sheet: Worksheet, takeoff: Takeoff, title: str) -> None:
    sheet.set_landscape()
    sheet.set_paper(_PAPER[takeoff.frame.design.output.sheets])
    sheet.set_margins(left=0.5, right=0.5, top=0.5, bottom=0.7)
    sheet.fit_to_pages(1, 0)
    # An ampersand begins a code in a footer.
    name = _name(takeoff).replace("&", "&&")
    sheet.set_footer(f"&L{name}&C{title}&RPage &P of &N")


def _table(
    sheet: Worksheet,
    formats: _Formats,
    table: DataTable,
    by_key: dict[str, DataTable],
    units: Units,
    project: str,
) -> None:
    sheet.write_string(TITLE_ROW, 0, f"{project}: {table.title.lower()}", formats.title)
    sheet.write_string(NOTE_ROW, 0, table.note, formats.note)
    last = FIRST_ROW + len(table.rows) - 1
    heads = [table.header(column, units) for column in table.columns]
    widths = [column.width - 2 for column in table.columns]
    sheet.set_row(HEAD_ROW, _height(heads, widths))
    for place, column in enumerate(table.columns):
        sheet.set_column(place, place, column.width)
        sheet.write_string(HEAD_ROW, place, heads[place], formats.head(column))
        if column.total and table.rows:
            cells = f"{_letters(place)}{FIRST_ROW + 1}:{_letters(place)}{last + 1}"
            sheet.write_formula(
                SUM_ROW, place, f"=SUBTOTAL(9,{cells})", formats.cell(column, bold=True),
                table.total(column, units),
            )  # fmt: skip
    if any(column.total for column in table.columns) and table.rows:
        sheet.write_string(SUM_ROW, 0, "Total of the rows shown", formats.note)
    for number, values in enumerate(table.values(units), start=FIRST_ROW):
        wrapped = [value if isinstance(value, str) and column.width >= _WRAPPED_FROM else ""
                   for column, value in zip(table.columns, values, strict=True)]  # fmt: skip
        sheet.set_row(number, _height(wrapped, widths))
        for place, (column, value) in enumerate(zip(table.columns, values, strict=True)):
            _cell(sheet, formats, (number, place), column, value, table, by_key)
    if table.rows:
        sheet.autofilter(HEAD_ROW, 0, last, len(table.columns) - 1)
        texts = f"A{FIRST_ROW + 1}:{_letters(len(table.columns) - 1)}{last + 1}"
        sheet.ignore_errors({"number_stored_as_text": texts})


def _height(texts: Sequence[str], widths: Sequence[float]) -> float:
    """Height of a row that holds its longest text; not every program works it out by itself."""
    lines = (
        _lines(text, max(1, math.floor(width))) for text, width in zip(texts, widths, strict=True)
    )
    return _LINE_HEIGHT * max(lines, default=1)


def _lines(text: str, width: int) -> int:
    """How many lines a text takes when it is broken between words."""
    lines, used = 1, 0
    for word in text.split(" "):
        if used and used + 1 + len(word) > width:
            lines, used = lines + 1, 0
        used += len(word) + bool(used)
    return lines


def _cell(
    sheet: Worksheet,
    formats: _Formats,
    at: tuple[int, int],
    column: DataColumn,
    value: Value,
    table: DataTable,
    by_key: dict[str, DataTable],
) -> None:
    look = formats.cell(column)
    template = column.formula or "*".join(f"{{{key}}}" for key in column.product)
    if template and not (column.product and value is None):
        formula = _formula(template, at[0], table, by_key)
        sheet.write_formula(*at, f"={formula}", look, "" if value is None else value)
    elif value is None or value == "":
        sheet.write_blank(*at, None, look)
    elif isinstance(value, str):
        sheet.write_string(*at, value, look)
    else:
        sheet.write_number(*at, value, look)


def _formula(template: str, row: int, table: DataTable, by_key: dict[str, DataTable]) -> str:
    """A template with cells of its row, and columns of other tables, put in."""

    def cell(match: re.Match[str]) -> str:
        other, key = match["table"], match["key"]
        if other is None:
            return f"{_letters(_place(table, key))}{row + 1}"
        whole = by_key[other]
        letters, last = _letters(_place(whole, key)), FIRST_ROW + len(whole.rows)
        return f"{sheet_name(whole)}!${letters}${FIRST_ROW + 1}:${letters}${last}"

    return re.sub(r"\{(?:(?P<table>\w+):)?(?P<key>\w+)\}", cell, template)


def _place(table: DataTable, key: str) -> int:
    return next(n for n, column in enumerate(table.columns) if column.key == key)


def _letters(place: int) -> str:
    """The letters of a column, from 0 for A."""
    letters = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def _notes(book: Workbook, formats: _Formats, takeoff: Takeoff) -> None:
    """The first sheet: figures, what must be known before ordering, and cautions."""
    sheet = book.add_worksheet("Notes")
    _set_up_page(sheet, takeoff, "Notes")
    sheet.set_column(0, 0, 34)
    sheet.set_column(1, 1, 100)
    sheet.write_string(0, 0, f"{_name(takeoff)}: take-off", formats.title)
    rows = [("", name, text) for name, text in figures(takeoff)]
    rows += [("Read before ordering", "", text) for text in takeoff.told]
    rows += [("Assumptions", "", text) for text in assumptions(takeoff)]
    rows += [("Cautions", "", text) for text in CAUTIONS]
    before = ""
    for number, (heading, name, text) in enumerate(rows, start=2):
        label = name or (heading if heading != before else "")
        before = heading
        sheet.set_row(number, _height([text], [100]))
        sheet.write_string(number, 0, label, formats.label)
        sheet.write_string(number, 1, text, formats.text)
