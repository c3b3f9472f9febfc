"""Convex figures in a plane: hulls, overlaps, and what stays of a body between two levels.

Glossary
--------
support : of a figure in a direction, how far it reaches that way.
separation : of two figures, the width of the widest strip that parts them; negative
    where they overlap, then how far one would have to be moved to part them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

Point = tuple[float, float]
Solid = tuple[float, float, float]


def hull(points: Iterable[Point]) -> list[Point]:
    """The corners of the convex hull, anticlockwise; fewer than three if all lie on a line.

    References
    ----------
    A. M. Andrew, Another efficient algorithm for convex hulls in two dimensions,
    Information Processing Letters 9 (1979).
    """
    found = sorted(set(points))
    if len(found) < 3:
        return found
    lower, upper = _chain(found), _chain(found[::-1])
    return lower[:-1] + upper[:-1]


def _chain(points: Sequence[Point]) -> list[Point]:
    chain: list[Point] = []
    for x, y in points:
        while len(chain) > 1:
            (ax, ay), (bx, by) = chain[-2], chain[-1]
            if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0:
                break
            chain.pop()
        chain.append((x, y))
    return chain


def normals(corners: Sequence[Point]) -> list[Point]:
    """Outward unit normals of the edges of a hull; both ways for a line, none for a point."""
    return [(x, y) for x, y, _ in _edges(corners)]


def _edges(corners: Sequence[Point]) -> list[tuple[float, float, float]]:
    """Each edge's outward unit normal, and how far the hull reaches that way: to the edge."""
    found = []
    for (ax, ay), (bx, by) in zip(corners, [*corners[1:], *corners[:1]], strict=True):
        size = math.hypot(bx - ax, by - ay)
        if size > 1e-9:
            x, y = (by - ay) / size, -(bx - ax) / size
            found.append((x, y, max(x * ax + y * ay, x * bx + y * by)))
    return found


def separation(first: Sequence[Point], second: Sequence[Point]) -> float:
    """The separation of two hulls, mm: by the normals of their edges.

    Where they are parted corner to corner the true distance is larger.
    """
    return max(_beyond(first, second), _beyond(second, first))


def _beyond(own: Sequence[Point], other: Sequence[Point]) -> float:
    """How far a figure lies beyond an edge of a hull at most; by no edge, minus infinity."""
    best = -math.inf
    for ax, ay, reach in _edges(own):
        near = min([ax * x + ay * y for x, y in other])
        best = max(best, near - reach)
    return best


def between(points: Sequence[Solid], low: float, high: float) -> list[Solid]:
    """Points whose hull is that of ``points`` between the levels ``z = low`` and ``high``."""
    kept = [p for p in points if low <= p[2] <= high]
    for level in (low, high):
        below = [p for p in points if p[2] < level]
        above = [p for p in points if p[2] > level]
        for a in below:
            for b in above:
                share = (level - a[2]) / (b[2] - a[2])
                kept.append((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]), level))
    return kept


def slabs(outline: Sequence[Point]) -> list[list[Point]]:
    """A simple outline cut level at each of its corners: convex pieces that make it up."""
    levels = sorted({y for _, y in outline})
    edges = list(zip(outline, [*outline[1:], *outline[:1]], strict=True))
    found = []
    for low, high in zip(levels, levels[1:], strict=False):
        crossing = [
            (_at(a, b, low), _at(a, b, high))
            for a, b in edges
            if min(a[1], b[1]) <= low and max(a[1], b[1]) >= high
        ]
        crossing.sort(key=sum)
        for left, right in zip(crossing[::2], crossing[1::2], strict=False):
            found.append([(left[0], low), (right[0], low), (right[1], high), (left[1], high)])
    return found


def _at(a: Point, b: Point, level: float) -> float:
    return a[0] + (level - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
