"""Closed outlines of straight sides.

Glossary
--------
side : from a corner to the next; the last one runs back to the first corner.
round : many short sides of one length that turn evenly stand for the arc that touches each.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

Point = tuple[float, float]
_FEWEST, _MOST_TURN_RAD = 8, math.radians(16.0)
_SAME_MM, _SAME_RAD = 2e-3, 1e-3


class Edge(Struct, frozen=True, kw_only=True):
    """A piece of an outline: straight, or round about ``centre``, anticlockwise by ``turn_rad``."""

    start: Point
    end: Point
    centre: Point | None = None
    radius: float = 0.0
    turn_rad: float = 0.0


def edges(corners: Sequence[Point]) -> tuple[Edge, ...]:
    """The outline of ``corners``, anticlockwise, with the arcs that its short sides stand for.

    Of half an eye of 24 sides of a plate, say, one arc; a rectangle has four straights.
    """
    count = len(corners)
    sides = [
        (b[0] - a[0], b[1] - a[1])
        for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)
    ]  # fmt: skip
    long = [math.hypot(*side) for side in sides]
    turns = [
        math.atan2(
            sides[i - 1][0] * sides[i][1] - sides[i - 1][1] * sides[i][0],
            sides[i - 1][0] * sides[i][0] + sides[i - 1][1] * sides[i][1],
        )
        for i in range(count)
    ]

    def goes_on(i: int) -> bool:
        """Whether corner i turns as the one before it, by little."""
        return abs(turns[i] - turns[i - 1]) < _SAME_RAD and 0 < turns[i] <= _MOST_TURN_RAD

    starts = [i for i in range(count) if not goes_on(i)]
    if not starts:  # a whole circle
        starts = [0]
    runs = [
        [j % count for j in range(a, b)]
        for a, b in zip(starts, [*starts[1:], starts[0] + count], strict=True)
    ]
    return _joined([_edge_of(run, corners, sides, long, turns) for run in runs])


def _edge_of(
    run: Sequence[int],
    corners: Sequence[Point],
    sides: Sequence[Point],
    long: Sequence[float],
    turns: Sequence[float],
) -> Edge | tuple[Point, ...]:
    """The arc of a run of corners, or the corners where they are no arc."""
    half = long[run[0]] / 2
    uneven = any(abs(long[i] - 2 * half) > _SAME_MM for i in run[:-1])
    if len(run) < _FEWEST or uneven:
        return tuple(corners[i] for i in run)
    first, last = run[0], run[-1]
    into, out = sides[first - 1], sides[last]
    into_long, out_long = long[first - 1], long[last]
    if min(into_long, out_long) < half - _SAME_MM:
        return tuple(corners[i] for i in run)
    (ux, uy), (vx, vy) = (
        (into[0] / into_long, into[1] / into_long), (out[0] / out_long, out[1] / out_long)
    )  # fmt: skip
    radius = half / math.tan(turns[run[1]] / 2)
    start = (corners[first][0] - half * ux, corners[first][1] - half * uy)
    end = (corners[last][0] + half * vx, corners[last][1] + half * vy)
    centre = (start[0] - radius * uy, start[1] + radius * ux)
    turn_rad = math.fsum(turns[i] for i in run)
    return Edge(start=start, end=end, centre=centre, radius=radius, turn_rad=turn_rad)


def _joined(pieces: Sequence[Edge | tuple[Point, ...]]) -> tuple[Edge, ...]:
    """Arcs and corners in their order, with straights between them."""
    points: list[tuple[Point, Edge | None]] = []
    for piece in pieces:
        if isinstance(piece, Edge):
            points += [(piece.start, piece), (piece.end, None)]
        else:
            points += [(corner, None) for corner in piece]
    found = []
    for (start, arc), (end, _) in zip(points, [*points[1:], points[0]], strict=True):
        if arc is not None:
            found.append(arc)
        elif math.dist(start, end) > _SAME_MM:
            found.append(Edge(start=start, end=end))
    return tuple(found)


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
