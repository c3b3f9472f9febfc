"""Sheets of one kind that follow each other and have room on one, put together.

A sheet that is nearly empty costs its reader a turn of the page and its owner paper.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from msgspec.structs import replace

from frame3d.sheets.layout.sheet_set_builder import (
    ASSEMBLY,
    PART,
    SheetSetBuilder,
    UnnumberedSheet,
)
from frame3d.sheets.layout.shelves import in_rows

_KINDS = (PART, ASSEMBLY)
_LONGEST = 44
"""Letters that the title of a title block has room for."""

__all__ = ["fewest_sheets", "join_sheets", "joined_title"]


def fewest_sheets(builder: SheetSetBuilder, ways: Iterable[Callable[[], None]]) -> None:
    """Put that of several ways on the builder which finds least fault, on fewest sheets."""
    drafts, findings = builder.drafts, builder.findings
    made = []
    for way in ways:
        builder.drafts, builder.findings = list(drafts), list(findings)
        way()
        made.append((builder.drafts, builder.findings))
    builder.drafts, builder.findings = min(made, key=lambda one: (len(one[1]), len(one[0])))


def join_sheets(builder: SheetSetBuilder) -> None:
    """Put neighbouring sheets of parts together where one has room for both.

    Findings and the place of the sheets of details follow.
    """
    made: list[UnnumberedSheet] = []
    place: list[int] = []
    for number, draft in enumerate(builder.drafts):
        # What lies before the details stays before them.
        both = _both(builder, made[-1], draft) if made and number != builder.details_from else None
        if both:
            made[-1] = both
        else:
            made.append(draft)
        place.append(len(made))
    if len(made) == len(builder.drafts):
        return
    builder.findings = [
        # One past the last is what stood on no sheet.
        replace(one, sheet=place[one.sheet - 1] if one.sheet <= len(place) else len(made) + 1)
        for one in builder.findings
    ]
    if builder.details_from:
        builder.details_from = place[builder.details_from - 1]
    builder.drafts = made


def _both(
    builder: SheetSetBuilder, first: UnnumberedSheet, second: UnnumberedSheet
) -> UnnumberedSheet | None:
    """The two on one sheet; None where they are not to be, or have no room."""
    if _has_tables(first) and _has_tables(second):
        return None
    title = joined_title(first.title, second.title)
    if first.kind != second.kind or first.kind not in _KINDS or len(title) > _LONGEST:
        return None
    notes = tuple(dict.fromkeys((*first.notes, *second.notes)))
    rows = (*first.rows, *second.rows)
    if in_rows(rows, builder.ground(notes), builder.lengths) is None:
        return None
    return replace(first, title=title, rows=rows, notes=notes)


def _has_tables(draft: UnnumberedSheet) -> bool:
    """Whether there are tables, whose letters stand for what is on this sheet alone."""
    return any(not view.to_scale for view in draft.views)


def joined_title(first: str, second: str) -> str:
    """``Hoop pieces H1 and H2``, ``Rails, sockets and straight tubes``."""
    *stem, one = first.split(" ")
    *other, two = second.split(" ")
    if stem and stem == other and any(map(str.isdigit, one)):
        return f"{' '.join(stem)}s {one} and {two}"
    joint = ", " if " and " in second else ", and " if "," in first else " and "
    return f"{first}{joint}{second[0].lower()}{second[1:]}"
