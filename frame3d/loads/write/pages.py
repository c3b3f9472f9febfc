"""The comparison on paper: two pages, the cautions first on both."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from frame3d.design.tables.whole_design import SheetStandard
from frame3d.frame.describe.direction import as_seen
from frame3d.loads.cautions import CAUTIONS
from frame3d.loads.comparison import Comparison
from frame3d.loads.write.pictures import band_picture, frame_picture
from frame3d.loads.write.words import Grid, basis, cautions, grids, sources

if TYPE_CHECKING:
    from frame3d.design.tables.loads import LoadShape
    from frame3d.sheets.write.flow_pages import FlowPicture, Line

_SIZES = {SheetStandard.ISO: (210.0, 297.0), SheetStandard.US: (215.9, 279.4)}
"""Upright A4 (ISO 216) and A (ASME Y14.1), mm."""
_TEXT: dict[str, float | str] = {"fontSize": 7.6, "leading": 9.4, "textColor": "#1b1f23"}
STYLES: dict[str, dict[str, float | str]] = {
    "title": {"fontSize": 14, "leading": 17, "textColor": "#1b1f23"},
    "caution": {"fontSize": 9.5, "leading": 12, "textColor": "#7a2c00"},
    "heading": {"fontSize": 9.5, "leading": 12, "spaceBefore": 4, "spaceAfter": 1,
                "textColor": "#0b4f8a"},
    "text": _TEXT,
    "small": _TEXT | {"fontSize": 6.6, "leading": 8.0, "textColor": "#4a5259"},
    "row": _TEXT | {"fontSize": 7.2, "leading": 8.8, "leftIndent": 8, "firstLineIndent": -8},
}  # fmt: skip
_MOST_PICTURES = 2
_BARE = ("Where", "What it does")
"""Columns whose cells say by themselves what they are."""


def paper_of(found_sheets: SheetStandard) -> tuple[float, float]:
    """The size of the paper, mm."""
    return _SIZES[found_sheets]


def marked(text: str) -> str:
    """``text`` letter by letter as it is seen, without marks of its own."""
    return escape(as_seen(text), quote=False)


def title_of(found: Comparison) -> str:
    """Which design beside which; by their files too, where they are called alike."""
    own, other = found.frame.design, found.other.design if found.other else None
    if other is None:
        return f"{own.project.name}: what one change at a time does"
    if own.project.name != other.project.name:
        return f"{own.project.name} beside {other.project.name}"
    files = [f" ({d._origin.source})" if d._origin else "" for d in (own, other)]
    return f"{own.project.name}{files[0]} beside {other.project.name}{files[1]}"


def comparison_pdf(found: Comparison) -> bytes:
    """The file."""
    # Only here: what writes a PDF takes long to load.
    from frame3d.sheets.write.flow_pages import Chapter, flow_pdf

    title = title_of(found)
    tables = {grid.key: grid for grid in grids(found)}
    first = [tables[key] for key in ("indices", "weakest") if key in tables]
    second = [tables[key] for key in ("changes", "sockets", "differences") if key in tables]
    given = found.frame.design.loads
    notes = [("text", marked(text)) for text in basis(given, found)]
    origin = [("small", marked(text)) for text in sources(given)]
    body = [block for grid in second for block in _blocks(grid)]
    body += [(("heading", "<b>Assumptions</b>"), *notes)]
    body += [(("heading", "<b>Unit loads and where their shapes come from</b>"), *origin)]
    chapters = [
        Chapter(title="Comparison", head=_head(title, found), pictures=_pictures(found),
                body=tuple(block for grid in first for block in _blocks(grid))),
        Chapter(title="What changes it, what it rests on", head=_head(title, found),
                body=tuple(body)),
    ]  # fmt: skip
    return flow_pdf(
        chapters,
        size_mm=_SIZES[found.frame.design.output.sheets],
        styles=STYLES,
        title=as_seen(title),
        foot=as_seen(CAUTIONS[0]),
    )


def _head(title: str, found: Comparison) -> tuple[Line, ...]:
    said = [("caution", f"<b>{marked(text)}</b>") for text in cautions(found)]
    notes = [("text", f"<b>{marked(text)}</b>") for text in found.notes]
    return (("title", f"<b>{marked(title)}</b>"), *said, *notes)


def _blocks(grid: Grid) -> list[tuple[Line, ...]]:
    """A table as lines, each its first cell, then the others by their names; title with the first.

    Every line is a block of its own, so that a table goes on in the next column.
    """
    head: list[Line] = [("heading", f"<b>{marked(grid.title)}</b>")]
    if grid.note:
        head.append(("small", marked(grid.note)))
    rows = [_row(grid, row) for row in grid.rows]
    return [(*head, *rows[:1]), *((row,) for row in rows[1:])]


def _row(grid: Grid, row: tuple[str, ...]) -> Line:
    cells = [
        marked(
            cell
            if name in _BARE or cell == "undecided" or cell.startswith("not compared")
            else f"{name.lower()} {cell}"
        )
        for name, cell in zip(grid.header[1:], row[1:], strict=True)
        if cell != "-"
    ]
    first = f"<b>{marked(row[0])}</b>"
    return ("row", f"{first}: {'; '.join(cells)}" if cells else first)


def _pictures(found: Comparison) -> tuple[FlowPicture, ...]:
    from frame3d.sheets.write.flow_pages import FlowPicture

    made = []
    if any(index.value for index in found.indices):
        svg = band_picture(found.indices)
        made.append(FlowPicture(
            svg=svg.text, width=svg.width, height=svg.height, is_wide=True,
            caption="Each index on its band; the line at 1 is the other design.",
        ))  # fmt: skip
    for shape in _drawn(found):
        weakest = found.own.weakest[shape]
        svg = frame_picture(found.own.pictures[shape], weakest.point_mm, 400, 260)
        made.append(FlowPicture(
            svg=svg.text, width=svg.width, height=svg.height, is_wide=False,
            caption=marked(f"Under {shape.value}: {weakest.words}, {weakest.how}. Darker: a larger "
                           "share of its own greatest stress. Out of shape, scaled up."),
        ))  # fmt: skip
    return tuple(made)


def _drawn(found: Comparison) -> list[LoadShape]:
    """The shapes that are drawn: of snow and of wind the one with the least index, or the first."""
    least = {index.shape: index.value or 1.0 for index in found.indices}
    chosen = []
    for kind in ("snow", "wind", "crop"):
        there = [shape for shape in found.own.pictures if kind in shape.value]
        if there:
            chosen.append(min(there, key=lambda shape: least.get(shape, 1.0)))
    return chosen[:_MOST_PICTURES]
