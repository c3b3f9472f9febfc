"""The ground under a frame as it was measured: plain heights, from whoever read them.

Heights are above the ground that the frame is drawn on (z = 0), which follows the string over
the sockets' tops; places are in the axes of the frame, along the string.
"""

from __future__ import annotations

import bisect

from msgspec import Struct

from frame3d.frame.model.roles import Side

GroundLine = tuple[tuple[float, float], ...]
"""Places along a line, rising, and heights there, mm; straight between them."""

__all__ = ["GroundLine", "GroundUnder", "height_on", "stretch_of"]


class GroundUnder(Struct, frozen=True, kw_only=True):
    """Heights of the ground along the sides and the ends.

    Parameters
    ----------
    left, right : GroundLine
        Along the sockets of a side, from before the first hoop to past the last.
    front, back : GroundLine
        Across, at the first and the last hoop, from the left.
    """

    left: GroundLine
    right: GroundLine
    front: GroundLine
    back: GroundLine

    def along(self, side: Side) -> GroundLine:
        """The line of a side."""
        return self.left if side is Side.LEFT else self.right


def height_on(line: GroundLine, at_mm: float) -> float:
    """Height at a place; beyond the ends that of the end, mm.

    Examples
    --------
    >>> height_on(((0.0, 10.0), (100.0, 30.0)), 50.0)
    20.0
    """
    if at_mm <= line[0][0]:
        return line[0][1]
    if at_mm >= line[-1][0]:
        return line[-1][1]
    after = bisect.bisect_right(line, (at_mm, float("inf")))
    (a, low), (b, high) = line[after - 1], line[after]
    return low + (at_mm - a) / (b - a) * (high - low)


def stretch_of(line: GroundLine, low_mm: float, high_mm: float) -> GroundLine:
    """The part of a line between two places, with both."""
    inside = tuple(point for point in line if low_mm < point[0] < high_mm)
    return ((low_mm, height_on(line, low_mm)), *inside, (high_mm, height_on(line, high_mm)))
