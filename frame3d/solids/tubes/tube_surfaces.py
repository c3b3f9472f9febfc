"""The surfaces that a tube is made of, each known exactly: cylinder, torus, cone, ruled taper.

Glossary
--------
clock, along : the coordinates on all of them. The clock angle, rad, and the distance from where
    the surface begins, mm, measured on the axis. A circuit that turns left in this plane turns
    left seen from outside the tube.
line : a curve of constant clock, from ring to ring, along which a surface is divided.
sector : what lies between two lines; the whole way round where there is one line only.
parameters : the kernel's two coordinates of a surface.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from OCP.Geom import (
    Geom_BezierCurve,
    Geom_BezierSurface,
    Geom_Circle,
    Geom_ConicalSurface,
    Geom_Curve,
    Geom_CylindricalSurface,
    Geom_Line,
    Geom_Surface,
    Geom_ToroidalSurface,
)
from OCP.gp import gp_Ax2, gp_Ax3, gp_Dir, gp_Pnt
from OCP.TColgp import TColgp_Array1OfPnt, TColgp_Array2OfPnt
from OCP.TColStd import TColStd_Array2OfReal
from typing_extensions import override

from frame3d.frame.measure.measures import PRESSED, ProfileStretch, stretches
from frame3d.frame.model.bodies import SweptRing
from frame3d.geometry.paths import (
    NEGLIGIBLE_MM,
    Arc,
    Line,
    PlanePath,
    Segment,
    Station,
    advance,
)

QUARTER, FULL = math.pi / 2, 2 * math.pi


class AxisStation:
    """A station of a tube's axis with its directions, as arrays."""

    def __init__(self, station: Station) -> None:
        self.station = station
        self.point = np.array((station.x_mm, station.y_mm, 0.0))
        self.tangent = np.array((*station.tangent, 0.0))
        self.normal = np.array((*station.normal, 0.0))
        self.binormal = np.array((0.0, 0.0, 1.0))

    def out(self, clock: np.ndarray) -> np.ndarray:
        """The direction of each clock angle, (n, 3)."""
        cos, sin = np.cos(clock)[:, None], np.sin(clock)[:, None]
        directions: np.ndarray = cos * self.normal + sin * self.binormal
        return directions

    def round(self, clock: np.ndarray) -> np.ndarray:
        """The direction in which the clock runs at each clock angle, (n, 3)."""
        cos, sin = np.cos(clock)[:, None], np.sin(clock)[:, None]
        directions: np.ndarray = cos * self.binormal - sin * self.normal
        return directions

    def axes(self) -> gp_Ax3:
        """Along the axis, clock angle 0 first."""
        return gp_Ax3(_point(self.point), _direction(self.tangent), _direction(self.normal))

    def ring(self, radius_mm: float) -> Geom_Circle:
        """The circle square to the axis, run by clock angle."""
        return Geom_Circle(gp_Ax2(*_placed(self.point, self.tangent, self.normal)), radius_mm)


class Surface:
    """One surface of a tube, from one ring to the next.

    Parameters
    ----------
    station : Station
        Of the axis where it begins.
    start_mm, length_mm : float
        Where it begins along the tube's axis, and how long it is there.
    radius_mm : float
        Of the ring where it begins.
    """

    lines = 1
    """How many lines divide it."""
    is_even = True
    """Whether rings and lines are straight in its parameters."""

    def __init__(
        self, station: Station, start_mm: float, length_mm: float, radius_mm: float
    ) -> None:
        self.frame = AxisStation(station)
        self.start_mm, self.length_mm, self.radius_mm = start_mm, length_mm, radius_mm

    def points(self, clock: np.ndarray, along: np.ndarray) -> np.ndarray:
        """Points of the surface, (n, 3), mm."""
        return self.here(clock, along)[0]

    def here(self, clock: np.ndarray, along: np.ndarray) -> tuple[np.ndarray, ...]:
        """Points of the surface, mm, and how they move with the clock and along, (n, 3) each."""
        raise NotImplementedError

    def parameters(self, clock: np.ndarray, along: np.ndarray, first: float) -> np.ndarray:
        """The kernel's parameters, (n, 2), in the sector that begins at clock ``first``."""
        raise NotImplementedError

    def scales(self) -> tuple[float, float]:
        """How far a unit of either parameter moves a point, mm, at most."""
        raise NotImplementedError

    def kernel(self, first: float) -> Geom_Surface:
        """The kernel's surface, for the sector that begins at clock ``first``."""
        raise NotImplementedError

    def line(self, clock: float) -> tuple[Geom_Curve, float]:
        """The line at a clock angle, and how far its parameter runs for each mm along."""
        raise NotImplementedError

    def ring_at(self, along: float) -> AxisStation:
        """The frame of the ring so far along."""
        raise NotImplementedError


class Cylinder(Surface):
    """Round a straight stretch of the axis."""

    @override
    def here(self, clock: np.ndarray, along: np.ndarray) -> tuple[np.ndarray, ...]:
        out = self.frame.out(clock)
        radius = (self.radius_mm + self._grows() * along)[:, None]
        places = self.frame.point + along[:, None] * self.frame.tangent + radius * out
        return places, radius * self.frame.round(clock), self.frame.tangent + self._grows() * out

    def _grows(self) -> float:
        return 0.0

    @override
    def parameters(self, clock: np.ndarray, along: np.ndarray, first: float) -> np.ndarray:
        return np.column_stack([clock, along * math.hypot(1.0, self._grows())])

    @override
    def scales(self) -> tuple[float, float]:
        return (self.radius_mm + abs(self._grows()) * self.length_mm, 1.0)

    @override
    def kernel(self, first: float) -> Geom_Surface:
        return Geom_CylindricalSurface(self.frame.axes(), self.radius_mm)

    @override
    def line(self, clock: float) -> tuple[Geom_Curve, float]:
        at = np.array([clock])
        start, _, heading = self.here(at, np.zeros(1))
        return Geom_Line(_point(start[0]), _direction(heading[0])), math.hypot(1.0, self._grows())

    @override
    def ring_at(self, along: float) -> AxisStation:
        station = self.frame.station
        x, y = station.tangent
        return AxisStation(
            Station(station.x_mm + x * along, station.y_mm + y * along, station.heading_rad)
        )


class Cone(Cylinder):
    """A taper on a straight stretch of the axis."""

    def __init__(
        self, station: Station, start_mm: float, length_mm: float, radii_mm: tuple[float, float]
    ) -> None:
        super().__init__(station, start_mm, length_mm, radii_mm[0])
        self._slope = (radii_mm[1] - radii_mm[0]) / length_mm

    @override
    def _grows(self) -> float:
        return self._slope

    @override
    def kernel(self, first: float) -> Geom_Surface:
        return Geom_ConicalSurface(self.frame.axes(), math.atan(self._slope), self.radius_mm)


class Torus(Surface):
    """Round a bend of the axis."""

    def __init__(self, station: Station, start_mm: float, arc: Arc, radius_mm: float) -> None:
        super().__init__(station, start_mm, arc.length_mm, radius_mm)
        self._side = math.copysign(1.0, arc.angle_rad)
        self._bend_mm = arc.radius_mm
        self._centre = self.frame.point + self._side * arc.radius_mm * self.frame.normal

    @override
    def here(self, clock: np.ndarray, along: np.ndarray) -> tuple[np.ndarray, ...]:
        half = along / (2 * self._bend_mm)
        cos_half, sin_half = np.cos(half)[:, None], self._side * np.sin(half)[:, None]
        ahead, aside = self.frame.tangent, self.frame.normal
        # By the chord, which loses no digits where the bend is wide.
        chord = 2 * self._bend_mm * self._side * sin_half
        at = self.frame.point + chord * (cos_half * ahead + sin_half * aside)
        cos_turn, sin_turn = 1 - 2 * sin_half**2, 2 * sin_half * cos_half
        tangent, normal = cos_turn * ahead + sin_turn * aside, cos_turn * aside - sin_turn * ahead
        cos, sin = np.cos(clock)[:, None], np.sin(clock)[:, None]
        places = at + self.radius_mm * (cos * normal + sin * self.frame.binormal)
        by_clock = self.radius_mm * (cos * self.frame.binormal - sin * normal)
        return places, by_clock, (1 - self._side * self.radius_mm * cos / self._bend_mm) * tangent

    @override
    def parameters(self, clock: np.ndarray, along: np.ndarray, first: float) -> np.ndarray:
        around = (math.pi if self._side > 0 else 0.0) - clock
        # The sector ends where this begins: within the first turn, or some readers lose their way.
        begins = (math.pi if self._side > 0 else 0.0) - first - FULL
        return np.column_stack([along / self._bend_mm, around - begins + begins % FULL])

    @override
    def scales(self) -> tuple[float, float]:
        return (self._bend_mm + self.radius_mm, self.radius_mm)

    @override
    def kernel(self, first: float) -> Geom_Surface:
        placed = _placed(
            self._centre, self._side * self.frame.binormal, -self._side * self.frame.normal
        )
        return Geom_ToroidalSurface(gp_Ax3(*placed), self._bend_mm, self.radius_mm)

    @override
    def line(self, clock: float) -> tuple[Geom_Curve, float]:
        up = self.radius_mm * math.sin(clock) * self.frame.binormal
        placed = _placed(
            self._centre + up, self._side * self.frame.binormal, -self._side * self.frame.normal
        )
        radius = self._bend_mm - self._side * self.radius_mm * math.cos(clock)
        return Geom_Circle(gp_Ax2(*placed), radius), 1.0 / self._bend_mm

    @override
    def ring_at(self, along: float) -> AxisStation:
        turn = self._side * along / self._bend_mm
        chord = 2 * self._bend_mm * math.sin(along / self._bend_mm / 2)
        station = self.frame.station
        middle = station.heading_rad + turn / 2
        return AxisStation(
            Station(
                station.x_mm + chord * math.cos(middle),
                station.y_mm + chord * math.sin(middle),
                station.heading_rad + turn,
            )
        )


class Ruled(Surface):
    """A taper on a bend: straight lines between two rings square to the axis, in quarters."""

    lines = 4
    is_even = False

    def __init__(
        self, ends: tuple[Station, Station], start_mm: float, length_mm: float,
        radii_mm: tuple[float, float],
    ) -> None:  # fmt: skip
        super().__init__(ends[0], start_mm, length_mm, radii_mm[0])
        self._ends = (self.frame, AxisStation(ends[1]))
        self._radii = radii_mm

    def _rings(self, clock: np.ndarray) -> list[np.ndarray]:
        return [
            end.point + radius * end.out(clock)
            for end, radius in zip(self._ends, self._radii, strict=True)
        ]

    @override
    def here(self, clock: np.ndarray, along: np.ndarray) -> tuple[np.ndarray, ...]:
        share = (along / self.length_mm)[:, None]
        low, high = self._rings(clock)
        turns = [
            radius * end.round(clock) for end, radius in zip(self._ends, self._radii, strict=True)
        ]
        by_clock = (1 - share) * turns[0] + share * turns[1]
        return (1 - share) * low + share * high, by_clock, (high - low) / self.length_mm

    @override
    def parameters(self, clock: np.ndarray, along: np.ndarray, first: float) -> np.ndarray:
        return np.column_stack([quarter_share(clock - first), along / self.length_mm])

    @override
    def scales(self) -> tuple[float, float]:
        return (2 * max(self._radii), 2 * self.length_mm)

    @override
    def kernel(self, first: float) -> Geom_Surface:
        poles, weights = TColgp_Array2OfPnt(1, 3, 1, 2), TColStd_Array2OfReal(1, 3, 1, 2)
        for column, (end, radius) in enumerate(zip(self._ends, self._radii, strict=True), start=1):
            low, high = end.out(np.array([first, first + QUARTER]))
            for row, way in enumerate((low, low + high, high), start=1):
                poles.SetValue(row, column, _point(end.point + radius * way))
                weights.SetValue(row, column, math.sqrt(0.5) if row == 2 else 1.0)
        return Geom_BezierSurface(poles, weights)

    @override
    def line(self, clock: float) -> tuple[Geom_Curve, float]:
        poles = TColgp_Array1OfPnt(1, 2)
        for number, ring in enumerate(self._rings(np.array([clock])), start=1):
            poles.SetValue(number, _point(ring[0]))
        return Geom_BezierCurve(poles), 1.0 / self.length_mm

    @override
    def ring_at(self, along: float) -> AxisStation:
        return self._ends[0 if along < self.length_mm / 2 else 1]


def quarter_share(turn: np.ndarray) -> np.ndarray:
    """Where a rational quarter circle of three poles, run from 0 to 1, has turned so far, rad."""
    # It is run so that t / (1 - t) is as these two sines.
    here, there = np.sin(turn / 2), np.sin((QUARTER - turn) / 2)
    share: np.ndarray = here / (here + there)
    return share


def surfaces_of(tube: SweptRing, thinner_mm: float) -> Iterator[Surface]:
    """The round surfaces of a tube, one after the other; inner ones thinner by the wall."""
    for stretch in stretches(tube):
        if stretch.kind in PRESSED:
            continue
        pieces = _pieces(tube.axis, stretch.start_mm, stretch.end_mm)
        radii = (stretch.start_radius_mm - thinner_mm, stretch.end_radius_mm - thinner_mm)
        if stretch.kind is not ProfileStretch.TAPER or radii[0] == radii[1]:
            for start, station, piece in pieces:
                yield _swept(station, start, piece, radii[0])
            continue
        start, station, piece = pieces[0]
        length = stretch.end_mm - start
        if len(pieces) == 1 and isinstance(piece, Line):
            yield Cone(station, start, length, radii)
        else:
            yield Ruled((station, tube.axis.at(stretch.end_mm)), start, length, radii)


def _pieces(axis: PlanePath, low_mm: float, high_mm: float) -> list[tuple[float, Station, Segment]]:
    """The stretch of the axis between two distances: where each segment begins, and it."""
    found = []
    for (start, station), segment in zip(axis.starts, axis.segments, strict=True):
        low = max(low_mm, start)
        high = min(high_mm, start + segment.length_mm)
        if high - low <= NEGLIGIBLE_MM:
            continue
        part = PlanePath((segment,)).cut(low - start, high - start).segments[0]
        found.append((low, advance(station, segment, low - start), part))
    return found


def _swept(station: Station, start_mm: float, piece: Line | Arc, radius_mm: float) -> Surface:
    """The surface that a ring sweeps along one segment of the axis."""
    if isinstance(piece, Line):
        return Cylinder(station, start_mm, piece.length_mm, radius_mm)
    return Torus(station, start_mm, piece, radius_mm)


def _point(place: np.ndarray) -> gp_Pnt:
    return gp_Pnt(*map(float, place))


def _direction(way: np.ndarray) -> gp_Dir:
    return gp_Dir(*map(float, way))


def _placed(place: np.ndarray, up: np.ndarray, first: np.ndarray) -> tuple[gp_Pnt, gp_Dir, gp_Dir]:
    return _point(place), _direction(up), _direction(first)
