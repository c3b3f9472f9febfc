"""The two openings of each hole of a tube, and where their edges run on its surfaces.

Glossary
--------
opening : what a hole cuts out of one side of a tube, through the wall. Its clock angle is that
    of the hole, or half a turn on.
turn : the angle round an opening, rad, from the direction of the axis toward smaller clock
    angles. It is the parameter of everything that runs along the opening's edges.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from OCP.Geom import Geom_CylindricalSurface, Geom_Line
from OCP.gp import gp_Ax3, gp_Dir, gp_Pnt

from frame3d.errors import SolidError
from frame3d.frame.measure.measures import hole_clock_rad
from frame3d.frame.model.bodies import Hole, SweptRing
from frame3d.solids.tubes.tube_surfaces import FULL, AxisStation, Surface

_MOST_STEPS = 30
_SETTLED = 1e-11
_PARTS, _ROUNDS = 129, 8
"""A bracket is divided so finely, so many times: to the last digit."""


class Opening:
    """One side of a hole."""

    def __init__(self, tube: SweptRing, hole: Hole, more_rad: float) -> None:
        self.hole = hole
        self.at_mm, self.radius_mm = hole.at_mm, hole.diameter_mm / 2
        self.clock = hole_clock_rad(tube, hole) + more_rad
        self._reach_mm = tube.section.od_mm
        self._frame = AxisStation(tube.axis.at(hole.at_mm))
        at = np.array([self.clock])
        self._out, self._round = self._frame.out(at)[0], self._frame.round(at)[0]

    def feet(self, turn: np.ndarray) -> np.ndarray:
        """Where the lines of the bore pass the tube's axis, (n, 3)."""
        along, aside = np.cos(turn)[:, None], np.sin(turn)[:, None]
        ahead = along * self._frame.tangent - aside * self._round
        places: np.ndarray = self._frame.point + self.radius_mm * ahead
        return places

    def edge(self, surface: Surface, turn: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Clock angle, distance along and height over the axis of the edge on a surface."""
        aside = self.radius_mm * np.sin(turn)
        clock = self.clock - np.arcsin(np.clip(aside / surface.radius_mm, -0.999, 0.999))
        along = self.at_mm - surface.start_mm + self.radius_mm * np.cos(turn)
        ways = np.tile(self._out, (len(turn), 1))
        return meet(surface, self.feet(turn), ways, clock, along)

    def covers(self, places: np.ndarray) -> np.ndarray:
        """Which points of the tube's surface, (n, 3), lie within the opening, (n,)."""
        away = places - self._frame.point
        out = away @ self._out
        # No farther: the line of a bore may meet the tube again, across a hoop.
        here = (out > 0) & (out < self._reach_mm)
        within: np.ndarray = here & (np.einsum("ij,ij->i", away, away) - out**2 < self.radius_mm**2)
        return within

    def kernel(self) -> Geom_CylindricalSurface:
        """The wall of the bore; its parameters are turn and height over the axis."""
        return Geom_CylindricalSurface(
            gp_Ax3(
                gp_Pnt(*map(float, self._frame.point)),
                gp_Dir(*map(float, self._out)),
                gp_Dir(*map(float, self._frame.tangent)),
            ),
            self.radius_mm,
        )

    def line(self, turn: float) -> Geom_Line:
        """The line along the bore's wall; its parameter is the height over the axis."""
        foot = self.feet(np.array([turn]))[0]
        return Geom_Line(gp_Pnt(*map(float, foot)), gp_Dir(*map(float, self._out)))


def meet(
    surface: Surface, points: np.ndarray, ways: np.ndarray, clock: np.ndarray, along: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Where straight lines meet a surface, or go on beyond its rings to meet it, by Newton's steps.

    Parameters
    ----------
    surface : Surface
    points, ways : (n, 3) float
        A point and the direction of each line.
    clock, along : (n,) float
        Where to begin.

    Returns
    -------
    clock, along, far : (n,) float
        Where on the surface, and how far along each line.

    Raises
    ------
    SolidError
        If the steps do not settle.
    """
    far = None
    for _ in range(_MOST_STEPS):
        places, by_clock, by_along = surface.here(clock, along)
        if far is None:
            far = np.einsum("ij,ij->i", places - points, ways)
        gap = points + far[:, None] * ways - places
        # By Cramer's rule; the determinants are of the slopes and the line's direction.
        square, aslant = _cross(by_along, ways), _cross(by_clock, gap)
        whole = np.einsum("ij,ij->i", by_clock, square)
        on_clock = np.einsum("ij,ij->i", gap, square) / whole
        on_along = np.einsum("ij,ij->i", ways, aslant) / whole
        on_far = np.einsum("ij,ij->i", by_along, aslant) / whole
        clock, along, far = clock + on_clock, along + on_along, far + on_far
        most = float(np.max(np.abs(on_clock) * surface.radius_mm + np.abs(on_along)))
        # Rounding alone moves points of a wide bend by so much.
        if most < _SETTLED * (1.0 + float(np.max(np.abs(points)))):
            return clock, along, far
        if not math.isfinite(most):
            break
    raise SolidError(
        "the edge of a hole was not found on the tube; look for a hole nearly as wide as the tube"
    )


def _cross(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """The cross products of vectors, (n, 3): a fifth of the time of numpy's for a few of them."""
    after, before = [1, 2, 0], [2, 0, 1]
    crossed: np.ndarray = one[:, after] * other[:, before] - one[:, before] * other[:, after]
    return crossed


def root(f: Callable[[np.ndarray], np.ndarray], low: float, high: float) -> float:
    """Where ``f`` changes its sign between ``low`` and ``high``."""
    begins_above = f(np.array([low]))[0] > 0
    for _ in range(_ROUNDS):
        places = np.linspace(low, high, _PARTS)
        changed = (f(places) > 0) != begins_above
        if not changed.any():
            return high
        after = int(np.argmax(changed))
        low, high = float(places[after - 1]), float(places[after])
        if high - low < 1e-15 * max(1.0, abs(high)):
            break
    return (low + high) / 2


def widest_gap(angles: list[float], otherwise: float) -> float:
    """The middle of the widest gap between ``angles`` of a full turn."""
    if not angles:
        return otherwise
    ordered = sorted(angle % FULL for angle in angles)
    gaps = zip(ordered, [*ordered[1:], ordered[0] + FULL], strict=True)
    low, high = max(gaps, key=lambda gap: gap[1] - gap[0])
    return ((low + high) / 2) % FULL


__all__ = ["FULL", "Opening", "meet", "root", "widest_gap"]
