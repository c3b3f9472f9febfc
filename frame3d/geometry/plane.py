"""Points, segments and rings in the plane: how near, how large, inside or not.

Closed forms, in plain numbers: what is asked of a plot is a handful of lines.

Glossary
--------
ring : the corners of a closed line in order; the last is joined to the first.

References
----------
J. O'Rourke, Computational Geometry in C, 1998, sections 1.3 (area), 1.4 (segments that cross) and
7.4 (a point in a polygon).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

Point = tuple[float, float]
Line = tuple[Point, Point]


def sides(ring: Sequence[Point]) -> Iterator[Line]:
    """From each corner to the next, and from the last to the first."""
    return zip(ring, (*ring[1:], ring[0]), strict=True)


def area(ring: Sequence[Point]) -> float:
    """Signed area: positive where the corners go anticlockwise.

    Examples
    --------
    >>> area([(0.0, 0.0), (4.0, 0.0), (0.0, 3.0)])
    6.0
    """
    return math.fsum(a[0] * b[1] - b[0] * a[1] for a, b in sides(ring)) / 2


def contains(ring: Sequence[Point], point: Point) -> bool:
    """Whether a point lies inside; on a side it may be either."""
    inside = False
    for a, b in sides(ring):
        if (a[1] > point[1]) != (b[1] > point[1]):
            across = a[0] + (point[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
            inside ^= point[0] < across
    return inside


def nearest_on(line: Line, point: Point) -> Point:
    """The point of a segment that is nearest to ``point``."""
    (ax, ay), (bx, by) = line
    run = (bx - ax, by - ay)
    square = run[0] ** 2 + run[1] ** 2
    if square == 0.0:
        return ax, ay
    share = ((point[0] - ax) * run[0] + (point[1] - ay) * run[1]) / square
    share = min(1.0, max(0.0, share))
    return ax + share * run[0], ay + share * run[1]


def cross(one: Line, other: Line) -> Point | None:
    """Where two segments cross or touch; None where they do not, or lie on one line."""
    (ax, ay), (bx, by) = one
    (cx, cy), (dx, dy) = other
    first, second = (bx - ax, by - ay), (dx - cx, dy - cy)
    turn = first[0] * second[1] - first[1] * second[0]
    if turn == 0.0:
        return None
    apart = (cx - ax, cy - ay)
    s = (apart[0] * second[1] - apart[1] * second[0]) / turn
    t = (apart[0] * first[1] - apart[1] * first[0]) / turn
    if not (0.0 <= s <= 1.0 and 0.0 <= t <= 1.0):
        return None
    return ax + s * first[0], ay + s * first[1]


def nearest(one: Line, other: Line) -> Line:
    """The two points of two segments that are nearest to each other; the same where they meet."""
    meeting = cross(one, other)
    if meeting is not None:
        return meeting, meeting
    pairs = [(end, nearest_on(other, end)) for end in one]
    pairs += [(nearest_on(one, end), end) for end in other]
    return min(pairs, key=lambda pair: math.dist(*pair))


def nearest_of_rings(ring: Sequence[Point], lines: Sequence[Line]) -> Line:
    """The nearest two points of a ring's sides and of segments, the ring's first."""
    pairs = (nearest(side, line) for side in sides(ring) for line in lines)
    return min(pairs, key=lambda pair: math.dist(*pair))


def crossing_sides(ring: Sequence[Point]) -> tuple[int, int] | None:
    """The first two sides that cross or touch, though they are no neighbours; or lie doubled."""
    lines = list(sides(ring))
    for (i, one), (j, other) in itertools.combinations(enumerate(lines), 2):
        if j == i + 1 or (i == 0 and j == len(lines) - 1):
            first, second = (one, other) if j == i + 1 else (other, one)
            if _folds_back(first, second):
                return i, j
        elif math.dist(*nearest(one, other)) == 0.0:
            return i, j
    return None


def _folds_back(one: Line, after: Line) -> bool:
    """Whether the second of two neighbours runs back over the first."""
    (ax, ay), (bx, by) = one
    _, (cx, cy) = after
    back, on = (ax - bx, ay - by), (cx - bx, cy - by)
    turn = back[0] * on[1] - back[1] * on[0]
    along = back[0] * on[0] + back[1] * on[1]
    return along > 0 and abs(turn) <= 1e-9 * math.hypot(*back) * math.hypot(*on)


def circles_meet(first: Point, reach: float, second: Point, other: float) -> Line | None:
    """The two points that lie ``reach`` from one point and ``other`` from another; None for none.

    The first of them lies to the left of the way from the first point to the second.
    """
    apart = math.dist(first, second)
    if apart == 0.0 or apart > reach + other or apart < abs(reach - other):
        return None
    along = (apart**2 + reach**2 - other**2) / (2 * apart)
    off = math.sqrt(max(0.0, reach**2 - along**2))
    ux, uy = (second[0] - first[0]) / apart, (second[1] - first[1]) / apart
    x, y = first[0] + along * ux, first[1] + along * uy
    return (x - off * uy, y + off * ux), (x + off * uy, y - off * ux)


def inset(ring: Sequence[Point], by: Sequence[float]) -> tuple[Point, ...]:
    """Where lines parallel to the sides, so far inside each of them, meet.

    Neighbours that are parallel meet abreast of the corner. Where a side is shorter than its
    neighbours' distances ask for, the ring that comes back crosses itself.
    """
    turn = 1.0 if area(ring) > 0 else -1.0
    moved = []
    for (a, b), far in zip(sides(ring), by, strict=True):
        length = math.dist(a, b)
        n = (-turn * (b[1] - a[1]) / length * far, turn * (b[0] - a[0]) / length * far)
        moved.append(((a[0] + n[0], a[1] + n[1]), (b[0] + n[0], b[1] + n[1])))
    return tuple(
        _meeting(before, after) for before, after in zip((moved[-1], *moved[:-1]), moved,
                                                         strict=True)
    )  # fmt: skip


def _meeting(one: Line, other: Line) -> Point:
    """Where the lines through two segments meet; where parallel, the start of the second."""
    (ax, ay), (bx, by) = one
    (cx, cy), (dx, dy) = other
    first, second = (bx - ax, by - ay), (dx - cx, dy - cy)
    turn = first[0] * second[1] - first[1] * second[0]
    if abs(turn) <= 1e-9 * math.hypot(*first) * math.hypot(*second):
        return other[0]
    s = ((cx - ax) * second[1] - (cy - ay) * second[0]) / turn
    return ax + s * first[0], ay + s * first[1]
