"""The ground as flat pieces: over a rectangle, and along a line.

Between the points they are the triangles of the surface. Outside, where the ground is as high
as at the nearest place on the edge of the points, it is flat as well: in strips beyond each
edge, level in the direction away from it, and in level wedges beyond each corner. So whatever
is summed over the pieces is exact for the surface that :mod:`.surface` gives.

References
----------
I. E. Sutherland, G. W. Hodgman, Reentrant polygon clipping, Communications of the ACM 17
(1974) 32-42: a convex piece is cut by one side of the rectangle after the other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct

from frame3d.site.ground.surface import Ground

Array = np.ndarray
Corner = tuple[float, float, float]
_WEDGES = 4
"""Pieces of a wedge, each of at most 45 degrees, so that what they reach is known."""
_SAME = 1e-9


class Rectangle(Struct, frozen=True, kw_only=True):
    """A rectangle along the axes of the site, mm."""

    left_mm: float
    right_mm: float
    front_mm: float
    back_mm: float

    @property
    def area_mm2(self) -> float:
        """Its area."""
        return (self.right_mm - self.left_mm) * (self.back_mm - self.front_mm)

    def wider(self, by_mm: float) -> Rectangle:
        """The rectangle with ``by_mm`` more on each side."""
        return Rectangle(
            left_mm=self.left_mm - by_mm, right_mm=self.right_mm + by_mm,
            front_mm=self.front_mm - by_mm, back_mm=self.back_mm + by_mm,
        )  # fmt: skip


class Facets(Struct, frozen=True, kw_only=True):
    """Flat triangles that cover a rectangle once.

    Parameters
    ----------
    corners : (n, 3, 3) float, mm
        x, y and height of the corners of each.
    areas : (n,) float, mm²
        Seen from above.
    """

    corners: Array
    areas: Array

    @property
    def mean_mm(self) -> float:
        """Mean height: that of a level pad for which as much is dug as is filled."""
        return float((self.areas * self.corners[:, :, 2].mean(axis=1)).sum() / self.areas.sum())


def ground_over(ground: Ground, over: Rectangle) -> Facets:
    """The ground over a rectangle."""
    found: list[tuple[Corner, Corner, Corner]] = []
    for piece in _pieces(ground, over):
        kept = _clipped(piece, over)
        found += [(kept[0], kept[i], kept[i + 1]) for i in range(1, len(kept) - 1)]
    corners = np.array(found, float)
    runs = corners[:, 1:, :2] - corners[:, :1, :2]
    areas = np.abs(runs[:, 0, 0] * runs[:, 1, 1] - runs[:, 0, 1] * runs[:, 1, 0]) / 2
    return Facets(corners=corners, areas=areas)


def ground_line(
    ground: Ground, start: tuple[float, float], end: tuple[float, float]
) -> tuple[tuple[float, float], ...]:
    """Distances from ``start`` and heights of the ground toward ``end``, at each bend of it, mm.

    Parameters
    ----------
    ground : Ground
    start, end : (x, y), mm
        In the axes of the site.
    """
    low, run = np.asarray(start, float), np.subtract(end, start)
    long = float(np.hypot(*run))
    first, second = _edges(ground, long + float(np.abs(ground.points - low).max()) * 2)
    along = second - first
    across = run[0] * along[:, 1] - run[1] * along[:, 0]
    crossing = np.abs(across) > _SAME * long * np.hypot(*along.T)
    off, along, across = (first - low)[crossing], along[crossing], across[crossing]
    shares = (off[:, 0] * along[:, 1] - off[:, 1] * along[:, 0]) / across
    beside = (off[:, 0] * run[1] - off[:, 1] * run[0]) / across
    met = (shares > 0) & (shares < 1) & (beside >= -_SAME) & (beside <= 1 + _SAME)
    stops = [0.0]
    for share in (*sorted(shares[met].tolist()), 1.0):
        if share - stops[-1] > _SAME:
            stops.append(share)
    stops[-1] = 1.0
    heights, _ = ground.at(low + np.array(stops)[:, None] * run)
    return tuple((share * long, float(z)) for share, z in zip(stops, heights, strict=True))


def _edges(ground: Ground, reach: float) -> tuple[Array, Array]:
    """Both ends of every line on which the ground bends, mm."""
    pairs = ground.triangles[:, [[0, 1], [1, 2], [0, 2]]].reshape(-1, 2)
    pairs = np.unique(np.sort(pairs, axis=1), axis=0)
    first, second = ground.points[pairs[:, 0]], ground.points[pairs[:, 1]]
    rays = [
        (ground.points[end], ground.points[end] + reach * normal)
        for edge, normal in _outline(ground) for end in edge
    ]  # fmt: skip
    return (
        np.vstack([first, [ray[0] for ray in rays]]),
        np.vstack([second, [ray[1] for ray in rays]]),
    )


def _outline(ground: Ground) -> list[tuple[tuple[int, int], Array]]:
    """The edges of the points, each with its direction outward."""
    middle, found = ground.points.mean(axis=0), []
    for a, b in ground.mesh.convex_hull:
        run = ground.points[b] - ground.points[a]
        normal = np.array([run[1], -run[0]]) / np.hypot(*run)
        if normal @ (ground.points[a] - middle) < 0:
            normal = -normal
        found.append(((int(a), int(b)), normal))
    return found


def _pieces(ground: Ground, over: Rectangle) -> Iterator[list[Corner]]:
    """Convex flat pieces of the ground: triangles, then strips and wedges beyond the points."""

    def corner(place: Array, height: float) -> Corner:
        return (float(place[0]), float(place[1]), float(height))

    points, heights = ground.points, ground.heights
    for triangle in ground.triangles:
        yield [corner(points[i], heights[i]) for i in triangle]
    sides = ((over.left_mm, over.front_mm), (over.right_mm, over.back_mm),
             (over.left_mm, over.back_mm), (over.right_mm, over.front_mm))  # fmt: skip
    reach = 2 * max(float(np.hypot(*(points - side).T).max()) for side in sides)
    normals: dict[int, list[Array]] = {}
    for (a, b), normal in _outline(ground):
        away = reach * normal
        yield [
            corner(points[a], heights[a]), corner(points[b], heights[b]),
            corner(points[b] + away, heights[b]), corner(points[a] + away, heights[a]),
        ]  # fmt: skip
        for end in (a, b):
            normals.setdefault(end, []).append(normal)
    for end, (first, second) in normals.items():
        start = math.atan2(first[1], first[0])
        turn = (math.atan2(second[1], second[0]) - start + math.pi) % (2 * math.pi) - math.pi
        ways = [start + turn * i / _WEDGES for i in range(_WEDGES + 1)]
        ring = [points[end] + reach * np.array([math.cos(way), math.sin(way)]) for way in ways]
        for i in range(_WEDGES):
            yield [corner(place, heights[end]) for place in (points[end], ring[i], ring[i + 1])]


def _clipped(piece: list[Corner], over: Rectangle) -> list[Corner]:
    """What of a convex piece lies in the rectangle; empty for nothing."""
    limits = ((0, over.left_mm, 1.0), (0, over.right_mm, -1.0),
              (1, over.front_mm, 1.0), (1, over.back_mm, -1.0))  # fmt: skip
    for axis, limit, sign in limits:
        inside = [sign * (corner[axis] - limit) for corner in piece]
        if max(inside) <= 0:
            return []
        if min(inside) < 0:
            piece = _cut(piece, inside)
    return piece


def _cut(piece: list[Corner], inside: Sequence[float]) -> list[Corner]:
    """The part of a convex piece where ``inside``, given at its corners, is not negative."""
    kept: list[Corner] = []
    for i, corner in enumerate(piece):
        before, there, here = piece[i - 1], inside[i - 1], inside[i]
        if (there < 0) != (here < 0):
            share = there / (there - here)
            x, y, z = (a + share * (b - a) for a, b in zip(before, corner, strict=True))
            kept.append((x, y, z))
        if here >= 0:
            kept.append(corner)
    return kept
