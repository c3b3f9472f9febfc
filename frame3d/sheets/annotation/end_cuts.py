"""How far a cut is off square, as an angle beside the piece."""

from __future__ import annotations

import math

from frame3d.sheets.annotation.annotations import Angle
from frame3d.sheets.primitives.primitives import Point

_ANGLE_BEYOND_MM = 4.0
"""From the outline to the arc of an end cut's angle, paper mm."""


def off_square(low: Point, high: Point, *, up: bool) -> Angle:
    """The angle of a cut between two corners to the square line, above or below them."""
    vertex, other = (low, high) if up else (high, low)
    square = math.pi / 2 if up else -math.pi / 2
    cut = math.atan2(other[1] - vertex[1], other[0] - vertex[0])
    return Angle(
        vertex=vertex,
        first_rad=min(square, cut),
        second_rad=max(square, cut),
        reach=_ANGLE_BEYOND_MM,
        side=math.dist(vertex, other),
        drawn_rad=cut,
    )
