"""Buckling: the smallest factor of a load at which another position appears, and its shape."""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct
from scipy.sparse.linalg import LinearOperator, eigsh

from frame3d.loads.solver.assembly import Assembly, Unstable, factored, is_stable
from frame3d.loads.solver.static import linear
from frame3d.loads.solver.structure import Array, Load

_STEP = 8.0
_MOST, _LEAST = 1e9, 1e-9


class Buckled(Struct, frozen=True, kw_only=True):
    """A buckling factor and its shape: movements of all freedoms, greatest shift 1."""

    factor: float
    shape: Array


def buckling(assembly: Assembly, load: Load) -> Buckled | None:
    """The smallest positive buckling factor of ``load``; None where there is none below 1e9.

    By shift and invert (``mode="buckling"``) from a factor that is still stable, which the signs
    of the pivots tell: without it generalised eigenvalues of such matrices come out wrong.

    Raises
    ------
    Unstable
        If the structure is a mechanism without any load.
    """
    axial = linear(assembly, load).axial
    bounds = _bounds(assembly, axial)
    if bounds is None:
        return None
    stiff, pressed = assembly.stiffness(), -assembly.geometric(axial)
    size = stiff.shape[0]
    start = np.random.default_rng(1).standard_normal(size)
    for sigma in (bounds[0], math.sqrt(bounds[0] * bounds[1])):
        inverse = factored(stiff - sigma * pressed)
        operator = LinearOperator((size, size), matvec=inverse.solve, dtype=float)
        values, shapes = eigsh(
            stiff, k=min(3, size - 1), M=pressed, sigma=sigma, mode="buckling", OPinv=operator,
            v0=start, tol=1e-9,
        )  # fmt: skip
        rising = np.argsort(values)
        for at in rising[values[rising] >= bounds[0]]:
            if is_stable(assembly, 0.9999 * values[at] * axial):
                return _shaped(assembly, float(values[at]), shapes[:, at])
            break
    raise ArithmeticError("no buckling shape was found")


def _bounds(assembly: Assembly, axial: Array) -> tuple[float, float] | None:
    """A factor that is stable and one, ``_STEP`` times as large, that is not."""
    if not np.any(axial < 0):
        return None
    factor = 1.0
    if is_stable(assembly, factor * axial):
        while is_stable(assembly, _STEP * factor * axial):
            factor *= _STEP
            if factor > _MOST:
                return None
        return factor, _STEP * factor
    while not is_stable(assembly, factor / _STEP * axial):
        factor /= _STEP
        if factor < _LEAST:
            raise Unstable("a mechanism")
    return factor / _STEP, factor


def _shaped(assembly: Assembly, factor: float, shape: Array) -> Buckled:
    structure = assembly.structure
    moved = np.zeros(structure.count)
    moved[structure.free] = shape
    shifts = moved[: 6 * len(structure.nodes)].reshape(-1, 6)[:, :3]
    greatest = np.linalg.norm(shifts, axis=1).max()
    return Buckled(factor=factor, shape=moved / greatest if greatest > 0 else moved)
