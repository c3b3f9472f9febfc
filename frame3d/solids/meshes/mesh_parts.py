"""A closed mesh, and how one is put together face by face.

Glossary
--------
corner : a vertex as a face has it, with the face's own normal; two faces that meet
    along an edge have a corner each at every point of the edge.
point : a vertex of the closed mesh, shared by all the faces that meet there.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct


class Tolerance(Struct, frozen=True, kw_only=True):
    """How far triangles may stray from a surface: distance, mm, and turn, rad."""

    linear_mm: float
    angle_rad: float


class Mesh(Struct, frozen=True, kw_only=True):
    """A closed mesh in the part's own axes.

    Parameters
    ----------
    corners : (n, 3) float, mm
    normals : (n, 3) float
        Unit vectors out of the solid.
    triangles : (m, 3) int
        Numbers of corners, anticlockwise seen from outside.
    point_of : (n,) int
        The number of the point that each corner lies on; a point's position is
        that of the corner with its number.
    """

    corners: np.ndarray
    normals: np.ndarray
    triangles: np.ndarray
    point_of: np.ndarray

    @property
    def closed_triangles(self) -> np.ndarray:
        """The triangles, (m, 3) int, by the numbers of their points."""
        triangles: np.ndarray = self.point_of[self.triangles]
        return triangles


class FaceBuilder:
    """Collects points, then faces on them, and gives each face corners of its own."""

    def __init__(self) -> None:
        self._positions: list[np.ndarray] = []
        self._count = 0
        self._corners: list[int] = []
        self._normals: list[np.ndarray] = []
        self._triangles: list[tuple[int, int, int]] = []

    def points(self, positions: np.ndarray) -> np.ndarray:
        """Add points, (n, 3) float, mm; returns their numbers, (n,) int."""
        first = self._count
        self._positions.append(positions)
        self._count += len(positions)
        return np.arange(first, self._count)

    def face(
        self, triangles: Sequence[tuple[int, int, int]], normals: Mapping[int, np.ndarray]
    ) -> None:
        """Add a face: triangles by numbers of points, and the normal at each point."""
        corner_of: dict[int, int] = {}
        for triangle in triangles:
            for point in triangle:
                if point not in corner_of:
                    corner_of[point] = len(self._corners)
                    self._corners.append(point)
                    self._normals.append(normals[point])
            a, b, c = triangle
            self._triangles.append((corner_of[a], corner_of[b], corner_of[c]))

    def mesh(self) -> Mesh:
        """The mesh of all faces."""
        points = np.array(self._corners)
        # The first corner on a point gives the point its number.
        _, first, inverse = np.unique(points, return_index=True, return_inverse=True)
        return Mesh(
            corners=np.concatenate(self._positions)[points],
            normals=np.array(self._normals),
            triangles=np.array(self._triangles, dtype=np.int64),
            point_of=first[inverse],
        )


def is_closed(triangles: np.ndarray) -> bool:
    """Whether every edge of ``triangles``, (m, 3) int, is run once each way."""
    edges = np.concatenate([triangles[:, (0, 1)], triangles[:, (1, 2)], triangles[:, (2, 0)]])
    count = int(edges.max()) + 1
    ways = np.sort(edges[:, 0] * count + edges[:, 1])
    back = np.sort(edges[:, 1] * count + edges[:, 0])
    return bool(np.all(np.diff(ways) > 0) and np.array_equal(ways, back))


def enclosed_mm3(positions: np.ndarray, triangles: np.ndarray) -> float:
    """Volume inside a closed mesh, mm³, by the divergence theorem."""
    a, b, c = (positions[triangles[:, k]] for k in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)
