"""A set of sheets as a DXF document: views at full size, sheets as paper-space layouts."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ezdxf.document import Drawing
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.viewport import Viewport
from ezdxf.enums import TextEntityAlignment
from ezdxf.layouts.base import BaseLayout
from ezdxf.layouts.layout import Paperspace
from msgspec import Struct
from msgspec.structs import replace

from frame3d.sheets.layout.sheet import Sheet, SheetSet, SheetView
from frame3d.sheets.primitives.lettering import TEXT_MM, WIDTH_FACTOR
from frame3d.sheets.primitives.primitives import (
    Align,
    ArcStroke,
    Bubble,
    CircleStroke,
    Dimension,
    Label,
    Layer,
    Point,
    Primitive,
    Stroke,
)
from frame3d.sheets.write.dxf_dimensions import Region, add_dimension
from frame3d.sheets.write.dxf_layers import VIEWPORTS, rename_layers
from frame3d.sheets.write.dxf_plain import add_plain_line, add_plain_text
from frame3d.sheets.write.dxf_tables import (
    LETTERING,
    new_drawing,
    set_current_style,
)
from frame3d.sheets.write.dxf_text import layout_name, line_text
from frame3d.sheets.write.dxf_title import add_title_block, define_title_block
from frame3d.units import UnitSystem

_REGION_GAP_MM = 10.0
"""Free space on either side of a view in model space, paper mm."""
_VIEWPORT_MARGIN_MM = 1.0
_ALIGN = {
    Align.LEFT: TextEntityAlignment.MIDDLE_LEFT,
    Align.CENTRE: TextEntityAlignment.MIDDLE_CENTER,
    Align.RIGHT: TextEntityAlignment.MIDDLE_RIGHT,
}


class Document(Struct, frozen=True, kw_only=True):
    """The document, and for each viewport (by handle) the entities that it shows."""

    doc: Drawing
    layouts: tuple[str, ...]
    shown: dict[str, list[DXFGraphic]]


def build_document(sheet_set: SheetSet) -> Document:
    """The sheets as a drawing in memory; every view in a region of model space of its own."""
    doc = new_drawing(sheet_set.lengths, sheet_set.version)
    unit = 1 / sheet_set.lengths.system.mm_per_drawing_unit
    if sheet_set.sheets:
        define_title_block(doc, unit, sheet_set.sheets[0].block.standard)
    shown: dict[str, list[DXFGraphic]] = {}
    names: list[str] = []
    cursor = 0.0
    for sheet in sheet_set.sheets:
        layout = _layout(doc, sheet, sheet_set, first=not names)
        names.append(layout.name)
        for view in sheet.views:
            left, bottom, right, _ = view.view.bounds
            cursor += _REGION_GAP_MM * view.view.scale
            region = Region(
                unit=unit,
                shift=(cursor - left, -bottom),
                scale=view.view.scale,
                lengths=sheet_set.lengths,
            )
            cursor += right - left + _REGION_GAP_MM * view.view.scale
            entities = [
                e for item in view.view.primitives for e in _add(doc.modelspace(), item, region)
            ]
            viewport = _viewport(layout, view, region)
            shown[viewport.dxf.handle] = entities
        paper = Region(unit=unit, shift=(0.0, 0.0), scale=1, lengths=sheet_set.lengths)
        _add_block(layout, f"sheet frame {sheet.paper.name}", sheet.border, (0.0, 0.0), paper)
        on_paper: list[Primitive] = [*sheet.strokes, *sheet.labels]
        for item in on_paper:
            _add(layout, item, paper)
        frame = sheet.paper.frame
        add_title_block(layout, (frame[2], frame[1]), sheet.block, unit)
    _set_up_model(doc, sheet_set, cursor)
    rename_layers(doc, sheet_set.layers)
    return Document(doc=doc, layouts=tuple(names), shown=shown)


def _set_up_model(doc: Drawing, sheet_set: SheetSet, length_mm: float) -> None:
    """Extents and first look at the model space, ``length_mm`` long; the current style."""
    unit = 1 / sheet_set.lengths.system.mm_per_drawing_unit
    views = [view.view for sheet in sheet_set.sheets for view in sheet.views]
    height = max((view.bounds[3] - view.bounds[1] for view in views), default=1.0)
    doc.modelspace().reset_extents((0, 0, 0), (length_mm * unit, height * unit, 0))
    doc.set_modelspace_vport(
        height=1.1 * max(height, length_mm / 2) * unit,
        center=(length_mm / 2 * unit, height / 2 * unit),
    )
    if views:
        used = [view.scale for view in views]
        set_current_style(doc, max(sorted(set(used)), key=used.count), sheet_set.lengths)


def _layout(doc: Drawing, sheet: Sheet, sheet_set: SheetSet, first: bool) -> Paperspace:
    name = layout_name(sheet.number, sheet.title)
    if first:
        _, old, *_ = doc.layout_names_in_taborder()
        doc.layouts.rename(old, name)
        layout = doc.paperspace(name)
    else:
        layout = doc.layouts.new(name)
    inches = sheet_set.lengths.system is UnitSystem.IMPERIAL
    unit = 1 / sheet_set.lengths.system.mm_per_drawing_unit
    layout.page_setup(
        size=(sheet.paper.width_mm * unit, sheet.paper.height_mm * unit),
        margins=(0, 0, 0, 0),
        units="inch" if inches else "mm",
        scale=(1, 1),
        name=sheet.paper.name,
        device="",
    )
    return layout


def _viewport(layout: Paperspace, view: SheetView, region: Region) -> Viewport:
    left, bottom, right, top = view.view.bounds
    margin = _VIEWPORT_MARGIN_MM
    width, height = (size + 2 * margin for size in view.view.paper_size)
    viewport = layout.add_viewport(
        center=(view.centre[0] * region.unit, view.centre[1] * region.unit),
        size=(width * region.unit, height * region.unit),
        view_center_point=region.point(((left + right) / 2, (bottom + top) / 2)),
        view_height=region.size(height),
        dxfattribs={"layer": VIEWPORTS},
    )
    return viewport


def _add(space: BaseLayout, item: Primitive, region: Region) -> list[DXFGraphic]:
    if isinstance(item, Dimension):
        return [add_dimension(space.doc, item, region)]
    if isinstance(item, Label):
        return [_add_label(space, item, region)]
    if isinstance(item, Bubble):
        return [_add_bubble(space, item, region)]
    return [_add_line(space, item, region)]


def _add_line(
    space: BaseLayout, item: Stroke | ArcStroke | CircleStroke, region: Region
) -> DXFGraphic:
    if isinstance(item, Stroke):
        return add_plain_line(
            space, region.point(item.start), region.point(item.end), item.layer.title
        )
    attributes = {"layer": item.layer.title}
    if isinstance(item, CircleStroke):
        return space.add_circle(
            region.point(item.centre), item.radius * region.unit, dxfattribs=attributes
        )
    return space.add_arc(
        region.point(item.centre),
        item.radius * region.unit,
        math.degrees(item.start_rad),
        math.degrees(item.end_rad),
        dxfattribs=attributes,
    )


def _add_label(space: BaseLayout, item: Label, region: Region) -> DXFGraphic:
    if item.layer is Layer.MARKS:
        return _add_mark(space, item, region)
    return _add_text(space, item, region)


def _add_mark(space: BaseLayout, item: Label, region: Region) -> DXFGraphic:
    """A mark as a block of its own, so that all places of one can be found and changed at once."""
    name = _block_name(f"mark {item.text}")
    if (item.align, item.height) != (Align.CENTRE, TEXT_MM):
        name += f", {item.align.name.lower()} {item.height:g}"
    at_origin = replace(item, at=(0.0, 0.0), angle_rad=0.0)
    return _add_block(space, name, (at_origin,), item.at, region, math.degrees(item.angle_rad))


def _add_bubble(space: BaseLayout, item: Bubble, region: Region) -> DXFGraphic:
    """A grid line's number in its circle."""
    primitives = (
        CircleStroke(centre=(0.0, 0.0), radius=item.diameter / 2, layer=Layer.GRID),
        Label(text=item.text, at=(0.0, 0.0), height=TEXT_MM, layer=Layer.GRID),
    )
    return _add_block(space, _block_name(f"grid bubble {item.text}"), primitives, item.at, region)


def _add_block(
    space: BaseLayout,
    name: str,
    primitives: Sequence[Stroke | ArcStroke | CircleStroke | Label],
    at: Point,
    region: Region,
    turn_deg: float = 0.0,
) -> DXFGraphic:
    """The block ``name`` at ``at``, made of ``primitives`` in paper mm when it is first asked for.

    Texts stand in the block as they are: not every program shows attributes.
    """
    if name not in space.doc.blocks:
        block = space.doc.blocks.new(name)
        paper = Region(unit=region.unit, shift=(0.0, 0.0), scale=1, lengths=region.lengths)
        for item in primitives:
            if isinstance(item, Label):
                _add_text(block, item, paper)
            else:
                _add_line(block, item, paper).dxf.linetype = "CONTINUOUS"
    scale = region.scale
    return space.add_blockref(
        name,
        region.point(at),
        dxfattribs={
            "xscale": scale,
            "yscale": scale,
            "zscale": scale,
            "rotation": turn_deg,
            "layer": primitives[0].layer.title,
        },
    )


def _block_name(text: str) -> str:
    """``text`` with what no name may hold written as numbers."""
    return "".join(f"#{ord(c)}" if c in "<>/\\\":;?*|='`,#" else c for c in text)


def _add_text(space: BaseLayout, item: Label, region: Region) -> DXFGraphic:
    return add_plain_text(
        space,
        line_text(item.text),
        region.point(item.at),
        _ALIGN[item.align],
        height=region.size(item.height),
        turn_deg=math.degrees(item.angle_rad),
        layer=item.layer.title,
        style=LETTERING,
        width=WIDTH_FACTOR,
    )
