"""Volume, mass and centre of every kind of part, by arithmetic alone.

No solid is made here: the take-off weighs parts with these formulas, and the
solids are held against them.
"""

from __future__ import annotations

import math

import numpy as np

from frame3d.catalog.sections import STEEL_KG_PER_MM3, Head
from frame3d.frame.measure.board_measures import board_centre_mm, board_volume_mm3
from frame3d.frame.measure.integrals import half_chord, half_turn_rule, under_circle
from frame3d.frame.measure.tube_measures import (
    PRESSED,
    ProfileStretch,
    TubeStretch,
    hole_clock_rad,
    hole_volume_mm3,
    is_pressed,
    longest_mm,
    radii_at,
    stretches,
    tube_centre_mm,
    tube_volume_mm3,
)
from frame3d.frame.model.parts import (
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

HEXAGON_AREA = math.sqrt(3) / 2
"""Area of a hexagon whose distance across the flats is 1."""


def material(part: Part) -> Material:
    """What ``part`` is made of."""
    return Material.TIMBER if isinstance(part, Board) else Material.STEEL


def mass_kg(part: Part) -> float:
    """Mass of ``part``, kg: timber at its section's density, steel at 7850 kg/m³."""
    if isinstance(part, Board):
        return volume_mm3(part) * part.section.density_kg_per_m3 * 1e-9
    return volume_mm3(part) * STEEL_KG_PER_MM3


def over_all_mm(part: Part) -> float | None:
    """Length of ``part`` as lists give it, mm; None for what has none.

    Of a tube or a board between the longest points of its ends.
    """
    return longest_mm(part) if isinstance(part, Tube) else getattr(part, "length_mm", None)


def volume_mm3(part: Part) -> float:
    """Volume of ``part``, mm³.

    Exact for straight parts, and for bent tubes without holes. A hole in a
    bend is exact too, but for one across a joint of the axis, which is taken as if the bend
    at its middle went on: a difference of the order of (hole / radius of the bend)² of the
    hole's own volume. Threads, knurls and rounded edges are not
    part of any part.

    Raises
    ------
    TypeError
        If ``part`` is none of the kinds in :mod:`frame3d.frame.model.parts`.

    Examples
    --------
    A plain washer ISO 7089 M10, 10.5 x 20 x 2 mm:

    >>> from frame3d.catalog.sections import WasherSize
    >>> size = WasherSize(name="M10", inside_mm=10.5, outside_mm=20.0, thickness_mm=2.0)
    >>> round(volume_mm3(Washer(size=size)), 3)
    455.138
    """
    match part:
        case Tube():
            return tube_volume_mm3(part)
        case Board():
            return board_volume_mm3(part)
        case Plate():
            return _plate_volume(part)
        case Bolt():
            return _bolt_volume(part)
        case Nut():
            return _nut_volume(part)
        case Washer():
            return _washer_volume(part)
        case Screw():
            return _screw_volume(part)
        case ClampHalf():
            return _clamp_volume(part)
    raise TypeError(f"no volume is known for a {type(part).__name__}")


def centre_mm(part: Tube | Board) -> tuple[float, float, float]:
    """Centre of mass of a tube or a board in its own axes, mm.

    In a bend the metal outside the axis outweighs the metal inside it; that is
    counted. The metal of a taper is counted on the axis.
    """
    return board_centre_mm(part) if isinstance(part, Board) else tube_centre_mm(part)


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
    ring -= under_circle(outside, -slit, slit) - under_circle(inside, -slit, slit)
    ears = 2 * ((outside + half.ear_mm) * half.band_mm - under_circle(outside, slit, back))
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
        angle, weight = half_turn_rule()
        weight = weight * (high - low) / math.pi
        angle = low + (high - low) * (angle / math.pi + 0.5)
        y, step = radius * np.sin(angle), radius * np.cos(angle)
        saddle = half_chord(inside, y)
        ring = half_chord(inside + half.band_mm, y) - saddle
        shared = 2 * np.minimum(step, half.width_mm / 2) * ring
        total += 2 * float(np.sum(weight * step * (2 * step * (half.face_mm - saddle) - shared)))
    return total


__all__ = [
    "PRESSED",
    "ProfileStretch",
    "TubeStretch",
    "centre_mm",
    "hole_clock_rad",
    "hole_volume_mm3",
    "is_pressed",
    "longest_mm",
    "mass_kg",
    "material",
    "neck_mm",
    "over_all_mm",
    "radii_at",
    "stretches",
    "volume_mm3",
]
