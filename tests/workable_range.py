"""The range of a dimension that gives an arch with the others, as refusals tell it."""

from __future__ import annotations

from frame3d.geometry.arch.arch_given import ArchGiven, Dimension
from frame3d.geometry.arch.arch_ranges import range_that_works
from frame3d.geometry.arch.arch_solver import attempt

TOP = dict.fromkeys(("crown_radius", "rafter_radius"), Dimension.TOP_RADIUS)


def workable_range(given: ArchGiven, field: str) -> tuple[float, float] | None:
    """Smallest and largest value of ``field``; None if there is none."""
    return range_that_works(given, TOP.get(field) or Dimension(field), attempt)
