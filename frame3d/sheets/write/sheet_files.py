"""All files of a set of sheets, from one drawing and one set of pages."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.views.clearance_views import clearance_sheets
from frame3d.sheets.write.dxf_write import document_of, write_document
from frame3d.sheets.write.page_drawing import drawn_pages
from frame3d.sheets.write.pdf_write import pdf_bytes
from frame3d.sheets.write.svg_write import save_svg
from frame3d.writing import write_whole

DRAWING, PRINT, CLEARANCE = "sheets.dxf", "sheets.pdf", "clearance.svg"
SHEETS_FOLDER = "sheets"

__all__ = ["CLEARANCE", "DRAWING", "PRINT", "SHEETS_FOLDER", "write_sheet_files"]


def write_sheet_files(
    sheet_set: SheetSet, folder: Path, told: Callable[[str], None] = lambda what: None
) -> tuple[str, ...]:
    """Write the sheets into ``folder`` as DXF, PDF, and one SVG for each in ``sheets``.

    Parameters
    ----------
    sheet_set : SheetSet
    folder : Path
        Is there; ``sheets`` is made in it.
    told : callable
        Told the name of each file before it is written.

    Returns
    -------
    tuple of str
        The files' names from ``folder``; of the clearances none if there are none.

    Raises
    ------
    OutputError
        If a file cannot be written.
    """
    told(DRAWING)
    drawing = document_of(sheet_set)
    write_document(drawing.doc, folder / DRAWING)
    told(PRINT)
    pages = drawn_pages(sheet_set, drawing=drawing)
    content = pdf_bytes(sheet_set, pages)
    write_whole(folder / PRINT, lambda temporary: temporary.write_bytes(content))
    told(f"{SHEETS_FOLDER}/")
    names = [DRAWING, PRINT]
    (folder / SHEETS_FOLDER).mkdir(exist_ok=True)
    digits = len(str(len(pages)))
    for sheet, page in zip(sheet_set.sheets, pages, strict=True):
        name = f"{SHEETS_FOLDER}/sheet-{sheet.number:0{digits}}.svg"
        save_svg([page], folder / name)
        names.append(name)
    if numbers := clearance_sheets(sheet_set):
        told(CLEARANCE)
        save_svg([pages[number - 1] for number in numbers], folder / CLEARANCE)
        names.append(CLEARANCE)
    return tuple(names)
