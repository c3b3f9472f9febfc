"""The sheets round the drawings: the cover before them and the schedules after them.

Both name sheets by their numbers, so they are made when all drawings are there.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from frame3d.frame.describe.cut_lengths import SawnBars
from frame3d.sheets.layout.compose import note_height_mm
from frame3d.sheets.layout.sheet_set_builder import (
    ASSEMBLY,
    DETAIL,
    PART,
    SheetSetBuilder,
    UnnumberedSheet,
)
from frame3d.sheets.layout.text_sheet import Page
from frame3d.sheets.primitives.primitives import Label, Layer
from frame3d.sheets.sets.cover_sheet import LIST_TITLE, cover_pages
from frame3d.sheets.sets.make_sheet import make_pages
from frame3d.sheets.sets.revision_sheet import revision_pages
from frame3d.sheets.sets.schedules import schedule_pages
from frame3d.sheets.shop.straight_tubes import PLAIN_PIECES
from frame3d.sheets.views.cover_plan import CHANNEL_PIECES

_WORD = re.compile(r"[A-Z]+[0-9]+")


_LISTS = {PLAIN_PIECES, CHANNEL_PIECES}
"""Titles of tables that show a part by its sizes alone."""


def front_and_back(
    builder: SheetSetBuilder, sawn: Sequence[SawnBars]
) -> tuple[list[Page], list[Page]]:
    """The pages before the drafts of ``builder`` and those after them."""
    frame, height = builder.frame, note_height_mm(builder.paper)
    titles = [draft.title for draft in builder.drafts]
    make = [
        *make_pages(frame, builder.paper, height),
        *revision_pages(frame, builder.paper, height),
    ]
    count = 1 + len(make)
    while True:
        shown = sheets_of_marks(builder.drafts, marks_of(builder), first=count + 1)
        back = schedule_pages(
            frame, builder.paper, builder.lengths, height, sheets=shown, sawn=sawn
        )
        lists = count - 1 - len(make)
        all_titles = ["Cover", *(page.title for page in make), *[LIST_TITLE] * lists, *titles]
        all_titles += [page.title for page in back]
        cover, *listed = cover_pages(
            frame, builder.paper, height, all_titles, builder.status, list_sheet=2 + len(make)
        )
        front = [cover, *make, *listed]
        if len(front) <= count:
            return front, back
        count = len(front)


def marks_of(builder: SheetSetBuilder) -> set[str]:
    """The marks of all parts that are made."""
    return {g.mark for g in builder.frame.parts() if not g.part.is_bought}


def sheets_of_marks(
    drafts: Sequence[UnnumberedSheet], marks: set[str], *, first: int
) -> Mapping[str, str]:
    """For each of ``marks`` the numbers of the sheets that draw it.

    Those whose titles name it, or which have it in their table of plain pieces, are all that
    is told, if there are any; else those on which the mark stands in a view.

    Parameters
    ----------
    drafts : sequence of UnnumberedSheet
    marks : set of str
    first : int
        Number of the first draft's sheet.
    """
    titled: dict[str, list[int]] = {}
    seen: dict[str, list[int]] = {}
    for number, draft in enumerate(drafts, start=first):
        # The titles of general drawings have names of machines in them, which may be anything.
        titled_by_marks = draft.kind in (ASSEMBLY, PART, DETAIL)
        names = [draft.title, *(view.title for view in draft.views)] if titled_by_marks else []
        made = {word for name in names for word in _WORD.findall(name)} | _plain_pieces(draft)
        for mark in marks & made:
            titled.setdefault(mark, []).append(number)
        texts = {
            item.text.split(" × ")[0]
            for view in draft.views
            for item in view.primitives
            if isinstance(item, Label) and item.layer is Layer.MARKS
        }
        for mark in marks & texts:
            seen.setdefault(mark, []).append(number)
    return {mark: ", ".join(map(str, numbers)) for mark, numbers in {**seen, **titled}.items()}


def _plain_pieces(draft: UnnumberedSheet) -> set[str]:
    """What stands in the tables of plain pieces of a sheet, marks among it."""
    found: set[str] = set()
    for view in draft.views:
        texts = {item.text for item in view.primitives if isinstance(item, Label)}
        if texts & _LISTS:
            found |= texts
    return found
