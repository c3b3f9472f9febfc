"""Straight segments and boxes in space: distances in closed form, many at a time.

References
----------
C. Ericson, Real-Time Collision Detection, 2005, sections 4.4.1 (separating axes of two
boxes) and 5.1.9 (two line segments).
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct


class Boxes(Struct, frozen=True, kw_only=True):
    """Many boxes, turned anyhow.

    Parameters
    ----------
    centre : (n, 3) float, mm
    axes : (n, 3, 3) float
        Rows are the unit vectors along the edges.
    half : (n, 3) float, mm
        Half the sizes along them.
    """

    centre: np.ndarray
    axes: np.ndarray
    half: np.ndarray


def segment_distance(
    a0: np.ndarray, a1: np.ndarray, b0: np.ndarray, b1: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Distance between straight segments, and where, as shares of each from 0 to 1.

    Parameters
    ----------
    a0, a1, b0, b1 : (n, 3) float, mm
        Ends of the segments; a segment may be a point.
    """
    first, second, apart = a1 - a0, b1 - b0, a0 - b0
    aa = np.einsum("ij,ij->i", first, first)
    bb = np.einsum("ij,ij->i", second, second)
    ab = np.einsum("ij,ij->i", first, second)
    ar = np.einsum("ij,ij->i", first, apart)
    br = np.einsum("ij,ij->i", second, apart)
    safe_a, safe_b = np.where(aa > 0, aa, 1.0), np.where(bb > 0, bb, 1.0)
    det = aa * bb - ab * ab
    skew = det > 1e-14 * aa * bb
    s = np.where(skew, (ab * br - ar * bb) / np.where(skew, det, 1.0), 0.0).clip(0.0, 1.0)
    t = ((ab * s + br) / safe_b).clip(0.0, 1.0)
    s = ((ab * t - ar) / safe_a).clip(0.0, 1.0)
    # Once more from the corrected s: parallel segments start anywhere.
    t = ((ab * s + br) / safe_b).clip(0.0, 1.0)
    gap = apart + s[:, None] * first - t[:, None] * second
    return np.sqrt(np.einsum("ij,ij->i", gap, gap)), s, t


def segment_box_distance(
    p0: np.ndarray, p1: np.ndarray, half: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Distance of straight segments from boxes about the origin, and where along, 0 to 1.

    The square of the distance is convex along the segment, and between the places where
    it crosses the planes of the faces its slope is linear: the zero is found there.

    Parameters
    ----------
    p0, p1 : (n, 3) float, mm
        Ends, in the axes of the box.
    half : (n, 3) float, mm
        Half the sizes of the box.
    """
    way = p1 - p0
    moving = np.abs(way) > 1e-300
    safe = np.where(moving, way, 1.0)
    crossings = [np.where(moving, (side * half - p0) / safe, 0.0) for side in (-1.0, 1.0)]
    ends = np.zeros((len(p0), 1)), np.ones((len(p0), 1))
    stops = np.sort(np.concatenate([*crossings, *ends], axis=1).clip(0.0, 1.0), axis=1)

    def outside(at: np.ndarray) -> np.ndarray:
        point = p0[:, None] + at[..., None] * way[:, None]
        beyond: np.ndarray = np.sign(point) * np.maximum(np.abs(point) - half[:, None], 0.0)
        return beyond

    slope = np.einsum("nkj,nj->nk", outside(stops), way)
    last = np.maximum((slope <= 0).sum(axis=1) - 1, 0)
    after = np.minimum(last + 1, stops.shape[1] - 1)
    rows = np.arange(len(p0))
    low, high = slope[rows, last], slope[rows, after]
    span = high - low
    share = np.where(span > 0, -low / np.where(span > 0, span, 1.0), 0.0).clip(0.0, 1.0)
    at = stops[rows, last] + share * (stops[rows, after] - stops[rows, last])
    gap = outside(at[:, None])[:, 0]
    return np.sqrt(np.einsum("ij,ij->i", gap, gap)), at


def box_gap(a: Boxes, b: Boxes) -> np.ndarray:
    """Largest gap between boxes along any separating axis, (n,) mm; below 0 they overlap.

    Where it is above 0 the boxes are at least that far apart; where it is below, that is
    how far one must be shifted to come free.
    """
    between = b.centre - a.centre
    crossed = np.cross(a.axes[:, :, None, :], b.axes[:, None, :, :]).reshape(len(between), 9, 3)
    size = np.linalg.norm(crossed, axis=2)
    usable = size > 1e-6
    crossed = crossed / np.where(usable, size, 1.0)[..., None]
    axes = np.concatenate([a.axes, b.axes, crossed], axis=1)
    reach = np.zeros(axes.shape[:2])
    for box in (a, b):
        along = np.abs(np.einsum("nij,nkj->nik", axes, box.axes))
        reach += np.einsum("nk,nik->ni", box.half, along)
    gap = np.abs(np.einsum("nij,nj->ni", axes, between)) - reach
    gap[:, 6:] = np.where(usable, gap[:, 6:], -np.inf)
    largest: np.ndarray = gap.max(axis=1)
    return largest
