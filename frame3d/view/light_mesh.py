"""A light mesh, and how prisms and rounds are put together.

Glossary
--------
ring : points round a closed line, all rings of one body equally many.
far triangles : what stands in for a shape where it is a few pixels across.
"""

from __future__ import annotations

import functools
from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from frame3d.geometry.hulls import row_cross


class LightMesh(Struct, frozen=True, kw_only=True):
    """A closed mesh in a part's own axes; several closed bodies may stand in one another.

    Parameters
    ----------
    corners : (n, 3) float32, mm
    normals : (n, 3) float32
        Unit vectors out of the body.
    triangles : (m, 3) int32
        Numbers of corners, anticlockwise seen from outside.
    outside : int
        How many of the first triangles are enough from afar: all but those of bores.
    far : (k, 3) int32
        Triangles that are enough where the part is a few pixels across; none where that is
        what ``outside`` says.
    """

    corners: np.ndarray
    normals: np.ndarray
    triangles: np.ndarray
    outside: int
    far: np.ndarray


NONE = np.empty((0, 3), dtype=np.int32)
"""No triangles."""


class ShapeBuilder:
    """Collects faces: each brings corners of its own, with normals.

    What is added has ``far``: the far triangles that stand in for it, None for its own.
    """

    def __init__(self) -> None:
        self._corners: list[np.ndarray] = []
        self._normals: list[np.ndarray] = []
        self._triangles: list[np.ndarray] = []
        self._far: list[np.ndarray] = []
        self._has_far = False
        self._count = 0

    def add(
        self,
        corners: np.ndarray,
        normals: np.ndarray,
        triangles: np.ndarray,
        far: np.ndarray | None = None,
    ) -> None:
        """Add corners (n, 3) mm with their normals, and triangles by numbers of them."""
        self._corners.append(corners)
        self._normals.append(np.broadcast_to(normals, corners.shape))
        self._triangles.append(np.asarray(triangles, dtype=np.int32) + self._count)
        self._has_far |= far is not None
        self._far.append(self._triangles[-1] if far is None else far + self._count)
        self._count += len(corners)

    def flat(
        self, corners: np.ndarray, triangles: np.ndarray, far: np.ndarray | None = None
    ) -> None:
        """Add a plane face; its normal follows from its first triangle."""
        a, b, c = (corners[k] for k in triangles[0])
        normal = row_cross(b - a, c - a)
        size = np.linalg.norm(normal)
        self.add(corners, normal / size if size else normal, triangles, far)

    def skin(
        self,
        rings: np.ndarray,
        normals: np.ndarray,
        *,
        inward: bool = False,
        far: np.ndarray | None = None,
    ) -> None:
        """Add the faces between rings (r, n, 3) that follow each other, smooth all over.

        Each ring runs anticlockwise seen from where the rings go; ``inward`` turns the
        faces to look to the inside.
        """
        count, around = rings.shape[:2]
        self.add(rings.reshape(-1, 3), normals.reshape(-1, 3), _grid(count, around, inward), far)

    @property
    def faces(self) -> int:
        """How many times something was added."""
        return len(self._far)

    def stand_in(self, *bodies: tuple[np.ndarray, np.ndarray, np.ndarray], first: int = 0) -> None:
        """Take bodies for all that was added from ``first`` on, where that is seen from far off.

        Each is of corners, normals and triangles.
        """
        self._has_far = True
        del self._far[first:]
        for corners, normals, triangles in bodies:
            self._corners.append(corners)
            self._normals.append(normals)
            self._far.append(triangles + self._count)
            self._count += len(corners)

    def shape(self, *, bores: int = 0) -> LightMesh:
        """All faces as one shape; the last triangles, ``bores`` of them, lie in bores."""
        return LightMesh(
            outside=sum(map(len, self._triangles)) - bores,
            corners=np.concatenate(self._corners).astype(np.float32),
            normals=np.concatenate(self._normals).astype(np.float32),
            triangles=np.concatenate(self._triangles).astype(np.int32),
            far=np.concatenate(self._far).astype(np.int32) if self._has_far else NONE,
        )


@functools.lru_cache(maxsize=256)
def _grid(count: int, around: int, inward: bool) -> np.ndarray:
    """Triangles between all of ``count`` rings; not to be written to."""
    found = between(tuple(range(count)), tuple(range(around)), around)
    return found[:, ::-1] if inward else found


@functools.lru_cache(maxsize=256)
def between(rings: tuple[int, ...], cells: tuple[int, ...], around: int) -> np.ndarray:
    """Triangles (n, 3) between some of the rings, each through some of its points.

    Parameters
    ----------
    rings, cells : tuple of int
        Numbers of rings and of points of each, rising.
    around : int
        How many points a ring has.

    Returns
    -------
    (n, 3) int
        Not to be written to.
    """
    ring, on = np.array(rings[:-1]) * around, np.array(rings[1:]) * around
    here, after = np.array(cells), np.roll(cells, -1)
    a, b = ring[:, None] + here, ring[:, None] + after
    d, c = on[:, None] + here, on[:, None] + after
    return np.stack([a, b, c, a, c, d], axis=-1).reshape(-1, 3)


def loft(builder: ShapeBuilder, low: np.ndarray, high: np.ndarray) -> None:
    """Add the body between two level polygons of as many corners, (n, 3) mm.

    Both run anticlockwise seen from ``high``; each side is a plane quadrangle.
    """
    corner_of, face_of, faces, triangles = _lofted(len(low), tuple(triangulate(low[:, :2])))
    both = np.concatenate([low, high])
    a, b, c = both[faces]
    normals = row_cross(b - a, c - a)
    size = np.sqrt((normals * normals).sum(axis=1))
    normals /= np.where(size > 0, size, 1.0)[:, None]
    builder.add(both[corner_of], normals[face_of], triangles)


@functools.lru_cache(maxsize=64)
def _lofted(
    count: int, cap: tuple[tuple[int, int, int], ...]
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """How a loft of polygons of ``count`` corners hangs together, whose caps have these triangles.

    Not to be written to.

    Returns
    -------
    corner_of, face_of : (6 n,) int
        Of each corner of the mesh: which of the 2 n corners of both polygons it is, and its
        face, the caps first.
    faces : (3, 2 + n) int
        Three corners of each face.
    triangles : (m, 3) int
        By corners of the mesh.
    """
    this, after = np.arange(count), np.roll(np.arange(count), -1)
    quads = np.stack([this, after, after + count, this + count], axis=1)
    first = 2 * count + 4 * this[:, None, None]
    caps = np.array(cap)
    return (
        np.concatenate([this, this + count, quads.ravel()]),
        np.repeat(np.arange(2 + count), [count, count] + [4] * count),
        np.concatenate([caps[:1, ::-1], caps[:1] + count, quads[:, :3]]).T,
        np.concatenate([
            caps[:, ::-1], caps + count, (first + np.array([(0, 1, 2), (0, 2, 3)])).reshape(-1, 3),
        ]),
    )  # fmt: skip


def prism(
    builder: ShapeBuilder,
    outline: Sequence[Sequence[float]] | np.ndarray,
    low_mm: float,
    high_mm: float,
) -> None:
    """Add an outline (n, 2), mm, anticlockwise, raised from one height along z to another."""
    flat = np.asarray(outline, dtype=float)
    loft(
        builder,
        np.column_stack([flat, np.full(len(flat), low_mm)]),
        np.column_stack([flat, np.full(len(flat), high_mm)]),
    )


def turned(builder: ShapeBuilder, profile: Sequence[tuple[float, float]], around: int) -> None:
    """Add a body turned about z from a profile of (radius, height), mm, rising in height.

    Each stretch of the profile is a surface of its own, with a sharp edge between; where
    the profile does not begin or end on the axis it is closed flat.
    """
    turn = 2 * np.pi / around * np.arange(around)
    circle = np.column_stack([np.cos(turn), np.sin(turn), np.zeros(around)])
    up = np.array((0.0, 0.0, 1.0))
    for (r0, z0), (r1, z1) in zip(profile, profile[1:], strict=False):
        outward = circle * (z1 - z0) - up * (r1 - r0)
        normals = outward / np.linalg.norm(outward, axis=1, keepdims=True)
        builder.skin(
            np.stack([circle * r0 + up * z0, circle * r1 + up * z1]), np.stack([normals, normals])
        )
    for (radius, z), way in ((profile[0], -1), (profile[-1], 1)):
        if radius > 0:
            builder.flat(circle * radius + up * z, fan(around)[:, ::way])


@functools.lru_cache(maxsize=64)
def fan(count: int) -> np.ndarray:
    """Triangles of a convex polygon of ``count`` corners, by numbers; not to be written to."""
    rest = np.arange(1, count - 1)
    return np.column_stack([np.zeros_like(rest), rest, rest + 1])


def triangulate(outline: np.ndarray) -> list[tuple[int, int, int]]:
    """Triangles of a simple polygon (n, 2), anticlockwise, by cutting off ears."""
    left = list(range(len(outline)))
    points = outline.tolist()
    found = []
    while len(left) > 3:
        for k in range(len(left)):
            trio = (left[k - 1], left[k], left[(k + 1) % len(left)])
            if _is_ear(points, left, trio):
                found.append(trio)
                del left[k]
                break
        else:  # Only corners on one line are left.
            del left[0]
    a, b, c = left
    return [*found, (a, b, c)]


def _is_ear(points: list[list[float]], left: list[int], trio: tuple[int, int, int]) -> bool:
    a, b, c = (points[k] for k in trio)
    if _twice_area(a, b, c) <= 1e-9:
        return False
    others = (points[k] for k in left if k not in trio)
    return not any(
        _twice_area(a, b, p) >= 0 and _twice_area(b, c, p) >= 0 and _twice_area(c, a, p) >= 0
        for p in others
        if p not in (a, b, c)
    )


def _twice_area(a: Sequence[float], b: Sequence[float], c: Sequence[float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
