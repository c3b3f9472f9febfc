"""A view at a scale, with everything that is said about it in its place."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from shapely import LineString, Polygon, STRtree

from frame3d.sheets.ink import (
    Align,
    AngleDimension,
    ArcStroke,
    Bubble,
    CircleStroke,
    Dimension,
    Ink,
    Label,
    Layer,
    LinearDimension,
    Point,
    RadiusDimension,
    RunningDimension,
    Stroke,
)
from frame3d.sheets.lettering import TEXT_MM, text_width_mm
from frame3d.sheets.strips import TEXT_GAP_MM, fill_strips
from frame3d.sheets.wishes import Angle, Mark, Radius, Slanting, View
from frame3d.units import LengthFormat

_LIFT_MM = TEXT_GAP_MM + TEXT_MM / 2
_RADIUS_LINE_MM = 16.0
_CLEAR_MM = 0.5
"""Free space that is kept around a text."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedView:
    """A view with its annotation.

    Parameters
    ----------
    title : str
    scale : int
        The 48 of 1:48.
    ink : tuple of Ink
        Everything, mm in the plane of the view.
    bounds : left, bottom, right, top
        Of everything, mm.
    troubles : tuple of str
        What could not be placed well at this scale, in plain words.
    """

    title: str
    scale: int
    ink: tuple[Ink, ...]
    bounds: tuple[float, float, float, float]
    troubles: tuple[str, ...]

    @property
    def paper_size(self) -> tuple[float, float]:
        """Width and height on paper, mm."""
        left, bottom, right, top = self.bounds
        return ((right - left) / self.scale, (top - bottom) / self.scale)


def text_box(
    text: str, at: Point, height: float, angle_rad: float, scale: float, *,
    align: Align = Align.CENTRE, clear: float = 0.0,
) -> Polygon:
    """The ground that a text covers, with ``clear`` paper mm around it, in the view's mm."""
    half = text_width_mm(text, height) / 2
    shift = {Align.LEFT: half, Align.CENTRE: 0.0, Align.RIGHT: -half}[align]
    w, h = (half + clear) * scale, (height / 2 + clear) * scale
    cos, sin = math.cos(angle_rad), math.sin(angle_rad)
    return Polygon(
        [
            (
                at[0] + (shift * scale + x) * cos - y * sin,
                at[1] + (shift * scale + x) * sin + y * cos,
            )
            for x, y in ((-w, -h), (w, -h), (w, h), (-w, h))
        ]
    )


def text_boxes(ink: Iterable[Ink], scale: float, clear: float = 0.0) -> list[Polygon]:
    """The ground that every text and bubble in ``ink`` covers."""
    boxes = []
    for item in ink:
        if isinstance(item, Label):
            boxes.append(
                text_box(item.text, item.at, item.height, item.angle_rad, scale,
                         align=item.align, clear=clear)
            )
        elif isinstance(item, Bubble):
            circle = LineString([item.at, item.at]).centroid
            boxes.append(circle.buffer(item.diameter / 2 * scale))
        elif isinstance(item, Dimension):
            boxes.append(
                text_box(item.text, item.text_at, TEXT_MM, item.text_angle_rad, scale, clear=clear)
            )
    return boxes


def place(view: View, scale: int, lengths: LengthFormat) -> PlacedView:
    """``view`` at 1 to ``scale``, with all its wishes in their places."""
    ink: list[Ink] = [
        item for item in view.ink if getattr(item, "smallest", scale) >= scale
    ]
    troubles: list[str] = []
    for strip in fill_strips(view, scale, lengths):
        ink += strip.ink
        troubles += strip.troubles
    for wish in view.wishes:
        if isinstance(wish, Slanting):
            ink.append(_slanting(wish, scale, lengths))
        elif isinstance(wish, Radius):
            ink.append(_radius(wish, scale, lengths, ink))
        elif isinstance(wish, Angle):
            ink.append(_angle(wish, scale, lengths))
    troubles += _place_marks(view, scale, ink)
    return PlacedView(
        title=view.title,
        scale=scale,
        ink=tuple(ink),
        bounds=extent(ink, scale),
        troubles=tuple(troubles),
    )


def _slanting(wish: Slanting, scale: int, lengths: LengthFormat) -> LinearDimension:
    (u0, v0), (u1, v1) = wish.first, wish.second
    angle = math.atan2(v1 - v0, u1 - u0)
    if not -math.pi / 2 < angle <= math.pi / 2:
        angle = math.remainder(angle + math.pi, 2 * math.pi)
    value = lengths.text(math.hypot(u1 - u0, v1 - v0))
    lift = _LIFT_MM * scale
    return LinearDimension(
        first=wish.first,
        second=wish.second,
        line_at=wish.first,
        angle_rad=angle,
        text=f"{value} {wish.name}".rstrip(),
        name=wish.name,
        text_at=(
            u0 + wish.share * (u1 - u0) - lift * math.sin(angle),
            v0 + wish.share * (v1 - v0) + lift * math.cos(angle),
        ),
        witness=False,
    )


def _radius(
    wish: Radius, scale: int, lengths: LengthFormat, ink: list[Ink]
) -> RadiusDimension:
    """A line inward from the arc, then a shelf for the text toward the middle of the view."""
    du, dv = wish.centre[0] - wish.on_arc[0], wish.centre[1] - wish.on_arc[1]
    radius = math.hypot(du, dv)
    text = f"R{lengths.text(radius)} {wish.name}".rstrip()
    width = (text_width_mm(text, TEXT_MM) + 1.0) * scale
    taken = text_boxes(ink, scale, _CLEAR_MM)
    best = None
    for reach in (_RADIUS_LINE_MM, 10.0, 24.0, 32.0, 40.0):
        length = min(reach * scale, 0.9 * radius)
        tail = (wish.on_arc[0] + du / radius * length, wish.on_arc[1] + dv / radius * length)
        way = 1 if du >= 0 else -1
        at = (tail[0] + way * width / 2, tail[1] + _LIFT_MM * scale)
        made = RadiusDimension(
            centre=wish.centre, on_arc=wish.on_arc, tail=tail,
            shelf_end=(tail[0] + way * width, tail[1]),
            text=text, name=wish.name, text_at=at,
        )
        best = best or made
        ground = text_box(text, at, TEXT_MM, 0.0, scale, clear=_CLEAR_MM)
        if not any(ground.intersects(box) for box in taken):
            return made
    return best


def _angle(wish: Angle, scale: int, lengths: LengthFormat) -> AngleDimension:
    text = f"{lengths.angle(wish.second_rad - wish.first_rad)} {wish.name}".rstrip()
    middle = (wish.first_rad + wish.second_rad) / 2
    half = text_width_mm(text, TEXT_MM) / 2
    way = 1 if math.cos(middle) >= 0 else -1
    out = wish.reach * scale
    return AngleDimension(
        vertex=wish.vertex,
        first_rad=wish.first_rad,
        second_rad=wish.second_rad,
        radius=out,
        text=text,
        name=wish.name,
        text_at=(
            wish.vertex[0] + out * math.cos(middle) + way * (half + 1.5) * scale,
            wish.vertex[1] + out * math.sin(middle),
        ),
    )


def _place_marks(view: View, scale: int, ink: list[Ink]) -> list[str]:
    """Add every mark of ``view`` to ``ink`` where it is free; return what found no place."""
    troubles = []
    taken = text_boxes(ink, scale, _CLEAR_MM)
    lines = [line for item in ink for line in _traces(item, scale)]
    tree = STRtree(lines)
    for wish in view.wishes:
        if not isinstance(wish, Mark):
            continue
        options = [_mark(wish, way, scale) for way in wish.ways]
        grounds = [
            text_box(o.text, o.at, o.height, 0.0, scale, align=o.align, clear=0.3)
            for o in options
        ]
        free = [not any(ground.intersects(box) for box in taken) for ground in grounds]
        clean = [len(tree.query(ground, predicate="intersects")) for ground in grounds]
        order = sorted(range(len(options)), key=lambda i: (not free[i], clean[i], i))
        chosen = order[0]
        if not free[chosen]:
            troubles.append(f"no room for the mark {wish.text}")
        ink.append(options[chosen])
        taken.append(grounds[chosen])
        if wish.leader:
            ink.append(_leader(wish, wish.ways[chosen], scale))
    return troubles


def _mark(wish: Mark, way: tuple[float, float, float], scale: int) -> Label:
    right, up, distance = way
    align = Align.CENTRE if right == 0 else Align.LEFT if right > 0 else Align.RIGHT
    lift = distance + (TEXT_MM / 2 if right == 0 else 0.0)
    return Label(
        text=wish.text,
        at=(wish.at[0] + right * distance * scale, wish.at[1] + up * lift * scale),
        height=TEXT_MM,
        align=align,
        layer=Layer.MARKS,
    )


def _leader(wish: Mark, way: tuple[float, float, float], scale: int) -> Stroke:
    right, up, distance = way
    short = max(distance - 0.8, 0.0)
    return Stroke(
        start=wish.at,
        end=(wish.at[0] + right * short * scale, wish.at[1] + up * short * scale),
        layer=Layer.MARKS,
    )


def _traces(item: Ink, scale: float) -> list[LineString]:
    """The lines of ``item`` as line strings, arcs by chords; for finding free ground."""
    if isinstance(item, Stroke):
        return [LineString([item.start, item.end])]
    if isinstance(item, ArcStroke | CircleStroke):
        start, end = (
            (item.start_rad, item.end_rad) if isinstance(item, ArcStroke) else (0.0, 2 * math.pi)
        )
        angles = [start + (end - start) * i / 24 for i in range(25)]
        (u, v), r = item.centre, item.radius
        return [LineString([(u + r * math.cos(a), v + r * math.sin(a)) for a in angles])]
    if isinstance(item, LinearDimension):
        return [LineString(part) for part in dimension_lines(item, scale)]
    if isinstance(item, RunningDimension):
        return [LineString([item.knee, item.foot, item.end])]
    if isinstance(item, RadiusDimension):
        return [LineString([item.on_arc, item.tail, item.shelf_end])]
    return []


def dimension_lines(item: LinearDimension, scale: float) -> list[list[Point]]:
    """The dimension line and the two extension lines of a linear dimension."""
    cos, sin = math.cos(item.angle_rad), math.sin(item.angle_rad)
    feet = []
    lines = []
    for feature in (item.first, item.second):
        along = (feature[0] - item.line_at[0]) * cos + (feature[1] - item.line_at[1]) * sin
        foot = (item.line_at[0] + along * cos, item.line_at[1] + along * sin)
        feet.append(foot)
        length = math.dist(feature, foot)
        if item.witness and length > 1.5 * scale:
            way = ((foot[0] - feature[0]) / length, (foot[1] - feature[1]) / length)
            lines.append(
                [
                    (feature[0] + way[0] * scale, feature[1] + way[1] * scale),
                    (foot[0] + way[0] * 1.5 * scale, foot[1] + way[1] * 1.5 * scale),
                ]
            )
    if item.extended_to is not None:
        nearest = min(feet, key=lambda foot: math.dist(foot, item.extended_to))
        feet[feet.index(nearest)] = item.extended_to
    return [feet, *lines]


def extent(ink: Iterable[Ink], scale: float) -> tuple[float, float, float, float]:
    """The bounds of everything in ``ink``: left, bottom, right, top; mm."""
    items = list(ink)
    shapes = [trace for item in items for trace in _traces(item, scale)]
    shapes += text_boxes(items, scale)
    bounds = [shape.bounds for shape in shapes]
    return (
        min(b[0] for b in bounds),
        min(b[1] for b in bounds),
        max(b[2] for b in bounds),
        max(b[3] for b in bounds),
    )
