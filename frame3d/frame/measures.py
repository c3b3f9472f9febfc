"""Volume, mass and centre of every kind of part, by arithmetic alone.

No solid is made here: the take-off weighs parts with these formulas, and the
solids are held against them.

Glossary
--------
body : the stretch of a tube that has its full section.
reduced : the stretch of a swage that has the smaller section; the wall is kept.
taper : the stretch between the two, drawn straight from circle to circle.

References
----------
Pappus's second theorem (any text on calculus): a section of area A whose centroid
runs along a path of length L, square to it, sweeps the volume A L.
"""

from __future__ import annotations

import enum
import functools
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from frame3d.catalog.sections import STEEL_KG_PER_MM3, Head
from frame3d.frame.parts import (
    Board,
    Bolt,
    ClampHalf,
    Material,
    Nut,
    Part,
    Plate,
    Screw,
    Tube,
    Washer,
)
from frame3d.geometry.paths import Arc, PlanePath, Station, advance

HEXAGON_AREA = math.sqrt(3) / 2
"""Area of a hexagon whose distance across the flats is 1."""


class Stretch(enum.Enum):
    """What a stretch of a tube is."""

    BODY = "body"
    REDUCED = "reduced"
    TAPER = "taper"


@dataclass(frozen=True, slots=True, kw_only=True)
class TubeStretch:
    """A stretch of a tube over which its section is constant or tapers evenly.

    Parameters
    ----------
    kind : Stretch
    start_mm, end_mm : float
        Distances along the axis.
    start_radius_mm, end_radius_mm : float
        Outside radii at the two ends.
    """

    kind: Stretch
    start_mm: float
    end_mm: float
    start_radius_mm: float
    end_radius_mm: float


def material(part: Part) -> Material:
    """What ``part`` is made of."""
    return Material.TIMBER if isinstance(part, Board) else Material.STEEL


def mass_kg(part: Part) -> float:
    """Mass of ``part``, kg: timber at its section's density, steel at 7850 kg/m³."""
    if isinstance(part, Board):
        return volume_mm3(part) * part.section.density_kg_per_m3 * 1e-9
    return volume_mm3(part) * STEEL_KG_PER_MM3


def volume_mm3(part: Part) -> float:
    """Volume of ``part``, mm³.

    Exact for straight parts, and for bent tubes without holes. A hole in a bend
    is taken as one in a straight tube: by symmetry the curvature enters only
    with its square, so the difference is of the order of (hole / radius of the
    bend)² of the hole's own volume. Threads, knurls and rounded edges are not
    part of any part.

    Raises
    ------
    TypeError
        If ``part`` is none of the kinds in :mod:`frame3d.frame.parts`.

    Examples
    --------
    A plain washer ISO 7089 M10, 10.5 x 20 x 2 mm:

    >>> from frame3d.catalog.sections import WasherSize
    >>> size = WasherSize(name="M10", inside_mm=10.5, outside_mm=20.0, thickness_mm=2.0)
    >>> round(volume_mm3(Washer(size=size)), 3)
    455.138
    """
    formula: Callable | None = _FORMULAS.get(type(part))
    if formula is None:
        raise TypeError(f"no volume is known for a {type(part).__name__}")
    return formula(part)


def stretches(tube: Tube) -> tuple[TubeStretch, ...]:
    """The reduced, tapered and full stretches of ``tube``, from its start to its end."""
    full = tube.section.od_mm / 2
    found: list[TubeStretch] = []
    low, high = 0.0, tube.length_mm
    if tube.start:
        small, end = tube.start.od_mm / 2, tube.start.length_mm
        low = end + tube.start.taper_mm
        found.append(_stretch(Stretch.REDUCED, 0.0, end, small, small))
        found.append(_stretch(Stretch.TAPER, end, low, small, full))
    after: list[TubeStretch] = []
    if tube.end:
        small, begin = tube.end.od_mm / 2, high - tube.end.length_mm
        after.append(_stretch(Stretch.TAPER, begin - tube.end.taper_mm, begin, full, small))
        after.append(_stretch(Stretch.REDUCED, begin, high, small, small))
        high = begin - tube.end.taper_mm
    found.append(_stretch(Stretch.BODY, low, high, full, full))
    return tuple(found + after)


def radii_at(tube: Tube, at_mm: float) -> tuple[float, float]:
    """Outside and inside radius of ``tube`` at a distance along its axis, mm."""
    outside = tube.section.od_mm / 2
    for stretch in stretches(tube):
        if stretch.start_mm <= at_mm <= stretch.end_mm:
            span = stretch.end_mm - stretch.start_mm
            share = (at_mm - stretch.start_mm) / span if span else 0.0
            grows = stretch.end_radius_mm - stretch.start_radius_mm
            outside = stretch.start_radius_mm + share * grows
            break
    return outside, outside - tube.section.wall_mm


def hole_volume_mm3(outside_mm: float, inside_mm: float, radius_mm: float) -> float:
    """Volume that a hole square through the axis of a straight tube takes away, mm³.

    The integral over y, across the hole, of its chord times the material that it
    passes in both walls; y = r sin t makes the integrand smooth.

    Parameters
    ----------
    outside_mm, inside_mm : float
        Radii of the tube, mm.
    radius_mm : float
        Radius of the hole, mm.
    """
    angle, weight = _quadrature()
    y, chord = radius_mm * np.sin(angle), 2 * radius_mm * np.cos(angle)
    walls = 2 * (_half_chord(outside_mm, y) - _half_chord(inside_mm, y))
    return float(np.sum(weight * radius_mm * np.cos(angle) * chord * walls))


def centre_mm(part: Tube | Board) -> tuple[float, float, float]:
    """Centre of mass of a tube or a board in its own axes, mm.

    In a bend the metal outside the axis outweighs the metal inside it; that is
    counted. The metal of a taper is counted on the axis.
    """
    if isinstance(part, Board):
        return _board_centre(part)
    total, moment = 0.0, np.zeros(2)
    wall = part.section.wall_mm
    for stretch in stretches(part):
        for along, piece_mm, station, curvature in _gauss_points(part.axis, stretch):
            share = (along - stretch.start_mm) / (stretch.end_mm - stretch.start_mm)
            grows = stretch.end_radius_mm - stretch.start_radius_mm
            outside = stretch.start_radius_mm + share * grows
            inside = outside - wall
            area = math.pi * (outside**2 - inside**2)
            second = math.pi / 4 * (outside**4 - inside**4)
            total += area * piece_mm
            point = np.array((station.x_mm, station.y_mm))
            moment += piece_mm * (area * point - curvature * second * np.array(station.normal))
    for hole in part.holes:
        gone = hole_volume_mm3(*radii_at(part, hole.at_mm), hole.diameter_mm / 2)
        station = part.axis.at(hole.at_mm)
        total -= gone
        moment -= gone * np.array((station.x_mm, station.y_mm))
    return (float(moment[0] / total), float(moment[1] / total), 0.0)


def _stretch(
    kind: Stretch, start: float, end: float, start_radius: float, end_radius: float
) -> TubeStretch:
    return TubeStretch(
        kind=kind,
        start_mm=start,
        end_mm=end,
        start_radius_mm=start_radius,
        end_radius_mm=end_radius,
    )


@functools.cache
def _quadrature() -> tuple[np.ndarray, np.ndarray]:
    """Gauss-Legendre points and weights on (-π/2, π/2)."""
    point, weight = np.polynomial.legendre.leggauss(64)
    return point * math.pi / 2, weight * math.pi / 2


def _half_chord(radius: float, offset: np.ndarray) -> np.ndarray:
    return np.sqrt(np.maximum(radius**2 - offset**2, 0.0))


def _under_circle(radius: float, low: float, high: float) -> float:
    """The area under the circle of ``radius`` between two distances from its centre."""

    def antiderivative(x: float) -> float:
        return (x * math.sqrt(max(radius**2 - x**2, 0.0)) + radius**2 * math.asin(x / radius)) / 2

    return antiderivative(high) - antiderivative(low)


def _gauss_points(
    axis: PlanePath, stretch: TubeStretch
) -> Iterator[tuple[float, float, Station, float]]:
    """Distance along, length represented, station and signed curvature, over ``stretch``."""
    points, weights = np.polynomial.legendre.leggauss(24)
    for (start, station), segment in zip(axis.starts(), axis.segments, strict=True):
        low = max(stretch.start_mm, start)
        high = min(stretch.end_mm, start + segment.length_mm)
        if high <= low:
            continue
        curved = isinstance(segment, Arc)
        curvature = math.copysign(1 / segment.radius_mm, segment.angle_rad) if curved else 0.0
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


def _tube_volume(tube: Tube) -> float:
    wall, total = tube.section.wall_mm, 0.0
    for stretch in stretches(tube):
        if stretch.kind is Stretch.TAPER:
            total += _frustum(tube.axis, stretch, 0.0) - _frustum(tube.axis, stretch, wall)
        else:
            area = math.pi * (2 * stretch.start_radius_mm - wall) * wall
            total += area * (stretch.end_mm - stretch.start_mm)
    for hole in tube.holes:
        total -= hole_volume_mm3(*radii_at(tube, hole.at_mm), hole.diameter_mm / 2)
    return total


def _board_volume(board: Board) -> float:
    bored = sum(hole.diameter_mm**2 for hole in board.holes) * math.pi / 4
    return board.section.area_mm2 * board.length_mm - bored * board.section.thickness_mm


def _board_centre(board: Board) -> tuple[float, float, float]:
    thick = board.section.thickness_mm
    total = board.section.area_mm2 * board.length_mm
    moment = np.array((board.length_mm / 2, board.section.depth_mm / 2)) * total
    for hole in board.holes:
        gone = math.pi / 4 * hole.diameter_mm**2 * thick
        total -= gone
        moment -= gone * np.array((hole.along_mm, hole.up_mm))
    return (float(moment[0] / total), float(moment[1] / total), thick / 2)


def _plate_volume(plate: Plate) -> float:
    x, y = np.array(plate.outline).T
    area = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2
    bored = sum(diameter**2 for _, _, diameter in plate.holes) * math.pi / 4
    return (area - bored) * plate.thickness_mm


def neck_mm(bolt: Bolt) -> float:
    """Depth of the square neck of a carriage bolt, mm: half its diameter; 0 for a hex head."""
    if bolt.size.head is Head.HEX:
        return 0.0
    return min(bolt.size.diameter_mm / 2, bolt.length_mm)


def _bolt_volume(bolt: Bolt) -> float:
    """Head, shank and, under a domed head, a square neck as wide as the shank."""
    size, neck = bolt.size, neck_mm(bolt)
    shank = math.pi / 4 * size.diameter_mm**2 * (bolt.length_mm - neck)
    if size.head is Head.HEX:
        return HEXAGON_AREA * size.flats_mm**2 * size.head_height_mm + shank
    height, edge = size.head_height_mm, size.flats_mm / 2
    dome = math.pi * height * (3 * edge**2 + height**2) / 6
    return dome + size.diameter_mm**2 * neck + shank


def _nut_volume(nut: Nut) -> float:
    size = nut.size
    area = HEXAGON_AREA * size.flats_mm**2 - math.pi / 4 * size.diameter_mm**2
    return area * size.height_mm


def _washer_volume(washer: Washer) -> float:
    size = washer.size
    return math.pi / 4 * (size.outside_mm**2 - size.inside_mm**2) * size.thickness_mm


def _screw_volume(screw: Screw) -> float:
    head = HEXAGON_AREA * screw.flats_mm**2 * screw.head_height_mm
    return head + math.pi / 4 * screw.diameter_mm**2 * screw.length_mm


def _clamp_volume(half: ClampHalf) -> float:
    """Ring, less its split, with boss and two ears as thick as the ring, less their holes.

    Exact as long as the boss is no wider than the tube and clear of the ears, and
    the ears' hole is clear of the ring.
    """
    inside = half.tube_od_mm / 2
    outside = inside + half.band_mm
    slit, back = half.gap_mm / 2, half.gap_mm / 2 + half.band_mm
    ring = math.pi * (outside**2 - inside**2)
    ring -= _under_circle(outside, -slit, slit) - _under_circle(inside, -slit, slit)
    ears = 2 * ((outside + half.ear_mm) * half.band_mm - _under_circle(outside, slit, back))
    holes = 2 * math.pi / 4 * half.bolt.hole_mm**2 * half.band_mm
    return (ring + ears) * half.width_mm - holes + _boss_volume(half)


def _boss_volume(half: ClampHalf) -> float:
    """The boss from the tube's surface to its face, less what the ring has of it already."""
    radius, inside = half.boss_diameter_mm / 2, half.tube_od_mm / 2
    # Where the boss is wider than the ring the integrand has a corner: one
    # integral on either side of it.
    corner = math.acos(min(half.width_mm / half.boss_diameter_mm, 1.0))
    total = 0.0
    for low, high in ((0.0, corner), (corner, math.pi / 2)):
        angle, weight = _quadrature()
        weight = weight * (high - low) / math.pi
        angle = low + (high - low) * (angle / math.pi + 0.5)
        y, step = radius * np.sin(angle), radius * np.cos(angle)
        saddle = _half_chord(inside, y)
        ring = _half_chord(inside + half.band_mm, y) - saddle
        shared = 2 * np.minimum(step, half.width_mm / 2) * ring
        total += 2 * float(np.sum(weight * step * (2 * step * (half.face_mm - saddle) - shared)))
    return total


_FORMULAS: dict[type, Callable] = {
    Tube: _tube_volume,
    Board: _board_volume,
    Plate: _plate_volume,
    Bolt: _bolt_volume,
    Nut: _nut_volume,
    Washer: _washer_volume,
    Screw: _screw_volume,
    ClampHalf: _clamp_volume,
}

__all__ = [
    "Stretch",
    "TubeStretch",
    "centre_mm",
    "hole_volume_mm3",
    "mass_kg",
    "material",
    "neck_mm",
    "radii_at",
    "stretches",
    "volume_mm3",
]
