"""Whether a size that was read can be meant: slips of unit show by their size."""

from __future__ import annotations

import itertools

_UNITS_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "ft": 304.8, "m": 1000.0}
_NEAR = 0.25


def unit_hint(got_mm: float, meant_mm: float) -> str:
    """Which units may have been taken for each other; empty if none explain the size.

    Examples
    --------
    >>> unit_hint(29.3, 29260.0)
    'it looks like m read as mm; give the unit it was measured in'
    """
    if got_mm <= 0 or meant_mm <= 0:
        return ""
    pairs = [
        (abs(got_mm / read * true / meant_mm - 1), was, taken)
        for (taken, read), (was, true) in itertools.permutations(_UNITS_MM.items(), 2)
    ]
    off, was, taken = min(pairs)
    if off > _NEAR:
        return ""
    return f"it looks like {was} read as {taken}; give the unit it was measured in"
