"""The four corners from sides and diagonals that were measured, and how to square them.

Six distances join four points in a plane, and five of them fix the figure, up to where it
lies and which way it faces. So five give the corners exactly, and six or more, repeats
among them, give the corners that fit best: the sum of the squares of what each distance is
off is least. What is left over shows how well the tape was held.

The least move onto the rectangle of the design, turned and shifted as suits best, is that
of least squares: the middles of both figures meet, and the turn follows from the sums of
products of their coordinates.

References
----------
P. H. Schönemann, A generalized solution of the orthogonal Procrustes problem, Psychometrika
31 (1966) 1-10; in the plane the turn has a closed form, used here.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from frame3d.frame.model.surveyed import Distance

Array = np.ndarray
_FIXED = 5
"""Distances that fix four points up to a rigid move."""


class Move(Struct, frozen=True, kw_only=True):
    """How a corner is to be moved, mm: to the right and along, seen from the first hoop."""

    name: str
    right_mm: float
    along_mm: float

    @property
    def length_mm(self) -> float:
        """How far."""
        return math.hypot(self.right_mm, self.along_mm)


class Hold(Struct, frozen=True, kw_only=True):
    """Moves that square the corners while two of them stay on their line.

    Parameters
    ----------
    held : tuple of str
        The corner that stays, and the one whose direction from it stays.
    moves : tuple of Move
        Of all four; none of the first.
    """

    held: tuple[str, str]
    moves: tuple[Move, ...]

    @property
    def total_mm(self) -> float:
        """All moves together."""
        return sum(move.length_mm for move in self.moves)


class Squaring(Struct, frozen=True, kw_only=True):
    """What the measured distances say.

    Parameters
    ----------
    corners : tuple of (x, y), mm
        As they stand: front left, front right, back left, back right, in the axes of the
        rectangle where it fits best.
    fitted_mm, residuals_mm : tuple of float
        For each measured distance: what the fit gives, and measured less fitted.
    spare : int
        Distances more than needed; 0: nothing checks the tape.
    diagonals_mm : tuple of float
        Front left to back right, and front right to back left, of the fit.
    moves : tuple of Move
        The least that squares it, all four moved.
    holds : tuple of Hold
        The same with one side or end held, the least first.
    """

    corners: tuple[tuple[float, float], ...]
    fitted_mm: tuple[float, ...]
    residuals_mm: tuple[float, ...]
    spare: int
    diagonals_mm: tuple[float, float]
    moves: tuple[Move, ...]
    holds: tuple[Hold, ...]

    @property
    def difference_mm(self) -> float:
        """The first diagonal less the second, mm."""
        return self.diagonals_mm[0] - self.diagonals_mm[1]


def fit_corners(start: Array, distances: Sequence[Distance]) -> Array:
    """The corners that fit ``distances`` best.

    Parameters
    ----------
    start : (4, 2) float, mm
        The rectangle that is meant, with the third corner along y from the first.
    distances : sequence of Distance
        That join the corners in at least five ways.

    Returns
    -------
    (4, 2) float, mm
        The first corner where it was, the third along y from it.

    Raises
    ------
    ValueError
        If there are too few.
    """
    from scipy.optimize import least_squares

    if len({frozenset((d.first, d.second)) for d in distances}) < _FIXED:
        raise ValueError("four corners need at least five different distances")
    first = np.array([d.first for d in distances])
    second = np.array([d.second for d in distances])
    lengths = np.array([d.length_mm for d in distances])
    scale = float(np.ptp(start, axis=0).max())

    def corners_of(free: Array) -> Array:
        x1, y1, y2, x3, y3 = free * scale
        corners: Array = start[0] + np.array([[0.0, 0.0], [x1, y1], [0.0, y2], [x3, y3]])
        return corners

    def off(free: Array) -> Array:
        corners = corners_of(free)
        apart = np.hypot(*(corners[second] - corners[first]).T)
        misses: Array = (apart - lengths) / scale
        return misses

    local = (start - start[0]) / scale
    guess = np.array([local[1, 0], local[1, 1], local[2, 1], local[3, 0], local[3, 1]])
    found = least_squares(off, guess, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    return corners_of(found.x)


def fitted_onto(points: Array, target: Array) -> Array:
    """``points`` turned and shifted so that the squares of what is left to ``target`` are least.

    Parameters
    ----------
    points, target : (n, 2) float

    Returns
    -------
    (n, 2) float
    """
    middle, aim = points.mean(axis=0), target.mean(axis=0)
    p, q = points - middle, target - aim
    turn = math.atan2(float((p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]).sum()), float((p * q).sum()))
    moved: Array = _turned(p, turn) + aim
    return moved


def _turned(points: Array, angle: float) -> Array:
    cos, sin = math.cos(angle), math.sin(angle)
    turned: Array = points @ np.array([[cos, sin], [-sin, cos]])
    return turned


def square_up(rectangle: Array, names: Sequence[str], distances: Sequence[Distance]) -> Squaring:
    """Where the corners stand, and how to bring them onto ``rectangle``.

    Parameters
    ----------
    rectangle : (4, 2) float, mm
        Front left, front right, back left, back right.
    names : sequence of str
        Of the four.
    distances : sequence of Distance
    """
    found = fit_corners(rectangle, distances)
    apart = [float(np.hypot(*(found[d.second] - found[d.first]))) for d in distances]
    corners = fitted_onto(found, rectangle)
    return Squaring(
        corners=tuple((float(x), float(y)) for x, y in corners),
        fitted_mm=tuple(apart),
        residuals_mm=tuple(d.length_mm - a for d, a in zip(distances, apart, strict=True)),
        spare=len(distances) - _FIXED,
        diagonals_mm=(
            float(np.hypot(*(found[3] - found[0]))), float(np.hypot(*(found[2] - found[1])))
        ),
        moves=_moves(names, rectangle - corners),
        holds=tuple(sorted(_holds(rectangle, names, corners), key=lambda hold: hold.total_mm)),
    )  # fmt: skip


def _moves(names: Sequence[str], steps: Array) -> tuple[Move, ...]:
    return tuple(
        Move(name=name, right_mm=float(x), along_mm=float(y))
        for name, (x, y) in zip(names, steps, strict=True)
    )


def _holds(rectangle: Array, names: Sequence[str], corners: Array) -> list[Hold]:
    """One corner held, and the direction to its neighbour at the same end or side."""
    made = []
    for fixed, line in itertools.permutations(range(4), 2):
        if fixed + line == 3:
            continue  # across the middle
        meant, seen = rectangle[line] - rectangle[fixed], corners[line] - corners[fixed]
        turn = math.atan2(seen[1], seen[0]) - math.atan2(meant[1], meant[0])
        target = _turned(rectangle - rectangle[fixed], turn) + corners[fixed]
        # Moves are told along and across the rectangle as it will stand.
        steps = _turned(target - corners, -turn)
        made.append(Hold(held=(names[fixed], names[line]), moves=_moves(names, steps)))
    return made
