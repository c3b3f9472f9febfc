"""The stiffness of a whole structure, and its factors with the signs of their pivots."""

from __future__ import annotations

import warnings
from functools import cached_property
from typing import Protocol

import numpy as np
from msgspec import Struct
from scipy.sparse import csc_array
from scipy.sparse.linalg import splu

from frame3d.loads.solver import elements
from frame3d.loads.solver.structure import Array, Load, Structure

_ZERO = 1e-11
"""A pivot that is this small beside the entry that it comes from is none, only what rounding leaves
of one: without axial forces. With them it may be as small as it likes, as near a critical load."""


class Unstable(ArithmeticError):  # noqa: N818  # it is what the structure is
    """The structure has no stable position: a pivot is not positive."""


class Factored(Protocol):
    """What scipy's splu gives: the factors of a matrix, and the order of its rows and columns."""

    perm_r: Array
    perm_c: Array
    U: csc_array

    def solve(self, rhs: Array) -> Array:
        """Solve for one or more right-hand sides."""
        ...


class Factors(Struct, frozen=True, kw_only=True):
    """A factored stiffness of the free freedoms."""

    assembly: Assembly
    matrix: csc_array
    factored: Factored

    def solve(self, forces: Array) -> Array:
        """Movements of all freedoms under forces on them, (count,) or (count, r) float."""
        places = self.assembly.structure.free[self.assembly.order]
        wanted = np.ascontiguousarray(forces[places])
        found = self.factored.solve(wanted)
        # Once more for what is left: equilibrium then holds to the last digits.
        found += self.factored.solve(wanted - self.matrix @ found)
        moved = np.zeros(forces.shape)
        moved[places] = found
        return moved


class Assembly(Struct, frozen=True, kw_only=True, dict=True):
    """A structure with what is worked out of it once, however often its stiffness is put together.

    Parameters
    ----------
    structure : Structure
    """

    structure: Structure

    @cached_property
    def own_stiffness(self) -> Array:
        """Elastic stiffness of the bars in their own axes, (m, 12, 12)."""
        return elements.stiffness(self.structure)

    @cached_property
    def own_geometric(self) -> Array:
        """Geometric stiffness of the bars for 1 N of tension, own axes, (m, 12, 12)."""
        return elements.geometric(self.structure)

    @cached_property
    def _elastic(self) -> Array:
        return elements.to_structure(self.own_stiffness, self.structure.axes).reshape(-1, 144)

    @cached_property
    def _geometric(self) -> Array:
        return elements.to_structure(self.own_geometric, self.structure.axes).reshape(-1, 144)

    @cached_property
    def order(self) -> Array:
        """The order of the free freedoms in which the factors stay small, (f,) int."""
        size = len(self.structure.free)
        matrix = self._matrix(self._values(self._elastic), np.arange(size))
        plain = csc_array(matrix) + csc_array(
            (np.full(size, matrix.diagonal().max()), (range(size), range(size))), shape=(size, size)
        )
        found = splu(plain, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0,
                     options={"SymmetricMode": True})  # fmt: skip
        return np.argsort(found.perm_c)

    @cached_property
    def elastic(self) -> Factors:
        """The factored stiffness without axial forces.

        Raises
        ------
        Unstable
            If the structure is a mechanism.
        """
        return self.factors()

    def _places(self, order: Array) -> tuple[Array, Array, Array, Array]:
        """Where the entries of bars and springs stand in the matrix of the free freedoms.

        Which of them count, to which entry each belongs, and the pattern's rows and columns.
        """
        structure, numbers = self.structure, self.structure.freedoms
        place = np.full(structure.count, -1)
        place[structure.free[order]] = np.arange(len(order))
        rows = np.concatenate([np.repeat(numbers, 12, axis=1).ravel(),
                               np.arange(6 * len(structure.nodes))])  # fmt: skip
        columns = np.concatenate([np.tile(numbers, (1, 12)).ravel(),
                                  np.arange(6 * len(structure.nodes))])  # fmt: skip
        rows, columns = place[rows], place[columns]
        counted = np.flatnonzero((rows >= 0) & (columns >= 0))
        keys = columns[counted] * len(order) + rows[counted]
        unique, entry = np.unique(keys, return_inverse=True)
        return counted, entry, unique % len(order), unique // len(order)

    @cached_property
    def _pattern(self) -> tuple[Array, Array, Array, Array]:
        return self._places(self.order)

    def _values(self, bars: Array, springs: bool = True) -> Array:
        held = self.structure.springs.ravel()
        return np.concatenate([bars.ravel(), held if springs else np.zeros_like(held)])

    def _matrix(self, values: Array, order: Array | None = None) -> csc_array:
        counted, entry, rows, columns = self._pattern if order is None else self._places(order)
        size = len(self.structure.free)
        data = np.bincount(entry, weights=values[counted], minlength=len(rows))
        starts = np.searchsorted(columns, np.arange(size + 1))
        return csc_array((data, rows, starts), shape=(size, size))

    def stiffness(self, axial: Array | None = None) -> csc_array:
        """Stiffness of the free freedoms, in ``order``; ``axial`` are the bars' forces, (m,) N."""
        bars = self._elastic
        if axial is not None:
            bars = bars + axial[:, None] * self._geometric
        return self._matrix(self._values(bars))

    def geometric(self, axial: Array) -> csc_array:
        """Geometric stiffness alone, for the axial forces ``axial``, (m,) N, tension positive."""
        return self._matrix(self._values(axial[:, None] * self._geometric, springs=False))

    def factors(self, axial: Array | None = None) -> Factors:
        """The factored stiffness.

        Raises
        ------
        Unstable
            If a pivot is not positive. A second order beyond the critical load would give a
            finite and false answer else.
        """
        matrix = self.stiffness(axial)
        found = factored_or_none(matrix, _ZERO if axial is None else 0.0)
        if found is None:
            raise Unstable("a pivot is not positive")
        return Factors(assembly=self, matrix=matrix, factored=found)

    def forces(self, load: Load) -> Array:
        """A load as forces on all freedoms, (count,) float."""
        structure = self.structure
        whole = np.zeros(structure.count)
        whole[: 6 * len(structure.nodes)] = load.at_nodes.ravel()
        held = elements.held_ends(structure, load.along_bars)
        back = elements.own(held, structure.axes.transpose(0, 2, 1))
        np.subtract.at(whole, structure.freedoms.ravel(), back.ravel())
        return whole


def factored(matrix: csc_array) -> Factored:
    """The factors of a symmetric matrix, its pivots taken from the diagonal."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        found: Factored = splu(matrix, permc_spec="NATURAL", diag_pivot_thresh=0.0,
                               options={"SymmetricMode": True})  # fmt: skip
        return found


def factored_or_none(matrix: csc_array, least: float = 0.0) -> Factored | None:
    """The factors of a symmetric matrix; None unless all pivots are positive.

    ``least`` is what they have to be more than, as a share of the diagonal.
    """
    try:
        found = factored(matrix)
    except RuntimeError:  # exactly singular
        return None
    if not np.array_equal(found.perm_r, found.perm_c):
        return None  # a pivot off the diagonal was needed: the matrix is not positive
    return found if np.all(found.U.diagonal() > least * matrix.diagonal()) else None


def is_stable(assembly: Assembly, axial: Array) -> bool:
    """Whether all pivots are positive with the axial forces ``axial``, (m,) N."""
    return factored_or_none(assembly.stiffness(axial)) is not None


__all__ = ["Assembly", "Factors", "Unstable", "factored", "factored_or_none", "is_stable"]
