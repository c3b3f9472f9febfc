"""Volume and centre of tubes, swaged and pressed flat, by arithmetic alone.

Glossary
--------
body : the stretch of a tube that has its full section.
reduced : the stretch of a swage that has the smaller section; the wall is kept.
taper : the stretch between the two, drawn straight from circle to circle.
oblong : two half circles joined by straight sides; the section of a pressed end.
lean : of the end of a flat, how far it runs on along the axis for each mm across the flat.

References
----------
Pappus's second theorem (any text on calculus): a section of area A whose centroid
runs along a path of length L, square to it, sweeps the volume A L.
"""

from __future__ import annotations

import enum
import functools
import math
from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from frame3d.frame.measure.integrals import half_chord, half_turn_rule
from frame3d.frame.model.bodies import Hole, SweptRing
from frame3d.frame.model.end_forms import Flat, Swage
from frame3d.frame.model.pressed import hole_clock_rad, is_pressed
from frame3d.geometry.paths import Arc, PlanePath, Station, advance


class ProfileStretch(enum.Enum):
    """What a stretch of a tube is."""

    BODY = "body"
    REDUCED = "reduced"
    TAPER = "taper"
    TRANSITION = "transition"
    FLAT = "flat"


PRESSED = (ProfileStretch.TRANSITION, ProfileStretch.FLAT)
"""The stretches whose section is an oblong."""


class TubeStretch(Struct, frozen=True, kw_only=True):
    """A stretch of a tube over which its section is constant or changes evenly.

    Parameters
    ----------
    kind : ProfileStretch
    start_mm, end_mm : float
        Distances along the axis.
    start_radius_mm, end_radius_mm : float
        Outside radii at the two ends; of an oblong, half of what it measures square to
        the flat.
    start_half_mm, end_half_mm : float
        Half the length of the straight sides of an oblong; 0 where the tube is round.
    clock_rad : float
        Clock angle of the direction square to the flat.
    start_lean, end_lean : float
        Of a flat: how far its ends run on along the axis for each mm across it, in the
        direction a quarter turn on from that clock angle. 0 for one that is square.
    """

    kind: ProfileStretch
    start_mm: float
    end_mm: float
    start_radius_mm: float
    end_radius_mm: float
    start_half_mm: float = 0.0
    end_half_mm: float = 0.0
    clock_rad: float = 0.0
    start_lean: float = 0.0
    end_lean: float = 0.0


def stretches(tube: SweptRing) -> tuple[TubeStretch, ...]:
    """The reduced, pressed, tapered and full stretches of ``tube``, from start to end."""
    full, length = tube.section.od_mm / 2, tube.length_mm
    low, first = _end_stretches(tube, tube.start)
    before, last = _end_stretches(tube, tube.end)
    body = TubeStretch(
        kind=ProfileStretch.BODY,
        start_mm=low,
        end_mm=length - before,
        start_radius_mm=full,
        end_radius_mm=full,
    )
    return (*first, body, *(_reversed(stretch, length) for stretch in reversed(last)))


def radii_at(tube: SweptRing, at_mm: float) -> tuple[float, float]:
    """Outside and inside radius of ``tube`` at a distance along its axis, mm.

    Where it is pressed flat, half of what its outside and its bore measure square to
    the flat.
    """
    outside = tube.section.od_mm / 2
    for stretch in stretches(tube):
        if stretch.start_mm <= at_mm <= stretch.end_mm:
            span = stretch.end_mm - stretch.start_mm
            share = (at_mm - stretch.start_mm) / span if span else 0.0
            grows = stretch.end_radius_mm - stretch.start_radius_mm
            outside = stretch.start_radius_mm + share * grows
            break
    return outside, outside - tube.section.wall_mm


@functools.lru_cache(maxsize=4096)  # parts of a frame have many holes alike
def hole_volume_mm3(
    outside_mm: float, inside_mm: float, radius_mm: float,
    curvature_per_mm: float = 0.0, clock_rad: float = 0.0,
) -> float:  # fmt: skip
    """Volume that a hole square through the axis of a tube takes away, mm³.

    The integral over y, across the hole, of its chord times the material that it
    passes in both walls; y = r sin t makes the integrand smooth. In a bend the walls are
    those of a torus.

    Parameters
    ----------
    outside_mm, inside_mm : float
        Radii of the tube, mm.
    radius_mm : float
        Radius of the hole, mm.
    curvature_per_mm, clock_rad : float
        Of the tube's axis at the hole, and the direction in which it is drilled.
    """
    angle, weight = half_turn_rule()
    y, half = radius_mm * np.sin(angle), radius_mm * np.cos(angle)
    walls = 2 * (half_chord(outside_mm, y) - half_chord(inside_mm, y))
    sections = 2 * half * walls
    if curvature_per_mm:
        bend = 1 / abs(curvature_per_mm)
        sections = sum(
            sign * _under_torus_mm2(bend, r, y, half, clock_rad + side)
            for side in (0.0, math.pi)
            for r, sign in ((outside_mm, 1), (inside_mm, -1))
        )
    return float(np.sum(weight * half * sections))


def _under_torus_mm2(
    bend_mm: float, radius_mm: float, y: np.ndarray, half: np.ndarray, clock_rad: float
) -> np.ndarray:
    """The section under a torus at each y: the integral of its height over the axis along it.

    A point x along, y across and h up the hole lies on the torus where its arm, from the nearest
    point of the axis, is as long as the tube's radius; h is found by Newton's steps.
    """
    angle, weight = half_turn_rule()
    x = np.outer(half, np.sin(angle))
    # Clock angles run against y on the far side of the tube, which changes nothing in the sum.
    cos, sin, across = math.cos(clock_rad), math.sin(clock_rad), y[:, None]
    height = np.broadcast_to(half_chord(radius_mm, y)[:, None], x.shape).copy()
    for _ in range(6):
        toward = bend_mm - (height * cos - across * sin)
        reach = np.hypot(x, toward)
        arm, up = bend_mm - reach, height * sin + across * cos
        slope = 2 * (arm * toward / reach * cos + up * sin)
        height -= (arm**2 + up**2 - radius_mm**2) / slope
    chords: np.ndarray = np.sum(weight * np.cos(angle) * height, axis=1) * half
    return chords


def tube_volume_mm3(tube: SweptRing) -> float:
    """Volume of ``tube``, mm³; see :func:`measures.volume_mm3`.

    Holes are taken to keep clear of transitions and of the edges of flats. A slanting
    cut takes nothing away: it meets the axis where the length ends.
    """
    wall, total = tube.section.wall_mm, 0.0
    for stretch in stretches(tube):
        if stretch.kind is ProfileStretch.TAPER:
            total += _frustum(tube.axis, stretch, 0.0) - _frustum(tube.axis, stretch, wall)
        elif stretch.kind in PRESSED:
            # Pressing keeps the steel's area, see Flat.
            total += tube.section.area_mm2 * (stretch.end_mm - stretch.start_mm)
        else:
            area = math.pi * (2 * stretch.start_radius_mm - wall) * wall
            total += area * (stretch.end_mm - stretch.start_mm)
    return total - sum(_bored_mm3(tube, hole) for hole in tube.holes)


def tube_centre_mm(tube: SweptRing) -> tuple[float, float, float]:
    """Centre of mass of ``tube``, mm; see :func:`measures.centre_mm`."""
    total, moment, beside = 0.0, np.zeros(2), 0.0
    wall = tube.section.wall_mm
    for stretch in stretches(tube):
        for along, piece_mm, station, curvature in _gauss_points(tube.axis, stretch):
            share = (along - stretch.start_mm) / (stretch.end_mm - stretch.start_mm)
            grows = stretch.end_radius_mm - stretch.start_radius_mm
            outside = stretch.start_radius_mm + share * grows
            inside = outside - wall
            area, second = tube.section.area_mm2, 0.0
            if stretch.kind not in PRESSED:
                area = math.pi * (outside**2 - inside**2)
                second = math.pi / 4 * (outside**4 - inside**4)
            total += area * piece_mm
            point = np.array((station.x_mm, station.y_mm))
            moment += piece_mm * (area * point - curvature * second * np.array(station.normal))
        in_plane, across = _wedges_mm4(tube.axis, stretch)
        moment += in_plane
        beside += across
    for hole in tube.holes:
        gone = _bored_mm3(tube, hole)
        station = tube.axis.at(hole.at_mm)
        total -= gone
        moment -= gone * np.array((station.x_mm, station.y_mm))
    return (float(moment[0] / total), float(moment[1] / total), float(beside / total))


def _wedges_mm4(axis: PlanePath, stretch: TubeStretch) -> tuple[np.ndarray, float]:
    """What the slanting ends of a flat add to its first moments, mm⁴: in x and y, and in z.

    A cut of lean k adds a wedge k u high at each u across the flat (takes it away, where
    u is negative). With I the integral of u² over the oblong, their moment is k I
    across the flat and k² I / 2 along the axis, outward.
    """
    in_plane, across = np.zeros(2), 0.0
    half, radius = stretch.start_half_mm, stretch.start_radius_mm
    # Sides of 2a by 2r, and a half circle about either end of them.
    second = 4 * radius * half**3 / 3 + math.pi * radius**4 / 4
    second += 8 * half * radius**3 / 3 + math.pi * half**2 * radius**2
    sin, cos = math.sin(stretch.clock_rad), math.cos(stretch.clock_rad)
    for sign, at_mm, lean in (
        (-1.0, stretch.start_mm, stretch.start_lean),
        (1.0, stretch.end_mm, stretch.end_lean),
    ):
        if lean:
            station = axis.at(at_mm)
            along, normal = np.array(station.tangent), np.array(station.normal)
            in_plane += sign * second * (lean**2 / 2 * along - lean * sin * normal)
            across += sign * second * lean * cos
    return in_plane, across


def _end_stretches(
    tube: SweptRing, end: Swage | Flat | None
) -> tuple[float, tuple[TubeStretch, ...]]:
    """How much of a tube's start an end form takes, mm, and its stretches there."""
    if end is None:
        return 0.0, ()
    full, wall = tube.section.od_mm / 2, tube.section.wall_mm
    if isinstance(end, Flat):
        kinds = ProfileStretch.FLAT, ProfileStretch.TRANSITION
        small, half, clock = wall, math.pi * (full - wall) / 2, end.clock_rad
        lean = -math.tan(end.slant_rad) if end.slant_rad else 0.0
        inner = end.length_mm + end.transition_mm
    else:
        kinds = ProfileStretch.REDUCED, ProfileStretch.TAPER
        small, half, clock, lean = end.od_mm / 2, 0.0, 0.0, 0.0
        inner = end.length_mm + end.taper_mm
    kept = TubeStretch(
        kind=kinds[0],
        start_mm=0.0,
        end_mm=end.length_mm,
        start_radius_mm=small,
        end_radius_mm=small,
        start_half_mm=half,
        end_half_mm=half,
        clock_rad=clock,
        start_lean=lean,
    )
    changing = TubeStretch(
        kind=kinds[1],
        start_mm=end.length_mm,
        end_mm=inner,
        start_radius_mm=small,
        end_radius_mm=full,
        start_half_mm=half,
        clock_rad=clock,
    )
    return inner, (kept, changing)


def _reversed(stretch: TubeStretch, length_mm: float) -> TubeStretch:
    """``stretch`` as it lies when it is measured from the other end of the tube."""
    return TubeStretch(
        kind=stretch.kind,
        start_mm=length_mm - stretch.end_mm,
        end_mm=length_mm - stretch.start_mm,
        start_radius_mm=stretch.end_radius_mm,
        end_radius_mm=stretch.start_radius_mm,
        start_half_mm=stretch.end_half_mm,
        end_half_mm=stretch.start_half_mm,
        clock_rad=stretch.clock_rad,
        start_lean=-stretch.end_lean if stretch.end_lean else 0.0,
        end_lean=-stretch.start_lean if stretch.start_lean else 0.0,
    )


def _bored_mm3(tube: SweptRing, hole: Hole) -> float:
    """What ``hole`` takes away, mm³: in a flat, a disc out of its two walls."""
    radius = hole.diameter_mm / 2
    for end, to_end_mm in ((tube.start, hole.at_mm), (tube.end, tube.length_mm - hole.at_mm)):
        if isinstance(end, Flat) and to_end_mm <= end.length_mm:
            return math.pi * radius**2 * 2 * tube.section.wall_mm
    radii, curvature = radii_at(tube, hole.at_mm), _curvature_at(tube.axis, hole.at_mm)
    whole = hole_volume_mm3(*radii, radius, curvature, hole.clock_rad)
    reached = [
        s
        for s in stretches(tube)
        if s.start_mm < hole.at_mm + radius and s.end_mm > hole.at_mm - radius
    ]
    if not any(s.kind is ProfileStretch.TAPER for s in reached):
        return whole
    straight = sum(_reached_mm3(s, hole, tube.section.wall_mm) for s in reached)
    return straight + whole - hole_volume_mm3(*radii, radius)


def _reached_mm3(stretch: TubeStretch, hole: Hole, wall_mm: float) -> float:
    """What a hole takes out of one stretch that it reaches into, as if its axis were straight.

    The integral over x, along the axis, and y, across the hole, of what it passes in both
    walls; x = r sin u and y = r cos u sin t make the integrand smooth.
    """
    radius = hole.diameter_mm / 2
    low, high = (
        math.asin(min(max((at - hole.at_mm) / radius, -1.0), 1.0))
        for at in (stretch.start_mm, stretch.end_mm)
    )
    angle, weight = half_turn_rule()
    turn = low + (high - low) * (angle / math.pi + 0.5)
    x, across = radius * np.sin(turn), radius * np.cos(turn)
    span = stretch.end_mm - stretch.start_mm
    slope = (stretch.end_radius_mm - stretch.start_radius_mm) / span
    outside = stretch.start_radius_mm + slope * (hole.at_mm + x - stretch.start_mm)
    y = np.outer(across, np.sin(angle))
    walls = 2 * (half_chord(outside[:, None], y) - half_chord(outside[:, None] - wall_mm, y))
    sections = across * np.sum(weight * np.cos(angle) * walls, axis=1)
    return float(np.sum(weight * (high - low) / math.pi * across * sections))


def _curvature_at(axis: PlanePath, at_mm: float) -> float:
    """Curvature of the axis at a distance along it, 1/mm, left or right."""
    segment = axis.segments[0]
    for (start, _), following in zip(axis.starts, axis.segments, strict=True):
        if start <= at_mm:
            segment = following
    return 1 / segment.radius_mm if isinstance(segment, Arc) else 0.0


def _gauss_points(
    axis: PlanePath, stretch: TubeStretch
) -> Iterator[tuple[float, float, Station, float]]:
    """Distance along, length represented, station and signed curvature, over ``stretch``."""
    points, weights = np.polynomial.legendre.leggauss(24)
    for (start, station), segment in zip(axis.starts, axis.segments, strict=True):
        low = max(stretch.start_mm, start)
        high = min(stretch.end_mm, start + segment.length_mm)
        if high <= low:
            continue
        curvature = 0.0
        if isinstance(segment, Arc):
            curvature = math.copysign(1 / segment.radius_mm, segment.angle_rad)
        for point, weight in zip(points, weights, strict=True):
            along = low + (high - low) * (point + 1) / 2
            here = advance(station, segment, along - start)
            yield along, (high - low) * weight / 2, here, curvature


def _frustum(axis: PlanePath, stretch: TubeStretch, thinner_mm: float) -> float:
    """Volume inside a taper's surface, whose radii are less by ``thinner_mm``.

    The surface is ruled between two circles that are square to the axis. With
    the chord between their centres projected on the axis at either end, h0 and
    h1, the integral of its slices is π (R² h0/3 + R r (h0 + h1)/6 + r² h1/3): the
    frustum of a cone where the axis is straight.
    """
    first, last = axis.at(stretch.start_mm), axis.at(stretch.end_mm)
    dx, dy = last.x_mm - first.x_mm, last.y_mm - first.y_mm
    h0 = first.tangent[0] * dx + first.tangent[1] * dy
    h1 = last.tangent[0] * dx + last.tangent[1] * dy
    wide, narrow = stretch.start_radius_mm - thinner_mm, stretch.end_radius_mm - thinner_mm
    return math.pi * (wide**2 * h0 / 3 + wide * narrow * (h0 + h1) / 6 + narrow**2 * h1 / 3)


__all__ = [
    "PRESSED",
    "ProfileStretch",
    "TubeStretch",
    "hole_clock_rad",
    "hole_volume_mm3",
    "is_pressed",
    "radii_at",
    "stretches",
    "tube_centre_mm",
    "tube_volume_mm3",
]
