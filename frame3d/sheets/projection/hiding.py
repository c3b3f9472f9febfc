"""What can be seen of every member when others stand in front of it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import numpy as np
from msgspec.structs import replace
from shapely import LineString, Point, Polygon, STRtree, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from frame3d.sheets.primitives.primitives import ArcStroke, CircleStroke, Stroke
from frame3d.sheets.projection.silhouettes import Lines, Silhouette

_NEARER_MM = 0.5
_EDGE_MM = 0.05
"""Areas are shrunk by this, so that a line along the edge of another part stays."""
_SHORTEST_MM = 0.5
_ARC_CHORD_RAD = math.radians(0.05)


def visible(shapes: Sequence[Silhouette]) -> list[Lines]:
    """The lines of all ``shapes`` that no nearer one covers, each still a line or an arc."""
    tree = STRtree([shape.area for shape in shapes])
    result: list[Lines] = []
    for index, shape in enumerate(shapes):
        found = (shapes[i] for i in sorted(tree.query(shape.area)) if i != index)
        cover = _cover(shape, found)
        for line in shape.lines:
            result += [line] if cover is None else outside(line, cover)
    return result


def _cover(shape: Silhouette, others: Iterable[Silhouette]) -> BaseGeometry | None:
    nearer = []
    for other in others:
        shared = shape.area.intersection(other.area)
        if shared.area < _EDGE_MM:
            continue
        place = shared.representative_point()
        where = (place.x, place.y)
        if other.nearness(where) > shape.nearness(where) + _NEARER_MM:
            nearer.append(other.area)
    return unary_union(nearer).buffer(-_EDGE_MM) if nearer else None


def outside(line: Lines, cover: BaseGeometry) -> list[Lines]:
    """The stretches of ``line`` that lie outside of ``cover``."""
    if isinstance(line, Stroke):
        rest = LineString([line.start, line.end]).difference(cover)
        return [
            replace(line, start=part.coords[0], end=part.coords[-1])
            for part in _line_strings(rest)
            if part.length > _SHORTEST_MM
        ]
    if isinstance(line, CircleStroke):
        return [] if cover.contains(Point(line.centre).buffer(line.radius)) else [line]
    return _outside_arc(line, cover)


def inside(line: Lines, window: tuple[float, float, float, float]) -> list[Lines]:
    """The stretches of ``line`` inside of a window (left, bottom, right, top)."""
    left, bottom, right, top = window
    u0, v0, u1, v1 = _bounds(line)
    if left <= u0 and u1 <= right and bottom <= v0 and v1 <= top:
        return [line]
    if u1 < left or u0 > right or v1 < bottom or v0 > top or isinstance(line, CircleStroke):
        return []
    far = 1e9
    rest = Polygon(
        [(-far, -far), (far, -far), (far, far), (-far, far)],
        [list(box(left, bottom, right, top).exterior.coords)],
    )
    return outside(line, rest)


def _bounds(line: Lines) -> tuple[float, float, float, float]:
    """Bounds of a line; of an arc, those of its circle."""
    if isinstance(line, Stroke):
        (u0, v0), (u1, v1) = line.start, line.end
        return min(u0, u1), min(v0, v1), max(u0, u1), max(v0, v1)
    (u, v), r = line.centre, line.radius
    return u - r, v - r, u + r, v + r


def _outside_arc(arc: ArcStroke, cover: BaseGeometry) -> list[Lines]:
    sweep = arc.end_rad - arc.start_rad
    count = max(8, math.ceil(sweep / _ARC_CHORD_RAD))
    turns = arc.start_rad + sweep * np.arange(count + 1) / count
    chords = LineString(
        np.column_stack([
            arc.centre[0] + arc.radius * np.cos(turns), arc.centre[1] + arc.radius * np.sin(turns)
        ])
    )  # fmt: skip
    if not chords.intersects(cover):
        return [arc]
    result: list[Lines] = []
    for part in _line_strings(chords.difference(cover)):
        if part.length <= _SHORTEST_MM:
            continue
        angles = sorted(_angle(arc, part.coords[end]) for end in (0, -1))
        result.append(replace(arc, start_rad=angles[0], end_rad=angles[1]))
    return result


def _angle(arc: ArcStroke, point: tuple[float, ...]) -> float:
    """The angle of ``point`` on the arc, within its sweep."""
    middle = (arc.start_rad + arc.end_rad) / 2
    angle = math.atan2(point[1] - arc.centre[1], point[0] - arc.centre[0])
    return middle + math.remainder(angle - middle, 2 * math.pi)


def _line_strings(geometry: BaseGeometry) -> Iterator[LineString]:
    if geometry.is_empty:
        return
    for part in getattr(geometry, "geoms", (geometry,)):
        if isinstance(part, LineString):
            yield part
