"""Tubes as they look from one direction.

Glossary
--------
body : a tube without its swages, which stand inside the next tube, and without what is
    pressed flat, which :mod:`frame3d.sheets.projection.pressed_ends` draws.
"""

from __future__ import annotations

import functools
import math

import numpy as np
from shapely import LineString, MultiPoint, Polygon

from frame3d.catalog.sections import TubeSection
from frame3d.frame.model.bodies import SweptRing
from frame3d.frame.model.end_forms import Flat, Swage
from frame3d.frame.model.members import Member
from frame3d.geometry.paths import Arc, Line, PlanePath, Segment, Station, advance
from frame3d.geometry.placement import Placement, Vector, dot
from frame3d.sheets.primitives.primitives import ArcStroke, CircleStroke, Layer, Point, Stroke
from frame3d.sheets.projection.pressed_ends import with_flats
from frame3d.sheets.projection.projection import (
    CENTRE_LINES_DOWN_TO,
    PARALLEL,
    Lines,
    Projection,
    Silhouette,
    closed,
)

_FINE_SAGITTA_MM = 0.2


def body(tube: SweptRing) -> tuple[PlanePath, float]:
    """The axis of the full section, and how far along the tube it starts, mm."""
    first, last = _taken_mm(tube.start), _taken_mm(tube.end)
    return tube.axis.cut(first, tube.length_mm - last), first


def _taken_mm(end: Swage | Flat | None) -> float:
    """How much of a tube an end form takes, mm."""
    if end is None:
        return 0.0
    return end.length_mm + (end.transition_mm if isinstance(end, Flat) else end.taper_mm)


def tube_outline(member: Member, tube: SweptRing, projection: Projection) -> Silhouette:
    """A tube of ``member``: its body, and what is pressed flat."""
    return with_flats(_tube(member, tube, projection), tube, projection)


def _tube(member: Member, tube: SweptRing, projection: Projection) -> Silhouette:
    path, first = body(tube)
    start = tube.axis.at(first)
    placement = member.placement.then(
        Placement.of(
            origin=(start.x_mm, start.y_mm, 0.0),
            x=(*start.tangent, 0.0),
            y=(*start.normal, 0.0),
        )
    )
    radius = tube.section.od_mm / 2
    if path.is_straight:
        return _straight(member, tube.section, placement, path.length_mm, projection)
    facing = dot(placement.z, projection.toward)
    if abs(facing) > PARALLEL:
        return _facing(member, placement, path, radius, projection)
    if abs(facing) < 1e-9:
        return _edge_on(member, placement, path, radius, projection)
    return _askew(member, placement, path, radius, projection)


def _straight(
    member: Member,
    section: TubeSection,
    placement: Placement,
    length: float,
    projection: Projection,
) -> Silhouette:
    radius = section.od_mm / 2
    ends = placement.origin, placement.point((length, 0.0, 0.0))
    (u0, v0), (u1, v1) = map(projection.flat, ends)
    near0, near1 = map(projection.near, ends)
    run = math.hypot(u1 - u0, v1 - v0)
    if run < 1e-6 * length:
        nearest = max(near0, near1)
        inside = radius - section.wall_mm
        lines = (
            CircleStroke(centre=(u0, v0), radius=radius),
            CircleStroke(centre=(u0, v0), radius=inside, layer=Layer.FINE, smallest=30),
        )
        return Silhouette(
            member=member,
            lines=lines,
            area=MultiPoint([(u0, v0)]).buffer(radius, 32),
            nearness=lambda place: nearest,
        )
    if run < 0.5 * length:
        return _slanting_toward(member, ends, radius, projection)
    across = (-(v1 - v0) / run * radius, (u1 - u0) / run * radius)
    corners = [
        (u0 + across[0], v0 + across[1]),
        (u1 + across[0], v1 + across[1]),
        (u1 - across[0], v1 - across[1]),
        (u0 - across[0], v0 - across[1]),
    ]
    area = Polygon(corners)

    def nearness(place: Point) -> float:
        share = ((place[0] - u0) * (u1 - u0) + (place[1] - v0) * (v1 - v0)) / run**2
        return near0 + min(max(share, 0.0), 1.0) * (near1 - near0) + radius

    axis = Stroke(start=(u0, v0), end=(u1, v1), layer=Layer.CENTRE, smallest=CENTRE_LINES_DOWN_TO)
    return Silhouette(member=member, lines=(*closed(area), axis), area=area, nearness=nearness)


def _slanting_toward(
    member: Member, ends: tuple[Vector, Vector], radius: float, projection: Projection
) -> Silhouette:
    """A straight tube nearly along the line of sight: its near end round, its sides behind it."""
    far, near = sorted(ends, key=projection.near)
    (u0, v0), (u1, v1) = projection.flat(near), projection.flat(far)
    run = math.hypot(u1 - u0, v1 - v0)
    across = (-(v1 - v0) / run * radius, (u1 - u0) / run * radius)
    sides = tuple(
        Stroke(
            start=(u0 + side * across[0], v0 + side * across[1]),
            end=(u1 + side * across[0], v1 + side * across[1]),
        )
        for side in (1, -1)
    )
    nearest = projection.near(near)
    return Silhouette(
        member=member,
        lines=(CircleStroke(centre=(u0, v0), radius=radius), *sides),
        area=LineString([(u0, v0), (u1, v1)]).buffer(radius, 32),
        nearness=lambda place: nearest,
    )


def _facing(
    member: Member, placement: Placement, path: PlanePath, radius: float, projection: Projection
) -> Silhouette:
    """A tube bent in the plane of the sheet: its lines and arcs stay lines and arcs."""
    same_hand = dot(placement.z, projection.toward) > 0
    lines: list[Lines] = []
    for (_, station), segment in zip(path.starts, path.segments, strict=True):
        for offset, layer, smallest in (
            (radius, Layer.OUTLINE, 100_000),
            (-radius, Layer.OUTLINE, 100_000),
            (0.0, Layer.CENTRE, CENTRE_LINES_DOWN_TO),
        ):
            lines.append(
                _beside(placement, station, segment, offset, projection, same_hand, layer, smallest)
            )
    for station in (Station(0.0, 0.0, 0.0), path.end):
        sides = [_offset_point(station, side * radius) for side in (1, -1)]
        start, end = (projection.flat(placement.point(side)) for side in sides)
        lines.append(Stroke(start=start, end=end))
    axis = [projection.flat(placement.point((s.x_mm, s.y_mm, 0.0))) for s in _stations(path)]
    nearest = projection.near(placement.origin) + radius
    return Silhouette(
        member=member,
        lines=tuple(lines),
        area=LineString(axis).buffer(radius, cap_style="flat", join_style="mitre"),
        nearness=lambda place: nearest,
    )


def _beside(
    placement: Placement,
    station: Station,
    segment: Segment,
    offset: float,
    projection: Projection,
    same_hand: bool,
    layer: Layer,
    smallest: int,
) -> Lines:
    """The line or arc that runs ``offset`` to the left of ``segment``."""
    after = advance(station, segment, segment.length_mm)
    start = projection.flat(placement.point(_offset_point(station, offset)))
    end = projection.flat(placement.point(_offset_point(after, offset)))
    if isinstance(segment, Line):
        return Stroke(start=start, end=end, layer=layer, smallest=smallest)
    left = math.copysign(segment.radius_mm, segment.angle_rad)
    centre = projection.flat(placement.point(_offset_point(station, left)))
    angles = [math.atan2(v - centre[1], u - centre[0]) for u, v in (start, end)]
    if (segment.angle_rad > 0) is not same_hand:
        angles.reverse()
    return ArcStroke(
        centre=centre,
        radius=abs(left - offset),
        start_rad=angles[0],
        end_rad=angles[1] if angles[1] > angles[0] else angles[1] + 2 * math.pi,
        layer=layer,
        smallest=smallest,
    )


def _offset_point(station: Station, offset: float) -> Vector:
    normal = station.normal
    return (station.x_mm + offset * normal[0], station.y_mm + offset * normal[1], 0.0)


@functools.lru_cache(maxsize=256)
def _stations(path: PlanePath) -> tuple[Station, ...]:
    """Stations close enough for chords to stay within 0.2 mm of the path."""
    result = [Station(0.0, 0.0, 0.0)]
    for (_, here), segment in zip(path.starts, path.segments, strict=True):
        count = 1
        if isinstance(segment, Arc):
            step = 2 * math.acos(max(0.0, 1 - _FINE_SAGITTA_MM / segment.radius_mm))
            count = max(1, math.ceil(abs(segment.angle_rad) / step))
        length = segment.length_mm
        result += [advance(here, segment, length * i / count) for i in range(1, count + 1)]
    return tuple(result)


def _edge_on(
    member: Member, placement: Placement, path: PlanePath, radius: float, projection: Projection
) -> Silhouette:
    """A tube bent in a plane that is seen from its edge: a straight band."""
    wide = projection.flat(placement.z)
    along = (-wide[1], wide[0])
    stations = _stations(path)
    local = np.array([(station.x_mm, station.y_mm) for station in stations])
    beside = np.array([station.normal for station in stations]) * radius
    x = np.dot(projection.flat(placement.x), along), projection.near(placement.x)
    y = np.dot(projection.flat(placement.y), along), projection.near(placement.y)
    start = np.dot(projection.flat(placement.origin), along), projection.near(placement.origin)
    where = start[0] + local @ (x[0], y[0])
    depth = start[1] + local @ (x[1], y[1]) + radius
    faces = np.abs(beside @ (x[0], y[0]))
    low, high = float((where - faces).min()), float((where + faces).max())
    u, v = projection.flat(placement.origin)
    middle = u * wide[0] + v * wide[1]
    area = Polygon(
        [
            (a * along[0] + w * wide[0], a * along[1] + w * wide[1])
            for a, w in (
                (low, middle - radius),
                (high, middle - radius),
                (high, middle + radius),
                (low, middle + radius),
            )
        ]
    )

    def nearness(place: Point) -> float:
        distance = np.abs(where - (place[0] * along[0] + place[1] * along[1]))
        return float(depth[distance <= distance.min() + radius].max())

    return Silhouette(member=member, lines=closed(area), area=area, nearness=nearness)


def _askew(
    member: Member, placement: Placement, path: PlanePath, radius: float, projection: Projection
) -> Silhouette:
    """A bent tube seen at a slant, by short chords: no sheet dimensions such a view."""
    points = [placement.point((s.x_mm, s.y_mm, 0.0)) for s in _stations(path)]
    area = LineString([projection.flat(point) for point in points]).buffer(radius, cap_style="flat")
    nearest = max(projection.near(point) for point in points) + radius
    return Silhouette(member=member, lines=closed(area), area=area, nearness=lambda place: nearest)
