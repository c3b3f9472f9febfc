"""How near a hoop comes to an overhead line while it is raised.

A hoop tilts up about its feet, along the tunnel, so what it sweeps lies within its height of the
line through the feet, as wide as the hoops; any place along the tunnel may be a hoop's.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from frame3d.frame.model.members import Frame
from frame3d.frame.space.crown import crown_of
from frame3d.geometry.plane import Point
from frame3d.site.plot.outline import hoops_outside

_STEPS = 80
"""Of the search: the last step is of the golden ratio's -80th power of a piece's length."""
_SHARE = (math.sqrt(5.0) - 1.0) / 2.0


def gap_while_raised(frame: Frame, points: Sequence[Point], height_mm: float) -> float:
    """Least distance between the sweep of the hoops and a line over ``points``, mm; 0 inside it.

    Along a straight piece the distance is convex, as a norm of convex distances that are not
    negative is, so its least is found by a golden section.
    """
    (left, front), _, (right, back), _ = hoops_outside(frame)
    top = crown_of(frame).over_all_mm + frame.design.socket.insertion

    def gap(point: Point) -> float:
        across = max(0.0, left - point[0], point[0] - right)
        along = max(0.0, front - point[1], point[1] - back)
        return math.hypot(across, max(0.0, math.hypot(along, height_mm) - top))

    def least(start: Point, end: Point) -> float:
        def at(share: float) -> float:
            return gap((start[0] + share * (end[0] - start[0]),
                        start[1] + share * (end[1] - start[1])))  # fmt: skip

        low, high = 0.0, 1.0
        for _ in range(_STEPS):
            inner, outer = high - _SHARE * (high - low), low + _SHARE * (high - low)
            low, high = (low, outer) if at(inner) <= at(outer) else (inner, high)
        return min(at((low + high) / 2), at(0.0), at(1.0))

    return min(least(a, b) for a, b in itertools.pairwise(points))
