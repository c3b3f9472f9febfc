"""Tube clamps in views that are about them: the outline of what a half takes up."""

from __future__ import annotations

from shapely import MultiPoint

from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import ClampHalf
from frame3d.sheets.primitives.primitives import Layer, polyline
from frame3d.sheets.projection.projection import Projection, Silhouette


def clamp_outline(member: Member, eye: Projection) -> Silhouette | None:
    """The ring of a clamp half with its ears, as a box; None for what is no clamp."""
    part = member.part
    if not isinstance(part, ClampHalf):
        return None
    ring = part.tube_od_mm / 2 + part.band_mm
    half = part.width_mm / 2
    points = [
        member.placement.point((x, y, z))
        for x in (-half, half)
        for y in (-ring, ring + part.ear_mm)
        for z in (-ring, ring)
    ]
    area = MultiPoint([eye.flat(point) for point in points]).convex_hull
    nearest = max(eye.near(point) for point in points)
    lines = tuple(polyline(area.exterior.coords, Layer.FINE))
    return Silhouette(member=member, lines=lines, area=area, nearness=lambda place: nearest)
