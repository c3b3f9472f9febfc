"""The surface of the ground through the points that were taken.

Between the points the ground is taken to be flat over the triangles of Delaunay, so it goes
through every point. Outside the points it is taken to be as high as at the nearest place on
the edge of them: nothing is drawn on beyond what was measured. How far outside is told.

References
----------
B. Delaunay, Sur la sphère vide, 1934; by scipy.spatial, which calls Qhull.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from frame3d.frame.model.surveyed import Level

if TYPE_CHECKING:
    from scipy.spatial import Delaunay

Array = np.ndarray
_ON_EDGE_MM = 1e-6


class Ground(Struct, frozen=True, kw_only=True):
    """The ground through points.

    Parameters
    ----------
    levels : tuple of Level
    points : (n, 2) float, mm
        In the axes of the site.
    heights : (n,) float, mm
    mesh : scipy.spatial.Delaunay
        Of the points less their middle.
    """

    levels: tuple[Level, ...]
    points: Array
    heights: Array
    mesh: Delaunay

    @property
    def triangles(self) -> Array:
        """(m, 3) int: the corners of each triangle, as numbers of points."""
        corners: Array = self.mesh.simplices
        return corners

    def at(self, places: Array) -> tuple[Array, Array]:
        """Height of the ground at places, and how far outside the points they lie.

        Parameters
        ----------
        places : (k, 2) float, mm

        Returns
        -------
        (k,) float, mm; (k,) float, mm
        """
        from scipy.interpolate import LinearNDInterpolator

        local = np.asarray(places, float) - self.points.mean(axis=0)
        heights = LinearNDInterpolator(self.mesh, self.heights)(local)
        outside = np.zeros(len(local))
        for i in np.flatnonzero(np.isnan(heights)):
            heights[i], outside[i] = self._nearest(local[i])
        outside[outside < _ON_EDGE_MM] = 0.0
        return heights, outside

    def _nearest(self, place: Array) -> tuple[float, float]:
        """Height at the nearest place on the edge of the points, and the distance to it."""
        first, second = self.mesh.convex_hull.T
        start, run = self.mesh.points[first], self.mesh.points[second] - self.mesh.points[first]
        share = np.clip(((place - start) * run).sum(axis=1) / (run**2).sum(axis=1), 0.0, 1.0)
        apart = np.hypot(*(start + share[:, None] * run - place).T)
        best = int(np.argmin(apart))
        low, high = self.heights[first[best]], self.heights[second[best]]
        return float(low + share[best] * (high - low)), float(apart[best])


def ground_through(levels: Sequence[Level]) -> Ground:
    """The ground through ``levels``, which :mod:`.levels` has checked."""
    from scipy.spatial import Delaunay

    points = np.array([(level.x_mm, level.y_mm) for level in levels], float)
    return Ground(
        levels=tuple(levels),
        points=points,
        heights=np.array([level.z_mm for level in levels], float),
        mesh=Delaunay(points - points.mean(axis=0)),
    )


def contour(ground: Ground, height_mm: float) -> list[list[tuple[float, float]]]:
    """The lines on which the ground is ``height_mm`` high: chains of points, mm.

    Each triangle that the height crosses gives one piece; pieces that share an edge of
    two triangles are one line. A closed line ends where it begins.
    """
    # A point exactly at the height counts as above, so that every triangle is crossed or not.
    above = ground.heights >= height_mm
    pieces: list[tuple[tuple[int, int], tuple[int, int]]] = []
    for triangle in ground.triangles:
        crossed = [
            (min(a, b), max(a, b))
            for a, b in ((triangle[0], triangle[1]), (triangle[1], triangle[2]),
                         (triangle[2], triangle[0]))
            if above[a] != above[b]
        ]  # fmt: skip
        if crossed:
            pieces.append((crossed[0], crossed[1]))

    def place(edge: tuple[int, int]) -> tuple[float, float]:
        low, high = ground.heights[edge[0]], ground.heights[edge[1]]
        share = (height_mm - low) / (high - low)
        x, y = ground.points[edge[0]] + share * (ground.points[edge[1]] - ground.points[edge[0]])
        return float(x), float(y)

    return [[place(edge) for edge in chain] for chain in _chains(pieces)]


_Edge = tuple[int, int]
"""Of two triangles: the numbers of its ends."""


def _chains(pieces: list[tuple[_Edge, _Edge]]) -> list[list[_Edge]]:
    """Pieces joined end to end, in a fixed order."""
    ends: dict[_Edge, list[int]] = {}
    for i, piece in enumerate(pieces):
        for end in piece:
            ends.setdefault(end, []).append(i)
    left = dict.fromkeys(range(len(pieces)))
    # Lines that end at the edge of the points are begun there, closed ones anywhere.
    starts = sorted(end for end, at in ends.items() if len(at) == 1)
    chains = []
    for start in (*starts, *sorted(ends)):
        chain = [start]
        while (step := next((i for i in ends[chain[-1]] if i in left), None)) is not None:
            del left[step]
            first, second = pieces[step]
            chain.append(second if chain[-1] == first else first)
        if len(chain) > 1:
            chains.append(chain)
    return chains
