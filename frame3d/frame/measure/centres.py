"""Centre of mass of every kind of part, by arithmetic alone.

References
----------
The moments of areas and solids of revolution are those of any text on statics; each
function says what it puts together.
"""

from __future__ import annotations

import math

import numpy as np

from frame3d.catalog.sections import Head
from frame3d.frame.measure import measures
from frame3d.frame.measure.measures import HEXAGON_AREA, neck_mm, volume_mm3
from frame3d.frame.model.parts import (
    Board,
    Bolt,
    ClampHalf,
    Nut,
    Part,
    Plate,
    Screw,
    Tube,
    Washer,
)

Point = tuple[float, float, float]

__all__ = ["centre_mm"]


def centre_mm(part: Part) -> Point:
    """Centre of mass of ``part`` in its own axes, mm.

    Raises
    ------
    TypeError
        If ``part`` is none of the kinds in :mod:`frame3d.frame.model.parts`.

    Examples
    --------
    Half the thickness of a plain washer ISO 7089 M10:

    >>> from frame3d.catalog.sections import WasherSize
    >>> size = WasherSize(name="M10", inside_mm=10.5, outside_mm=20.0, thickness_mm=2.0)
    >>> centre_mm(Washer(size=size))
    (0.0, 0.0, 1.0)
    """
    match part:
        case Tube() | Board():
            return measures.centre_mm(part)
        case Plate():
            return _plate_centre(part)
        case Bolt():
            return _bolt_centre(part)
        case Nut():
            return (0.0, 0.0, part.size.height_mm / 2)
        case Washer():
            return (0.0, 0.0, part.size.thickness_mm / 2)
        case Screw():
            return _screw_centre(part)
        case ClampHalf():
            return _clamp_centre(part)
    raise TypeError(f"no centre is known for a {type(part).__name__}")


def _plate_centre(plate: Plate) -> Point:
    """That of a polygon (Green's theorem) less its holes."""
    x, y = np.array(plate.outline).T
    next_x, next_y = np.roll(x, -1), np.roll(y, -1)
    lens = x * next_y - next_x * y
    area = float(np.sum(lens)) / 2
    moment = np.array((np.sum((x + next_x) * lens), np.sum((y + next_y) * lens))) / 6
    for hole_x, hole_y, diameter in plate.holes:
        gone = math.pi / 4 * diameter**2
        area -= gone
        moment -= gone * np.array((hole_x, hole_y))
    return (float(moment[0] / area), float(moment[1] / area), plate.thickness_mm / 2)


def _bolt_centre(bolt: Bolt) -> Point:
    """Head, square neck and shank, each with its own centre on the axis.

    The centre of a spherical cap of height h and edge radius a lies
    h (2 a² + h²) / (2 (3 a² + h²)) above its flat face.
    """
    size, neck = bolt.size, neck_mm(bolt)
    shank = math.pi / 4 * size.diameter_mm**2 * (bolt.length_mm - neck)
    moment = shank * (neck + bolt.length_mm) / 2
    height, edge = size.head_height_mm, size.flats_mm / 2
    if size.head is Head.HEX:
        moment -= HEXAGON_AREA * size.flats_mm**2 * height * height / 2
    else:
        dome = math.pi * height * (3 * edge**2 + height**2) / 6
        moment -= dome * height * (2 * edge**2 + height**2) / (2 * (3 * edge**2 + height**2))
        moment += size.diameter_mm**2 * neck * neck / 2
    return (0.0, 0.0, moment / volume_mm3(bolt))


def _screw_centre(screw: Screw) -> Point:
    head = HEXAGON_AREA * screw.flats_mm**2 * screw.head_height_mm
    shank = math.pi / 4 * screw.diameter_mm**2 * screw.length_mm
    moment = shank * screw.length_mm / 2 - head * screw.head_height_mm / 2
    return (0.0, 0.0, moment / (head + shank))


def _clamp_centre(half: ClampHalf) -> Point:
    """Ears and split move it toward +y, the boss toward +z; it lies in the plane x = 0."""
    inside = half.tube_od_mm / 2
    outside = inside + half.band_mm
    slit, back = half.gap_mm / 2, half.gap_mm / 2 + half.band_mm
    # The split takes y from circle to circle, an ear goes on from the outer one to its end.
    along = -half.width_mm * slit * (outside**2 - inside**2)
    reach = (outside + half.ear_mm) ** 2 - outside**2
    along += half.width_mm * (half.band_mm * reach + (back**3 - slit**3) / 3)
    along -= 2 * math.pi / 4 * half.bolt.hole_mm**2 * half.band_mm * half.ear_bolt_mm
    total = volume_mm3(half)
    return (0.0, along / total, _boss_moment(half) / total)


def _boss_moment(half: ClampHalf) -> float:
    """Moment about the tube's axis of what the boss adds to the ring, mm⁴."""
    radius, inside = half.boss_diameter_mm / 2, half.tube_od_mm / 2
    corner = math.acos(min(half.width_mm / half.boss_diameter_mm, 1.0))
    moment = 0.0
    for low, high in ((0.0, corner), (corner, math.pi / 2)):
        point, weight = np.polynomial.legendre.leggauss(64)
        weight = weight * (high - low) / 2
        angle = low + (high - low) * (point + 1) / 2
        y, step = radius * np.sin(angle), radius * np.cos(angle)
        saddle = np.maximum(inside**2 - y**2, 0.0)
        ring = np.maximum((inside + half.band_mm) ** 2 - y**2, 0.0) - saddle
        boss = step * (half.face_mm**2 - saddle)
        shared = np.minimum(step, half.width_mm / 2) * ring
        moment += 2 * float(np.sum(weight * step * (boss - shared)))
    return moment
