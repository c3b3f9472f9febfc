"""Labels on a grid: a code, a large mark, and lines of text that are made to fit."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from msgspec import Struct
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph

from frame3d.frame.describe.direction import as_seen
from frame3d.sheets.write.page import POINTS_PER_MM
from frame3d.sheets.write.pdf_file import BOLD, PLAIN, SECOND, PdfFile, pieces

_PAD, _QUIET = 4.0, 4
"""Inside of a label, points; light cells round a code (ISO/IEC 18004: four)."""
_SIZES = (8.5, 7.5, 6.5, 5.8, 5.0)
"""Of the lines, points: the largest with which they fit."""
_MARK, _LEADING = 1.9, 1.18
"""The mark by the size of the lines; line spacing."""
_MOST_CODE = 0.42
"""Of the width of a label that its code may take."""


class Label(Struct, frozen=True, kw_only=True):
    """A code as rows of dark cells, what is set large, and the lines below it.

    Where these do not fit in the smallest letters ``short`` takes their place.
    """

    code: tuple[tuple[bool, ...], ...]
    mark: str
    lines: tuple[str, ...]
    short: tuple[str, ...]


class LabelGrid(Struct, frozen=True, kw_only=True):
    """How labels lie on a sheet, mm: its size, first corner, size of a label, and steps.

    ``skip`` labels of the first sheet are left empty.
    """

    paper: tuple[float, float]
    rows: int
    columns: int
    corner: tuple[float, float]
    size: tuple[float, float]
    step: tuple[float, float]
    skip: int = 0


def label_pdf(labels: Sequence[Label], grid: LabelGrid, title: str) -> bytes:
    """The labels as a PDF, row by row; two runs give the same bytes."""
    file = PdfFile(as_seen(title))
    wide, high = (side * POINTS_PER_MM for side in grid.paper)
    on_sheet = grid.rows * grid.columns
    for number, label in enumerate(labels, start=grid.skip):
        place = number % on_sheet
        if place == 0 or number == grid.skip:
            file.add_page(wide, high)
        row, column = divmod(place, grid.columns)
        left = (grid.corner[0] + column * grid.step[0]) * POINTS_PER_MM
        top = high - (grid.corner[1] + row * grid.step[1]) * POINTS_PER_MM
        size = (grid.size[0] * POINTS_PER_MM, grid.size[1] * POINTS_PER_MM)
        _draw(file, label, left, top, size)
    if not labels:
        file.add_page(wide, high)
    return file.finished()


def _draw(file: PdfFile, label: Label, left: float, top: float, size: tuple[float, float]) -> None:
    side = min(size[1] - 2 * _PAD, _MOST_CODE * size[0])
    _code(file, label.code, left + _PAD, top - (size[1] - side) / 2, side)
    beside = left + 2 * _PAD + side
    room, high = size[0] - 3 * _PAD - side, size[1] - 2 * _PAD
    below = top - _PAD
    for cell in _fitted(label, room, high):
        below -= cell.height
        if below < top - size[1] + _PAD - 0.5:
            break
        cell.drawOn(file.canvas, beside, below)


def _code(
    file: PdfFile, code: Sequence[Sequence[bool]], left: float, top: float, side: float
) -> None:
    """Runs of dark cells as rectangles, so that no light line parts them."""
    cell = side / (len(code) + 2 * _QUIET)
    path = file.canvas.beginPath()
    for row, cells in enumerate(code, start=_QUIET):
        first = None
        for column, dark in enumerate((*cells, False)):
            if dark and first is None:
                first = column
            elif not dark and first is not None:
                path.rect(left + (first + _QUIET) * cell, top - (row + 1) * cell,
                          (column - first) * cell, cell)  # fmt: skip
                first = None
    file.canvas.setFillColor("#000000")
    file.canvas.drawPath(path, stroke=0, fill=1)


def _fitted(label: Label, room: float, high: float) -> list[Paragraph]:
    """Mark and lines in the largest size with which all fit."""
    cells: list[Paragraph] = []
    for lines in (label.lines, label.short):
        for size in _SIZES:
            cells = [_paragraph(label.mark, _MARK * size, bold=True)]
            cells += [_paragraph(text, size) for text in lines]
            if sum(cell.wrap(room, 10 * high)[1] for cell in cells) <= high:
                return cells
    return cells


def _paragraph(text: str, size: float, *, bold: bool = False) -> Paragraph:
    style = ParagraphStyle("label", fontName=PLAIN, fontSize=size, leading=_LEADING * size)
    marked = "".join(
        f'<font name="{SECOND}">{escape(piece, quote=False)}</font>'
        if font == SECOND
        else escape(piece, quote=False)
        for font, piece in pieces(as_seen(text), BOLD if bold else PLAIN)
    )
    return Paragraph(f"<b>{marked}</b>" if bold else marked, style)
