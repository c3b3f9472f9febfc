"""Dimensions as real DIMENSION entities, drawn here.

The stored text stays unset and the style tells the units, so that any program which
redraws a dimension writes the same; what is drawn meanwhile is in the dimension's
own block, with feet and inches as :class:`frame3d.units.LengthFormat` writes them.

References
----------
DXF reference, DIMENSION: group 70 types 0 linear, 1 aligned, 4 radius, 5 angular by
three points, 6 ordinate, +32 own block, +64 ordinate of x, +128 text placed; group
42 the measurement; DIMPOST, where ``<>`` stands for the value.
"""

from __future__ import annotations

import math

from ezdxf.document import Drawing
from ezdxf.entities.dimension import Dimension as DimensionEntity
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.layouts.blocklayout import BlockLayout
from ezdxf.layouts.layout import Modelspace
from msgspec import Struct

from frame3d.design.tables.whole_design import DxfVersion
from frame3d.sheets.primitives.lettering import TEXT_MM
from frame3d.sheets.primitives.occupancy import (
    ARROW_MM,
    EXTENSION_GAP_MM,
    angle_lines,
    dimension_lines,
)
from frame3d.sheets.primitives.primitives import (
    AngleDimension,
    Dimension,
    Layer,
    LinearDimension,
    Point,
    RadiusDimension,
    RunningDimension,
)
from frame3d.sheets.write.dxf_plain import add_plain_line
from frame3d.sheets.write.dxf_tables import LETTERING, TICK_MM, dimension_style
from frame3d.sheets.write.dxf_text import block_text
from frame3d.units import LengthFormat

_HAIR_MM = 1e-6
_OWN_BLOCK, _X_TYPE, _TEXT_PLACED = 32, 64, 128
_LAYER = {"layer": Layer.DIMENSIONS.title}
Attributes = dict[str, str | float | Point]
"""Of an entity or of a dimension's style, by their DXF names."""


class Region(Struct, frozen=True, kw_only=True):
    """Where a view lies in model space: drawing units in a mm, and the shift, mm."""

    unit: float
    shift: Point
    scale: int
    lengths: LengthFormat

    def point(self, place: Point) -> Point:
        """A point of the view in model space, drawing units."""
        return ((place[0] + self.shift[0]) * self.unit, (place[1] + self.shift[1]) * self.unit)

    def size(self, paper_mm: float) -> float:
        """A size on paper in model space, drawing units."""
        return paper_mm * self.scale * self.unit


def add_dimension(doc: Drawing, item: Dimension, region: Region) -> DXFGraphic:
    """Add ``item`` to the model space of ``doc`` and return the DIMENSION entity.

    Running sizes and angles in a drawing for older programs are lines and text in a block: LibreCAD
    2.2 leaves ordinate dimensions out and saves angles wrong, and a hole without its figure is
    worse than one whose figure does not follow what is drawn.
    """
    placed_at = region.point(item.text_at)
    plain = doc.acad_release == DxfVersion.R2000.value and isinstance(
        item, RunningDimension | AngleDimension
    )
    if plain:
        block = doc.blocks.new(f"size {len(doc.blocks)}", base_point=placed_at)
    else:
        block = doc.blocks.new_anonymous_block("D")
    common: Attributes = {
        **_LAYER,
        "geometry": block.name,
        "dimstyle": dimension_style(doc, region.scale, region.lengths),
        "text_midpoint": placed_at,
        "attachment_point": 5,
    }
    space = doc.modelspace()
    match item:
        case LinearDimension():
            entity = _linear(space, block, item, region, common)
        case RunningDimension():
            entity = _running(space, block, item, region, common)
        case RadiusDimension():
            entity = _radius(space, block, item, region, common)
        case AngleDimension():
            entity = _angle(space, block, item, region, common)
    _text(block, item, region)
    if plain:
        space.delete_entity(entity)
        return space.add_blockref(block.name, placed_at, dxfattribs=_LAYER)
    return entity


def _entity(
    space: Modelspace, kind: int, attributes: Attributes, override: Attributes
) -> DimensionEntity:
    placed = {**attributes, "dimtype": kind | _OWN_BLOCK | _TEXT_PLACED}
    entity = space.new_entity("DIMENSION", placed)
    if not isinstance(entity, DimensionEntity):
        raise TypeError(entity)
    if override:
        entity.set_acad_dstyle(dict(override))
    return entity


def _post(name: str, prefix: str = "", value: str = "<>") -> Attributes:
    post = f"{prefix}{value} {block_text(name)}".rstrip()
    return {} if post == "<>" else {"dimpost": post}


def _text(block: BlockLayout, item: Dimension, region: Region) -> None:
    block.add_mtext(
        block_text(item.text),
        dxfattribs={
            **_LAYER,
            "insert": region.point(item.text_at),
            "char_height": region.size(TEXT_MM),
            "attachment_point": 5,
            "rotation": math.degrees(item.text_angle_rad),
            "style": LETTERING,
        },
    )


def _line(block: BlockLayout, start: Point, end: Point, region: Region) -> None:
    add_plain_line(block, region.point(start), region.point(end), _LAYER["layer"])


def _off_half(size_mm: float, lengths: LengthFormat) -> float:
    """``size_mm``, moved a millionth up where it lies half-way between two steps.

    Our text rounds what is half-way up, noise of the twelfth digit left out. A program that
    draws the dimension anew rounds the bare difference of two points, and might round down.
    """
    half = lengths.rounded_mm(size_mm) - lengths.step_mm / 2
    return half + _HAIR_MM if abs(size_mm - half) < _HAIR_MM else size_mm


def _off_half_angle(angle_rad: float) -> float:
    """The same for an angle, whose steps are tenths of a degree."""
    tenths = 10 * math.degrees(angle_rad)
    half = math.floor(tenths) + 0.5
    return math.radians((half + _HAIR_MM) / 10) if abs(tenths - half) < _HAIR_MM else angle_rad


def _moved(point: Point, way: Point, by_mm: float) -> Point:
    return (point[0] + by_mm * way[0], point[1] + by_mm * way[1])


def _linear(
    space: Modelspace, block: BlockLayout, item: LinearDimension, region: Region, common: Attributes
) -> DimensionEntity:
    lines = dimension_lines(item, region.scale)
    for start, end in lines:
        _line(block, start, end, region)
    angle = item.angle_rad
    cos, sin = math.cos(angle), math.sin(angle)
    feet = []
    for feature in (item.first, item.second):
        along = (feature[0] - item.line_at[0]) * cos + (feature[1] - item.line_at[1]) * sin
        foot = (item.line_at[0] + along * cos, item.line_at[1] + along * sin)
        feet.append(foot)
        du = TICK_MM * region.scale * math.cos(angle + math.pi / 4)
        dv = TICK_MM * region.scale * math.sin(angle + math.pi / 4)
        _line(block, (foot[0] - du, foot[1] - dv), (foot[0] + du, foot[1] + dv), region)
    span = (item.second[0] - item.first[0]) * cos + (item.second[1] - item.first[1]) * sin
    size = _off_half(abs(span), region.lengths)
    more = math.copysign(size - abs(span), span)
    second, foot = (_moved(at, (cos, sin), more) for at in (item.second, feet[1]))
    return _entity(
        space,
        0 if item.witness else 1,
        {
            **common,
            "defpoint": region.point(foot),
            "defpoint2": region.point(item.first),
            "defpoint3": region.point(second),
            "angle": math.degrees(angle) if item.witness else 0.0,
            "actual_measurement": size * region.unit,
        },
        _post(item.name, value="(<>)" if item.is_reference else "<>"),
    )


def _running(
    space: Modelspace,
    block: BlockLayout,
    item: RunningDimension,
    region: Region,
    common: Attributes,
) -> DimensionEntity:
    away = EXTENSION_GAP_MM * region.scale
    length = math.dist(item.feature, item.knee)
    share = min(away / length, 0.9) if length > 0 else 0.0
    start = (
        item.feature[0] + share * (item.knee[0] - item.feature[0]),
        item.feature[1] + share * (item.knee[1] - item.feature[1]),
    )
    for a, b in ((start, item.knee), (item.knee, item.foot), (item.foot, item.end)):
        _line(block, a, b, region)
    axis = 0 if item.along_x else 1
    value = item.feature[axis] - item.datum[axis]
    size = _off_half(abs(value), region.lengths)
    way = (1.0, 0.0) if item.along_x else (0.0, 1.0)
    feature = _moved(item.feature, way, math.copysign(size - abs(value), value))
    return _entity(
        space,
        6 | (_X_TYPE if item.along_x else 0),
        {
            **common,
            "defpoint": region.point(item.datum),
            "defpoint2": region.point(feature),
            "defpoint3": region.point(item.end),
            "actual_measurement": size * region.unit,
        },
        _post("", value="(<>)" if item.is_reference else "<>"),
    )


def _arrow(block: BlockLayout, tip: Point, way: float, region: Region) -> None:
    """A filled arrowhead at ``tip`` pointing in the direction ``way``, rad."""
    back, half = ARROW_MM * region.scale, ARROW_MM * region.scale / 6
    cos, sin = math.cos(way), math.sin(way)
    tail = (tip[0] - back * cos, tip[1] - back * sin)
    corners = [
        tip,
        (tail[0] - half * sin, tail[1] + half * cos),
        (tail[0] + half * sin, tail[1] - half * cos),
    ]
    block.add_solid([region.point(corner) for corner in corners], dxfattribs=_LAYER)


def _radius(
    space: Modelspace, block: BlockLayout, item: RadiusDimension, region: Region, common: Attributes
) -> DimensionEntity:
    way = math.atan2(item.on_arc[1] - item.tail[1], item.on_arc[0] - item.tail[0])
    _line(block, item.on_arc, item.tail, region)
    _line(block, item.tail, item.shelf_end, region)
    _arrow(block, item.on_arc, way, region)
    radius = math.dist(item.centre, item.on_arc)
    size = _off_half(radius, region.lengths)
    (u, v), (x, y) = item.centre, item.on_arc
    out = ((x - u) / radius, (y - v) / radius)
    return _entity(
        space,
        4,
        {
            **common,
            "defpoint": region.point(item.centre),
            "defpoint4": region.point(_moved(item.on_arc, out, size - radius)),
            "leader_length": math.dist(item.on_arc, item.tail) * region.unit,
            "actual_measurement": size * region.unit,
        },
        {**_post(item.name, "R"), "dimtsz": 0.0},
    )


def _angle(
    space: Modelspace, block: BlockLayout, item: AngleDimension, region: Region, common: Attributes
) -> DimensionEntity:
    (u, v), r = item.vertex, item.radius

    def at(angle: float, radius: float) -> Point:
        return (u + radius * math.cos(angle), v + radius * math.sin(angle))

    lines, arc = angle_lines(item, region.scale)
    for start, end in lines:
        _line(block, start, end, region)
    sweep = _off_half_angle(item.second_rad - item.first_rad)
    inside = arc.start_rad == item.first_rad
    block.add_arc(
        region.point(item.vertex),
        r * region.unit,
        math.degrees(arc.start_rad),
        math.degrees(arc.end_rad),
        dxfattribs=_LAYER,
    )
    turn = -math.pi / 2 if inside else math.pi / 2
    begins = dict(item.extended)
    _arrow(block, at(item.first_rad, r), item.first_rad + turn, region)
    _arrow(block, at(item.second_rad, r), item.second_rad - turn, region)
    return _entity(
        space,
        5,
        {
            **common,
            "defpoint": region.point(at(item.first_rad + sweep / 2, r)),
            # A program that draws it anew begins the extension lines at these.
            "defpoint2": region.point(at(item.first_rad, begins.get(item.first_rad, r))),
            "defpoint3": region.point(at(item.first_rad + sweep, begins.get(item.second_rad, r))),
            "defpoint4": region.point(item.vertex),
            "actual_measurement": sweep,
        },
        {**_post(item.name), "dimtsz": 0.0},
    )
