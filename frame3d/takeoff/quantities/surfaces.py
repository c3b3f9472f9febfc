"""Steel surface that a bath of zinc would coat.

References
----------
Pappus's first theorem (any text on calculus): a line of length s whose centroid runs
along a path of length L, square to it, sweeps the area s L. So the skin of a bent tube
is its circumference times the length of its axis.
"""

from __future__ import annotations

import math

from frame3d.frame.measure.measures import stretches
from frame3d.frame.model.parts import Part, Plate, Tube

__all__ = ["surface_mm2"]


def surface_mm2(part: Part) -> float:
    """The surface of a tube, inside and outside, or of a plate, mm²; 0 for anything else.

    Holes in tubes are not taken off. Bought hardware comes with its finish, so it does
    not count.
    """
    if isinstance(part, Tube):
        return _tube(part)
    if isinstance(part, Plate):
        return _plate(part)
    return 0.0


def _tube(tube: Tube) -> float:
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


def _plate(plate: Plate) -> float:
    corners = plate.outline
    around = area = 0.0
    for (x0, y0), (x1, y1) in zip(corners, (*corners[1:], corners[0]), strict=True):
        around += math.hypot(x1 - x0, y1 - y0)
        area += (x0 * y1 - x1 * y0) / 2
    for _, _, diameter in plate.holes:
        around += math.pi * diameter
        area -= math.pi / 4 * diameter**2
    return 2 * area + around * plate.thickness_mm
