"""A set of sheets into a PDF with bookmarks, one page each; and pictures of its pages."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

import pypdfium2

from frame3d.errors import OutputError
from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.write.page import PageDrawing, path_text
from frame3d.sheets.write.page_drawing import drawn_pages
from frame3d.sheets.write.pdf_file import PdfFile
from frame3d.writing import write_whole

_FORMS = {
    "M": "%.2f %.2f m\n", "L": "%.2f %.2f l\n", "C": "%.2f %.2f %.2f %.2f %.2f %.2f c\n", "Z": "h\n"
}  # fmt: skip
"""Operators of a path, ISO 32000-1, 8.5.2."""
_PEN = "1 J 1 j %.4f w\n%sS\n"
"""Round ends and corners."""


def pdf_bytes(sheet_set: SheetSet, pages: Sequence[PageDrawing] | None = None) -> bytes:
    """The sheets as a PDF, the same bytes for the same sheets.

    ``pages`` are those of the same sheets, if they are drawn already.
    """
    pages = drawn_pages(sheet_set) if pages is None else pages
    block = sheet_set.sheets[0].block
    file = PdfFile(
        f"{block.project}, {block.number}", block.drawn_by, "Drawings of a high-tunnel frame"
    )
    file.number_pages(f"{block.number} ")
    for sheet, page in zip(sheet_set.sheets, pages, strict=True):
        file.add_page(page.width, page.height, f"{sheet.number} {sheet.title}")
        for name, layer in page.layers.items():
            paths = [(width, path_text(steps, _FORMS)) for width, steps in layer.items()]
            file.add_layer(name, "".join([_PEN % (w, p) if w else f"{p}f*\n" for w, p in paths]))
        for text in page.texts:
            file.set_text(text.text, text.size, text.matrix)
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


__all__ = ["pdf_bytes", "sheet_pictures", "write_pdf"]
