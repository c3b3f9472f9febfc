"""Volume, mass and centre of parts, by arithmetic alone, from their bodies.

No solid is made here: the take-off weighs parts with these formulas, and the
solids are held against them.

References
----------
The moments of areas and solids of revolution are those of any text on statics; each
function says what it puts together.
"""

from __future__ import annotations

import math

import numpy as np

from frame3d.frame.measure.board_measures import board_centre_mm, board_volume_mm3
from frame3d.frame.measure.integrals import half_turn_rule
from frame3d.frame.measure.split_ring_measures import split_ring_centre_mm, split_ring_volume_mm3
from frame3d.frame.measure.tube_measures import (
    PRESSED,
    ProfileStretch,
    TubeStretch,
    hole_clock_rad,
    hole_volume_mm3,
    is_pressed,
    radii_at,
    stretches,
    tube_centre_mm,
    tube_volume_mm3,
)
from frame3d.frame.model.bodies import (
    Body,
    ExtrudedOutline,
    SawnTimber,
    SplitRing,
    SweptRing,
    TurnedProfile,
)
from frame3d.frame.model.parts import Part

Point = tuple[float, float, float]


def mass_kg(part: Part) -> float:
    """Mass of ``part``, kg: timber at its section's density, steel at 7850 kg/m³."""
    return volume_mm3(part) * part.kg_per_mm3


def volume_mm3(part: Part) -> float:
    """Volume of ``part``, mm³.

    Exact for straight parts, and for bent tubes without holes. A hole in a
    bend is exact too, but for one across a joint of the axis, which is taken as if the bend
    at its middle went on: a difference of the order of (hole / radius of the bend)² of the
    hole's own volume. Threads, knurls and rounded edges are not
    part of any part.

    Examples
    --------
    A plain washer ISO 7089 M10, 10.5 x 20 x 2 mm:

    >>> from frame3d.catalog.sections import WasherSize
    >>> from frame3d.frame.model.parts import Washer
    >>> size = WasherSize(name="M10", inside_mm=10.5, outside_mm=20.0, thickness_mm=2.0)
    >>> round(volume_mm3(Washer(size=size)), 3)
    455.138
    """
    return math.fsum(body_volume_mm3(body) for body in part.bodies)


def centre_mm(part: Part) -> Point:
    """Centre of mass of ``part`` in its own axes, mm.

    In a bend the metal outside the axis outweighs the metal inside it; that is
    counted. The metal of a taper is counted on the axis.

    Examples
    --------
    Half the thickness of a plain washer ISO 7089 M10:

    >>> from frame3d.catalog.sections import WasherSize
    >>> from frame3d.frame.model.parts import Washer
    >>> size = WasherSize(name="M10", inside_mm=10.5, outside_mm=20.0, thickness_mm=2.0)
    >>> centre_mm(Washer(size=size))
    (0.0, 0.0, 1.0)
    """
    first, *others = part.bodies
    centre = _centre(first)
    # From the first body's own, so that what is even stays in the middle exactly.
    shares = [body_volume_mm3(body) / volume_mm3(part) for body in others]
    moved = [_centre(body) for body in others]
    x, y, z = (
        at + math.fsum(share * (other[k] - at) for share, other in zip(shares, moved, strict=True))
        for k, at in enumerate(centre)
    )
    return (x, y, z)


def body_volume_mm3(body: Body) -> float:
    """Volume of one body, mm³; see :func:`volume_mm3`."""
    match body:
        case SweptRing():
            return tube_volume_mm3(body)
        case SawnTimber():
            return board_volume_mm3(body)
        case SplitRing():
            return split_ring_volume_mm3(body)
        case ExtrudedOutline():
            return _outline_moments(body)[0] * (body.high_mm - body.low_mm)
        case TurnedProfile():
            return _turned_moments(body)[0]


def _centre(body: Body) -> Point:
    match body:
        case SweptRing():
            return tube_centre_mm(body)
        case SawnTimber():
            return board_centre_mm(body)
        case SplitRing():
            return split_ring_centre_mm(body)
        case ExtrudedOutline():
            area, x, y = _outline_moments(body)
            return (x / area, y / area, (body.low_mm + body.high_mm) / 2)
        case TurnedProfile():
            volume, moment = _turned_moments(body)
            middle = (body.low_mm + body.high_mm) / 2
            return (0.0, 0.0, middle + moment / volume)


def _outline_moments(body: ExtrudedOutline) -> tuple[float, float, float]:
    """Area and first moments in x and y: those of a polygon (Green's theorem) less its holes."""
    x, y = np.array(body.outline).T
    next_x, next_y = np.roll(x, -1), np.roll(y, -1)
    lens = x * next_y - next_x * y
    sums = [float(np.sum(lens)) / 2]
    sums += [float(np.sum((at + after) * lens)) / 6 for at, after in ((x, next_x), (y, next_y))]
    for hole_x, hole_y, diameter in body.holes:
        gone = math.pi / 4 * diameter**2
        sums = [total - gone * at for total, at in zip(sums, (1.0, hole_x, hole_y), strict=True)]
    return (sums[0], sums[1], sums[2])


def _turned_moments(body: TurnedProfile) -> tuple[float, float]:
    """Volume, and first moment about half its height: of discs all the way, less the bore."""
    middle = (body.low_mm + body.high_mm) / 2
    volume, moment = -math.pi / 4 * body.bore_mm**2 * (body.high_mm - body.low_mm), 0.0
    angle, weight = half_turn_rule()
    for piece in body.pieces:
        for at, part in zip(angle / math.pi + 0.5, weight / math.pi, strict=True):
            place, slope = piece(at)
            disc = math.pi * place.real**2 * slope.imag * part
            volume += disc
            moment += disc * (place.imag - middle)
    return float(volume), float(moment)


__all__ = [
    "PRESSED",
    "ProfileStretch",
    "TubeStretch",
    "body_volume_mm3",
    "centre_mm",
    "hole_clock_rad",
    "hole_volume_mm3",
    "is_pressed",
    "mass_kg",
    "radii_at",
    "stretches",
    "volume_mm3",
]
