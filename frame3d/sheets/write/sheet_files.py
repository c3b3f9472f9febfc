"""All files of a set of sheets, from one drawing and one set of pages."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from msgspec.structs import replace

from frame3d.design.tables.whole_design import PrintedSet
from frame3d.sheets.layout.sheet import Sheet, SheetSet
from frame3d.sheets.layout.sheet_set_builder import ASSEMBLY, DETAIL, GENERAL, PART
from frame3d.sheets.views.clearance_views import clearance_sheets
from frame3d.sheets.write.dxf_write import document_of, write_document
from frame3d.sheets.write.page_drawing import drawn_pages
from frame3d.sheets.write.pdf_write import pdf_bytes
from frame3d.sheets.write.svg_write import save_svg
from frame3d.writing import write_whole

DRAWING, PRINT, CLEARANCE = "sheets.dxf", "sheets.pdf", "clearance.svg"
SHEETS_FOLDER = "sheets"
COVER, PARTS_LIST, SOCKET_PLAN = "Cover sheet", "Parts list", "Socket plan"


def printed_apart(sheet_set: SheetSet, one: PrintedSet) -> SheetSet:
    """The cover's sheets and those that ``one`` is for, with the numbers that they have."""
    sheets = [s for s in sheet_set.sheets if s.block.kind == COVER or _is_for(s, one)]
    return replace(sheet_set, sheets=tuple(sheets))


def _is_for(sheet: Sheet, one: PrintedSet) -> bool:
    kind = sheet.block.kind
    match one:
        case PrintedSet.SITE:
            return kind == GENERAL and sheet.title.startswith(SOCKET_PLAN)
        case PrintedSet.SHOP:
            return kind in (PART, ASSEMBLY, PARTS_LIST)
        case PrintedSet.ERECTION:
            return kind in (GENERAL, ASSEMBLY, DETAIL)


def write_sheet_files(
    sheet_set: SheetSet, folder: Path, told: Callable[[str], None] = lambda what: None
) -> tuple[str, ...]:
    """Write the sheets into ``folder`` as DXF and PDF; into ``sheets`` each as SVG, and sets apart.

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
    for one in dict.fromkeys(sheet_set.sets):
        apart = printed_apart(sheet_set, one)
        name = f"{SHEETS_FOLDER}/{one.value}.pdf"
        told(name)
        content = pdf_bytes(apart, [pages[sheet.number - 1] for sheet in apart.sheets])
        (folder / name).write_bytes(content)
        names.append(name)
    if numbers := clearance_sheets(sheet_set):
        told(CLEARANCE)
        save_svg([pages[number - 1] for number in numbers], folder / CLEARANCE)
        names.append(CLEARANCE)
    return tuple(names)
