"""Bolts, nuts, washers, screws and clamps at a large scale, and in sections.

Fasteners that lie in the plane of a section are not cut; one that the plane crosses shows
its shank cut (ISO 128-44; ASME Y14.3; both from memory). Threads are drawn plain.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from shapely import MultiPoint, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from frame3d.frame.measure.bores import bores_in, bores_of
from frame3d.frame.measure.outer_points import outline_corners, round_corners
from frame3d.frame.model.bodies import ExtrudedOutline, SplitRing, TurnedProfile
from frame3d.frame.model.members import Member
from frame3d.geometry.placement import Vector
from frame3d.sheets.primitives.primitives import Layer
from frame3d.sheets.projection.projection import Silhouette
from frame3d.sheets.projection.section_plane import CUT_MM, ON_TOP_MM, Plane, Shown, shape

_AROUND = 48
_END_ON = 0.9

Solid = tuple[list[Vector], float, float]
"""Corners of a convex body in a part's own axes; how far it reaches along own z, low, high."""
Fastened = ExtrudedOutline | TurnedProfile


def cut_fastener(member: Member, bodies: Sequence[Fastened], plane: Plane) -> Shown | None:
    """Bodies of ``member`` that stand about their own z; None where they lie before the plane."""
    # What is put through a hole comes last and is drawn first: its head lies on it.
    solids = [_solid(body) for body in reversed(bodies)]
    depth = plane.depth(member.placement.origin)
    lean = plane.leans(member.placement.z)
    if abs(lean) > _END_ON:
        return _end_on(member, plane, solids, depth, lean)
    radius = _through_mm(bodies[-1]) / 2
    if depth > radius:
        return None
    level = plane.at_mm + ON_TOP_MM if depth > -radius else plane.at_mm + depth + radius
    return _drawn(member, plane, solids, level)


def _drawn(member: Member, plane: Plane, solids: list[Solid], level: float) -> Shown:
    """Every body of a fastener as it is seen, a nut before the shank that it sits on."""
    lift = 0.6 * bool(bores_of(member.part))
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


def _hull(member: Member, plane: Plane, corners: list[Vector]) -> BaseGeometry:
    points = [plane.projection.flat(member.placement.point(corner)) for corner in corners]
    return MultiPoint(points).convex_hull


def _through_mm(body: Fastened) -> float:
    """Diameter of what passes through: of its hole, or else of itself, mm."""
    bores = [bore.diameter_mm for bore in bores_in(body)]
    if bores:
        return bores[0]
    if isinstance(body, TurnedProfile):
        return 2 * max(radius for radius, _, _ in body.profile)
    return 2 * max(y for _, y in body.outline)


def _solid(body: Fastened) -> Solid:
    corners = round_corners(body) if isinstance(body, TurnedProfile) else outline_corners(body)
    return corners, body.low_mm, body.high_mm


def cut_split_ring(member: Member, ring: SplitRing, plane: Plane) -> Shown | None:
    """A clamp half: cut where the plane goes across its tube, else as it is seen."""
    placement, half = member.placement, ring.width_mm / 2
    depth = plane.depth(placement.origin)
    end_on = abs(plane.leans(placement.x))
    if depth > (half if end_on > _END_ON else ring.ring_mm):
        return None
    whole = unary_union([_hull(member, plane, body) for body in _convex(ring)])
    if end_on <= 1 - 1e-6 or abs(depth) >= half:
        # Round its tube, so before it, however the tube slants.
        near = plane.at_mm + depth + ring.ring_mm + half
        return Shown(
            member=member, shapes=(shape(member, whole, near, layer=Layer.FINE),), face=Polygon()
        )
    bore = _hull(member, plane, _along_x(ring.tube_od_mm / 2, half))
    slit = ring.gap_mm / 2
    gap = _hull(
        member, plane, [(0.0, y, z) for y in (0.0, ring.tip_mm + 1.0) for z in (-slit, slit)]
    )
    face = whole.difference(bore).difference(gap)
    return Shown(member=member, shapes=(shape(member, face, plane.at_mm + CUT_MM),), face=face)


def _along_x(radius: float, half: float) -> list[Vector]:
    turns = [2 * math.pi * k / _AROUND for k in range(_AROUND)]
    return [
        (x, radius * math.cos(turn), radius * math.sin(turn)) for x in (-half, half)
        for turn in turns
    ]  # fmt: skip


def _convex(ring: SplitRing) -> list[list[Vector]]:
    """Ring, boss and ears."""
    half, back = ring.width_mm / 2, ring.back_mm
    boss = TurnedProfile.bar(ring.boss_diameter_mm, 0.0, ring.face_mm)
    ears = [(x, y, z) for x in (-half, half) for y in (0.0, ring.tip_mm) for z in (-back, back)]
    return [_along_x(ring.ring_mm, half), round_corners(boss), ears]
