"""Sheets as SVG, for browsers: one, or several one under the other."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from xml.etree import ElementTree

import pymupdf

from frame3d.errors import OutputError
from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.write.pdf_page import POINTS_PER_MM
from frame3d.sheets.write.pdf_write import pages_of
from frame3d.writing import write_whole

_SVG = "http://www.w3.org/2000/svg"
_SIZE = re.compile(r'width="[\d.]+" height="[\d.]+"')
_REFERENCE = re.compile(r"#(?=[\w-])")


def write_svg(sheet_set: SheetSet, numbers: int | Sequence[int], path: str | Path) -> Path:
    """Write sheets, by their numbers from 1, to ``path`` as SVG and return it.

    Raises
    ------
    OutputError
        If there is no such sheet, or the file cannot be written.
    """
    content = svg_text(sheet_set, [numbers] if isinstance(numbers, int) else numbers)
    path = Path(path)
    write_whole(path, lambda temporary: temporary.write_text(content, encoding="utf-8"))
    return path


def svg_text(sheet_set: SheetSet, numbers: Sequence[int]) -> str:
    """Sheets, by their numbers from 1, as the text of one SVG file.

    Raises
    ------
    OutputError
        If there is no such sheet.
    """
    wanted = list(numbers)
    count = len(sheet_set.sheets)
    for number in wanted:
        if not 1 <= number <= count:
            raise OutputError(f"there is no sheet {number}; give a number from 1 to {count}")
    pages = [svg_of(page) for page in pages_of(sheet_set, wanted)]
    return pages[0] if len(pages) == 1 else _column(pages)


def svg_of(page: pymupdf.Page) -> str:
    """One page as SVG of the paper's size, with text as text."""
    width, height = (side / POINTS_PER_MM for side in (page.rect.width, page.rect.height))
    return _SIZE.sub(
        f'width="{width:.1f}mm" height="{height:.1f}mm"',
        _drawn(page),
        count=1,
    )


def _drawn(page: pymupdf.Page) -> str:
    """As ``page.get_svg_image``, which takes a backslash and a u in a text for a character."""
    library = pymupdf.mupdf
    content = library.fz_new_buffer(1024)
    out = library.FzOutput(content)
    device = library.fz_new_svg_device(
        out, page.rect.width, page.rect.height, library.FZ_SVG_TEXT_AS_TEXT, 1
    )
    library.fz_run_page(page.this, device, library.FzMatrix(), library.FzCookie())
    library.fz_close_device(device)
    out.fz_close_output()
    return library.fz_buffer_extract_copy(content).decode("utf-8")


def save_svg(pages: Sequence[str], path: Path) -> None:
    """Write pages, as :func:`svg_of` gives them, one under the other.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    content = pages[0] if len(pages) == 1 else _column(pages)
    write_whole(path, lambda temporary: temporary.write_text(content, encoding="utf-8"))


def _column(pages: Sequence[str]) -> str:
    """Pictures one under the other, as one."""
    ElementTree.register_namespace("", _SVG)
    ElementTree.register_namespace("xlink", "http://www.w3.org/1999/xlink")
    roots = [ElementTree.fromstring(page) for page in pages]
    sizes = [tuple(map(float, root.get("viewBox").split()[2:])) for root in roots]
    width, height = max(w for w, _ in sizes), sum(h for _, h in sizes)
    whole = ElementTree.Element(
        f"{{{_SVG}}}svg",
        {"version": "1.1", "width": f"{width:g}", "height": f"{height:g}",
         "viewBox": f"0 0 {width:g} {height:g}"},
    )  # fmt: skip
    top = 0.0
    for number, (root, size) in enumerate(zip(roots, sizes, strict=True), start=1):
        _rename(root, f"s{number}-")
        group = ElementTree.SubElement(
            whole, f"{{{_SVG}}}g", {"transform": f"translate(0,{top:g})"}
        )
        group.extend(list(root))
        top += size[1]
    return ElementTree.tostring(whole, encoding="unicode", xml_declaration=False) + "\n"


def _rename(root: ElementTree.Element, prefix: str) -> None:
    """Names that are used again in another picture get a prefix here."""
    for element in root.iter():
        for name, value in element.attrib.items():
            if name == "id":
                element.set(name, prefix + value)
            elif value.startswith("url(#") or name.endswith("href"):
                element.set(name, _REFERENCE.sub(f"#{prefix}", value, count=1))


__all__ = ["save_svg", "svg_of", "svg_text", "write_svg"]
