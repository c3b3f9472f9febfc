"""The arch of a hoop: its dimensions, and where its axis runs.

One family of tangent-continuous curves covers the quonset (half circle, half circle
on legs, three-centred) and the gothic (two-centred, four-centred, straight rafter).
The left half starts at its foot on the ground, at x = -width/2, and runs up a
straight leg, round an eave arc, where there is one, and along the crown or rafter
to the ridge at x = 0. The right half is its mirror image.

Glossary
--------
springing : where the straight leg ends and the first arc begins.
lean : angle of the leg from plumb, inward positive.
heading : angle of the curve from the horizontal. It only falls on the way up: from
    90° less the lean, on the leg, to the ridge slope, at the ridge.
ridge slope : the heading at the ridge; 0 for a quonset, where the crown runs level.
ridge height : height of the point at which the axes of the two halves meet.
top radius : radius of the crown arc of a quonset, of the rafter of a gothic arch;
    infinite for a straight rafter.
outside, inside width and height : over and between the faces of the tube. At ground
    a face lies half the tube's diameter / cos(lean) beside the axis, at the ridge half
    the diameter / cos(ridge slope) above or below it. For a rafter bent to a radius R
    the faces meet lower than that by (od/2)² tan²(slope) / (2 R cos(slope)), which
    is less than 0.01 mm for any tube and radius in use; ``half_offset`` is exact.

References
----------
Circular arcs, chords and segments: any handbook of plane geometry; the expressions
are derived where they stand.
"""

from __future__ import annotations

import enum
import math
from collections.abc import Callable
from functools import cached_property
from typing import NamedTuple

from msgspec import Struct

from frame3d.errors import ArchError
from frame3d.geometry.arch.arch_curve import (
    ArchPoint,
    HalfCurve,
    climb,
    reach,
)
from frame3d.geometry.paths import NEGLIGIBLE_MM, Arc, Line, PlanePath, Segment


def say_degrees(angle_rad: float) -> str:
    """An angle for a message."""
    return f"{math.degrees(angle_rad):.2f}°"


def say_millimetres(length_mm: float) -> str:
    """A length for a message, where the caller has no form of its own."""
    return f"{length_mm:.1f} mm"


class ArchStyle(enum.Enum):
    """The two families of hoop."""

    QUONSET = "quonset"
    GOTHIC = "gothic"


class ArchForm(enum.Enum):
    """What a draughtsman calls the shape."""

    HALF_CIRCLE = "half circle"
    HALF_CIRCLE_ON_LEGS = "half circle on legs"
    SEGMENTAL = "segmental, on leaning legs"
    THREE_CENTRED = "three-centred"
    TWO_CENTRED = "two-centred"
    FOUR_CENTRED = "four-centred"
    STRAIGHT_RAFTER = "straight rafter"


class Measured(enum.Enum):
    """What a given width and ridge height run between."""

    CENTRES = "centres"
    OUTSIDE = "outside"
    INSIDE = "inside"

    @property
    def faces(self) -> int:
        """How many half diameters a measure lies outside of the axis: 0, 1 or -1."""
        return {Measured.CENTRES: 0, Measured.OUTSIDE: 1, Measured.INSIDE: -1}[self]


class Measures(NamedTuple):
    """One size in its three meanings, mm."""

    centres_mm: float
    outside_mm: float
    inside_mm: float


class RidgeFillet(NamedTuple):
    """A round ridge: where along the half it begins, mm, and what it turns to the ridge, rad."""

    distance_mm: float
    half_angle_rad: float


class Arch(Struct, frozen=True, kw_only=True, dict=True):
    """A solved arch; make one with :func:`frame3d.geometry.arch.arch_solver.solve_arch`.

    Parameters
    ----------
    style : ArchStyle
    width_mm : float
        Between the axes of the legs, at ground.
    ridge_height_mm : float
        From ground to where the axes of the two halves meet.
    leg_height_mm : float
        From ground to the springing.
    leg_lean_rad : float
        Inward from plumb.
    eave_radius_mm, eave_angle_rad : float or None, float
        None and 0 for an arch without eave arcs.
    top_radius_mm, top_angle_rad : float
        The crown's or rafter's; ``inf`` and 0 for a straight rafter.
    rafter_length_mm : float or None
        Length of a straight rafter.
    ridge_slope_rad : float
    tube_od_mm : float
    chosen : tuple of str
        The dimensions that were chosen by rule, not given and not implied.
    """

    style: ArchStyle
    width_mm: float
    ridge_height_mm: float
    leg_height_mm: float
    leg_lean_rad: float
    eave_radius_mm: float | None
    eave_angle_rad: float
    top_radius_mm: float
    top_angle_rad: float
    rafter_length_mm: float | None
    ridge_slope_rad: float
    tube_od_mm: float
    chosen: tuple[str, ...] = ()

    @property
    def form(self) -> ArchForm:
        """What a draughtsman calls the shape."""
        if self.style is ArchStyle.GOTHIC:
            if self.rafter_length_mm is not None:
                return ArchForm.STRAIGHT_RAFTER
            return ArchForm.TWO_CENTRED if self.eave_radius_mm is None else ArchForm.FOUR_CENTRED
        if self.eave_radius_mm is not None:
            return ArchForm.THREE_CENTRED
        if self.leg_lean_rad > 0:
            return ArchForm.SEGMENTAL
        on_legs = self.leg_height_mm > NEGLIGIBLE_MM
        return ArchForm.HALF_CIRCLE_ON_LEGS if on_legs else ArchForm.HALF_CIRCLE

    @property
    def springing_heading_rad(self) -> float:
        """Heading of the leg, from horizontal."""
        return math.pi / 2 - self.leg_lean_rad

    @property
    def springing_distance_mm(self) -> float:
        """Length of the straight leg above ground, along its axis."""
        return self.leg_height_mm / math.cos(self.leg_lean_rad)

    @cached_property
    def half(self) -> PlanePath:
        """The left half from the foot up: heading +x up the leg, turning toward +y, inward."""
        segments: list[Segment] = []
        if self.springing_distance_mm > NEGLIGIBLE_MM:
            segments.append(Line(self.springing_distance_mm))
        if self.eave_radius_mm is not None:
            segments.append(Arc(self.eave_radius_mm, self.eave_angle_rad))
        if self.rafter_length_mm is not None:
            segments.append(Line(self.rafter_length_mm))
        else:
            segments.append(Arc(self.top_radius_mm, self.top_angle_rad))
        return PlanePath(tuple(segments))

    @cached_property
    def half_curve(self) -> HalfCurve:
        """The left half in its place."""
        return HalfCurve(-self.width_mm / 2, 0.0, self.springing_heading_rad, self.half)

    def widths(self) -> Measures:
        """Width at ground between centres, over the outside and clear inside, mm."""
        face = self.tube_od_mm / math.cos(self.leg_lean_rad)
        return Measures(self.width_mm, self.width_mm + face, self.width_mm - face)

    def heights(self) -> Measures:
        """Ridge height at the axis, the outside and the inside, mm."""
        face = self.tube_od_mm / 2 / math.cos(self.ridge_slope_rad)
        ridge = self.ridge_height_mm
        return Measures(ridge, ridge + face, ridge - face)

    def point_at(self, distance_mm: float) -> ArchPoint:
        """Point and heading of the left half, ``distance_mm`` from the foot along the axis."""
        return self.half_curve.point_at(distance_mm)

    def distance_at_fraction(self, fraction: float) -> float:
        """Distance along the half of a share of its arcs: 0 the springing, 1 the ridge; mm."""
        start = self.springing_distance_mm
        return start + fraction * (self.half.length_mm - start)

    def distance_at_height(self, z_mm: float) -> float:
        """Distance along the half at which the axis is at height ``z_mm``, mm.

        Raises
        ------
        ArchError
            If the height is below ground or above the ridge.
        """
        if not -NEGLIGIBLE_MM <= z_mm <= self.ridge_height_mm + NEGLIGIBLE_MM:
            raise ArchError(
                f"no height {z_mm:.1f} mm on an arch of 0 to {self.ridge_height_mm:.1f} mm"
            )
        for piece in reversed(self.half_curve.pieces):
            if z_mm >= piece.z:
                return piece.along + climb(piece, z_mm - piece.z)
        return 0.0

    def distance_at_x(self, x_mm: float) -> float:
        """Distance along the half at which the axis is ``|x_mm|`` from the centreline, mm.

        On a plumb leg, that of the springing.

        Raises
        ------
        ArchError
            If that is beyond the foot.
        """
        x = -abs(x_mm)
        if not -x <= self.width_mm / 2 + NEGLIGIBLE_MM:
            raise ArchError(
                f"no point {-x:.1f} mm from the centreline on a half of {self.width_mm / 2:.1f} mm"
            )
        for piece in reversed(self.half_curve.pieces):
            if x >= piece.x:
                return piece.along + reach(piece, x - piece.x)
        return 0.0 if self.leg_lean_rad > 0 else self.springing_distance_mm

    def half_width_at(self, z_mm: float) -> float:
        """Distance of the axis from the centreline at height ``z_mm``, mm."""
        return -self.point_at(self.distance_at_height(z_mm)).x_mm + 0.0

    def half_offset(self, inward_mm: float) -> HalfCurve:
        """The left half of the curve ``inward_mm`` inside of the axis (outside: negative).

        It runs from ground to the centreline, where it meets its mirror image, and is
        made of lines and arcs like the axis.

        Raises
        ------
        ArchError
            If an arc, or the leg or the top, has no room for such a curve.
        """
        lean, half = self.leg_lean_rad, self.half
        segments = [
            s if isinstance(s, Line) else Arc(s.radius_mm - inward_mm, s.angle_rad)
            for s in half.segments
        ]
        starts_straight = isinstance(segments[0], Line)
        if lean > 0 and not starts_straight:
            raise ArchError("a leaning arch without straight legs has no offset down to ground")
        if starts_straight:
            segments[0] = Line(segments[0].length_mm - inward_mm * math.tan(lean))
        x = -self.width_mm / 2 + inward_mm / math.cos(lean)
        try:
            curve = HalfCurve(x, 0.0, self.springing_heading_rad, PlanePath(tuple(segments)))
            last = curve.pieces[-1]
            length = reach(last, -last.x)
            if isinstance(last.segment, Line):
                segments[-1] = Line(length)
            else:
                segments[-1] = Arc(last.segment.radius_mm, length / last.segment.radius_mm)
            path = PlanePath(tuple(segments))
        except ValueError as error:
            raise ArchError(f"no curve {inward_mm:.1f} mm inside of this arch: {error}") from error
        return HalfCurve(x, 0.0, self.springing_heading_rad, path)

    @property
    def largest_ridge_radius_mm(self) -> float:
        """The radius of the arc that rounds the ridge from where the rafters begin, mm."""
        slope = self.ridge_slope_rad
        if self.rafter_length_mm is not None:
            return self.rafter_length_mm / math.tan(slope)
        return self.top_radius_mm * (1 - math.sin(slope) / math.sin(slope + self.top_angle_rad))

    def ridge_fillet(
        self,
        radius_mm: float,
        *,
        say: Callable[[float], str] = say_millimetres,
        say_most: Callable[[float], str] = say_millimetres,
    ) -> RidgeFillet:
        """The arc of ``radius_mm`` that rounds the ridge, tangent to both rafters.

        Its centre lies on the centreline, at (top radius - radius) from the centre of
        the rafter: sin(heading where it begins) = R sin(slope) / (R - radius). ``say``
        writes a length, mm, in the message of the error, and ``say_most`` a greatest one.

        Raises
        ------
        ArchError
            If the arch has no ridge, or the rafter no room.
        """
        slope, top = self.ridge_slope_rad, self.top_radius_mm
        if not slope > 0:
            raise ArchError("the crown is round already: only a ridge can be rounded")
        most = self.largest_ridge_radius_mm
        if not 0 < radius_mm <= most * (1 + 1e-12):
            raise ArchError(
                f"a ridge of radius {say(radius_mm)} does not fit on the rafter: "
                f"make it more than 0 and at most {say_most(most)}"
            )
        length = self.half.length_mm
        if self.rafter_length_mm is not None:
            return RidgeFillet(length - radius_mm * math.tan(slope), slope)
        gain = math.sin(slope) * radius_mm / (top - radius_mm)
        turn = math.asin(min(1.0, math.sin(slope) + gain)) - slope
        if slope + turn < 1.5:  # polish, so that R * turn is good for a very large R too
            for _ in range(2):
                miss = gain - 2 * math.sin(turn / 2) * math.cos(slope + turn / 2)
                turn += miss / math.cos(slope + turn)
        return RidgeFillet(length - top * turn, slope + turn)
