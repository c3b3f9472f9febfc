"""A set of sheets into a PDF with bookmarks, one page each; and pictures of its pages."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

import pymupdf

from frame3d.errors import OutputError
from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.primitives.lettering import font_path
from frame3d.sheets.primitives.primitives import Bubble, Dimension, Label
from frame3d.sheets.write.dxf_file import Document
from frame3d.sheets.write.dxf_write import document_of
from frame3d.sheets.write.font_subset import font_with
from frame3d.sheets.write.pdf_page import POINTS_PER_MM, draw_page
from frame3d.writing import write_whole


def pdf_bytes(sheet_set: SheetSet) -> bytes:
    """The sheets as a PDF, the same bytes for the same sheets."""
    return bytes_of(pages_of(sheet_set))


def bytes_of(pages: pymupdf.Document) -> bytes:
    """A document as a PDF, the same bytes for the same document."""
    return pages.tobytes(garbage=3, deflate=True, no_new_id=True)


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
        document = pymupdf.open(pdf)
    except (RuntimeError, OSError) as error:
        raise OutputError(f"{pdf} cannot be read as a PDF: {error}; write it again") from error
    pictures = []
    with document:
        for page in document:
            path = folder / f"{pdf.stem}-{page.number + 1:02d}.png"
            content = page.get_pixmap(dpi=dots_per_inch).tobytes("png")
            write_whole(path, lambda temporary, data=content: temporary.write_bytes(data))
            pictures.append(path)
    return pictures


def pages_of(
    sheet_set: SheetSet, only: Collection[int] | None = None, drawing: Document | None = None
) -> pymupdf.Document:
    """The sheets, or those of the numbers in ``only``, as the pages of a document.

    ``drawing`` is that of the same sheets, if there is one already.
    """
    drawing = drawing or document_of(sheet_set)
    font = _font_of(sheet_set)
    result = pymupdf.open()
    bookmarks = []
    for sheet, name in zip(sheet_set.sheets, drawing.layouts, strict=True):
        if only is not None and sheet.number not in only:
            continue
        page = result.new_page(
            width=sheet.paper.width_mm * POINTS_PER_MM,
            height=sheet.paper.height_mm * POINTS_PER_MM,
        )
        draw_page(drawing, name, page, font, sheet_set.names)
        title = listed(f"{sheet.number} {sheet.title}")
        bookmarks.append([1, title, len(bookmarks) + 1])
    result.set_toc(bookmarks)
    _describe(result, sheet_set)
    return result


def _describe(result: pymupdf.Document, sheet_set: SheetSet) -> None:
    """Title, page labels such as ``T-01 3``, and how the document is shown when it is opened."""
    if not sheet_set.sheets:
        return
    block = sheet_set.sheets[0].block
    # No dates, so that two runs give the same file.
    result.set_metadata(
        {
            "title": listed(f"{block.project}, {block.number}"),
            "author": listed(block.drawn_by),
            "subject": "Drawings of a high-tunnel frame",
            "creator": "frame3d",
            "producer": "",
        }
    )
    catalog = result.pdf_catalog()
    # Not by set_page_labels, which writes brackets and other letters as they are.
    prefix = pymupdf.get_pdf_str(listed(f"{block.number} "))
    result.xref_set_key(catalog, "PageLabels", f"<</Nums[0<</S/D/P{prefix}>>]>>")
    result.set_pagemode("UseOutlines")
    result.xref_set_key(catalog, "ViewerPreferences", "<</DisplayDocTitle true>>")
    result.xref_set_key(catalog, "Lang", "(en)")


def listed(text: str) -> str:
    """``text`` for bookmarks and properties, where a blank that does not break means another sign.

    PDFDocEncoding has the euro at its place (ISO 32000-1, D.2), which pymupdf does not know of.
    """
    return text.replace("\u00a0", " ")


def _font_of(sheet_set: SheetSet) -> bytes:
    """The lettering with only the characters that the sheets use, to keep the file small."""
    letters = set(map(chr, range(32, 127))) | set("°²³·–")
    for sheet in sheet_set.sheets:
        items = [*sheet.labels, *(item for view in sheet.views for item in view.view.ink)]
        for item in items:
            if isinstance(item, Label | Bubble | Dimension):
                letters |= set(item.text)
        for field in sheet.block.__struct_fields__:
            letters |= set(str(getattr(sheet.block, field)))
    return font_with(font_path(), letters)
