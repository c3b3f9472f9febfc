"""What every family of members needs: the design, the grid, the hoop's axis, the bolts.

Glossary
--------
foot : the point where the leg's centreline meets the ground, z = 0.
leg end : the lower end of the leg, inside the socket; distances along a hoop are
    counted from there, up and over to the other leg end.
"""

from __future__ import annotations

import math
from functools import cached_property

from msgspec import Struct

from frame3d.catalog.sections import BoltSize, Head, NutSize, WasherSize
from frame3d.design.tables.whole_design import Design
from frame3d.frame.model.joints import Place, RunName, Stretch, UnmarkedJoint
from frame3d.frame.model.parts import Bolt, Nut, Part, Washer
from frame3d.frame.model.roles import Grid, Role, Side, Spot
from frame3d.frame.model.surveyed import GroundUnder
from frame3d.geometry.arch.arch import Arch, ArchStyle
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import Placement, Vector, vector
from frame3d.units import LengthText


class UnmarkedMember(Struct, frozen=True, kw_only=True, gc=False):
    """A member that has no mark yet; without a ``source`` it has that of its family.

    What is made says which ``stretches`` of runs it covers, a fastener which ``joint`` it is of.
    """

    role: Role
    part: Part
    placement: Placement
    spot: Spot
    source: str = ""
    stretches: tuple[Stretch, ...] = ()
    joint: UnmarkedJoint | None = None

    @property
    def place(self) -> Place:
        """A place on it, for what is made to the whole of it."""
        return Place(self.stretches[0].run)


class HoopPoint(Struct, frozen=True, kw_only=True):
    """A point on a hoop's centreline, in the plane of the first hoop (y = 0).

    Parameters
    ----------
    point : (3,) float, mm
    along : (3,) float
        Unit vector along the hoop, away from its own leg end.
    inward : (3,) float
        Unit vector square to the hoop, toward the inside of the tunnel.
    """

    point: Vector
    along: Vector
    inward: Vector

    def at_y(self, y_mm: float) -> HoopPoint:
        """The same point on the hoop that stands at ``y_mm``."""
        x, _, z = self.point
        return HoopPoint(point=(x, y_mm, z), along=self.along, inward=self.inward)


class HoopLine(Struct, frozen=True, kw_only=True, dict=True):
    """The centreline of a hoop with its legs, from leg end to ridge.

    Parameters
    ----------
    half : PlanePath
        From the left leg end to the meeting point at the ridge; heads up the leg
        and bends inward to its left.
    below_mm : float
        Distance along the leg from its end up to the foot.
    half_width_mm : float
        Distance of the foot from the centreline of the tunnel.
    lean_rad : float
    """

    half: PlanePath
    below_mm: float
    half_width_mm: float
    lean_rad: float

    @classmethod
    def of(cls, arch: Arch, below_mm: float) -> HoopLine:
        """The line of ``arch`` with its legs going on for ``below_mm`` under the ground."""
        first, *rest = arch.half.segments
        half = PlanePath((Line(first.length_mm + below_mm), *rest))
        return cls(
            half=half,
            below_mm=below_mm,
            half_width_mm=arch.width_mm / 2,
            lean_rad=arch.leg_lean_rad,
        )

    @cached_property
    def _points(self) -> dict[tuple[Side, float], HoopPoint]:
        """The points found so far: every hoop is asked for the same ones."""
        return {}

    @property
    def length_mm(self) -> float:
        """Developed length from one leg end to the other, mm."""
        return 2 * self.half.length_mm

    def whole(self) -> PlanePath:
        """The whole hoop from the left leg end to the right; only without a kink."""
        return self.half.there_and_back()

    def at(self, side: Side, distance_mm: float) -> HoopPoint:
        """The point ``distance_mm`` from the leg end of ``side``, up to the ridge and on."""
        known = self._points.get((side, distance_mm))
        if known is None:
            known = self._points[side, distance_mm] = self._at(side, distance_mm)
        return known

    def _at(self, side: Side, distance_mm: float) -> HoopPoint:
        sign = -1.0 if side is Side.RIGHT else 1.0
        station = self.half.at(distance_mm)
        sin, cos = math.sin(self.lean_rad), math.cos(self.lean_rad)
        foot = (-self.half_width_mm, 0.0)
        along_leg, inward = station.x_mm - self.below_mm, station.y_mm
        x = foot[0] + along_leg * sin + inward * cos
        z = foot[1] + along_leg * cos - inward * sin
        tx, ty = station.tangent
        nx, ny = station.normal
        return HoopPoint(
            point=vector(sign * x, 0.0, z),
            along=vector(sign * (tx * sin + ty * cos), 0.0, tx * cos - ty * sin),
            inward=vector(sign * (nx * sin + ny * cos), 0.0, nx * cos - ny * sin),
        )

    def placement(self, side: Side, distance_mm: float, y_mm: float) -> Placement:
        """Own axes of a tube that starts ``distance_mm`` from the leg end of ``side``."""
        here = self.at(side, distance_mm).at_y(y_mm)
        return Placement.of(origin=here.point, x=here.along, y=here.inward)


StackKey = tuple[str, Head, float, bool, float | None]
"""Of a bolt: its name and head, what it goes through, with washers, its last shear plane; mm."""
BoltStack = tuple[tuple[Role, Bolt | Nut | Washer, float], ...]
"""A bolt with its washers and nut, each with its distance from the seat, mm."""


class Fasteners(Struct, frozen=True, kw_only=True, dict=True):
    """The bolts of a design with the nut and washer that go with each."""

    hex: BoltSize
    carriage: BoltSize
    clamp: BoltSize
    nuts: dict[str, NutSize]
    washers: dict[str, WasherSize]
    say: LengthText

    @cached_property
    def stacks(self) -> dict[StackKey, BoltStack]:
        """For :mod:`frame3d.frame.joining.bolts` alone: what it has put together so far."""
        return {}


class LayoutContext(Struct, frozen=True, kw_only=True):
    """The design with what is worked out before any member is placed.

    ``ground`` is None where it was not measured, and taken as level.
    """

    design: Design
    grid: Grid
    arch: Arch
    line: HoopLine
    fasteners: Fasteners
    say: LengthText
    ground: GroundUnder | None = None

    @property
    def is_gothic(self) -> bool:
        """True when the halves of a hoop meet in a point."""
        return self.arch.style is ArchStyle.GOTHIC

    @property
    def plate_mm(self) -> float:
        """Thickness of the plates of doors, mm."""
        return self.design.hardware.door_bar_thickness

    @property
    def bar_half_mm(self) -> float:
        """Half the width of the flat bar that straps and brackets of doors are cut from, mm."""
        return self.design.hardware.door_bar_width / 2

    def height_to_distance(self, height_mm: float) -> float:
        """Distance from the leg end at which the hoop's centreline is ``height_mm`` high."""
        return self.arch.distance_at_height(height_mm) + self.line.below_mm

    def on_hoop(self, hoop: int, side: Side, at_mm: float) -> Place:
        """The place ``at_mm`` from the leg end of ``side`` on a hoop; the middle is on the left.

        The halves of a gothic hoop are two runs; a round hoop is one, from its left leg end.
        """
        if side is not Side.RIGHT:
            return Place(RunName(Role.HOOP, hoop, Side.LEFT), at_mm)
        if self.is_gothic:
            return Place(RunName(Role.HOOP, hoop, Side.RIGHT), at_mm)
        return Place(RunName(Role.HOOP, hoop, Side.LEFT), self.line.length_mm - at_mm)

    def hoop_stretch(self, hoop: int, side: Side, from_mm: float, to_mm: float) -> Stretch:
        """What lies on a hoop, or in or round it, between two distances from a leg end."""
        places = [self.on_hoop(hoop, side, at) for at in (from_mm, to_mm)]
        low, high = sorted(place.at_mm for place in places)
        return Stretch(places[0].run, low, high)
