"""Convex bodies with flat faces: boards, plates, heads and nuts; whether they meet and how far.

Glossary
--------
hull : a convex body bounded by plane faces.
gap : the distance between two bodies as seen along a direction; the largest one tells
    that they are apart (above 0), or how far one must be shifted to come free (below).

References
----------
C. Ericson, Real-Time Collision Detection, 2005, sections 5.2.1 (separating axes) and
5.3.8 (a segment against a convex polyhedron).
"""

from __future__ import annotations

import functools
from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from frame3d.geometry.outlines import Point, turn
from frame3d.geometry.segments import segment_distance

_TINY = 1e-9


class Hull(Struct, frozen=True, kw_only=True):
    """A convex body.

    Parameters
    ----------
    vertices : (v, 3) float, mm
    normals : (m, 3) float
        Of the faces, outward, unit.
    offsets : (m,) float, mm
        A point ``p`` lies inside when ``normals @ p <= offsets``.
    edges : (e, 2) int
        Numbers of the vertices at their ends.
    """

    vertices: np.ndarray
    normals: np.ndarray
    offsets: np.ndarray
    edges: np.ndarray

    def placed(self, rotation: np.ndarray, shift: np.ndarray) -> Hull:
        """The hull turned by a (3, 3) matrix, then moved by ``shift`` (3,) mm."""
        normals = self.normals @ rotation.T
        return Hull(
            vertices=self.vertices @ rotation.T + shift,
            normals=normals,
            offsets=self.offsets + normals @ shift,
            edges=self.edges,
        )

    def segments(self) -> tuple[np.ndarray, np.ndarray]:
        """Both ends of every edge, (e, 3) mm each."""
        return self.vertices[self.edges[:, 0]], self.vertices[self.edges[:, 1]]

    def bounds(self) -> tuple[np.ndarray, np.ndarray]:
        """The lowest and the highest coordinates, (3,) mm each."""
        return self.vertices.min(axis=0), self.vertices.max(axis=0)


def loft(first: np.ndarray, second: np.ndarray) -> Hull:
    """The body between two faces of as many corners, whose sides must be plane.

    Parameters
    ----------
    first, second : (k, 3) float, mm
        Corners in one order; the body must be convex.
    """
    count = len(first)
    vertices = np.concatenate([first, second], axis=0, dtype=float)
    here, after, edges = _corners_and_edges(count)
    # Twice the area of each face as a vector: of a quadrilateral by its diagonals, of an
    # end by triangles from its first corner.
    sides = row_cross(
        vertices[after + count] - vertices[here], vertices[here + count] - vertices[after]
    )
    reach = vertices.reshape(2, count, 3) - vertices[[0, count]][:, None]
    ends = row_cross(reach[:, 1:-1], reach[:, 2:]).sum(axis=1)
    normals = np.concatenate([ends, sides])
    starts = np.concatenate([vertices[[0, count]], vertices[:count]])
    size = np.sqrt((normals * normals).sum(axis=1))
    flat = size > _TINY
    normals = normals[flat] / size[flat, None]
    outward = (normals * (starts[flat] - vertices.mean(axis=0))).sum(axis=1)
    normals[outward < 0] *= -1
    return Hull(
        vertices=vertices, normals=normals,
        offsets=(vertices @ normals.T).max(axis=0), edges=edges,
    )  # fmt: skip


@functools.lru_cache(maxsize=64)  # prisms of few numbers of corners are made over and over
def _corners_and_edges(count: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Corners of the first face, the next of each, and the edges of a loft, as numbers."""
    here = np.arange(count)
    after = (here + 1) % count
    rounds = np.column_stack([here, after])
    uprights = np.column_stack([here, here + count])
    return here, after, np.concatenate([rounds, rounds + count, uprights])


def row_cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Vector products of rows, (..., 3); numpy's own spends three times as long on so few."""
    ahead, behind = [1, 2, 0], [2, 0, 1]
    products: np.ndarray = a[..., ahead] * b[..., behind] - a[..., behind] * b[..., ahead]
    return products


def prism(outline: Sequence[tuple[float, float]], low_mm: float, high_mm: float) -> Hull:
    """A convex outline in x and y, raised from ``low_mm`` to ``high_mm`` along z."""
    flat = np.array(outline, dtype=float)
    lower, upper = np.full((len(flat), 3), low_mm), np.full((len(flat), 3), high_mm)
    lower[:, :2] = upper[:, :2] = flat
    return loft(lower, upper)


@functools.lru_cache(maxsize=256)  # a few outlines, of parts of many lengths
def convex_pieces(outline: tuple[Point, ...]) -> tuple[tuple[Point, ...], ...]:
    """An anticlockwise outline, cut into convex pieces that cover it without overlap.

    An outline that is convex comes back whole; another one in triangles, ear by ear.
    """
    points = list(outline)
    twice = (
        x * after[1] - after[0] * y
        for (x, y), after in zip(points, [*points[1:], points[0]], strict=True)
    )
    if sum(twice) <= 0:
        raise ValueError(f"an outline that runs clockwise or has no area: {outline}")
    if all(turn(*_around(points, k)) >= -_TINY for k in range(len(points))):
        return (outline,)
    pieces: list[tuple[Point, ...]] = []
    while len(points) > 3:
        for k in range(len(points)):
            before, here, after = _around(points, k)
            others = [p for p in points if p not in (before, here, after)]
            if turn(before, here, after) > _TINY and not any(
                _is_inside(p, before, here, after) for p in others
            ):
                pieces.append((before, here, after))
                del points[k]
                break
        else:
            raise ValueError(f"an outline that crosses itself: {outline}")
    return (*pieces, tuple(points))


def _around(points: list[Point], k: int) -> tuple[Point, Point, Point]:
    return points[k - 1], points[k], points[(k + 1) % len(points)]


def _is_inside(p: Point, a: Point, b: Point, c: Point) -> bool:
    return turn(a, b, p) > -_TINY and turn(b, c, p) > -_TINY and turn(c, a, p) > -_TINY


def hull_gap(a: Hull, b: Hull) -> float:
    """Largest gap between two hulls, mm; below 0 they overlap by so much.

    Exact when they overlap; when they are apart, they are at least so far apart.
    """
    ways = [a.normals, b.normals]
    first, second = (_directions(hull) for hull in (a, b))
    crossed = row_cross(first[:, None], second[None]).reshape(-1, 3)
    size = np.sqrt((crossed * crossed).sum(axis=1))
    crossed = crossed[size > 1e-6] / size[size > 1e-6, None]
    ways += [crossed, -crossed]
    along = np.vstack(ways)
    # Faces of b point from b to a: turned round they point from a to b as the others do.
    along[len(a.normals) : len(a.normals) + len(b.normals)] *= -1
    gaps = (b.vertices @ along.T).min(axis=0) - (a.vertices @ along.T).max(axis=0)
    return float(gaps.max())


def _directions(hull: Hull) -> np.ndarray:
    """Directions of the edges, parallel ones once."""
    low, high = hull.segments()
    way = high - low
    size = np.linalg.norm(way, axis=1)
    way = way[size > _TINY] / size[size > _TINY, None]
    kept: list[np.ndarray] = []
    for one in way:
        if all(abs(float(one @ other)) < 1 - 1e-9 for other in kept):
            kept.append(one)
    return np.array(kept)


def segment_hull_distance(p0: np.ndarray, p1: np.ndarray, hull: Hull) -> np.ndarray:
    """Distance of straight segments from one hull, (n,) mm; 0 where they meet.

    Parameters
    ----------
    p0, p1 : (n, 3) float, mm
    """
    count, (e0, e1) = len(p0), hull.segments()
    edges = len(e0)
    to_edges, _, _ = segment_distance(
        np.repeat(p0, edges, axis=0), np.repeat(p1, edges, axis=0),
        np.tile(e0, (count, 1)), np.tile(e1, (count, 1)),
    )  # fmt: skip
    best = to_edges.reshape(count, edges).min(axis=1)
    for point in (p0, p1):
        best = np.minimum(best, _over_faces(point, hull))
    return np.where(_crosses(p0, p1, hull), 0.0, best)


def _over_faces(points: np.ndarray, hull: Hull) -> np.ndarray:
    """Distance of points from the faces that they stand over; infinite over none."""
    above = points @ hull.normals.T - hull.offsets
    feet = points[:, None] - above[..., None] * hull.normals
    inside = (np.einsum("nmj,kj->nmk", feet, hull.normals) <= hull.offsets + 1e-7).all(axis=2)
    nearest: np.ndarray = np.where(inside & (above >= 0), above, np.inf).min(axis=1)
    return nearest


def _crosses(p0: np.ndarray, p1: np.ndarray, hull: Hull) -> np.ndarray:
    """Whether any point of a segment lies inside: clipped by every face in turn."""
    before, after = (p @ hull.normals.T - hull.offsets for p in (p0, p1))
    change = before - after
    moving = np.abs(change) > 1e-12
    at = before / np.where(moving, change, 1.0)
    enters = np.where(moving & (change > 0), at, 0.0).max(axis=1)
    leaves = np.where(moving & (change < 0), at, 1.0).min(axis=1)
    out = (~moving & (before > 0)).any(axis=1)
    crosses: np.ndarray = ~out & (np.maximum(enters, 0.0) <= np.minimum(leaves, 1.0))
    return crosses
