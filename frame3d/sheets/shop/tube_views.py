"""How one tube looks by itself: its outline, reduced ends and holes, from any side.

Glossary
--------
own axes : the tube's axis starts at the origin and heads along +x; see
    :mod:`frame3d.frame.model.parts`.
"""

from __future__ import annotations

import math

from msgspec.structs import replace

from frame3d.catalog.sections import TubeSection
from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import Hole, Swage, Tube
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import Placement, Vector, add, dot
from frame3d.sheets.primitives.occupancy import extent
from frame3d.sheets.primitives.primitives import CircleStroke, Layer, Point, Primitive, Stroke
from frame3d.sheets.projection.projection import Projection, Silhouette
from frame3d.sheets.projection.tube_outlines import tube_outline

ACROSS = Projection(right=(1.0, 0.0, 0.0), up=(0.0, -1.0, 0.0))
"""Square to the plane of the bend, the start at the left, the inside of the bend below."""
FROM_ZERO = Projection(right=(1.0, 0.0, 0.0), up=(0.0, 0.0, -1.0))
"""From the side that clock angle 0 points to, the start at the left."""

_OWN = Placement()
_EDGE_ON = 0.3
"""Holes that point less than this toward the viewer are shown from the side."""
_BEYOND = 0.35
"""How far lines of centres and tangent marks reach past the tube, in outside diameters."""


def developed(tube: Tube) -> Tube:
    """``tube`` straight, as it is before it is bent: holes and ends where they will be."""
    return Tube(
        section=tube.section,
        axis=PlanePath((Line(tube.length_mm),)),
        holes=tube.holes,
        start=tube.start,
        end=tube.end,
    )


def outline(tube: Tube, projection: Projection) -> Silhouette:
    """The outline of ``tube`` as seen by ``projection``, without its swages."""
    return tube_outline(_lying(tube), tube, projection)


def bounds_of(tube: Tube, projection: Projection) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of ``tube`` with its swages, mm."""
    left, bottom, right, top = outline(tube, projection).area.bounds
    swages = swage_primitives(tube, projection)
    if not swages:
        return left, bottom, right, top
    found = extent(swages, 1.0)
    return min(left, found[0]), min(bottom, found[1]), max(right, found[2]), max(top, found[3])


def tube_primitives(tube: Tube, projection: Projection) -> tuple[Primitive, ...]:
    """Everything that is seen of ``tube``: its outline, its swages, its holes."""
    made: list[Primitive] = [*outline(tube, projection).lines, *swage_primitives(tube, projection)]
    for hole in tube.holes:
        made += hole_primitives(tube, hole, projection)
    return tuple(made)


def swage_primitives(
    tube: Tube, projection: Projection, placement: Placement = _OWN, layer: Layer = Layer.OUTLINE
) -> list[Primitive]:
    """The reduced ends of ``tube`` with their tapers."""
    made: list[Primitive] = []
    if isinstance(tube.start, Swage):
        made += _swage(tube, tube.start, 0.0, 1.0, projection, placement, layer)
    if isinstance(tube.end, Swage):
        made += _swage(tube, tube.end, tube.length_mm, -1.0, projection, placement, layer)
    return made


def place_of(tube: Tube, at_mm: float) -> tuple[Vector, Vector]:
    """A point of the axis and the normal there, in the tube's own axes."""
    station = tube.axis.at(at_mm)
    return (station.x_mm, station.y_mm, 0.0), (*station.normal, 0.0)


def tangent_mark(tube: Tube, at_mm: float, projection: Projection) -> Stroke:
    """A line across ``tube`` where a bend starts or ends."""
    point, normal = place_of(tube, at_mm)
    reach = (0.5 + _BEYOND) * tube.section.od_mm
    return Stroke(
        start=projection.flat(add(point, normal, reach)),
        end=projection.flat(add(point, normal, -reach)),
        layer=Layer.FINE,
    )


def _lying(tube: Tube, placement: Placement = _OWN) -> Member[Tube]:
    return Member(
        mark="",
        role=Role.HOOP,
        part=tube,
        placement=placement,
        spot=Spot(side=Side.MIDDLE, hoop=1),
    )


def _swage(
    tube: Tube,
    swage: Swage,
    end_mm: float,
    inward: float,
    projection: Projection,
    placement: Placement,
    layer: Layer,
) -> list[Primitive]:
    """The reduced end and its taper; ``inward`` is the way along the axis into the tube."""
    stops = sorted((end_mm, end_mm + inward * swage.length_mm))
    axis = tube.axis.cut(*stops)
    here = tube.axis.at(stops[0])
    reduced = Tube(
        section=TubeSection(name="", od_mm=swage.od_mm, wall_mm=tube.section.wall_mm), axis=axis
    )
    local = Placement.of(
        origin=(here.x_mm, here.y_mm, 0.0), x=(*here.tangent, 0.0), y=(*here.normal, 0.0)
    )
    seen = tube_outline(_lying(reduced, placement.then(local)), reduced, projection)
    made: list[Primitive] = [
        replace(line, layer=layer) for line in seen.lines if line.layer is Layer.OUTLINE
    ]
    shoulder = end_mm + inward * swage.length_mm
    full = shoulder + inward * swage.taper_mm
    for side in (1.0, -1.0):
        made.append(
            Stroke(
                start=_beside(tube, shoulder, side * swage.od_mm / 2, projection, placement),
                end=_beside(tube, full, side * tube.section.od_mm / 2, projection, placement),
                layer=layer,
            )
        )
    return made


def _beside(
    tube: Tube, at_mm: float, off_mm: float, projection: Projection, placement: Placement
) -> Point:
    """A point of the edge of a tube: ``off_mm`` from the axis, square to it as it is seen."""
    point, normal = place_of(tube, at_mm)
    if abs(dot(placement.direction(normal), projection.toward)) > 0.5:
        normal = (0.0, 0.0, 1.0)
    return projection.flat(placement.point(add(point, normal, off_mm)))


def hole_primitives(
    tube: Tube, hole: Hole, projection: Projection, placement: Placement = _OWN
) -> list[Primitive]:
    """A circle with its centre lines, or the bore from the side with its centre line."""
    local, normal = place_of(tube, hole.at_mm)
    cos, sin = math.cos(hole.clock_rad), math.sin(hole.clock_rad)
    way = placement.direction((normal[0] * cos, normal[1] * cos, sin))
    tangent = placement.direction((normal[1], -normal[0], 0.0))
    point = placement.point(local)
    toward = dot(way, projection.toward)
    radius, half = hole.diameter_mm / 2, tube.section.od_mm / 2
    if abs(toward) < _EDGE_ON:
        reach = (0.5 + _BEYOND) * tube.section.od_mm
        lines: list[Primitive] = [
            Stroke(
                start=projection.flat(add(add(point, way, half), tangent, side * radius)),
                end=projection.flat(add(add(point, way, -half), tangent, side * radius)),
                layer=Layer.HIDDEN,
            )
            for side in (1.0, -1.0)
        ]
        ends = (projection.flat(add(point, way, reach)), projection.flat(add(point, way, -reach)))
        return [*lines, Stroke(start=ends[0], end=ends[1], layer=Layer.CENTRE)]
    u, v = projection.flat(add(point, way, math.copysign(half, toward)))
    tu, tv = (1.6 * radius * part for part in projection.flat(tangent))
    return [
        CircleStroke(centre=(u, v), radius=radius),
        Stroke(start=(u - tu, v - tv), end=(u + tu, v + tv), layer=Layer.CENTRE),
        Stroke(start=(u - tv, v + tu), end=(u + tv, v - tu), layer=Layer.CENTRE),
    ]
