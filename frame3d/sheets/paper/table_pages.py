"""Printed tables with lines to write on: a head, rows over as many pages as they take, a foot.

Glossary
--------
form : what begins on a page of its own: a title, notes, one table.
blank : a cell that is left for the reader to fill in.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from msgspec import Struct
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph

from frame3d.frame.describe.direction import as_seen
from frame3d.sheets.write.page import POINTS_PER_MM
from frame3d.sheets.write.pdf_file import BOLD, PLAIN, SECOND, PdfFile, pieces

_MARGIN, _FOOT, _PAD, _LEAST = 36.0, 30.0, 3.0, 18.0
"""Points: at the edges, for the foot, inside of cells, least height of a row to write in."""
_INK, _GREY, _RULE, _SHADE = "#1b1f23", "#4a5259", "#8a939b", "#e4e9ee"
_TITLE = {"fontSize": 14.0, "leading": 18.0}
_NOTE = {"fontSize": 8.0, "leading": 10.5}
_CELL = {"fontSize": 7.6, "leading": 9.4}
_FOOT_SIZE = 6.6


class FormColumn(Struct, frozen=True, kw_only=True):
    """A column: its head, its share of the width, and whether it holds numbers."""

    header: str
    share: float
    right: bool = False


class Form(Struct, frozen=True, kw_only=True):
    """A title, notes above the table, its columns, its rows, and notes below it.

    Where ``fill`` is true its rows are as high as handwriting needs.
    """

    title: str
    notes: tuple[str, ...]
    columns: tuple[FormColumn, ...]
    rows: tuple[tuple[str, ...], ...]
    below: tuple[str, ...] = ()
    fill: bool = True


def table_pdf(
    forms: Sequence[Form], *, size_mm: tuple[float, float], title: str, foot: Sequence[str]
) -> bytes:
    """The forms as a PDF with bookmarks; two runs give the same bytes.

    Parameters
    ----------
    forms : sequence of Form
    size_mm : (float, float)
        Of the sheet.
    title : str
        Of the document.
    foot : sequence of str
        Lines at the foot of each page.
    """
    file = PdfFile(as_seen(title))
    press = _Press(size_mm, file)
    for form in forms:
        press.add(form)
    press.finish(foot)
    return file.finished()


class _Line(Struct, frozen=True, kw_only=True):
    """A row of cells that has been wrapped: its paragraphs, its height, and its ground."""

    cells: tuple[Paragraph, ...]
    high: float
    shaded: bool = False


class _Press:
    """Lays forms out; pages are drawn when all of them are known."""

    def __init__(self, size_mm: tuple[float, float], file: PdfFile) -> None:
        self._file = file
        self._paper = tuple(side * POINTS_PER_MM for side in size_mm)
        self._width = self._paper[0] - 2 * _MARGIN
        self._bottom = self._paper[1] - _MARGIN - _FOOT
        self._pages: list[tuple[str, list[tuple[_Line, list[float], float]]]] = []

    def add(self, form: Form) -> None:
        """A form from the top of a page on."""
        widths = [c.share * self._width / sum(c.share for c in form.columns) for c in form.columns]
        head = self._line([c.header for c in form.columns], form, widths, bold=True)
        top = self._begin(form.title)
        top = self._text(form.title, _TITLE, top, bold=True)
        for note in form.notes:
            top = self._text(note, _NOTE, top)
        top = self._put(head, widths, top + _PAD)
        for row in form.rows:
            line = self._line(row, form, widths)
            if top + line.high > self._bottom:
                top = self._put(head, widths, self._begin(""))
            top = self._put(line, widths, top)
        top += _PAD
        for note in form.below:
            if top + 2 * _NOTE["leading"] > self._bottom:
                top = self._begin("")
            top = self._text(note, _NOTE, top)

    def finish(self, foot: Sequence[str]) -> None:
        """Draw all pages."""
        wide, high = self._paper
        for number, (title, lines) in enumerate(self._pages, start=1):
            self._file.add_page(wide, high, as_seen(title))
            for line, widths, top in lines:
                self._draw(line, widths, high - top)
            self._file.canvas.setFillColor(_GREY)
            for place, text in enumerate((*foot, f"page {number} of {len(self._pages)}")):
                below = high - self._bottom - 10 - place * 1.25 * _FOOT_SIZE
                self._file.set_text(as_seen(text), _FOOT_SIZE, (1, 0, 0, 1, _MARGIN, below))

    def _begin(self, title: str) -> float:
        self._pages.append((title, []))
        return _MARGIN

    def _put(self, line: _Line, widths: list[float], top: float) -> float:
        self._pages[-1][1].append((line, widths, top))
        return top + line.high

    def _text(self, text: str, look: dict[str, float], top: float, *, bold: bool = False) -> float:
        """A note over the whole width; without rules."""
        cell = _paragraph(text, look, bold=bold)
        _, high = cell.wrap(self._width, self._paper[1])
        return self._put(_Line(cells=(cell,), high=high + 1.5), [], top)

    def _line(
        self, texts: Sequence[str], form: Form, widths: list[float], *, bold: bool = False
    ) -> _Line:
        cells = tuple(
            _paragraph(text, _CELL, bold=bold, right=column.right)
            for text, column in zip(texts, form.columns, strict=True)
        )
        high = max(
            cell.wrap(width - 2 * _PAD, self._paper[1])[1]
            for cell, width in zip(cells, widths, strict=True)
        )
        least = _LEAST if form.fill and not bold else 0.0
        return _Line(cells=cells, high=max(least, high + 2 * _PAD), shaded=bold)

    def _draw(self, line: _Line, widths: list[float], top: float) -> None:
        canvas, left = self._file.canvas, _MARGIN
        if not widths:
            line.cells[0].drawOn(canvas, left, top - line.cells[0].height)
            return
        canvas.setStrokeColor(_RULE)
        canvas.setLineWidth(0.5)
        for cell, width in zip(line.cells, widths, strict=True):
            if line.shaded:
                canvas.setFillColor(_SHADE)
            canvas.rect(left, top - line.high, width, line.high, fill=int(line.shaded))
            cell.drawOn(canvas, left + _PAD, top - _PAD - cell.height)
            left += width


def _paragraph(
    text: str, look: dict[str, float], *, bold: bool = False, right: bool = False
) -> Paragraph:
    style = ParagraphStyle(
        "cell", fontName=PLAIN, textColor=_INK, alignment=2 if right else 0,
        splitLongWords=1, **look,
    )  # fmt: skip
    marked = "".join(
        f'<font name="{SECOND}">{escape(piece, quote=False)}</font>'
        if font == SECOND
        else escape(piece, quote=False)
        for font, piece in pieces(as_seen(text), BOLD if bold else PLAIN)
    )
    return Paragraph(f"<b>{marked}</b>" if bold else marked, style)
