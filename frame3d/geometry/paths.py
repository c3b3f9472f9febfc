"""Plane paths of straight and circular segments, run through by arc length.

Glossary
--------
path : lines and arcs, each tangent to the next. It starts at (0, 0), heading
    along +x; left turns (toward +y) have positive angles.
station : a point on a path with the heading there.
normal : the heading turned a quarter turn to the left.
developed length : the length of the path, which is that of the straight tube
    from which the bent one is made.
"""

from __future__ import annotations

import math
from functools import cached_property

from msgspec import Struct

NEGLIGIBLE_MM = 1e-6


class Line(Struct, frozen=True):
    """A straight segment, ``length_mm`` long."""

    length_mm: float

    @property
    def angle_rad(self) -> float:
        """Zero: a line does not turn."""
        return 0.0


class Arc(Struct, frozen=True):
    """A circular segment: radius of the axis, mm, and signed angle, rad (left positive)."""

    radius_mm: float
    angle_rad: float

    @property
    def length_mm(self) -> float:
        """Length along the arc, mm."""
        return self.radius_mm * abs(self.angle_rad)


Segment = Line | Arc


class Station(Struct, frozen=True):
    """A point of a path, mm, and its heading, rad from +x, left positive."""

    x_mm: float
    y_mm: float
    heading_rad: float

    @property
    def tangent(self) -> tuple[float, float]:
        """Unit vector along the path."""
        return (math.cos(self.heading_rad), math.sin(self.heading_rad))

    @property
    def normal(self) -> tuple[float, float]:
        """Unit vector to the left of the path."""
        return (-math.sin(self.heading_rad), math.cos(self.heading_rad))


_BEGINNING = Station(0.0, 0.0, 0.0)


def advance(start: Station, segment: Segment, distance_mm: float) -> Station:
    """The station ``distance_mm`` along ``segment``, which begins at ``start``."""
    if isinstance(segment, Line):
        cos, sin = start.tangent
        return Station(
            start.x_mm + distance_mm * cos, start.y_mm + distance_mm * sin, start.heading_rad
        )
    turn = distance_mm / segment.radius_mm * math.copysign(1.0, segment.angle_rad)
    # By the chord: no loss of digits for arcs of very large radius. It holds for
    # negative distances too, since sin is odd.
    chord = 2 * segment.radius_mm * math.sin(distance_mm / segment.radius_mm / 2)
    middle = start.heading_rad + turn / 2
    return Station(
        start.x_mm + chord * math.cos(middle),
        start.y_mm + chord * math.sin(middle),
        start.heading_rad + turn,
    )


class PlanePath(Struct, frozen=True, dict=True):
    """A tangent-continuous path of lines and arcs.

    Parameters
    ----------
    segments : tuple of Line or Arc
        At least one; each longer than 1e-6 mm.

    Examples
    --------
    >>> path = PlanePath((Line(100.0), Arc(200.0, math.pi / 2)))
    >>> round(path.length_mm, 6)
    414.159265
    >>> end = path.end
    >>> round(end.x_mm, 9), round(end.y_mm, 9)
    (300.0, 200.0)
    """

    segments: tuple[Segment, ...]

    def __post_init__(self) -> None:
        """Refuse a path of nothing."""
        if not self.segments:
            raise ValueError("a path needs at least one segment")
        for segment in self.segments:
            if not segment.length_mm > NEGLIGIBLE_MM:
                raise ValueError(f"a segment of {segment.length_mm} mm is too short: {segment}")

    @property
    def length_mm(self) -> float:
        """Developed length, mm."""
        return math.fsum(segment.length_mm for segment in self.segments)

    @property
    def is_straight(self) -> bool:
        """True when the path has no arc."""
        return all(isinstance(segment, Line) for segment in self.segments)

    # Kept with the path, which is asked for thousands of its points: to look it up by value would
    # hash every segment each time.
    @cached_property
    def starts(self) -> tuple[tuple[float, Station], ...]:
        """For each segment, how far along it starts (mm) and the station there."""
        return _starts(self.segments)

    @property
    def end(self) -> Station:
        """The station at the end."""
        here = _BEGINNING
        for segment in self.segments:
            here = advance(here, segment, segment.length_mm)
        return here

    def at(self, distance_mm: float) -> Station:
        """The station ``distance_mm`` from the start; beyond an end, its segment goes on."""
        if len(self.segments) == 1:
            return advance(_BEGINNING, self.segments[0], distance_mm)
        starts = self.starts
        for number in range(len(starts) - 1, -1, -1):
            along, here = starts[number]
            if distance_mm >= along:
                return advance(here, self.segments[number], distance_mm - along)
        return advance(starts[0][1], self.segments[0], distance_mm)

    def reversed(self) -> PlanePath:
        """The same curve from its other end, bent to the same hand.

        The tube is turned end for end about its normal: what turned left still does.
        """
        return PlanePath(self.segments[::-1])

    def there_and_back(self) -> PlanePath:
        """The path and then its mirror image, bent to the same hand; an arc between them is one."""
        *others, last = self.segments
        middle: tuple[Segment, ...] = (last, last)
        if isinstance(last, Arc):
            middle = (Arc(last.radius_mm, 2 * last.angle_rad),)
        return PlanePath((*others, *middle, *reversed(others)))

    def mirrored(self) -> PlanePath:
        """The path with left and right exchanged (the tube rolled half a turn)."""
        return PlanePath(
            tuple(
                s if isinstance(s, Line) else Arc(s.radius_mm, -s.angle_rad) for s in self.segments
            )
        )

    def cut(self, start_mm: float, end_mm: float) -> PlanePath:
        """The stretch between two distances from the start, as a path of its own.

        Raises
        ------
        ValueError
            If the stretch is empty or leaves the path by more than 1e-6 mm.
        """
        total = self.length_mm
        if start_mm < -NEGLIGIBLE_MM or end_mm > total + NEGLIGIBLE_MM or end_mm <= start_mm:
            raise ValueError(f"no stretch from {start_mm} to {end_mm} mm on a path of {total} mm")
        pieces: list[Segment] = []
        along = 0.0
        for segment in self.segments:
            low = max(start_mm, along) - along
            high = min(end_mm, along + segment.length_mm) - along
            if high - low > NEGLIGIBLE_MM:
                if isinstance(segment, Line):
                    pieces.append(Line(high - low))
                else:
                    share = (high - low) / segment.length_mm
                    pieces.append(Arc(segment.radius_mm, segment.angle_rad * share))
            along += segment.length_mm
        return PlanePath(tuple(pieces))

    def bounds(self) -> tuple[float, float, float, float]:
        """Smallest and largest x and y on the path, mm: (x0, y0, x1, y1), exact."""
        xs, ys = [], []
        for (_, here), segment in zip(self.starts, self.segments, strict=True):
            stops = [0.0, segment.length_mm]
            if isinstance(segment, Arc):
                stops += _turning_points(here.heading_rad, segment)
            for stop in stops:
                station = advance(here, segment, stop)
                xs.append(station.x_mm)
                ys.append(station.y_mm)
        return (min(xs), min(ys), max(xs), max(ys))


def _starts(segments: tuple[Segment, ...]) -> tuple[tuple[float, Station], ...]:
    result, along, here = [], 0.0, _BEGINNING
    for segment in segments:
        result.append((along, here))
        here = advance(here, segment, segment.length_mm)
        along += segment.length_mm
    return tuple(result)


def _turning_points(heading_rad: float, arc: Arc) -> list[float]:
    """Distances along ``arc`` at which it runs parallel to an axis."""
    quarter = math.pi / 2
    low, high = sorted((heading_rad, heading_rad + arc.angle_rad))
    first, last = math.ceil(low / quarter), math.floor(high / quarter)
    return [abs(k * quarter - heading_rad) * arc.radius_mm for k in range(first, last + 1)]
