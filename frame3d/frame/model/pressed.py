"""Tubes with ends pressed flat: which they are, and which way their holes go."""

from __future__ import annotations

from frame3d.frame.model.bodies import Hole, SweptRing
from frame3d.frame.model.end_forms import Flat


def is_pressed(tube: SweptRing) -> bool:
    """True when an end of ``tube`` is pressed flat."""
    return isinstance(tube.start, Flat) or isinstance(tube.end, Flat)


def hole_clock_rad(tube: SweptRing, hole: Hole) -> float:
    """The clock angle in which ``hole`` is drilled: in a flat, that square to it."""
    for end, to_end_mm in ((tube.start, hole.at_mm), (tube.end, tube.length_mm - hole.at_mm)):
        if isinstance(end, Flat) and to_end_mm <= end.length_mm:
            return end.clock_rad
    return hole.clock_rad
