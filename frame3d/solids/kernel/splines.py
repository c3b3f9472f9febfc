"""Quintic B-splines through points, as many as it takes to follow a known curve.

Several curves of one parameter, such as a hole's edge in space and in the parameters of the
two surfaces that meet there, are fitted together: they share their knots, so that they agree
at every parameter and not at their ends alone.
"""

from __future__ import annotations

import functools
from collections.abc import Callable

import numpy as np
from msgspec import Struct
from OCP.Geom import Geom_BSplineCurve
from OCP.Geom2d import Geom2d_BSplineCurve
from OCP.gp import gp_Pnt, gp_Pnt2d
from OCP.TColgp import TColgp_Array1OfPnt, TColgp_Array1OfPnt2d
from OCP.TColStd import TColStd_Array1OfInteger, TColStd_Array1OfReal

from frame3d.errors import SolidError

_DEGREE = 5
_FEWEST, _MOST = 6, 768
_SPANS_PER_RAD = 3.0
"""To begin with."""


class Fit(Struct, frozen=True, kw_only=True, dict=True):
    """Coordinates as splines of one parameter.

    Parameters
    ----------
    low, high : float
        The range of the parameter.
    poles : (n, k) float
        Of k coordinates; a curve takes two or three of its columns.
    error_mm : float
        The farthest that any of its curves strayed where it was compared.
    """

    low: float
    high: float
    poles: np.ndarray
    error_mm: float

    def curve(self, columns: slice) -> Geom_BSplineCurve:
        """The curve in space of three columns."""
        points = TColgp_Array1OfPnt(1, len(self.poles))
        for number, pole in enumerate(self.poles[:, columns].tolist(), start=1):
            points.SetValue(number, gp_Pnt(*pole))
        return Geom_BSplineCurve(points, *self._knots, _DEGREE)

    def flat_curve(self, columns: slice) -> Geom2d_BSplineCurve:
        """The curve in a surface's parameters of two columns."""
        points = TColgp_Array1OfPnt2d(1, len(self.poles))
        for number, pole in enumerate(self.poles[:, columns].tolist(), start=1):
            points.SetValue(number, gp_Pnt2d(*pole))
        return Geom2d_BSplineCurve(points, *self._knots, _DEGREE)

    @functools.cached_property
    def _knots(self) -> tuple[TColStd_Array1OfReal, TColStd_Array1OfInteger]:
        inner = _inner_knots(len(self.poles) - 1)
        knots = [self.low, *(self.low + (self.high - self.low) * k for k in inner), self.high]
        values, times = TColStd_Array1OfReal(1, len(knots)), TColStd_Array1OfInteger(1, len(knots))
        for number, knot in enumerate(knots, start=1):
            values.SetValue(number, knot)
            times.SetValue(number, _DEGREE + 1 if number in (1, len(knots)) else 1)
        return values, times


def fit(
    exact: Callable[[np.ndarray], np.ndarray],
    low: float,
    high: float,
    scales: np.ndarray,
    allowed_mm: float,
) -> Fit:
    """Splines that follow ``exact`` from ``low`` to ``high``.

    Parameters
    ----------
    exact : callable
        Coordinates (n, k) at parameters (n,).
    scales : (k,) float
        How far a unit of each coordinate moves the point, mm.
    allowed_mm : float
        How far the point of any coordinate may be off.

    Raises
    ------
    SolidError
        If points without end would be needed.
    """
    spans = max(_FEWEST, int(np.ceil((high - low) * _SPANS_PER_RAD)))
    while spans <= _MOST:
        solve, compare = _rule(spans)
        found = exact(np.linspace(low, high, 2 * spans + 1))
        poles = _times(solve, found[::2])
        error = float(np.max(np.abs(_times(compare, poles) - found[1::2]) * scales))
        if error <= allowed_mm:
            return Fit(low=low, high=high, poles=poles, error_mm=error)
        spans *= 2
    raise SolidError(
        f"the edge of a hole cannot be followed to {allowed_mm} mm (off by {error:.1e} mm); "
        "look for a hole nearly as wide as the tube, or a bend nearly as tight"
    )


def _inner_knots(spans: int) -> list[float]:
    """Every point but the three at either end, so that there are as many poles as points."""
    return [k / spans for k in range(3, spans - 2)]


@functools.lru_cache(maxsize=64)
def _rule(spans: int) -> tuple[np.ndarray, np.ndarray]:
    """What makes poles of points evenly spaced, and of poles the points midway between those."""
    knots = np.array([0.0] * (_DEGREE + 1) + _inner_knots(spans) + [1.0] * (_DEGREE + 1))
    share = np.arange(spans + 1) / spans
    between = (np.arange(spans) + 0.5) / spans
    return _inverse(_basis(knots, share)), _basis(knots, between)


def _times(matrix: np.ndarray, columns: np.ndarray) -> np.ndarray:
    """The product of two matrices, summed in one order.

    The operator ``@`` divides its sums among as many threads as it is given, so that a worker's
    STEP file would differ from a build's in the last digit.
    """
    product: np.ndarray = np.einsum("ij,jk->ik", matrix, columns)
    return product


def _inverse(band: np.ndarray) -> np.ndarray:
    """The inverse of a matrix of B-splines at their places, in one order as :func:`_times`.

    No rows are changed about: such matrices have no negative minors, so it needs none
    (de Boor, A Practical Guide to Splines, on the collocation matrix; from memory).
    """
    left, found = band.copy(), np.eye(len(band))
    for k in range(len(band)):
        below = slice(k + 1, k + 1 + _DEGREE)
        share = left[below, k] / left[k, k]
        left[below] -= share[:, None] * left[k]
        found[below] -= share[:, None] * found[k]
    for k in reversed(range(len(band))):
        found[k] /= left[k, k]
        above = slice(max(0, k - _DEGREE), k)
        found[above] -= left[above, k][:, None] * found[k]
    return found


def _basis(knots: np.ndarray, at: np.ndarray) -> np.ndarray:
    """The value of every B-spline at every place, by the recursion of Cox and de Boor."""
    count = len(knots) - _DEGREE - 1
    span = np.clip(np.searchsorted(knots, at, side="right") - 1, _DEGREE, count - 1)
    values = np.zeros((len(at), len(knots) - 1))
    values[np.arange(len(at)), span] = 1.0
    for degree in range(1, _DEGREE + 1):
        size = len(knots) - 1 - degree
        wide = knots[degree : degree + size] - knots[:size]
        after = knots[degree + 1 : degree + 1 + size] - knots[1 : 1 + size]
        up = (at[:, None] - knots[:size]) / np.where(wide > 0, wide, np.inf)
        down = (knots[degree + 1 : degree + 1 + size] - at[:, None]) / np.where(
            after > 0, after, np.inf
        )
        values = up * values[:, :size] + down * values[:, 1 : size + 1]
    return values
