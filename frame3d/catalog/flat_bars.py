"""Widths in which flat bar is stocked."""

from __future__ import annotations

from frame3d.units import MM_PER_INCH

_INCH_MM = tuple(MM_PER_INCH * wide for wide in (1.0, 1.25, 1.5, 1.75, 2.0, 2.25, 2.5, 3.0))
_METRIC_MM = (25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0)


def flat_bar_widths_mm(*, is_inch: bool) -> tuple[float, ...]:
    """Widths of flat bar 3 to 8 mm thick, rising, mm (common practice, no source)."""
    return _INCH_MM if is_inch else _METRIC_MM
