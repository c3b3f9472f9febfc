"""On which sheet of a set each part is drawn to be made."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from frame3d.sheets.layout.sheet import Sheet, SheetSet
from frame3d.sheets.layout.sheet_set_builder import ASSEMBLY, PART
from frame3d.sheets.primitives.primitives import Label


def sheets_of_parts(drawn: SheetSet, marks: Iterable[str]) -> dict[str, str]:
    """Number and title of the sheet for each of ``marks`` that there is one for.

    A part is drawn where the title of a view begins with its mark, ``H1, 50 needed`` or, of two
    that are mirror images, ``ST1 × 1, ST6 × 1 opposite hand``. What is cut from straight tube and
    not drilled has no view, but a row in a table on a sheet of parts.
    """
    wanted, found = set(marks), dict[str, str]()
    of_parts = [sheet for sheet in drawn.sheets if sheet.block.kind in (PART, ASSEMBLY)]
    for sheet in of_parts:
        for mark in _titled(sheet):
            if mark in wanted:
                found.setdefault(mark, _called(sheet))
    for sheet in of_parts:
        if sheet.block.kind == PART:
            for mark in wanted.intersection(_rows(sheet)) - found.keys():
                found[mark] = _called(sheet)
    return found


def _titled(sheet: Sheet) -> Iterator[str]:
    for one in sheet.views:
        for words in one.view.title.split(", "):
            yield words.split(" ")[0]


def _rows(sheet: Sheet) -> set[str]:
    return {
        item.text for one in sheet.views for item in one.view.primitives if isinstance(item, Label)
    }


def _called(sheet: Sheet) -> str:
    return f"{sheet.number} {sheet.title}"
