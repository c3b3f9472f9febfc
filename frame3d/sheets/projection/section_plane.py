"""The plane of a section, and how one member shows in it.

Glossary
--------
cut : what the plane goes through is drawn as its face there, and hatched.
behind : what lies beyond the plane is drawn as it is seen; what lies before it is left out.
"""

from __future__ import annotations

from msgspec import Struct
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from frame3d.frame.model.members import Member
from frame3d.geometry.placement import Vector, dot
from frame3d.sheets.primitives.primitives import Layer, Point, Stroke, polyline
from frame3d.sheets.projection.projection import Projection, Silhouette

ON_TOP_MM, CUT_MM = 20.0, 10.0
"""How much nearer than the plane count bolts in it, which are not cut, and cut faces."""
_FINE_MM = 0.02


class Plane(Struct, frozen=True, kw_only=True):
    """A plane square to the sight of ``projection``; ``at_mm`` is its nearness, mm."""

    projection: Projection
    at_mm: float

    def depth(self, point: Vector) -> float:
        """How far ``point`` lies before the plane, mm; behind it negative."""
        return self.projection.near(point) - self.at_mm

    def leans(self, direction: Vector) -> float:
        """Cosine between a unit vector and the line of sight; 0 for one in the plane."""
        return dot(direction, self.projection.toward)


class Shown(Struct, frozen=True, kw_only=True):
    """One member in a section: its shapes, and the face that is hatched, which may be empty."""

    member: Member
    shapes: tuple[Silhouette, ...]
    face: BaseGeometry


def outline(area: BaseGeometry, layer: Layer = Layer.OUTLINE) -> list[Stroke]:
    """The edges of an area, those of its holes too."""
    strokes: list[Stroke] = []
    for part in getattr(area, "geoms", (area,)):
        if not isinstance(part, Polygon) or part.is_empty:
            continue
        simple = part.simplify(_FINE_MM)
        for ring in (simple.exterior, *simple.interiors):
            strokes += polyline(ring.coords, layer)
    return strokes


def shape(
    member: Member,
    area: BaseGeometry,
    nearness: float,
    *,
    layer: Layer = Layer.OUTLINE,
    lines: list[Stroke] | None = None,
) -> Silhouette:
    """A flat shape at one nearness; with its own edges unless ``lines`` are given."""
    drawn = outline(area, layer) if lines is None else lines
    return Silhouette(member=member, lines=tuple(drawn), area=area, nearness=lambda place: nearness)


def band(points: list[Point], half: float) -> Polygon:
    """The band of that half width along a line, its ends square."""
    return LineString(points).buffer(half, cap_style="flat", join_style="mitre")
