"""How high the string runs over the tops of the sockets: least digging and filling.

Height of the string at the first hoop and its rise to the last are the unknowns, and for
each socket how much the ground is dug away or filled up round it. What stands out of the
finished ground must be at least ``least`` (the lower hole clear of the ground) and at most
``most`` (the least embedment). The sum of digging and filling is least; among all strings
with that sum, the one whose sockets stand out as nearly as the design has it, in the sum of
the differences. Both are linear programmes.

References
----------
Q. Huangfu, J. A. J. Hall, Parallelizing the dual revised simplex method, Mathematical
Programming Computation 10 (2018) 119-142: the solver HiGHS, called by scipy.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

Array = np.ndarray
_SAME_MM = 1e-6


class Exposure(Struct, frozen=True, kw_only=True):
    """What may stand out of the ground, upright, mm."""

    least_mm: float
    most_mm: float
    wanted_mm: float


class StringRun(Struct, frozen=True, kw_only=True):
    """The string: height at the start, rise for each length along, what is moved for it.

    Parameters
    ----------
    start_mm : float
        Height at 0 along.
    rise : float
        Height gained for each mm along.
    moved_mm : float
        Sum of digging and filling at the sockets.
    """

    start_mm: float
    rise: float
    moved_mm: float

    def at(self, along_mm: Array | float) -> Array:
        """Heights at places along, mm."""
        heights: Array = self.start_mm + self.rise * np.asarray(along_mm, float)
        return heights


def best_string(
    along_mm: Array, ground_mm: Array, exposure: Exposure, most_rise: float
) -> StringRun:
    """The string for sockets at ``along_mm`` on ground of ``ground_mm``.

    Parameters
    ----------
    along_mm, ground_mm : (n,) float, mm
    exposure : Exposure
    most_rise : float
        Largest rise or fall for each length along; 0 for a level string.

    Raises
    ------
    ValueError
        If no solution is found, which cannot be while least is not more than most.
    """
    from scipy.sparse import csr_array, eye_array, hstack, vstack

    count, far = len(ground_mm), float(np.max(np.abs(along_mm))) or 1.0
    share, middle = np.asarray(along_mm, float) / far, float(np.mean(ground_mm))
    local = np.asarray(ground_mm, float) - middle
    one, none = eye_array(count), csr_array((count, count))
    line = csr_array(np.column_stack([np.ones(count), share]))
    # Unknowns: start, rise over `far`, digging, filling, and how far off what is wanted.
    stands = hstack([line, one, -one, none])
    rows = vstack([stands, -stands], format="csr")
    limits = np.concatenate([local + exposure.most_mm, -(local + exposure.least_mm)])
    bounds = [(None, None), (-most_rise * far, most_rise * far)] + [(0, None)] * (3 * count)
    moving = np.concatenate([np.zeros(2), np.ones(2 * count), np.zeros(count)])
    moved = float(moving @ _solved(moving, rows, limits, bounds))
    wanted = local + exposure.wanted_mm
    second = _solved(
        np.concatenate([np.zeros(2 + 2 * count), np.ones(count)]),
        vstack([
            rows, hstack([line, none, none, -one]), hstack([-line, none, none, -one]),
            csr_array(moving[None, :]),
        ], format="csr"),
        np.concatenate([limits, wanted, -wanted, [moved + _SAME_MM]]),
        bounds,
    )  # fmt: skip
    return StringRun(
        start_mm=float(second[0]) + middle,
        rise=float(second[1]) / far if most_rise else 0.0,
        moved_mm=moved if moved > _SAME_MM * count else 0.0,
    )


def _solved(
    costs: Array, rows: Array, limits: Array, bounds: list[tuple[float | None, float | None]]
) -> Array:
    from scipy.optimize import linprog

    found = linprog(costs, A_ub=rows, b_ub=limits, bounds=bounds, method="highs")
    if not found.success:
        raise ValueError(found.message)
    solution: Array = found.x
    return solution
