"""A bent path as machines are told it: stretches, arcs by gauge, intersection points, feeds.

Glossary
--------
stretch : a straight or a bend, from one place along the path to another.
gauge : a straightedge laid into the inside of a bend; what is under its middle is the rise.
intersection point : where the straights before and after a bend would meet.
feed : the straight between the end of one bend and the start of the next.
rotation : by how much the tube is turned about its axis before a bend.

References
----------
Of an arc of radius R that turns by t: tangent length R tan(t/2), chord 2 R sin(t/2), sagitta
R (1 - cos(t/2)); under a chord c the rise is R - sqrt(R² - c²/4). Closed forms of the circle.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from frame3d.geometry.paths import NEGLIGIBLE_MM, Arc, PlanePath, advance

_MOST_TURN_RAD = math.radians(120.0)
"""A bend that turns by more is told in equal parts: at half a turn its straights never meet."""
_SAME_RADIUS = 1e-9


class Stretch(Struct, frozen=True, kw_only=True):
    """From where to where along the path, its radius (infinite: a straight) and angle, rad."""

    start_mm: float
    end_mm: float
    radius_mm: float = math.inf
    angle_rad: float = 0.0

    @property
    def is_straight(self) -> bool:
        """Whether it does not bend."""
        return math.isinf(self.radius_mm)

    @property
    def length_mm(self) -> float:
        """Along the path, mm."""
        return self.end_mm - self.start_mm

    @property
    def chord_mm(self) -> float:
        """Of a bend: between its ends, mm."""
        return 2 * self.radius_mm * math.sin(abs(self.angle_rad) / 2)

    @property
    def sagitta_mm(self) -> float:
        """Of a bend: from the middle of its chord, mm."""
        return self.radius_mm * (1 - math.cos(self.angle_rad / 2))


def stretches(path: PlanePath, hair_mm: float = 0.0) -> tuple[Stretch, ...]:
    """The straights and bends of ``path``; neighbours of one radius are one.

    Bends at either end of the path count as straight while its tip is off by less than
    ``hair_mm`` then: nobody can bend or measure them.
    """
    found = [
        Stretch(
            start_mm=along,
            end_mm=along + segment.length_mm,
            radius_mm=segment.radius_mm if isinstance(segment, Arc) else math.inf,
            angle_rad=segment.angle_rad,
        )
        for (along, _), segment in zip(path.starts, path.segments, strict=True)
    ]
    for order in (range(len(found)), range(len(found) - 1, -1, -1)):
        beyond = off = 0.0
        for i in order:
            one = found[i]
            off += abs(one.angle_rad) * (beyond + one.length_mm / 2)
            beyond += one.length_mm
            if not one.is_straight and off >= hair_mm:
                break
            found[i] = Stretch(start_mm=one.start_mm, end_mm=one.end_mm)
    joined: list[Stretch] = []
    for one in found:
        if joined and _goes_on(joined[-1], one):
            joined[-1] = Stretch(
                start_mm=joined[-1].start_mm,
                end_mm=one.end_mm,
                radius_mm=one.radius_mm,
                angle_rad=joined[-1].angle_rad + one.angle_rad,
            )
        else:
            joined.append(one)
    return tuple(joined)


def _goes_on(one: Stretch, after: Stretch) -> bool:
    if one.is_straight or after.is_straight:
        return one.is_straight and after.is_straight
    same = abs(one.radius_mm - after.radius_mm) <= _SAME_RADIUS * one.radius_mm
    return same and one.angle_rad * after.angle_rad > 0


def rise_mm(radius_mm: float, gauge_mm: float) -> float:
    """Under the middle of a gauge that lies in an arc of that radius, mm.

    Raises
    ------
    ValueError
        If the gauge is longer than the diameter.
    """
    if gauge_mm > 2 * radius_mm:
        raise ValueError(f"a gauge of {gauge_mm} mm does not lie in a radius of {radius_mm} mm")
    half = gauge_mm / 2
    # As a quotient: no loss of digits for radii that are very large.
    return half**2 / (radius_mm + math.sqrt(radius_mm**2 - half**2))


def gauge_for(stretch: Stretch, half_od_mm: float, gauges_mm: Sequence[float]) -> float | None:
    """The longest of ``gauges_mm`` that lies in the inside of a bend; None where none does."""
    inside = stretch.radius_mm - half_od_mm
    turn = min(abs(stretch.angle_rad), math.pi)
    room = 2 * inside * math.sin(turn / 2)
    return max((gauge for gauge in gauges_mm if gauge <= room), default=None)


class MachineBend(Struct, frozen=True, kw_only=True):
    """A bend of a rotary bender.

    Parameters
    ----------
    feed_mm : float
        Straight before it.
    rotation_rad : float
        Turn of the tube about its axis from the bend before; the first's is from clock angle 0.
    bend_rad, radius_mm : float
        Angle and radius of the axis.
    at : x, y
        Its intersection point in the path's own axes, mm.
    """

    feed_mm: float
    rotation_rad: float
    bend_rad: float
    radius_mm: float
    at: tuple[float, float]

    @property
    def has_grip(self) -> bool:
        """Whether a straight lies before it, which a rotary bender must grip."""
        return self.feed_mm > NEGLIGIBLE_MM


class MachineBends(Struct, frozen=True, kw_only=True):
    """All bends of a path, the straight after the last, and where the path ends."""

    bends: tuple[MachineBend, ...]
    last_feed_mm: float
    end: tuple[float, float]

    @property
    def rotary(self) -> bool:
        """Whether a rotary bender can make them all."""
        return all(bend.has_grip for bend in self.bends)


def machine_bends(path: PlanePath) -> MachineBends:
    """The bends of ``path`` in their order.

    Examples
    --------
    A quarter turn at 100 mm after 50 mm: its straights meet at x = 150.

    >>> from frame3d.geometry.paths import Line
    >>> told = machine_bends(PlanePath((Line(50.0), Arc(100.0, math.pi / 2), Line(20.0))))
    >>> [round(value, 9) for value in told.bends[0].at]
    [150.0, 0.0]
    """
    bends: list[MachineBend] = []
    feed, side = 0.0, 1.0
    for (_, here), segment in zip(path.starts, path.segments, strict=True):
        if not isinstance(segment, Arc):
            feed += segment.length_mm
            continue
        count = math.ceil(abs(segment.angle_rad) / _MOST_TURN_RAD - 1e-9)
        part = Arc(segment.radius_mm, segment.angle_rad / count)
        for number in range(count):
            start = advance(here, segment, number * part.length_mm)
            reach = part.radius_mm * math.tan(abs(part.angle_rad) / 2)
            way = math.copysign(1.0, part.angle_rad)
            x, y = start.tangent
            bends.append(
                MachineBend(
                    feed_mm=feed,
                    rotation_rad=0.0 if way == side else math.pi,
                    bend_rad=abs(part.angle_rad),
                    radius_mm=part.radius_mm,
                    at=(start.x_mm + reach * x, start.y_mm + reach * y),
                )
            )
            feed, side = 0.0, way
    end = path.end
    return MachineBends(bends=tuple(bends), last_feed_mm=feed, end=(end.x_mm, end.y_mm))
