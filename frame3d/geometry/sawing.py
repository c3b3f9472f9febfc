"""Lengths as whole numbers of a small step, so that what fits on a bar is exact arithmetic.

Glossary
--------
step : 1/1600 mm. Hundredths of a millimetre (16 steps) and 1/64 in (635 steps) are whole
    numbers of it, so dimensions as they are written, metric or in inches, are not rounded.
    What lies between two steps is rounded so that a plan can always be sawn: what has to
    come out of a bar upward, the bar itself downward.
noise : lengths that come out of arithmetic miss their value by less than this, which is
    forgiven before rounding; it is far below what a saw or a tape can tell.
"""

from __future__ import annotations

import math
from fractions import Fraction

STEPS_PER_MM = 1600
NOISE_MM = 1e-5

_NOISE = Fraction(NOISE_MM) * STEPS_PER_MM


def steps_up(length_mm: float) -> int:
    """Return the fewest steps that hold a length, mm: for pieces, saw cuts and trims.

    >>> steps_up(0.01), steps_up(25.4 / 64), steps_up(0.0101)
    (16, 635, 17)
    """
    return math.ceil(Fraction(length_mm) * STEPS_PER_MM - _NOISE)


def steps_down(length_mm: float) -> int:
    """Return the most steps that a length, mm, holds: for bars.

    >>> steps_down(0.01), steps_down(0.0109)
    (16, 17)
    """
    return math.floor(Fraction(length_mm) * STEPS_PER_MM + _NOISE)


def steps_near(length_mm: float) -> int:
    """Return the number of steps nearest to a length, mm: for places along a line."""
    return round(Fraction(length_mm) * STEPS_PER_MM)


def steps_to_mm(steps: int) -> float:
    """Return a number of steps as mm."""
    return steps / STEPS_PER_MM
