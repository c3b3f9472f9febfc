"""The factor of a load at which a stress is reached, or no stable position is left.

At a given stiffness movements are straight in the factor, so that at which the stress is reached
follows at once; the stiffness is then that of the axial forces there. The two agree where
``reached - assumed`` is zero. That is nearly straight in the factor assumed, so that a few steps of
the secant find it. Where the structure is no longer stable there, a smaller factor is assumed.
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct
from scipy.optimize import brentq
from scipy.sparse.linalg import ArpackError, LinearOperator, eigsh

from frame3d.loads.solver.assembly import Assembly, Factors, Unstable
from frame3d.loads.solver.static import end_forces, stresses
from frame3d.loads.solver.structure import Array, Load

_MOST_ROUNDS = 60
_CLOSE = 1e-4
"""Of a factor, as a share of it."""
_HARD_BY, _CREEPING = 0.01, 9
_MOST = 1e7


class Limit(Struct, frozen=True, kw_only=True):
    """Where a load that grows comes to its end.

    Parameters
    ----------
    factor : float
        Of the load that grows; 0 where the constant load alone is too much.
    by_stress : bool
        Whether the stress is reached; else no stable position is left.
    moved : (count,) float
        Of all freedoms there; just below, where no stable position is left.
    forces : (m, 12) float
        On the ends of the bars there, own axes.
    axial : (m,) float
        In the bars there.
    amplified : float
        The greatest stress there by that of the linear response to the same load.
    """

    factor: float
    by_stress: bool
    moved: Array
    forces: Array
    axial: Array
    amplified: float


class _Step(Struct, kw_only=True):
    """The response at one stiffness: what is constant, and what grows by the factor."""

    factors: Factors
    moved: Array
    forces: Array
    axial: Array

    def at(self, factor: float) -> tuple[Array, Array, Array]:
        """Movements, forces on ends and axial forces at a factor."""
        moved, forces, axial = (
            part[0] + factor * part[1] for part in (self.moved, self.forces, self.axial)
        )
        return moved, forces, axial


class LimitSearch:
    """The search on one structure under one pair of loads.

    Parameters
    ----------
    assembly : Assembly
    constant, growing : Load
    """

    def __init__(self, assembly: Assembly, constant: Load, growing: Load) -> None:
        self._assembly, self._loads = assembly, (constant, growing)
        self._whole = np.stack([assembly.forces(load) for load in self._loads], axis=1)
        self._linear = self._step(None)
        self._too_much: dict[float, Limit | None] = {}

    def _step(self, axial: Array | None) -> _Step:
        """The response at the stiffness of the axial forces; ``Unstable`` where there is none."""
        assembly = self._assembly
        factors = assembly.elastic if axial is None else assembly.factors(axial)
        moved = factors.solve(self._whole, again=axial is None).T
        ends = [
            end_forces(self._assembly, one, load, axial)
            for one, load in zip(moved, self._loads, strict=True)
        ]
        return _Step(
            factors=factors,
            moved=moved,
            forces=np.stack([forces for forces, _ in ends]),
            axial=np.stack([force for _, force in ends]),
        )

    def limit(self, stress: float, guess: float | None = None) -> Limit:
        """Where ``stress``, N/mm², is reached, or no stable position is left.

        Parameters
        ----------
        guess : float or None
            A factor to begin with, as from a structure that differs little.

        Raises
        ------
        ArithmeticError
            If no end is found.
        """
        try:
            return self._search(stress, guess)
        except Unstable:
            raise
        except ArithmeticError:  # not settled, from a guess that led astray
            if guess is None:
                raise
            return self._search(stress, None)

    def _search(self, stress: float, guess: float | None) -> Limit:
        low, below, high, over = 0.0, self._linear, math.inf, 0.0
        points = [(0.0, self._reach(self._linear, stress))]
        assumed = min(guess or points[0][1] / 2, points[0][1])
        for number in range(_MOST_ROUNDS):
            if math.isfinite(high) and high - low <= _CLOSE * high:
                # A stable factor whose stress is reached hard by is none where a shape gives way.
                return self._made(low, below, by_stress=over > (1 - _HARD_BY) * high)
            try:
                step = self._settled(below, assumed)
            except Unstable:
                if not low and (ended := self._ended(stress)) is not None:
                    return ended
                high, assumed = self._lower(below, low, min(assumed, high), points)
                over = 0.0
                continue
            reached = self._reach(step, stress)
            if abs(reached - assumed) <= _CLOSE * assumed or min(reached, assumed) >= _MOST:
                return self._made(reached, step, by_stress=True)
            points.append((assumed, reached))
            if reached > assumed:
                low, below = assumed, step
            elif not low and (ended := self._ended(stress)) is not None:
                return ended
            else:
                high, over = assumed, reached
            assumed = self._next(points, low, high)
            if number >= _CREEPING and number % 2 and math.isfinite(high):
                # Where axial forces hardly settle the stress leaps, and the secant creeps.
                assumed = (low + high) / 2
        raise ArithmeticError("the factor does not settle")

    def _ended(self, stress: float) -> Limit | None:
        """Where the constant load alone is too much, in second order; None where it is not."""
        if stress not in self._too_much:
            try:
                step = self._settled(self._linear, 0.0)
                there = self._reach(step, stress) <= 0
                ended = self._made(0.0, step, by_stress=True) if there else None
            except Unstable:
                ended = self._made(0.0, self._linear, by_stress=False)
            self._too_much[stress] = ended
        return self._too_much[stress]

    def _lower(
        self, below: _Step, low: float, high: float, points: list[tuple[float, float]]
    ) -> tuple[float, float]:
        """After a factor that is unstable: a bound, and the next factor to assume."""
        edge = low + self._edge(below)
        high = min(high, edge * (1 + _CLOSE / 2))
        nearly = edge * (1 - _CLOSE / 4)
        found = self._next(points, low, high) if len(points) > 1 else math.inf
        return high, min(found, nearly) if low < nearly < high else (low + high) / 2

    def _edge(self, step: _Step) -> float:
        """How much more of the load the structure bears before it is unstable, by its tangent.

        The greatest eigenvalue of what presses against what holds is one by that.
        """
        assembly, factors = self._assembly, step.factors
        pressed = -assembly.geometric(step.axial[1])
        size = pressed.shape[0]
        held = LinearOperator((size, size), matvec=factors.once, dtype=float)
        start = np.random.default_rng(1).standard_normal(size)
        try:
            found = eigsh(
                pressed, k=1, M=factors.matrix, Minv=held, which="LA", v0=start, tol=1e-6,
                return_eigenvectors=False,
            )[0]  # fmt: skip
        except ArpackError:
            return math.inf  # the bounds close in by halves then
        return 1 / float(found) if found > 0 else math.inf

    def _settled(self, near: _Step, factor: float) -> _Step:
        """The response at a factor, its axial forces settled to what the search needs."""
        axial = near.at(factor)[2]
        step = self._step(axial)
        for _ in range(3):
            after = step.at(factor)[2]
            if np.abs(after - axial).max() <= 1e-3 * np.abs(after).max(initial=1e-12):
                return step
            axial, step = after, self._step(after)
        return step

    @staticmethod
    def _next(points: list[tuple[float, float]], low: float, high: float) -> float:
        """The next factor to assume: by the secant, kept between what is known."""
        (a, fa), (b, fb) = points[-2:]
        fa, fb = fa - a, fb - b
        found = b - fb * (b - a) / (fb - fa) if fb != fa else 2 * b
        top = high if math.isfinite(high) else max(4 * b, found)
        return found if low < found < top else (low + top) / 2

    def _reach(self, step: _Step, stress: float) -> float:
        """The factor at which a stress is reached, at one stiffness; it rises without a dent."""

        def short(factor: float) -> float:
            forces = step.forces[0] + factor * step.forces[1]
            return float(stresses(self._assembly.structure, forces).max()) - stress

        if short(0.0) >= 0:
            return 0.0
        high = 1.0
        while short(high) < 0:
            high *= 4.0
            if high > _MOST:
                return high
        return float(brentq(short, 0.0, high, xtol=1e-12, rtol=1e-9))

    def _made(self, factor: float, step: _Step, *, by_stress: bool) -> Limit:
        structure = self._assembly.structure
        moved, forces, axial = step.at(factor)
        straight = stresses(structure, self._linear.at(factor)[1]).max(initial=0.0)
        bent = stresses(structure, forces).max(initial=0.0)
        return Limit(
            factor=factor,
            by_stress=by_stress,
            moved=moved,
            forces=forces,
            axial=axial,
            amplified=float(bent / straight) if straight > 0 else 1.0,
        )
