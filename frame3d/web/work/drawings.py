"""The sheets of a design as pictures for the page, drawn once and kept for the next request."""

from __future__ import annotations

import pickle
import zlib
from collections import OrderedDict
from collections.abc import Callable

from frame3d.errors import DesignFaults, Fault
from frame3d.frame_set import lists_of, sheet_alone, sheets_of, surveyed
from frame3d.sheets.layout.sheet import Sheet, SheetSet
from frame3d.sheets.write.svg_write import svg_text
from frame3d.units.data_tables import Json
from frame3d.web.requests.given import given_from
from frame3d.web.work.read_designs import NAME, frame_of, set_of

Tell = Callable[[str, int, int], None]
_KEPT, _KEPT_PACKED = 2, 64
_kept: OrderedDict[tuple[str, str], SheetSet] = OrderedDict()
_packed: OrderedDict[tuple[str, str], bytes] = OrderedDict()
"""Sets of other visitors, of some 0.3 MB each: unpacked in a hundredth of the time of drawing."""


def sheet_list(text: str, lists: str, tell: Tell) -> dict[str, Json]:
    """Number, title and paper of every sheet, and what could not be shown as wanted."""
    drawn = _drawn(text, lists, tell)
    return {
        "sheets": [{"number": sheet.number, **_row(sheet)} for sheet in drawn.sheets],
        "findings": [str(finding) for finding in drawn.findings],
    }


def first_sheet(text: str, lists: str, family: str, place: int) -> dict[str, Json]:
    """The sheet that is looked at, before the set is drawn: what it is, and its ``svg``.

    Empty where the set is drawn already, or where that sheet can't be drawn without it.

    Raises
    ------
    DesignFaults
        If the design cannot be laid out, or a list cannot be read.
    """
    if (text, lists) in _kept or (text, lists) in _packed:
        return {}
    given = given_from(lists)
    frame = surveyed(frame_of(text), given)
    drawn = sheet_alone(frame, lists_of(frame, given), family, place)
    if drawn is None:
        return {}
    return {**_row(drawn.sheets[0]), "svg": svg_text(drawn, [1])}


def _row(sheet: Sheet) -> dict[str, Json]:
    return {
        "title": sheet.title, "paper": sheet.paper.name, "scale": sheet.block.scale,
        "width_mm": sheet.paper.width_mm, "height_mm": sheet.paper.height_mm,
        "family": sheet.family,
    }  # fmt: skip


def sheet_svg(text: str, lists: str, number: int) -> bytes:
    """One sheet as SVG.

    Raises
    ------
    DesignFaults
        If there is no such sheet, or the design cannot be laid out.
    """
    drawn = _drawn(text, lists)
    if not 1 <= number <= len(drawn.sheets):
        message = f"there is no sheet {number}; there are {len(drawn.sheets)}"
        raise DesignFaults([Fault(where="", message=message)], NAME)
    return svg_text(drawn, [number]).encode("utf-8")


def _drawn(text: str, lists: str, tell: Tell = lambda what, done, total: None) -> SheetSet:
    key = text, lists
    if key not in _kept:
        _kept[key] = _unpacked(key) or _anew(text, lists, tell)
    _kept.move_to_end(key)
    while len(_kept) > _KEPT:
        old, drawn = _kept.popitem(last=False)
        # What is unpacked has never left this process.
        _packed[old] = zlib.compress(pickle.dumps(drawn), 1)
    while len(_packed) > _KEPT_PACKED:
        _packed.popitem(last=False)
    return _kept[key]


def _anew(text: str, lists: str, tell: Tell) -> SheetSet:
    tell("planning the cuts", 0, 1)
    return sheets_of(set_of(text, lists), tell)


def _unpacked(key: tuple[str, str]) -> SheetSet | None:
    if key not in _packed:
        return None
    found: SheetSet = pickle.loads(zlib.decompress(_packed.pop(key)))
    return found
