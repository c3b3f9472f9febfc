"""Steel surface that a bath of zinc would coat.

References
----------
Pappus's first theorem (any text on calculus): a line of length s whose centroid runs
along a path of length L, square to it, sweeps the area s L. So the skin of a bent tube
is its circumference times the length of its axis.
"""

from __future__ import annotations

import itertools
import math

from frame3d.frame.measure.measures import body_volume_mm3, stretches
from frame3d.frame.model.bodies import Body, ExtrudedOutline, SweptRing, TurnedProfile
from frame3d.frame.model.parts import Material, Part

_CHORDS = 64
"""Of an arc in a profile."""


def surface_mm2(part: Part) -> float:
    """The surface of what is made of steel, inside and outside, mm²; 0 for anything else.

    Holes in tubes are not taken off. Bought hardware comes with its finish, so it does
    not count.
    """
    if part.is_bought or part.material is not Material.STEEL:
        return 0.0
    return math.fsum(_surface(body) for body in part.bodies)


def _surface(body: Body) -> float:
    match body:
        case SweptRing():
            return _tube(body)
        case ExtrudedOutline():
            return _plate(body)
        case TurnedProfile():
            return _turned(body)
    return 0.0  # timber, or bought


def _turned(body: TurnedProfile) -> float:
    """By chords of its profile: frustums, the ends, and the bore."""
    side = body.traced(_CHORDS)
    total = sum(
        math.pi * (r0 + r1) * math.hypot(r1 - r0, z1 - z0)
        for (r0, z0), (r1, z1) in itertools.pairwise(side)
    )
    ends = math.pi * (side[0][0] ** 2 + side[-1][0] ** 2 - body.bore_mm**2 / 2)
    return total + ends + math.pi * body.bore_mm * (body.high_mm - body.low_mm)


def _tube(tube: SweptRing) -> float:
    wall, total = tube.section.wall_mm, 0.0
    parts = stretches(tube)
    for stretch in parts:
        length = stretch.end_mm - stretch.start_mm
        grows = stretch.end_radius_mm - stretch.start_radius_mm
        both = stretch.start_radius_mm + stretch.end_radius_mm
        slant = math.hypot(length, grows)
        # Outside and inside skin of a frustum, π (R + r) s each; the wall is kept.
        total += math.pi * slant * (both + both - 2 * wall)
    for outside in (parts[0].start_radius_mm, parts[-1].end_radius_mm):
        total += math.pi * (outside**2 - (outside - wall) ** 2)
    return total


def _plate(plate: ExtrudedOutline) -> float:
    corners, high = plate.outline, plate.high_mm - plate.low_mm
    around = sum(math.dist(a, b) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True))
    around += sum(math.pi * diameter for _, _, diameter in plate.holes)
    return 2 * body_volume_mm3(plate) / high + around * high
