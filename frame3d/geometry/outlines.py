"""Closed outlines of straight sides.

Glossary
--------
side : from a corner to the next; the last one runs back to the first corner.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

Point = tuple[float, float]


def crossing_sides(corners: Sequence[Point]) -> tuple[int, int] | None:
    """The numbers, from 1, of the first two sides that cross each other; None where none do.

    Sides that only touch, at a corner or along each other, do not cross.
    """
    sides = list(zip(corners, [*corners[1:], *corners[:1]], strict=True))
    for first, (a, b) in enumerate(sides, start=1):
        for second, (c, d) in enumerate(sides[first:], start=first + 1):
            if _apart(a, b, c, d) and _apart(c, d, a, b):
                return first, second
    return None


def _apart(a: Point, b: Point, c: Point, d: Point) -> bool:
    """True where two points lie on different sides of the line through two others."""
    return turn(a, b, c) * turn(a, b, d) < 0


def turn(a: Point, b: Point, c: Point) -> float:
    """Twice the area of the triangle, mm²; positive where ``c`` lies to the left of a to b."""
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def polygon(sides: int, flats_mm: float) -> list[tuple[float, float]]:
    """A regular polygon about the origin with a corner on +x; across its flats, mm."""
    corner = flats_mm / 2 / math.cos(math.pi / sides)
    angles = [2 * math.pi * k / sides for k in range(sides)]
    return [(corner * math.cos(a), corner * math.sin(a)) for a in angles]


__all__ = ["crossing_sides", "polygon", "turn"]
