"""Lines and arcs in space, many at a time.

Glossary
--------
curve : a straight or circular piece of a centreline in space.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from frame3d.geometry.paths import Arc, PlanePath
from frame3d.geometry.placement import Placement


class Curves(Struct, frozen=True, kw_only=True):
    """Many lines and arcs, by their starts.

    Parameters
    ----------
    start : (n, 3) float, mm
    tangent : (n, 3) float
        Unit vectors along the curve at its start.
    normal : (n, 3) float
        Unit vectors toward the centre of an arc; any square one for a line.
    curvature : (n,) float, 1/mm
        Zero for a line.
    length : (n,) float, mm
    """

    start: np.ndarray
    tangent: np.ndarray
    normal: np.ndarray
    curvature: np.ndarray
    length: np.ndarray

    def __len__(self) -> int:
        """How many there are."""
        return len(self.length)

    def take(self, which: np.ndarray) -> Curves:
        """Those with the given numbers, or where a mask is true."""
        return Curves(
            start=self.start[which],
            tangent=self.tangent[which],
            normal=self.normal[which],
            curvature=self.curvature[which],
            length=self.length[which],
        )

    def at(self, along: np.ndarray) -> np.ndarray:
        """Points ``along`` (n,) mm from the starts, (n, 3) mm."""
        half = self.curvature * along / 2
        # By the chord, which loses no digits where the radius is very large.
        bent = self.curvature > 0
        chord = np.where(bent, 2 * np.sin(half) / np.where(bent, self.curvature, 1.0), along)
        across = (chord * np.sin(half))[:, None] * self.normal
        points: np.ndarray = self.start + (chord * np.cos(half))[:, None] * self.tangent + across
        return points

    def tangent_at(self, along: np.ndarray) -> np.ndarray:
        """Unit vectors along the curves, (n, 3)."""
        turn = (self.curvature * along)[:, None]
        tangents: np.ndarray = np.cos(turn) * self.tangent + np.sin(turn) * self.normal
        return tangents

    def placed(self, rotation: np.ndarray, shift: np.ndarray) -> Curves:
        """The curves moved by matrices (n, 3, 3), or one of them, and shifts (n, 3) mm."""

        def turned(vectors: np.ndarray) -> np.ndarray:
            found: np.ndarray = np.einsum("...ij,...j->...i", rotation, vectors)
            return found

        return Curves(
            start=turned(self.start) + shift,
            tangent=turned(self.tangent),
            normal=turned(self.normal),
            curvature=self.curvature,
            length=self.length,
        )


def curves_of(path: PlanePath, placement: Placement | None = None) -> Curves:
    """The segments of a path as curves, in its own axes or placed.

    Examples
    --------
    >>> from frame3d.geometry.paths import Line
    >>> curves_of(PlanePath((Line(3.0), Line(4.0)))).start[1].tolist()
    [3.0, 0.0, 0.0]
    """
    rows, curvature, length = [], [], []
    for (_, here), segment in zip(path.starts, path.segments, strict=True):
        bend = 1 / segment.radius_mm if isinstance(segment, Arc) else 0.0
        side = -1.0 if isinstance(segment, Arc) and segment.angle_rad < 0 else 1.0
        nx, ny = here.normal
        rows.append(
            ((here.x_mm, here.y_mm, 0.0), (*here.tangent, 0.0), (side * nx, side * ny, 0.0))
        )
        curvature.append(bend)
        length.append(segment.length_mm)
    start, tangent, normal = (np.array(column, dtype=float) for column in zip(*rows, strict=True))
    curves = Curves(
        start=start, tangent=tangent, normal=normal,
        curvature=np.array(curvature), length=np.array(length),
    )  # fmt: skip
    if placement is None:
        return curves
    matrix = placement.matrix()
    return curves.placed(matrix[:3, :3], matrix[:3, 3])


def joined(parts: Sequence[Curves]) -> Curves:
    """All curves of ``parts``, in a row."""
    return Curves(
        start=np.vstack([p.start for p in parts]),
        tangent=np.vstack([p.tangent for p in parts]),
        normal=np.vstack([p.normal for p in parts]),
        curvature=np.concatenate([p.curvature for p in parts]),
        length=np.concatenate([p.length for p in parts]),
    )


def nearest_on(curves: Curves, points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Distance of points from a chain of curves, and where along the chain, (n,) mm each.

    Parameters
    ----------
    curves : Curves
        Each begins where the one before it ends.
    points : (n, 3) float, mm

    Examples
    --------
    >>> from frame3d.geometry.paths import Line
    >>> path = curves_of(PlanePath((Line(10.0), Arc(5.0, 1.0))))
    >>> [float(v[0]) for v in nearest_on(path, np.array([[4.0, -3.0, 4.0]]))]
    [5.0, 4.0]
    """
    best, where = np.full(len(points), np.inf), np.zeros(len(points))
    begin = 0.0
    for k in range(len(curves)):
        apart = points - curves.start[k]
        ahead = apart @ curves.tangent[k]
        bend, length = float(curves.curvature[k]), float(curves.length[k])
        if bend:
            toward = apart @ curves.normal[k]
            angle = np.arctan2(ahead, 1 / bend - toward)
            along = nearest_angle(angle, np.full(len(points), bend * length)) / bend
            missed = points - curves.take(np.full(len(points), k)).at(along)
        else:
            along = ahead.clip(0.0, length)
            missed = apart - along[:, None] * curves.tangent[k]
        far = np.sqrt((missed * missed).sum(axis=1))
        nearer = far < best
        best, where = np.where(nearer, far, best), np.where(nearer, begin + along, where)
        begin += length
    return best, where


def places_on(curves: Curves, along: np.ndarray) -> np.ndarray:
    """Points ``along`` (n,) mm from the start of a chain of curves, (n, 3) mm."""
    begins = np.cumsum(curves.length) - curves.length
    which = np.maximum(np.searchsorted(begins, along, side="right") - 1, 0)
    return curves.take(which).at(along - begins[which])


def nearest_angle(angle: np.ndarray, turn: np.ndarray) -> np.ndarray:
    """The angle from 0 to ``turn`` that is nearest to ``angle`` round the circle, (n,) rad."""
    inside = angle % (2 * np.pi)
    past = inside - turn
    return np.where(past <= 0, inside, np.where(past < 2 * np.pi - inside, turn, 0.0))
