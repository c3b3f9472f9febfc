"""The title block as a block with attributes, one for each field.

References
----------
ISO 7200:2004: legal owner, identification number, date of issue, sheet number,
title, approval person, creator and document type are mandatory; the status of the document may
be given (from memory).
ASME Y14.1 (from memory): company, title, size, drawing number, revision, scale and sheet at
the right, units, projection and who drew and approved at the left. The type of document is kept.
"""

from __future__ import annotations

from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.layouts.blocklayout import BlockLayout
from ezdxf.layouts.layout import Paperspace
from msgspec import Struct

from frame3d.design.tables.whole_design import SheetStandard
from frame3d.sheets.layout.compose import BLOCK_WIDTH_MM
from frame3d.sheets.layout.sheet import TitleBlock
from frame3d.sheets.primitives.lettering import (
    SMALL_MM,
    TEXT_MM,
    TITLE_MM,
    WIDTH_FACTOR,
    text_width_mm,
)
from frame3d.sheets.primitives.primitives import Layer
from frame3d.sheets.write.dxf_tables import LETTERING
from frame3d.sheets.write.dxf_text import line_text

BLOCK = "title block"


class _Cell(Struct, frozen=True):
    """A field: attribute, caption, left and bottom corner, width and height, largest text; mm."""

    field: str
    caption: str
    x: float
    y: float
    width: float
    height: float
    largest: float = TEXT_MM


class _Form(Struct, frozen=True):
    """Where the fields stand, and the symbol of the projection: left, bottom, width, height."""

    cells: tuple[_Cell, ...]
    projection: tuple[float, float, float, float]


_ISO = _Form(
    (
        _Cell("owner", "legal owner", 0, 29, 50, 10),
        _Cell("project", "project", 50, 29, 130, 10, TITLE_MM),
        _Cell("kind", "document type", 0, 19, 50, 10),
        _Cell("title", "title", 50, 19, 130, 10, TITLE_MM),
        _Cell("drawn_by", "drawn by", 0, 9.5, 38, 9.5),
        _Cell("approved_by", "approved by", 38, 9.5, 38, 9.5),
        _Cell("date", "date of issue", 76, 9.5, 24, 9.5),
        _Cell("scale", "scale", 100, 9.5, 24, 9.5),
        _Cell("status", "status", 124, 9.5, 56, 9.5),
        _Cell("number", "drawing number", 0, 0, 50, 9.5),
        _Cell("revision", "revision", 50, 0, 16, 9.5),
        _Cell("sheet", "sheet", 66, 0, 24, 9.5),
        _Cell("paper", "size", 90, 0, 13, 9.5),
        _Cell("dimensions", "dimensions in", 103, 0, 42, 9.5),
    ),
    (145.0, 0.0, 35.0, 9.5),
)
_US = _Form(
    (
        _Cell("drawn_by", "drawn", 0, 29, 60, 10),
        _Cell("approved_by", "approved", 0, 19, 38, 10),
        _Cell("date", "date", 38, 19, 22, 10),
        _Cell("dimensions", "dimensions in", 0, 9.5, 60, 9.5),
        _Cell("owner", "company", 60, 29, 50, 10),
        _Cell("project", "project", 110, 29, 70, 10),
        _Cell("title", "title", 60, 19, 120, 10, TITLE_MM),
        _Cell("paper", "size", 60, 9.5, 12, 9.5),
        _Cell("number", "dwg no.", 72, 9.5, 42, 9.5),
        _Cell("revision", "rev", 114, 9.5, 16, 9.5),
        _Cell("kind", "type", 130, 9.5, 50, 9.5),
        _Cell("scale", "scale", 60, 0, 40, 9.5),
        _Cell("status", "status", 100, 0, 56, 9.5),
        _Cell("sheet", "sheet", 156, 0, 24, 9.5),
    ),
    (0.0, 0.0, 60.0, 9.5),
)
_FORMS = {SheetStandard.ISO: _ISO, SheetStandard.US: _US}


def define_title_block(doc: Drawing, unit: float, standard: SheetStandard) -> None:
    """Make the block, its lower right corner at the origin; ``unit`` is drawing units in a mm."""
    block = doc.blocks.new(BLOCK)
    form = _FORMS[standard]
    for cell in form.cells:
        _box(block, cell.x, cell.y, cell.width, cell.height, unit)
        _caption(block, cell.caption, cell.x, cell.y + cell.height, unit)
        attribute = block.add_attdef(
            cell.field.upper(),
            _spot(cell, unit),
            height=cell.largest * unit,
            dxfattribs={"style": LETTERING, "layer": Layer.TEXT.title},
        )
        attribute.dxf.prompt = cell.caption
        attribute.dxf.width = WIDTH_FACTOR
    x, y, width, height = form.projection
    _box(block, x, y, width, height, unit)
    _caption(block, "projection", x, y + height, unit)


def _box(block: BlockLayout, x: float, y: float, width: float, height: float, unit: float) -> None:
    corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]
    block.add_lwpolyline(
        [((u - BLOCK_WIDTH_MM) * unit, v * unit) for u, v in corners],
        close=True,
        dxfattribs={"layer": Layer.TITLE.title},
    )


def _caption(block: BlockLayout, text: str, x: float, top: float, unit: float) -> None:
    block.add_text(
        text,
        height=SMALL_MM * unit,
        dxfattribs={"style": LETTERING, "layer": Layer.TEXT.title, "width": WIDTH_FACTOR},
    ).set_placement(((x + 1.2 - BLOCK_WIDTH_MM) * unit, (top - SMALL_MM - 1.2) * unit))


def _spot(cell: _Cell, unit: float) -> tuple[float, float]:
    return ((cell.x + 1.8 - BLOCK_WIDTH_MM) * unit, (cell.y + 1.7) * unit)


def add_title_block(
    layout: Paperspace, corner: tuple[float, float], block: TitleBlock, unit: float
) -> None:
    """Insert the title block with its lower right corner at ``corner``, mm on the paper."""
    place = (corner[0] * unit, corner[1] * unit)
    form = _FORMS[block.standard]
    values = {cell.field.upper(): line_text(str(getattr(block, cell.field))) for cell in form.cells}
    insert = layout.add_blockref(BLOCK, place, dxfattribs={"layer": Layer.TITLE.title})
    insert.add_auto_attribs(values)
    for attribute, cell in zip(insert.attribs, form.cells, strict=True):
        attribute.dxf.height, squeeze = _fitting(str(getattr(block, cell.field)), cell)
        attribute.dxf.height *= unit
        attribute.dxf.width = WIDTH_FACTOR * squeeze
    left = corner[0] - BLOCK_WIDTH_MM + form.projection[0]
    _projection(layout, (left, corner[1]), block.first_angle, unit)


def _fitting(text: str, cell: _Cell) -> tuple[float, float]:
    """Height of a field's text, mm, and how much narrower its letters are drawn to fit."""
    room = cell.width - 3.0
    for height in (TITLE_MM, TEXT_MM, SMALL_MM):
        if height <= cell.largest and text_width_mm(text, height) <= room:
            return height, 1.0
    return SMALL_MM, min(1.0, room / text_width_mm(text, SMALL_MM))


def _projection(
    layout: Paperspace, corner: tuple[float, float], first_angle: bool, unit: float
) -> None:
    """The symbol of ISO 5456-2: a cone from its side and from its end.

    ``corner`` is the lower left one of its field, mm on the paper.
    """
    x, y = corner[0], corner[1] + 3.4
    cone, rings = (x + 19.0, x + 29.0) if first_angle else (x + 25.0, x + 18.0)
    layer = {"layer": Layer.FINE.title}
    for radius in (2.5, 1.25):
        layout.add_circle((rings * unit, y * unit), radius * unit, dxfattribs=layer)
    left, right = (1.25, 2.5)
    corners = [
        (cone - 3, y - left),
        (cone + 3, y - right),
        (cone + 3, y + right),
        (cone - 3, y + left),
    ]
    layout.add_lwpolyline([(u * unit, v * unit) for u, v in corners], close=True, dxfattribs=layer)
    layout.add_text(
        "first angle" if first_angle else "third angle",
        height=SMALL_MM * unit,
        dxfattribs={"style": LETTERING, "layer": Layer.TEXT.title, "width": WIDTH_FACTOR},
    ).set_placement(((x + 1.8) * unit, y * unit - 0.9 * unit), align=TextEntityAlignment.LEFT)
