"""The sheet of the general notes of make, second in the set, which part sheets refer to."""

from __future__ import annotations

from collections.abc import Sequence

from frame3d.frame.describe.make_notes import MATERIAL_HEADS, make_notes, materials
from frame3d.frame.model.members import Frame
from frame3d.sheets.layout.compose import ground_of
from frame3d.sheets.layout.listing import (
    Area,
    Column,
    Listing,
    PaperInk,
    filled,
    fitted,
    paragraph,
)
from frame3d.sheets.layout.text_sheet import Page
from frame3d.sheets.primitives.lettering import LINE_STEP, TITLE_MM, wrapped
from frame3d.sheets.primitives.paper import Paper
from frame3d.sheets.primitives.primitives import Align, Label
from frame3d.sheets.shop.make_note import MAKE_TITLE

_GAP_MM = 6.0
_WIDEST_MM = 220.0
"""Lines longer than this are hard to follow."""
_KIND = "Cover sheet"


def make_pages(frame: Frame, paper: Paper, height: float) -> list[Page]:
    """Materials and notes; more than one page only where the paper is very small.

    Parameters
    ----------
    frame : Frame
    paper : Paper
    height : float
        Of the letters, mm.
    """
    area = ground_of(paper, ()).views
    pages, low = _materials(frame, area, height)
    left, bottom, right, _ = area
    right = min(right, left + _WIDEST_MM)
    y = low - _GAP_MM
    page = pages[-1]
    fresh = True
    for number, text in enumerate(make_notes(frame), start=1):
        need = _height(text, right - left, height) + (2.0 * TITLE_MM if fresh else 0.0)
        if y - need < bottom:
            page, y, fresh = [], area[3], True
            pages.append(page)
        if fresh:
            page.append(
                Label(
                    text="General notes of make" if number == 1 else "Notes (continued)",
                    at=(left, y - TITLE_MM),
                    height=TITLE_MM,
                    align=Align.LEFT,
                )
            )
            y, fresh = y - 2.0 * TITLE_MM, False
        labels, y = paragraph(text, left, right, y, height, str(number))
        page += labels
    return [Page(title=MAKE_TITLE, kind=_KIND, primitives=tuple(page)) for page in pages]


def _height(text: str, width: float, height: float) -> float:
    return len(wrapped(text, width - 5.0, height)) * LINE_STEP * height + 0.8


def _materials(frame: Frame, area: Area, height: float) -> tuple[list[list[PaperInk]], float]:
    """The table of materials on as many pages as it needs, and how low it reaches on the last."""
    table = fitted(_listing(materials(frame)), area[2] - area[0], height)
    pages: list[list[PaperInk]] = []
    number, low = 0, area[3]
    while number < len(table.rows):
        primitives, number, low = filled(table, area, number)
        pages.append(list(primitives))
    return pages, low


def _listing(rows: Sequence[tuple[str, ...]]) -> Listing:
    return Listing(
        title="Materials",
        columns=tuple(Column(head=head, wraps=True) for head in MATERIAL_HEADS),
        rows=tuple(rows),
    )
