"""The revisions of a design: the table on the cover, and a sheet of what changed since a build."""

from __future__ import annotations

from frame3d.frame.model.members import Frame
from frame3d.frame.revisions.words import (
    GONE_HEADS,
    REVISION_HEADS,
    change_summary,
    gone_rows,
    revision_rows,
)
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
from frame3d.sheets.primitives.lettering import TITLE_MM
from frame3d.sheets.primitives.paper import Paper
from frame3d.sheets.primitives.primitives import Align, Label

REVISIONS_TITLE = "Revisions"
ON_COVER = 3
"""So many of the last revisions stand on the cover; all of them on a sheet where there are more."""
_KIND, _GAP_MM, _WIDEST_MM = "Cover sheet", 6.0, 220.0


def cover_revisions(frame: Frame) -> Listing | None:
    """The last revisions for the cover; None where there are none."""
    rows = revision_rows(frame)
    if not rows:
        return None
    return _listing("Revisions" if len(rows) <= ON_COVER else "Last revisions", rows[:ON_COVER])


def _listing(title: str, rows: tuple[tuple[str, ...], ...]) -> Listing:
    return Listing(
        title=title,
        columns=tuple(Column(head=head, wraps=head == "What") for head in REVISION_HEADS),
        rows=rows,
    )


def gone_listing(frame: Frame) -> Listing:
    """The parts of the older build that are made no more."""
    since = frame.since
    return Listing(
        title="Schedule of parts no longer made",
        columns=(
            Column(head=GONE_HEADS[0]), Column(head=GONE_HEADS[1]),
            Column(head=GONE_HEADS[2], wraps=True), Column(head=GONE_HEADS[3], align=Align.RIGHT),
            Column(head=GONE_HEADS[4], align=Align.RIGHT), Column(head=GONE_HEADS[5]),
        ),
        rows=gone_rows(frame),
        note=f"Parts no longer made are those of {since.words}, with its counts." if since else "",
    )  # fmt: skip


def revision_pages(frame: Frame, paper: Paper, height: float) -> list[Page]:
    """All revisions where the cover has not room for them, and what changed since a build.

    Parameters
    ----------
    frame : Frame
    paper : Paper
    height : float
        Of the letters, mm.
    """
    rows = revision_rows(frame)
    tables = [_listing("Revisions", rows)] if len(rows) > ON_COVER else []
    if frame.since is None and not tables:
        return []
    area = ground_of(paper, ()).views
    pages: list[list[PaperInk]] = [[]]
    y = area[3]
    if frame.since is not None:
        y = _told(pages[-1], change_summary(frame.since), area, height) - _GAP_MM
    for listing in tables:
        table = fitted(listing, area[2] - area[0], height)
        number = 0
        while number < len(table.rows):
            primitives, after, low = filled(table, (*area[:3], y), number)
            pages[-1] += primitives
            if after == number and y == area[3]:
                raise ValueError(f"{listing.title}: row {number + 1} is larger than a sheet")
            number, y = after, low - _GAP_MM
            if number < len(table.rows):
                pages.append([])
                y = area[3]
    return [Page(title=REVISIONS_TITLE, kind=_KIND, primitives=tuple(page)) for page in pages]


def _told(page: list[PaperInk], texts: tuple[str, ...], area: Area, height: float) -> float:
    """Put what changed on the page; how low it reaches, mm."""
    left, _, right, top = area
    right = min(right, left + _WIDEST_MM)
    at = (left, top - TITLE_MM)
    page.append(Label(text="What changed", at=at, height=TITLE_MM, align=Align.LEFT))
    y = top - 2.5 * TITLE_MM
    for number, text in enumerate(texts, start=1):
        labels, y = paragraph(text, left, right, y, height, str(number))
        page += labels
    return y
