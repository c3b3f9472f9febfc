"""Bolts, nuts, washers, screws and clamps at a large scale, and in sections.

Fasteners that lie in the plane of a section are not cut; one that the plane crosses shows
its shank cut (ISO 128-44; ASME Y14.3; both from memory). Threads are drawn plain.
"""

from __future__ import annotations

import math

from shapely import MultiPoint, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from frame3d.catalog.sections import Head
from frame3d.frame.model.members import Member, with_part
from frame3d.frame.model.parts import Bolt, ClampHalf, Nut, Screw, Washer
from frame3d.geometry.placement import Vector
from frame3d.sheets.primitives.primitives import Layer
from frame3d.sheets.projection.projection import Silhouette
from frame3d.sheets.projection.section_plane import CUT_MM, ON_TOP_MM, Plane, Shown, shape

_AROUND = 24
_END_ON = 0.9
_CAP_STEPS = 8

Solid = tuple[tuple[Vector, ...], float, float]
"""Corners of a convex body in a part's own axes; how far it reaches along own z, low, high."""


def cut_hardware(member: Member, plane: Plane) -> Shown | None:
    """A fastener or clamp half in a section; None where it lies before the plane, and of others."""
    part = member.part
    if isinstance(part, ClampHalf):
        return _clamp(with_part(member, ClampHalf), plane)
    if not isinstance(part, Bolt | Nut | Washer | Screw):
        return None
    solids = _solids(part)
    depth = plane.depth(member.placement.origin)
    lean = plane.leans(member.placement.z)
    if abs(lean) > _END_ON:
        return _end_on(member, plane, solids, depth, lean)
    radius = _shank_mm(part) / 2
    if depth > radius:
        return None
    level = plane.at_mm + ON_TOP_MM if depth > -radius else plane.at_mm + depth + radius
    return _drawn(member, plane, solids, level)


def _drawn(member: Member, plane: Plane, solids: list[Solid], level: float) -> Shown:
    """Every body of a fastener as it is seen, a nut before the shank that it sits on."""
    lift = 0.6 * isinstance(member.part, Nut) + 0.6 * isinstance(member.part, Washer)
    shapes: list[Silhouette] = []
    for order, (corners, _, _) in enumerate(solids):
        area = _hull(member, plane, corners)
        if isinstance(area, Polygon):
            shapes.append(shape(member, area, level + lift + 0.6 * order, layer=Layer.FINE))
    return Shown(member=member, shapes=tuple(shapes), face=Polygon())


def _end_on(
    member: Member, plane: Plane, solids: list[Solid], depth: float, lean: float
) -> Shown | None:
    """A fastener that is seen along its axis: what is beyond the plane, its shank cut."""
    shapes, face = [], Polygon()
    for order, (corners, low, high) in enumerate(solids):
        ends = sorted((depth + lean * low, depth + lean * high))
        if ends[0] >= -1e-6:
            continue
        area = _hull(member, plane, corners)
        if not isinstance(area, Polygon):
            continue
        if ends[1] <= 1e-6:
            near = plane.at_mm + ends[1] + 0.6 * order
            shapes.append(shape(member, area, near, layer=Layer.FINE))
        else:
            face = face.union(area)
            shapes.append(shape(member, area, plane.at_mm + ON_TOP_MM, layer=Layer.FINE))
    if not shapes:
        return None
    return Shown(member=member, shapes=tuple(shapes), face=face)


def _hull(member: Member, plane: Plane, corners: tuple[Vector, ...]) -> BaseGeometry:
    points = [plane.eye.flat(member.placement.point(corner)) for corner in corners]
    return MultiPoint(points).convex_hull


def _shank_mm(part: Bolt | Nut | Washer | Screw) -> float:
    """Diameter of what passes through, mm."""
    if isinstance(part, Screw):
        return part.diameter_mm
    return part.size.inside_mm if isinstance(part, Washer) else part.size.diameter_mm


def _solids(part: Bolt | Nut | Washer | Screw) -> list[Solid]:
    """The convex bodies of a fastener: shank first, then its head."""
    match part:
        case Bolt():
            size = part.size
            shank = _bar(size.diameter_mm, 0.0, part.length_mm)
            if size.head is Head.HEX:
                return [shank, _hexagon(size.flats_mm, -size.head_height_mm, 0.0)]
            return [shank, _dome(size.flats_mm / 2, size.head_height_mm)]
        case Screw():
            return [
                _bar(part.diameter_mm, 0.0, part.length_mm),
                _hexagon(part.flats_mm, -part.head_height_mm, 0.0),
            ]
        case Nut():
            return [_hexagon(part.size.flats_mm, 0.0, part.size.height_mm)]
        case Washer():
            return [_bar(part.size.outside_mm, 0.0, part.size.thickness_mm)]


def _ring(radius: float, z: float, count: int = _AROUND) -> list[Vector]:
    turns = [2 * math.pi * k / count for k in range(count)]
    return [(radius * math.cos(t), radius * math.sin(t), z) for t in turns]


def _bar(across: float, low: float, high: float) -> Solid:
    return (*_ring(across / 2, low), *_ring(across / 2, high)), low, high


def _hexagon(flats: float, low: float, high: float) -> Solid:
    corner = flats / math.sqrt(3)
    return (*_ring(corner, low, 6), *_ring(corner, high, 6)), low, high


def _dome(edge: float, height: float) -> Solid:
    """A cap of a sphere, below z = 0."""
    radius = (edge**2 + height**2) / (2 * height)
    corners: list[Vector] = []
    for k in range(_CAP_STEPS + 1):
        z = -height * k / _CAP_STEPS
        deep = radius - height - z
        corners += _ring(math.sqrt(max(radius**2 - deep**2, 0.0)), z)
    return tuple(corners), -height, 0.0


def _clamp(member: Member[ClampHalf], plane: Plane) -> Shown | None:
    """A clamp half: cut where the plane goes across its tube, else as it is seen."""
    part, placement = member.part, member.placement
    depth = plane.depth(placement.origin)
    across = abs(plane.leans(placement.x)) > 1 - 1e-6 and abs(depth) < part.width_mm / 2
    ring = part.tube_od_mm / 2 + part.band_mm
    if depth > (part.width_mm / 2 if abs(plane.leans(placement.x)) > _END_ON else ring):
        return None
    half = part.width_mm / 2
    bodies = _clamp_bodies(part, half)
    whole = unary_union([_hull(member, plane, tuple(body)) for body in bodies])
    if not across:
        # Round its tube, so before it, however the tube slants.
        near = plane.at_mm + depth + ring + half
        return Shown(
            member=member, shapes=(shape(member, whole, near, layer=Layer.FINE),), face=Polygon()
        )
    bore = _hull(member, plane, tuple(_along_x(part.tube_od_mm / 2, half)))
    slit = part.gap_mm / 2
    gap = _hull(
        member,
        plane,
        tuple((0.0, y, z) for y in (0.0, ring + part.ear_mm + 1.0) for z in (-slit, slit)),
    )
    face = whole.difference(bore).difference(gap)
    return Shown(member=member, shapes=(shape(member, face, plane.at_mm + CUT_MM),), face=face)


def _along_x(radius: float, half: float) -> list[Vector]:
    return [(x, y, z) for x in (-half, half) for y, z, _ in _ring(radius, 0.0, 48)]


def _clamp_bodies(part: ClampHalf, half: float) -> list[list[Vector]]:
    """Ring, boss and ears."""
    ring = part.tube_od_mm / 2 + part.band_mm
    back = part.gap_mm / 2 + part.band_mm
    ears = [
        (x, y, z) for x in (-half, half) for y in (0.0, ring + part.ear_mm) for z in (-back, back)
    ]
    boss = part.boss_diameter_mm / 2
    return [
        _along_x(ring, half),
        [*_ring(boss, 0.0), *_ring(boss, part.face_mm)],
        ears,
    ]


__all__ = ["cut_hardware"]
