"""What near things leave to be seen of lines behind them, for many lines at once.

Exact for straight lines behind flat faces: each line is cut by the half-planes of each face
that may cover it, and the depths are compared in the middle of what both share.

Glossary
--------
face : a convex quadrilateral in the plane of the sheet with the nearness of each point of it.
nearness : distance toward the viewer, mm; greater is nearer.
owner : number of the thing that a line or a face belongs to; nothing covers itself.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely
from msgspec import Struct

_NEARER_MM = 1.0
_SHORTEST = 1e-9


class Segments(Struct, frozen=True, kw_only=True):
    """Lines: ``ends`` (n, 2, 2) mm on the sheet, ``near`` (n, 2) mm, ``owner`` (n,)."""

    ends: np.ndarray
    near: np.ndarray
    owner: np.ndarray


class Faces(Struct, frozen=True, kw_only=True):
    """Faces: ``corners`` (m, 4, 2) mm in order round, ``near`` (m, 4) mm, ``owner`` (m,)."""

    corners: np.ndarray
    near: np.ndarray
    owner: np.ndarray


def uncovered(lines: Segments, faces: Faces, shortest_mm: float) -> list[tuple[int, float, float]]:
    """The stretches of ``lines`` that no nearer face covers.

    Parameters
    ----------
    lines : Segments
    faces : Faces
        Each flat, so that the nearness of three corners gives it everywhere.
    shortest_mm : float
        Shorter stretches are left out.

    Returns
    -------
    list of (line, start, end)
        Number of the line, and shares of its length, in order.
    """
    hidden: list[list[tuple[float, float]]] = [[] for _ in range(len(lines.ends))]
    for line, low, high in _covered(lines, faces):
        hidden[line].append((low, high))
    lengths = np.linalg.norm(lines.ends[:, 1] - lines.ends[:, 0], axis=1)
    return [
        (line, start, end)
        for line, gaps in enumerate(hidden)
        for start, end in _between(sorted(gaps))
        if (end - start) * lengths[line] > shortest_mm
    ]


def _between(gaps: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """What sorted ``gaps`` leave of 0 to 1."""
    rest, reached = [], 0.0
    for low, high in gaps:
        if low > reached:
            rest.append((reached, low))
        reached = max(reached, high)
    return [*rest, (reached, 1.0)] if reached < 1.0 else rest


def _covered(lines: Segments, faces: Faces) -> Iterable[tuple[int, float, float]]:
    """Number of the line and the shares of its length between which a nearer face lies on it."""
    if not len(lines.ends) or not len(faces.corners):
        return []
    low, high = lines.ends.min(axis=1), lines.ends.max(axis=1)
    under, over = faces.corners.min(axis=1), faces.corners.max(axis=1)
    tree = shapely.STRtree(shapely.box(*under.T, *over.T))
    which, face = tree.query(shapely.box(*low.T, *high.T))
    other = lines.owner[which] != faces.owner[face]
    which, face = which[other], face[other]
    start, end = _inside(lines.ends[which], faces.corners[face])
    shared = end - start > _SHORTEST
    which, face, start, end = which[shared], face[shared], start[shared], end[shared]
    middle = (start + end) / 2
    ends, near = lines.ends[which], lines.near[which]
    at = ends[:, 0] + middle[:, None] * (ends[:, 1] - ends[:, 0])
    depth = near[:, 0] + middle * (near[:, 1] - near[:, 0])
    nearer = _nearness(faces.corners[face], faces.near[face], at) > depth + _NEARER_MM
    return zip(which[nearer].tolist(), start[nearer].tolist(), end[nearer].tolist(), strict=True)


def _inside(ends: np.ndarray, corners: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Shares of each line (k, 2, 2) between which it lies inside its quadrilateral (k, 4, 2)."""
    along = ends[:, 1] - ends[:, 0]
    sides = np.roll(corners, -1, axis=1) - corners
    # Twice the area, by which the corners run anticlockwise or not.
    area = _cross(corners, np.roll(corners, -1, axis=1)).sum(axis=1)
    turn = np.where(area < 0, -1.0, 1.0)[:, None]
    height = turn * _cross(sides, ends[:, None, 0] - corners)
    rise = turn * _cross(sides, np.broadcast_to(along[:, None], sides.shape))
    with np.errstate(divide="ignore", invalid="ignore"):
        crossing = -height / rise
    start = np.where(rise > 0, crossing, -np.inf).max(axis=1)
    end = np.where(rise < 0, crossing, np.inf).min(axis=1)
    outside = ((rise == 0) & (height < 0)).any(axis=1)
    start, end = np.clip(start, 0.0, 1.0), np.clip(end, 0.0, 1.0)
    return np.where(outside, 1.0, start), np.where(outside, 0.0, end)


def _cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    product: np.ndarray = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
    return product


def _nearness(corners: np.ndarray, near: np.ndarray, at: np.ndarray) -> np.ndarray:
    """Nearness at points (k, 2) of the planes through three corners of faces, (k,) mm."""
    first, second = corners[:, 1] - corners[:, 0], corners[:, 3] - corners[:, 0]
    away = at - corners[:, 0]
    size = _cross(first, second)
    with np.errstate(divide="ignore", invalid="ignore"):  # seen from its edge: covers nothing
        share, other = _cross(away, second) / size, _cross(first, away) / size
    rise, lift = near[:, 1] - near[:, 0], near[:, 3] - near[:, 0]
    found: np.ndarray = near[:, 0] + share * rise + other * lift
    return found
