"""Tubes in a section: along their axis as two walls, across it as a ring.

Where a bent tube crosses the plane on a slant, the ring is that of the straight tube along
its tangent there: over the width of a tube a bend leaves that by less than a line's width.
"""

from __future__ import annotations

import math

import numpy as np
from shapely import MultiPoint, Polygon
from shapely.affinity import rotate, scale, translate
from shapely.ops import unary_union

from frame3d.frame.measure.bores import Bore, bores_in
from frame3d.frame.measure.tube_measures import stretches
from frame3d.frame.model.bodies import SweptRing
from frame3d.frame.model.end_forms import Flat
from frame3d.frame.model.members import Member
from frame3d.geometry.placement import Vector
from frame3d.sheets.primitives.primitives import Point, Stroke
from frame3d.sheets.projection.projection import point_on
from frame3d.sheets.projection.section_plane import CUT_MM, Plane, Shown, band, shape
from frame3d.sheets.projection.tube_outlines import tube_outline

_IN_PLANE = 1e-6
_STEP_MM = 4.0
"""Chords of bends: at 300 mm radius they leave the arc by 0.007 mm."""
_HAIR_MM = 0.01
_GRAZING = 0.3
"""Tubes that cross the plane flatter than this cosine are drawn whole."""


def cut_tube(
    member: Member, tube: SweptRing, plane: Plane, reach: tuple[Point, float]
) -> Shown | None:
    """A tube of ``member`` in a section; None where nothing of it shows.

    Parameters
    ----------
    member : Member
    tube : SweptRing
    plane : Plane
    reach : (middle, radius)
        Of what is shown, mm on the sheet: a long tube is looked at only there.
    """
    span = _span(member, tube, plane, reach)
    if span is None:
        return None
    flat_ended = isinstance(tube.start, Flat) or isinstance(tube.end, Flat)
    if _lies_in(member, tube, plane) and not flat_ended:
        return _lengthwise(member, tube, plane, span)
    crossing = _crossing(member, tube, plane, span)
    if crossing is not None:
        return _across(member, tube, plane, crossing)
    depths = [plane.depth(point_on(member.placement, tube, at)) for at in span]
    if min(depths) > 0.0:
        return None
    seen = tube_outline(member, tube, plane.projection)
    return Shown(member=member, shapes=(seen,), face=Polygon())


def _span(
    member: Member, tube: SweptRing, plane: Plane, reach: tuple[Point, float]
) -> tuple[float, float] | None:
    """The stretch of the tube's axis that may show, distances along it, mm."""
    length = tube.length_mm
    (u, v), radius = reach
    count = max(2, math.ceil(length / (radius / 4)))
    places = [length * i / count for i in range(count + 1)]
    step = length / count
    near = []
    for at in places:
        here = plane.projection.flat(point_on(member.placement, tube, at))
        if math.dist(here, (u, v)) < radius + step:
            near.append(at)
    if not near:
        return None
    return max(0.0, near[0] - step), min(length, near[-1] + step)


def _lies_in(member: Member, tube: SweptRing, plane: Plane) -> bool:
    """Whether the plane holds the tube's axis, or runs beside it within its bore."""
    placement = member.placement
    bore = tube.section.inside_mm / 2
    if tube.axis.is_straight:
        level = abs(plane.leans(placement.x)) < _IN_PLANE
    else:
        level = abs(plane.leans(placement.z)) > 1 - _IN_PLANE
    return level and abs(plane.depth(placement.origin)) < 0.9 * bore


def _path(member: Member, tube: SweptRing, plane: Plane, low: float, high: float) -> list[Point]:
    """Points of the axis on the sheet, close enough for bends."""
    straight = tube.axis.is_straight
    count = 1 if straight else max(1, math.ceil((high - low) / _STEP_MM))
    return [
        plane.projection.flat(point_on(member.placement, tube, low + (high - low) * i / count))
        for i in range(count + 1)
    ]


def _lengthwise(member: Member, tube: SweptRing, plane: Plane, span: tuple[float, float]) -> Shown:
    wall = tube.section.wall_mm
    off = plane.depth(member.placement.origin)
    outer: list[Polygon] = []
    bore: list[Polygon] = []
    for stretch in stretches(tube):
        low, high = max(stretch.start_mm, span[0]), min(stretch.end_mm, span[1])
        if high - low < 1e-6:
            continue
        ends = (stretch.start_radius_mm, stretch.end_radius_mm)
        for radii, found in ((ends, outer), ((ends[0] - wall, ends[1] - wall), bore)):
            halves = [math.sqrt(max(r * r - off * off, 1e-9)) for r in radii]
            points = _path(member, tube, plane, low, high)
            found.append(
                band(points, halves[0])
                if abs(halves[0] - halves[1]) < 1e-9
                else _trapezoid(points[0], points[-1], halves)
            )
    body, inside = unary_union(outer), unary_union(bore)
    bores = (bore for bore in bores_in(tube) if span[0] < bore.along_mm < span[1])
    holes = [_bored(member, tube, plane, bore) for bore in bores]
    drilled = unary_union([hole for hole in holes if hole is not None])
    # Opened by a hair, which takes away slivers where two ends don't quite meet.
    face = body.difference(inside).difference(drilled)
    face = face.buffer(-_HAIR_MM, join_style="mitre").buffer(_HAIR_MM, join_style="mitre")
    rims = _rims(member, tube, plane, span, wall, off)
    back = shape(member, body, plane.at_mm - tube.section.od_mm / 2, lines=rims)
    walls = shape(member, face, plane.at_mm + CUT_MM)
    return Shown(member=member, shapes=(back, walls), face=face)


def _trapezoid(start: Point, end: Point, halves: list[float]) -> Polygon:
    length = math.dist(start, end)
    across = (-(end[1] - start[1]) / length, (end[0] - start[0]) / length)
    return Polygon(
        [
            (p[0] + sign * half * across[0], p[1] + sign * half * across[1])
            for p, half, sign in (
                (start, halves[0], 1),
                (end, halves[1], 1),
                (end, halves[1], -1),
                (start, halves[0], -1),
            )
        ]
    )


def _rims(
    member: Member,
    tube: SweptRing,
    plane: Plane,
    span: tuple[float, float],
    wall: float,
    off: float,
) -> list[Stroke]:
    """The far halves of the rims of the tube's ends, which are seen across the bore."""
    rims = []
    for at, stretch in ((0.0, stretches(tube)[0]), (tube.length_mm, stretches(tube)[-1])):
        if not span[0] <= at <= span[1]:
            continue
        radius = (stretch.start_radius_mm if at == 0.0 else stretch.end_radius_mm) - wall
        half = math.sqrt(max(radius * radius - off * off, 0.0))
        middle = plane.projection.flat(point_on(member.placement, tube, at))
        along = plane.projection.flat(member.placement.direction((*tube.axis.at(at).tangent, 0.0)))
        across = (-along[1], along[0])
        ends = [
            (middle[0] + s * half * across[0], middle[1] + s * half * across[1]) for s in (1, -1)
        ]
        rims.append(Stroke(start=ends[0], end=ends[1]))
    return rims


def _bored(member: Member, tube: SweptRing, plane: Plane, bore: Bore) -> Polygon | None:
    """Where a hole that goes along the plane takes the walls away; or a hole seen from its end."""
    along, middle = member.placement.direction(bore.way), member.placement.point(bore.middle)
    centre = plane.projection.flat(middle)
    if abs(plane.leans(along)) > 0.99:
        return MultiPoint([centre]).buffer(bore.diameter_mm / 2)
    if abs(plane.leans(along)) > 0.1:
        return None
    off = plane.depth(middle)
    half = math.sqrt(max(bore.diameter_mm**2 / 4 - off * off, 0.0))
    if half < 1e-3:
        return None
    u, v = plane.projection.flat(along)
    far = tube.section.od_mm
    ends = [(centre[0] + s * far * u, centre[1] + s * far * v) for s in (-1, 1)]
    return band(ends, half)


def _crossing(
    member: Member, tube: SweptRing, plane: Plane, span: tuple[float, float]
) -> tuple[Vector, Vector] | None:
    """Where the axis goes through the plane, and its direction there."""
    low, high = span
    count = 1 if tube.axis.is_straight else 64
    places = np.linspace(low, high, count + 1).tolist()
    for a, b in zip(places, places[1:], strict=False):
        depths = [plane.depth(point_on(member.placement, tube, at)) for at in (a, b)]
        if depths[0] * depths[1] > 0.0 or depths[0] == depths[1]:
            continue
        for _ in range(40):
            middle = (a + b) / 2
            here = plane.depth(point_on(member.placement, tube, middle))
            if here * depths[0] > 0.0:
                a, depths[0] = middle, here
            else:
                b = middle
        along = member.placement.direction((*tube.axis.at((a + b) / 2).tangent, 0.0))
        if abs(plane.leans(along)) < _GRAZING:
            return None
        return point_on(member.placement, tube, (a + b) / 2), along
    return None


def _across(
    member: Member, tube: SweptRing, plane: Plane, crossing: tuple[Vector, Vector]
) -> Shown:
    point, along = crossing
    centre = plane.projection.flat(point)
    u, v = plane.projection.flat(along)
    longer = 1.0 / abs(plane.leans(along))
    turn = math.degrees(math.atan2(v, u)) if math.hypot(u, v) > 1e-9 else 0.0
    round_ = MultiPoint([(0.0, 0.0)])
    section = tube.section

    def oval(radius: float) -> Polygon:
        laid = scale(round_.buffer(radius, 48), longer, 1.0, origin=(0.0, 0.0))
        return translate(rotate(laid, turn, origin=(0.0, 0.0)), *centre)

    outer, inner = oval(section.od_mm / 2), oval(section.inside_mm / 2)
    face = outer.difference(inner)
    # The bore is looked into: what lies behind does not show through it.
    back = shape(member, outer, plane.at_mm - section.od_mm, lines=[])
    return Shown(member=member, shapes=(back, shape(member, face, plane.at_mm + CUT_MM)), face=face)
