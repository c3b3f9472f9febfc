"""The left half of an arch, or a curve beside it, in its place.

Glossary
--------
heading : angle of the curve from the horizontal; it only falls on the way up.
piece : one segment of such a curve with the place where it starts.
"""

from __future__ import annotations

import math
from functools import cached_property
from typing import NamedTuple

from msgspec import Struct

from frame3d.geometry.paths import Arc, Line, PlanePath, Segment, Station


class ArchPoint(NamedTuple):
    """A point of the left half, mm, and the heading there, rad from horizontal."""

    x_mm: float
    z_mm: float
    heading_rad: float


class PlacedSegment(NamedTuple):
    """A segment of the half with its start: mm along, x, z, and heading."""

    along: float
    x: float
    z: float
    heading: float
    segment: Segment


class HalfCurve(Struct, frozen=True, dict=True):
    """A left half, or a curve beside it, in its place.

    Parameters
    ----------
    x_mm, z_mm : float
        Where it starts.
    heading_rad : float
        Its heading there, from horizontal.
    path : PlanePath
        Heading +x along the leg and turning toward +y, which is inward.
    """

    x_mm: float
    z_mm: float
    heading_rad: float
    path: PlanePath

    @cached_property
    def pieces(self) -> tuple[PlacedSegment, ...]:
        """The segments in their places."""
        return tuple(
            PlacedSegment(along, *self.placed(station), segment)
            for (along, station), segment in zip(self.path.starts, self.path.segments, strict=True)
        )

    @cached_property
    def heights(self) -> dict[float, float]:
        """For :func:`height_at_x` alone: the heights asked for so far, by place."""
        return {}

    def point_at(self, distance_mm: float) -> ArchPoint:
        """The point and heading ``distance_mm`` along the curve."""
        return self.placed(self.path.at(distance_mm))

    @property
    def end(self) -> ArchPoint:
        """The point and heading at the upper end."""
        return self.placed(self.path.end)

    def placed(self, station: Station) -> ArchPoint:
        """A station of the path, in the arch's axes."""
        sin, cos = math.sin(self.heading_rad), math.cos(self.heading_rad)
        return ArchPoint(
            self.x_mm + station.x_mm * cos + station.y_mm * sin,
            self.z_mm + station.x_mm * sin - station.y_mm * cos,
            self.heading_rad - station.heading_rad,
        )


def climb(piece: PlacedSegment, rise: float) -> float:
    """Distance along a segment at which it has risen by ``rise``."""
    if isinstance(piece.segment, Line):
        return rise / math.sin(piece.heading)
    radius = piece.segment.radius_mm
    cosine = math.cos(piece.heading) + rise / radius
    turn = piece.heading - math.acos(max(-1.0, min(1.0, cosine)))
    for _ in range(2):  # polish: the chord's form keeps its digits at any radius
        slope = math.sin(piece.heading - turn)
        if slope > 1e-6:
            miss = rise - 2 * radius * math.sin(turn / 2) * math.sin(piece.heading - turn / 2)
            turn += miss / (radius * slope)
    return radius * turn


def reach(piece: PlacedSegment, run: float) -> float:
    """Distance along a segment at which it has gone ``run`` toward +x."""
    if isinstance(piece.segment, Line):
        cosine = math.cos(piece.heading)
        return run / cosine if cosine > 1e-12 else piece.segment.length_mm
    radius = piece.segment.radius_mm
    sine = math.sin(piece.heading) - run / radius
    turn = piece.heading - math.asin(max(-1.0, min(1.0, sine)))
    for _ in range(2):
        slope = math.cos(piece.heading - turn)
        if slope > 1e-6:
            miss = run - 2 * radius * math.sin(turn / 2) * math.cos(piece.heading - turn / 2)
            turn += miss / (radius * slope)
    return radius * turn


def less_sine(angle_rad: float) -> float:
    """``angle - sin(angle)``, without loss of digits for a small angle."""
    if angle_rad > 0.1:
        return angle_rad - math.sin(angle_rad)
    square, term, total = angle_rad**2, angle_rad**3 / 6, 0.0
    for k in (4, 6, 8, 10, 12):
        total += term
        term *= -square / (k * (k + 1))
    return total


def height_at_x(curve: HalfCurve, x_mm: float) -> float:
    """Height of a half curve at ``x_mm`` beside the centreline, either side, mm.

    On a plumb leg, that of the leg's top; nearer to the middle than the curve's own end,
    as at a ridge that has been cut, that of the end.

    Raises
    ------
    ValueError
        If the place is beyond the foot.
    """
    x = -abs(x_mm)
    height = curve.heights.get(x)
    if height is None:
        height = curve.heights[x] = _height_at(curve, x)
    return height


def _height_at(curve: HalfCurve, x: float) -> float:
    found = curve.pieces
    if x < found[0].x - 1e-6:
        raise ValueError(f"no point {-x:.1f} mm from the centreline on this curve")
    for piece in reversed(found):
        if x >= piece.x:
            along = min(reach(piece, x - piece.x), piece.segment.length_mm)
            return piece.z + _rise(piece, along)
    return 0.0


def _rise(piece: PlacedSegment, along_mm: float) -> float:
    """How much higher a segment is than at its start; for an arc by the chord, as on the path."""
    if isinstance(piece.segment, Line):
        return along_mm * math.sin(piece.heading)
    radius = piece.segment.radius_mm
    half_turn = along_mm / radius / 2
    return 2 * radius * math.sin(half_turn) * math.sin(piece.heading - half_turn)


def distance_at_height(curve: HalfCurve, z_mm: float) -> float:
    """Distance along a half curve at which it is ``z_mm`` high, mm.

    Raises
    ------
    ValueError
        If it is nowhere so high, or the height is below its foot.
    """
    if not curve.z_mm - 1e-6 <= z_mm <= curve.end.z_mm + 1e-6:
        raise ValueError(f"no height {z_mm:.1f} mm on this curve")
    for piece in reversed(curve.pieces):
        if z_mm >= piece.z:
            return piece.along + min(climb(piece, z_mm - piece.z), piece.segment.length_mm)
    return 0.0


def reach_at_heading(curve: HalfCurve, heading_rad: float) -> float:
    """Distance from the centreline within which a half curve is no steeper, mm; not below 0."""
    for piece in curve.pieces:
        over = piece.heading - heading_rad
        if over <= 0:
            return max(0.0, -piece.x)
        if isinstance(piece.segment, Arc) and over <= piece.segment.angle_rad:
            there = curve.point_at(piece.along + piece.segment.radius_mm * over)
            return max(0.0, -there.x_mm)
    return 0.0


def area_under_half(curve: HalfCurve) -> float:
    """Area between a half curve, the ground and the centreline that it ends at, mm², exact."""
    area = 0.0
    for piece in curve.pieces:
        end = curve.point_at(piece.along + piece.segment.length_mm)
        area += (end.x_mm - piece.x) * (end.z_mm + piece.z) / 2
        if isinstance(piece.segment, Arc):
            area += piece.segment.radius_mm**2 * less_sine(piece.segment.angle_rad) / 2
    return area
