"""Directions to look from, and what one member looks like from there.

Glossary
--------
projection : the directions on the sheet to the right and up, in frame axes.
nearness : distance of a point toward the viewer, mm; greater is nearer.
silhouette : the lines of one member, the area that it covers, and its nearness there.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct
from shapely import Polygon

from frame3d.frame.model.bodies import SweptRing
from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import Tube
from frame3d.geometry.placement import Placement, Vector, cross, dot
from frame3d.sheets.primitives.primitives import (
    ArcStroke,
    CircleStroke,
    Layer,
    Point,
    Stroke,
    polyline,
)

CENTRE_LINES_DOWN_TO = 30
"""Tubes show their centre lines at this scale and larger ones."""
PARALLEL = 1 - 1e-9
"""Directions whose cosine is at least this are parallel."""


class Projection(Struct, frozen=True, kw_only=True):
    """A direction to look from; ``right`` and ``up`` are unit vectors, square to each other."""

    right: Vector
    up: Vector

    @property
    def toward(self) -> Vector:
        """Unit vector to the viewer."""
        return cross(self.right, self.up)

    def flat(self, point: Vector) -> Point:
        """``point``, mm in frame axes, on the sheet."""
        return (dot(point, self.right), dot(point, self.up))

    def near(self, point: Vector) -> float:
        """How near ``point`` is to the viewer, mm."""
        return dot(point, self.toward)


FRONT = Projection(right=(1.0, 0.0, 0.0), up=(0.0, 0.0, 1.0))
RIGHT_SIDE = Projection(right=(0.0, 1.0, 0.0), up=(0.0, 0.0, 1.0))
LEFT_SIDE = Projection(right=(0.0, -1.0, 0.0), up=(0.0, 0.0, 1.0))
ABOVE = Projection(right=(0.0, 1.0, 0.0), up=(-1.0, 0.0, 0.0))
"""From above, the first hoop at the left, the left side of the tunnel at the top."""

Lines = Stroke | ArcStroke | CircleStroke


class Silhouette(Struct, frozen=True, kw_only=True):
    """One member as seen: what covers what follows from ``nearness`` at a place, mm."""

    member: Member
    lines: tuple[Lines, ...]
    area: Polygon
    nearness: Callable[[Point], float]


def closed(area: Polygon, layer: Layer = Layer.OUTLINE) -> tuple[Stroke, ...]:
    """The edges of an area without holes."""
    return tuple(polyline(area.exterior.coords, layer))


def axis_point(member: Member[Tube], at_mm: float) -> Vector:
    """The point of a tube's axis at a distance from its start, in the frame's axes."""
    return point_on(member.placement, member.part, at_mm)


def axis_way(member: Member[Tube], at_mm: float) -> Vector:
    """The direction of a tube's axis at a distance from its start, a unit vector."""
    return member.placement.direction((*member.part.axis.at(at_mm).tangent, 0.0))


def point_on(place: Placement, tube: SweptRing, at_mm: float) -> Vector:
    """As :func:`axis_point`, of any body that is a tube."""
    station = tube.axis.at(at_mm)
    return place.point((station.x_mm, station.y_mm, 0.0))
