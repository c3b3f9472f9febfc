"""The room inside of the hoops, by distance from their axis.

Glossary
--------
inset : how far a point must stay from the axis of the hoops; half their diameter is
    the inside face, and a safety margin comes on top.
room : all points above the ground with at least that distance. The hoop turns one
    way only, so that the room is convex, and it narrows upward.
"""

from __future__ import annotations

import functools
import math

from msgspec import Struct

from frame3d.errors import ArchError
from frame3d.geometry.arch.arch import Arch
from frame3d.geometry.arch.arch_curve import HalfCurve, PlacedSegment, climb, reach
from frame3d.geometry.paths import Line

_ROUNDS = 60
"""Halvings of a length of at most 30 m: far below the grain of floating point."""


class Inside(Struct, frozen=True):
    """The room inside of an arch.

    Parameters
    ----------
    arch : Arch

    Examples
    --------
    A half circle of radius 3 m, of tube 60 mm thick: 2.97 m high in the middle.

    >>> from frame3d.geometry.arch.arch import ArchStyle
    >>> from frame3d.geometry.arch.arch_given import ArchGiven
    >>> from frame3d.geometry.arch.arch_solver import solve_arch
    >>> arch = solve_arch(ArchGiven(style=ArchStyle.QUONSET, width_mm=6000,
    ...     ridge_height_mm=3000, leg_height_mm=0, tube_od_mm=60))
    >>> round(Inside(arch).height_at(0.0, 30.0), 6)
    2970.0
    """

    arch: Arch

    def half_width_at(self, z_mm: float, inset_mm: float) -> float | None:
        """Half the width of the room at height ``z_mm``, mm; None where there is none."""
        if not 0 <= z_mm < self.arch.ridge_height_mm:
            return None
        curve = _curve(self.arch, inset_mm)
        if curve is None:
            return self._searched_width(z_mm, inset_mm)
        if z_mm > curve.end.z_mm:
            return None
        for piece in reversed(curve.pieces):
            if z_mm >= piece.z:
                return max(0.0, -curve.point_at(piece.along + climb(piece, z_mm - piece.z)).x_mm)
        return -curve.x_mm

    def height_at(self, x_mm: float, inset_mm: float) -> float:
        """Height of the room at ``x_mm`` from the centreline, mm; 0 where there is none."""
        curve = _curve(self.arch, inset_mm)
        if curve is None:
            return self._searched_height(x_mm, inset_mm)
        x = -abs(x_mm)
        if x < curve.x_mm:
            return 0.0
        for piece in reversed(curve.pieces):
            if x >= piece.x:
                return curve.point_at(piece.along + reach(piece, x - piece.x)).z_mm
        return 0.0

    def _searched_width(self, z_mm: float, inset_mm: float) -> float | None:
        """As :meth:`half_width_at`, by distances: where arcs are too tight for a parallel curve."""
        if not self.has(0.0, z_mm, inset_mm):
            return None
        low, high = 0.0, self.arch.half_width_at(z_mm)
        for _ in range(_ROUNDS):
            middle = (low + high) / 2
            low, high = (middle, high) if self.has(middle, z_mm, inset_mm) else (low, middle)
        return low

    def _searched_height(self, x_mm: float, inset_mm: float) -> float:
        if not self.has(x_mm, 0.0, inset_mm):
            return 0.0
        low, high = 0.0, self.arch.ridge_height_mm
        for _ in range(_ROUNDS):
            middle = (low + high) / 2
            low, high = (middle, high) if self.has(x_mm, middle, inset_mm) else (low, middle)
        return low

    def has(self, x_mm: float, z_mm: float, inset_mm: float) -> bool:
        """Whether a point, mm, is in the room."""
        if not 0 <= z_mm < self.arch.ridge_height_mm:
            return False
        if abs(x_mm) > self.arch.half_width_at(z_mm):
            return False
        return self.distance(x_mm, z_mm) >= inset_mm

    def distance(self, x_mm: float, z_mm: float) -> float:
        """Distance of a point, mm, from the axis of the hoop with its legs in the ground."""
        x = -abs(x_mm)
        half = self.arch.half_curve.pieces
        found = min(_distance(piece, x, z_mm) for piece in half)
        first = half[0]
        cos, sin = math.cos(first.heading), math.sin(first.heading)
        # The leg goes on straight below the ground.
        if (first.x - x) * cos + (first.z - z_mm) * sin > 0:
            found = min(found, abs((first.x - x) * sin - (first.z - z_mm) * cos))
        return found

    def wall_x_mm(self) -> float:
        """Distance of the inside face of the hoops from the centreline, at the ground, mm."""
        return self.arch.widths().inside_mm / 2


@functools.lru_cache(maxsize=64)  # arches are values and never change
def _curve(arch: Arch, inset_mm: float) -> HalfCurve | None:
    """The edge of the room; None where the arcs are too tight for a curve beside the axis."""
    try:
        return arch.half_offset(inset_mm)
    except ArchError:
        return None


def _distance(piece: PlacedSegment, x: float, z: float) -> float:
    """Distance of a point from one segment of a half."""
    cos, sin = math.cos(piece.heading), math.sin(piece.heading)
    dx, dz = x - piece.x, z - piece.z
    if isinstance(piece.segment, Line):
        along = min(max(dx * cos + dz * sin, 0.0), piece.segment.length_mm)
        return math.hypot(dx - along * cos, dz - along * sin)
    radius, angle = piece.segment.radius_mm, abs(piece.segment.angle_rad)
    # The curve turns to its right on the way up: its centre lies at (sin, -cos).
    from_centre = (dx - radius * sin, dz + radius * cos)
    # Angle that the curve has turned through where it is nearest to the point.
    turned = math.atan2(
        from_centre[0] * cos + from_centre[1] * sin,
        -(from_centre[0] * sin - from_centre[1] * cos),
    )
    if 0 <= turned <= angle:
        return abs(math.hypot(*from_centre) - radius)
    ends = []
    for turn in (0.0, angle):
        heading = piece.heading - turn
        ends.append(
            math.hypot(
                dx - radius * (sin - math.sin(heading)), dz - radius * (math.cos(heading) - cos)
            )
        )
    return min(ends)
