"""What is drawn on a view but has its size on the paper: hatches and break lines.

They become plain lines once the scale is known. Some readers of drawing files leave
hatch entities out; lines come through everywhere.

Glossary
--------
hatch : thin parallel lines over a cut surface.
break line : a thin line with a zigzag, where the rest of a part is left out.

References
----------
ISO 128-50: hatching by thin lines at 45° to the main outlines; parts side by side are
told apart by direction or spacing; bolts, nuts, washers and the like are not cut
lengthwise (ISO 128-44; all from memory).
ISO 128-2: breaks by thin lines with zigzags (from memory).
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct
from shapely import LineString, MultiLineString
from shapely.geometry.base import BaseGeometry

from frame3d.sheets.primitives.primitives import Layer, Point, Primitive, Stroke, polyline

_SHORTEST_MM = 0.15
"""Shorter pieces of a hatch line are left out, paper mm."""
_OVER_MM, _ZIG_MM = 1.5, 1.8
"""How far a break line runs past the part, and the height of its zigzag, paper mm."""


class Hatch(Struct, frozen=True, kw_only=True):
    """Lines over ``area`` at ``angle_rad``, ``spacing`` paper mm from each other."""

    area: BaseGeometry
    angle_rad: float = math.pi / 4
    spacing: float = 1.6


class BreakLine(Struct, frozen=True, kw_only=True):
    """A break across a part from ``start`` to ``end``, mm in the plane of the view."""

    start: Point
    end: Point


def at_scale(item: Primitive | Hatch | BreakLine, scale: int) -> list[Primitive]:
    """``item`` as primitives at 1 to ``scale``; nothing if it is not drawn at that scale."""
    if isinstance(item, Hatch):
        return list(hatch_lines(item, scale))
    if isinstance(item, BreakLine):
        return list(_break(item, scale))
    return [item] if getattr(item, "smallest", scale) >= scale else []


def hatch_lines(hatch: Hatch, scale: int) -> list[Stroke]:
    """The lines of ``hatch``, on one grid of lines for the whole view.

    So surfaces of one part that is cut in several places are hatched in line.
    """
    if hatch.area.is_empty:
        return []
    cos, sin = math.cos(hatch.angle_rad), math.sin(hatch.angle_rad)
    left, bottom, right, top = hatch.area.bounds
    corners = np.array([(left, bottom), (right, bottom), (right, top), (left, top)])
    across, along = corners @ (-sin, cos), corners @ (cos, sin)
    step = hatch.spacing * scale
    low, high = along.min() - step, along.max() + step
    lines = []
    for number in range(math.ceil(across.min() / step), math.floor(across.max() / step) + 1):
        off = number * step
        lines.append(
            [(low * cos - off * sin, low * sin + off * cos),
             (high * cos - off * sin, high * sin + off * cos)]
        )  # fmt: skip
    cut = MultiLineString(lines).intersection(hatch.area) if lines else LineString()
    return [
        Stroke(start=part.coords[0], end=part.coords[-1], layer=Layer.HATCH)
        for part in getattr(cut, "geoms", (cut,))
        if isinstance(part, LineString) and part.length > _SHORTEST_MM * scale
    ]


def _break(item: BreakLine, scale: int) -> list[Stroke]:
    """A line with one zigzag in its middle, a little longer than the part is wide."""
    (u0, v0), (u1, v1) = item.start, item.end
    length = math.hypot(u1 - u0, v1 - v0)
    along = ((u1 - u0) / length, (v1 - v0) / length)
    over, zig = _OVER_MM * scale, min(_ZIG_MM * scale, 0.4 * length)
    middle = length / 2
    path = [
        (-over, 0.0),
        (middle - zig / 2, 0.0),
        (middle - zig / 4, zig / 2),
        (middle + zig / 4, -zig / 2),
        (middle + zig / 2, 0.0),
        (length + over, 0.0),
    ]
    points = [(u0 + s * along[0] - w * along[1], v0 + s * along[1] + w * along[0]) for s, w in path]
    return polyline(points, Layer.FINE)
