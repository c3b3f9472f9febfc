"""Distances between curves of lines and arcs in space, exact to a stated tolerance.

Glossary
--------
curve : a straight or circular piece of a centreline in space.
chord : the straight line between the ends of a stretch of a curve.
sagitta : the largest distance of an arc from its chord, ``R (1 - cos(angle / 2))``.

How the smallest distance is proved to be the smallest: up to half a turn, no point
of an arc is farther from its chord than the sagitta. The distance between two chords
(closed form), less both sagittas, is therefore a lower bound for the stretches over
them, and the distance between any two points an upper bound. Stretches whose lower
bound is not below the best upper bound less the tolerance cannot hold anything better
and are dropped; the others are divided. Sagittas shrink with the square of the length,
so that few rounds settle it. Lines need one. Arcs about one axis, and a line along an
arc's axis, have whole curves of nearest points and are done in closed form.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from frame3d.geometry.curves import Curves, nearest_angle
from frame3d.geometry.segments import Boxes, segment_box_distance, segment_distance

TOLERANCE_MM = 1e-6
_PARTS = 4
"""Into how many stretches one is divided."""
_MOST_CELLS = 20_000
"""Pairs of stretches of one pair of curves, above which the bracket stays wider."""
_COAXIAL_MM, _PARALLEL = 1e-7, 1e-12


class Bracket(Struct, frozen=True, kw_only=True):
    """What is known of smallest distances: each lies from ``lower`` to ``upper``.

    Parameters
    ----------
    lower, upper : (n,) float, mm
    along_a, along_b : (n,) float, mm
        Where on the two curves the upper bound is taken on.
    """

    lower: np.ndarray
    upper: np.ndarray
    along_a: np.ndarray
    along_b: np.ndarray


def curve_distance(
    a: Curves,
    b: Curves,
    tolerance_mm: float = TOLERANCE_MM,
    enough_mm: float | np.ndarray = np.inf,
) -> Bracket:
    """Smallest distances between curves, pair by pair.

    Parameters
    ----------
    a, b : Curves
        As many of one as of the other.
    tolerance_mm : float
        How wide a bracket may be.
    enough_mm : float or (n,) float
        A pair that is shown to be at least this far apart is not looked at further;
        its bracket may stay wide.

    Examples
    --------
    A circle of 10 mm, a quarter of it, from a line that passes 3 mm above it:

    >>> from frame3d.geometry.curves import curves_of
    >>> from frame3d.geometry.paths import Arc, Line, PlanePath
    >>> from frame3d.geometry.placement import Placement
    >>> arc = curves_of(PlanePath((Arc(10.0, 1.5),)))
    >>> line = curves_of(PlanePath((Line(8.0),)), Placement(origin=(2.0, 0.5, 3.0)))
    >>> bool(abs(curve_distance(arc, line).upper[0] - 3.0) < 1e-6)
    True
    """
    count = len(a)
    bracket = Bracket(
        lower=np.full(count, np.inf), upper=np.full(count, np.inf),
        along_a=np.zeros(count), along_b=np.zeros(count),
    )  # fmt: skip
    done = _closed_forms(a, b, bracket)
    cells = _first_cells(a, b, np.flatnonzero(~done))
    return _searched(a, b, cells, bracket, tolerance_mm, enough_mm)


def curve_box_distance(
    a: Curves,
    boxes: Boxes,
    tolerance_mm: float = TOLERANCE_MM,
    enough_mm: float | np.ndarray = np.inf,
) -> Bracket:
    """Smallest distances between curves and solid boxes, pair by pair; 0 where they meet.

    Parameters
    ----------
    a : Curves
    boxes : Boxes
        As many as curves.
    tolerance_mm, enough_mm
        As :func:`curve_distance` has them.
    """
    count = len(a)
    bracket = Bracket(
        lower=np.full(count, np.inf), upper=np.full(count, np.inf),
        along_a=np.zeros(count), along_b=np.zeros(count),
    )  # fmt: skip
    local = a.placed(boxes.axes, -np.einsum("nij,nj->ni", boxes.axes, boxes.centre))
    points = Curves(
        start=np.zeros((count, 3)), tangent=local.tangent, normal=local.normal,
        curvature=np.zeros(count), length=np.zeros(count),
    )  # fmt: skip
    cells = _first_cells(local, points, np.arange(count))
    return _searched(local, points, cells, bracket, tolerance_mm, enough_mm, boxes.half)


def _searched(
    a: Curves,
    b: Curves,
    cells: list[np.ndarray],
    bracket: Bracket,
    tolerance_mm: float,
    enough_mm: float | np.ndarray,
    half: np.ndarray | None = None,
) -> Bracket:
    """The bracket narrowed by dividing ``cells``; with ``half``, b are boxes about the origin."""
    lower, upper, count = bracket.lower, bracket.upper, len(a)
    enough = np.broadcast_to(np.asarray(enough_mm, dtype=float), (count,))
    while len(cells[0]):
        pair, s0, s1, t0, t1 = cells
        one, two = a.take(pair), b.take(pair)
        if half is None:
            chord, u, v = segment_distance(one.at(s0), one.at(s1), two.at(t0), two.at(t1))
        else:
            chord, u = segment_box_distance(one.at(s0), one.at(s1), half[pair])
            v = np.zeros(len(u))
        s, t = s0 + u * (s1 - s0), t0 + v * (t1 - t0)
        gap = one.at(s) - two.at(t)
        if half is not None:
            gap = np.maximum(np.abs(gap) - half[pair], 0.0)
        met = np.sqrt(np.einsum("ij,ij->i", gap, gap))
        _keep_best(pair, met, s, t, bracket)
        sag_a, sag_b = _sagitta(one, s1 - s0), _sagitta(two, t1 - t0)
        least = np.maximum(chord - sag_a - sag_b, 0.0)
        crowded = np.bincount(pair, minlength=count)[pair] > _MOST_CELLS
        settled = (least >= upper[pair] - tolerance_mm) | (least >= enough[pair])
        settled |= crowded | (sag_a + sag_b <= tolerance_mm / 4)
        np.minimum.at(lower, pair[settled], least[settled])
        go = ~settled
        cells = _divided([column[go] for column in cells], sag_a[go], sag_b[go], tolerance_mm)
    np.minimum(lower, upper, out=lower)
    return bracket


def _sagitta(curves: Curves, length: np.ndarray) -> np.ndarray:
    quarter = np.sin(curves.curvature * length / 4)
    bend = np.where(curves.curvature > 0, curves.curvature, 1.0)
    return np.where(curves.curvature > 0, 2 * quarter**2 / bend, 0.0)


def _keep_best(
    pair: np.ndarray, met: np.ndarray, s: np.ndarray, t: np.ndarray, bracket: Bracket
) -> None:
    """Lower the upper bounds to the best of the distances ``met``."""
    upper = bracket.upper
    order = np.lexsort((met, pair))
    first = np.ones(len(order), dtype=bool)
    first[1:] = pair[order][1:] != pair[order][:-1]
    best = order[first]
    best = best[met[best] < upper[pair[best]]]
    which = pair[best]
    upper[which], bracket.along_a[which], bracket.along_b[which] = met[best], s[best], t[best]


def _first_cells(a: Curves, b: Curves, pairs: np.ndarray) -> list[np.ndarray]:
    """Whole curves against each other, arcs in stretches of at most a third of a turn."""
    cells = [pairs, np.zeros(len(pairs)), a.length[pairs], np.zeros(len(pairs)), b.length[pairs]]
    for curves, column in ((a, 1), (b, 3)):
        parts = np.ceil(curves.curvature[cells[0]] * curves.length[cells[0]] / 2.0)
        cells = _split(cells, column, np.maximum(parts, 1).astype(int))
    return cells


def _divided(
    cells: list[np.ndarray], sag_a: np.ndarray, sag_b: np.ndarray, tolerance_mm: float
) -> list[np.ndarray]:
    """The same stretches in smaller ones, where the sagitta still matters."""
    if not len(cells[0]):
        return cells
    least = tolerance_mm / 8
    parts_a = np.where((sag_a > least) & (sag_a > sag_b / 64), _PARTS, 1)
    parts_b = np.where((sag_b > least) & (sag_b > sag_a / 64), _PARTS, 1)
    first = np.repeat(np.arange(len(parts_a)), parts_a)
    return _split(_split(cells, 1, parts_a), 3, parts_b[first])


def _split(cells: list[np.ndarray], column: int, parts: np.ndarray) -> list[np.ndarray]:
    """Every cell in ``parts`` equal ones, along one of the two curves."""
    which = np.repeat(np.arange(len(parts)), parts)
    number = np.arange(len(which)) - np.repeat(np.cumsum(parts) - parts, parts)
    low, high = cells[column][which], cells[column + 1][which]
    step = (high - low) / parts[which]
    result = [one[which] for one in cells]
    result[column], result[column + 1] = low + number * step, low + (number + 1) * step
    return result


def _closed_forms(a: Curves, b: Curves, bracket: Bracket) -> np.ndarray:
    """Fill in arcs about one axis, and lines parallel to an arc's axis; tells which."""
    lower, upper = bracket.lower, bracket.upper
    along_a, along_b = bracket.along_a, bracket.along_b
    done = np.zeros(len(a), dtype=bool)
    bent_a, bent_b = a.curvature > 0, b.curvature > 0
    axis_a, axis_b = np.cross(a.tangent, a.normal), np.cross(b.tangent, b.normal)
    both = np.flatnonzero(bent_a & bent_b)
    if len(both):
        one, two, axis = a.take(both), b.take(both), axis_a[both]
        between = _centre(two) - _centre(one)
        rise = np.einsum("ij,ij->i", between, axis)
        off = np.linalg.norm(between - rise[:, None] * axis, axis=1)
        tilt = np.linalg.norm(np.cross(axis, axis_b[both]), axis=1)
        # A tilt moves the ends by radius times tilt.
        same = (off < _COAXIAL_MM) & (tilt < _COAXIAL_MM * two.curvature)
        which = both[same]
        if len(which):
            upper[which], along_a[which], along_b[which] = _coaxial(
                one.take(same), two.take(same), axis[same], rise[same]
            )
            lower[which], done[which] = upper[which], True
    for swapped in (False, True):
        line, arc, axis = (b, a, axis_a) if not swapped else (a, b, axis_b)
        lone = np.flatnonzero((line.curvature == 0) & (arc.curvature > 0))
        tilt = np.linalg.norm(np.cross(axis[lone], line.tangent[lone]), axis=1)
        which = lone[tilt < _PARALLEL]
        if len(which):
            far, on_arc, on_line = _along_axis(arc.take(which), line.take(which), axis[which])
            upper[which] = lower[which] = far
            ends = (on_arc, on_line) if not swapped else (on_line, on_arc)
            along_a[which], along_b[which] = ends
            done[which] = True
    return done


def _centre(arcs: Curves) -> np.ndarray:
    centre: np.ndarray = arcs.start + arcs.normal / arcs.curvature[:, None]
    return centre


def _coaxial(
    a: Curves, b: Curves, axis: np.ndarray, rise: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Distance between arcs about one axis: at the angles that come nearest to each other."""
    east, north = -a.normal, a.tangent
    turn_a, turn_b = a.curvature * a.length, b.curvature * b.length
    begin = np.arctan2(
        np.einsum("ij,ij->i", -b.normal, north), np.einsum("ij,ij->i", -b.normal, east)
    )
    way = np.sign(np.einsum("ij,ij->i", axis, np.cross(b.tangent, b.normal)))
    best, where_a, where_b = np.full(len(a), np.inf), np.zeros(len(a)), np.zeros(len(a))
    # The nearest pair is an end of one with an end or an inner point of the other.
    start = np.zeros(len(a))
    pairs = [(on_a, nearest_angle((on_a - begin) * way, turn_b)) for on_a in (start, turn_a)]
    pairs += [(nearest_angle(begin + way * on_b, turn_a), on_b) for on_b in (start, turn_b)]
    for on_a, on_b in pairs:
        miss = np.abs((begin + way * on_b - on_a + np.pi) % (2 * np.pi) - np.pi)
        better = miss < best
        best = np.where(better, miss, best)
        where_a, where_b = np.where(better, on_a, where_a), np.where(better, on_b, where_b)
    one, two = 1 / a.curvature, 1 / b.curvature
    level = (one - two) ** 2 + 4 * one * two * np.sin(best / 2) ** 2
    return np.sqrt(level + rise**2), where_a * one, where_b * two


def _along_axis(
    arc: Curves, line: Curves, axis: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Distance of arcs from lines parallel to their axes."""
    reach = line.start - _centre(arc)
    rise = np.einsum("ij,ij->i", reach, axis)
    east = np.einsum("ij,ij->i", reach, -arc.normal)
    north = np.einsum("ij,ij->i", reach, arc.tangent)
    on_arc = nearest_angle(np.arctan2(north, east), arc.curvature * arc.length)
    radius = 1 / arc.curvature
    level = np.hypot(east - radius * np.cos(on_arc), north - radius * np.sin(on_arc))
    way = np.sign(np.einsum("ij,ij->i", line.tangent, axis))
    on_line = (-rise * way).clip(0.0, line.length)
    return np.hypot(level, rise + way * on_line), on_arc * radius, on_line
