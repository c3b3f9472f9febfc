"""A set of sheets into a PDF with bookmarks and links, one page each; and pictures of its pages."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing
from pathlib import Path

import pypdfium2
from msgspec import Struct

from frame3d.errors import OutputError
from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.write.page import PageDrawing, SetText, path_text
from frame3d.sheets.write.page_drawing import drawn_pages
from frame3d.sheets.write.pdf_file import PdfFile
from frame3d.writing import write_whole

_FORMS = {
    "M": "%.2f %.2f m\n", "L": "%.2f %.2f l\n", "C": "%.2f %.2f %.2f %.2f %.2f %.2f c\n", "Z": "h\n"
}  # fmt: skip
"""Operators of a path, ISO 32000-1, 8.5.2."""
_PEN = "1 J 1 j %.4f w\n%sS\n"
"""Round ends and corners."""
_NAMED = re.compile(r"\bsheet ([0-9]{1,4})\b")
_SAME_LINE = 0.5
"""Points between the baselines of texts that stand in one row."""
_ROUND = 1.0
"""Points that can be clicked round a text."""


def pdf_bytes(sheet_set: SheetSet, pages: Sequence[PageDrawing] | None = None) -> bytes:
    """The sheets as a PDF, the same bytes for the same sheets.

    ``pages`` are those of the same sheets, if they are drawn already.
    """
    pages = drawn_pages(sheet_set) if pages is None else pages
    block = sheet_set.sheets[0].block
    file = PdfFile(
        f"{block.project}, {block.number}", block.drawn_by, "Drawings of a high-tunnel frame"
    )
    titles = {sheet.number: sheet.title for sheet in sheet_set.sheets}
    places = {number: place for place, number in enumerate(titles, start=1)}
    file.number_pages(f"{block.number} ", tuple(titles))
    for sheet, page in zip(sheet_set.sheets, pages, strict=True):
        file.add_page(page.width, page.height, f"{sheet.number} {sheet.title}")
        for name, layer in page.layers.items():
            paths = [(width, path_text(steps, _FORMS)) for width, steps in layer.items()]
            file.add_layer(name, "".join([_PEN % (w, p) if w else f"{p}f*\n" for w, p in paths]))
        for text in page.texts:
            file.set_text(text.text, text.size, text.matrix)
        for link in _links(page, titles, file):
            if link.sheet != sheet.number:
                file.link(link.box, places[link.sheet])
    return file.finished()


def write_pdf(sheet_set: SheetSet, path: str | Path) -> Path:
    """Write the sheets to ``path`` as PDF, one page for each, and return it.

    Pages have the size of the paper, lines their width, and every text is text.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    path = Path(path)
    content = pdf_bytes(sheet_set)
    write_whole(path, lambda temporary: temporary.write_bytes(content))
    return path


class _Link(Struct, frozen=True):
    """Left, bottom, right and top of what can be clicked, points, and the number of the sheet."""

    box: tuple[float, float, float, float]
    sheet: int


def _links(page: PageDrawing, titles: Mapping[int, str], file: PdfFile) -> Iterator[_Link]:
    """What on a page names a sheet of the set: rows of the list of sheets, and "sheet 12".

    ``titles`` are those of all sheets, by their numbers.
    """
    for text in page.texts:
        for found in _NAMED.finditer(text.text):
            if int(found[1]) in titles:
                yield _Link(_box(text, file), int(found[1]))
                break
    yield from _rows(page, titles, file)


def _rows(page: PageDrawing, titles: Mapping[int, str], file: PdfFile) -> Iterator[_Link]:
    """Numbers with the title of that sheet to the right of them, or its first line."""
    lines: dict[int, list[SetText]] = {}
    for text in page.texts:
        lines.setdefault(round(text.matrix[5] / _SAME_LINE), []).append(text)
    for line in lines.values():
        line.sort(key=lambda text: text.matrix[4])
        for number, title in zip(line, line[1:], strict=False):
            if not re.fullmatch("[0-9]{1,4}", number.text):
                continue
            sheet = int(number.text)
            if titles.get(sheet, "").startswith(title.text.strip()):
                first, last = _box(number, file), _box(title, file)
                yield _Link((first[0], min(first[1], last[1]), *last[2:]), sheet)


def _box(text: SetText, file: PdfFile) -> tuple[float, float, float, float]:
    """The ground that a text covers, square to the page, whichever way it is written."""
    a, b, c, d, x, y = text.matrix
    width = file.width_of(text.text, text.size)
    corners = [
        (x + a * u + c * v, y + b * u + d * v)
        for u in (0.0, width)
        for v in (-0.2 * text.size, 0.8 * text.size)
    ]
    across, up = zip(*corners, strict=True)
    return min(across) - _ROUND, min(up) - _ROUND, max(across) + _ROUND, max(up) + _ROUND


def sheet_pictures(pdf: str | Path, folder: str | Path, *, dots_per_inch: int = 100) -> list[Path]:
    """Draw every page of ``pdf`` as a PNG in ``folder``; return the files in order.

    Raises
    ------
    OutputError
        If the PDF cannot be read or a picture cannot be written.
    """
    pdf, folder = Path(pdf), Path(folder)
    try:
        document = pypdfium2.PdfDocument(pdf)
    except (pypdfium2.PdfiumError, OSError) as error:
        raise OutputError(f"{pdf} cannot be read as a PDF: {error}; write it again") from error
    pictures = []
    with closing(document):
        for number, page in enumerate(document, start=1):
            path = folder / f"{pdf.stem}-{number:02d}.png"
            picture = page.render(scale=dots_per_inch / 72).to_pil()
            write_whole(path, functools.partial(picture.save, format="PNG"))
            pictures.append(path)
    return pictures
