"""Integrals that measures of round parts need, as sums over fixed points."""

from __future__ import annotations

import functools
import math

import numpy as np


@functools.cache
def half_turn_rule() -> tuple[np.ndarray, np.ndarray]:
    """Gauss-Legendre points and weights on (-π/2, π/2)."""
    point, weight = np.polynomial.legendre.leggauss(64)
    return point * math.pi / 2, weight * math.pi / 2


def half_chord(radius: float | np.ndarray, offset: np.ndarray) -> np.ndarray:
    """Half the chord of a circle at a distance from its centre; 0 beyond the circle."""
    return np.sqrt(np.maximum(radius**2 - offset**2, 0.0))


def under_circle(radius: float, low: float, high: float) -> float:
    """The area under the circle of ``radius`` between two distances from its centre."""

    def antiderivative(x: float) -> float:
        return (x * math.sqrt(max(radius**2 - x**2, 0.0)) + radius**2 * math.asin(x / radius)) / 2

    return antiderivative(high) - antiderivative(low)
