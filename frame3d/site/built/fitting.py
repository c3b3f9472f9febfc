"""Measured places laid onto meant ones, so that a few that are far off do not pull the rest.

Least squares would share one bad socket out among its neighbours. Here a place that is off
by more than some millimetres counts with its distance, and no more with the square of it
(the loss 2 (sqrt(1 + r²) - 1), r in those millimetres).

References
----------
P. J. Huber, Robust estimation of a location parameter, Annals of Mathematical Statistics 35
(1964) 73-101; the smooth form is scipy's ``soft_l1``.
"""

from __future__ import annotations

import math

import numpy as np

from frame3d.site.staking.squaring import fitted_onto

Array = np.ndarray
_SCALE_MM = 3.0


def laid_onto(points: Array, target: Array) -> Array:
    """``points`` turned and shifted onto ``target``.

    Parameters
    ----------
    points, target : (n, 2) float, mm

    Returns
    -------
    (n, 2) float, mm
    """
    from scipy.optimize import least_squares

    start = fitted_onto(points, target)
    middle = start.mean(axis=0)
    far = float(np.abs(start - middle).max()) or 1.0

    def moved(free: Array) -> Array:
        # The turn as the way that the farthest place makes, so that all three are lengths.
        cos, sin = math.cos(free[2] / far), math.sin(free[2] / far)
        turned = (start - middle) @ np.array([[cos, sin], [-sin, cos]])
        places: Array = turned + middle + free[:2]
        return places

    def off(free: Array) -> Array:
        misses: Array = (moved(free) - target).ravel()
        return misses

    found = least_squares(
        off, np.zeros(3), loss="soft_l1", f_scale=_SCALE_MM, xtol=1e-12, ftol=1e-12, gtol=1e-12
    )
    return moved(found.x)


def line_through(along: Array, heights: Array, *, level: bool) -> tuple[float, float]:
    """Height at 0 and rise for each mm along of the line that most of ``heights`` lie on.

    Parameters
    ----------
    along, heights : (n,) float, mm
    level : bool
        Whether the line must be level.
    """
    from scipy.optimize import least_squares

    far = float(np.abs(along).max()) or 1.0
    columns = np.column_stack([np.ones_like(along), along / far])[:, : 1 if level else 2]
    start = np.linalg.lstsq(columns, heights, rcond=None)[0]
    found = least_squares(
        lambda free: columns @ free - heights, start, loss="soft_l1", f_scale=_SCALE_MM,
        xtol=1e-12, ftol=1e-12, gtol=1e-12,
    )  # fmt: skip
    return float(found.x[0]), 0.0 if level else float(found.x[1]) / far
