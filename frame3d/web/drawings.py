"""The sheets of a design as pictures for the page, drawn once and kept for the next request."""

from __future__ import annotations

from collections import OrderedDict
from typing import Any

from frame3d.errors import DesignFaults, Fault
from frame3d.sheets import draw_sheets
from frame3d.sheets.sheet import SheetSet
from frame3d.sheets.svg_write import svg_text
from frame3d.web.reading import NAME, frame_of

_KEPT = 2
_kept: OrderedDict[str, SheetSet] = OrderedDict()

__all__ = ["sheet_list", "sheet_svg"]


def sheet_list(text: str) -> dict[str, Any]:
    """Number, title and paper of every sheet, and what could not be shown as wanted."""
    drawn = _drawn(text)
    return {
        "sheets": [
            {
                "number": sheet.number, "title": sheet.title, "paper": sheet.paper.name,
                "scale": sheet.block.scale, "width_mm": sheet.paper.width_mm,
                "height_mm": sheet.paper.height_mm,
            }
            for sheet in drawn.sheets
        ],
        "findings": [str(finding) for finding in drawn.findings],
    }  # fmt: skip


def sheet_svg(text: str, number: int) -> bytes:
    """One sheet as SVG.

    Raises
    ------
    DesignFaults
        If there is no such sheet, or the design cannot be laid out.
    """
    drawn = _drawn(text)
    if not 1 <= number <= len(drawn.sheets):
        message = f"there is no sheet {number}; there are {len(drawn.sheets)}"
        raise DesignFaults([Fault(where="", message=message)], NAME)
    return svg_text(drawn, [number]).encode("utf-8")


def _drawn(text: str) -> SheetSet:
    if text not in _kept:
        _kept[text] = draw_sheets(frame_of(text))
    _kept.move_to_end(text)
    while len(_kept) > _KEPT:
        _kept.popitem(last=False)
    return _kept[text]
