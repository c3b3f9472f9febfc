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
from frame3d.loads.solver.block_factors import BlockFactors, BlockPattern
from frame3d.loads.solver.structure import Array, Load, Structure

_ZERO = 1e-11
"""A pivot that is this small beside the entry that it comes from is none, only what rounding leaves
of one: without axial forces. With them it may be as small as it likes, as near a critical load."""


class Unstable(ArithmeticError):  # noqa: N818  # it is what the structure is
    """The structure has no stable position: a pivot is not positive."""


class Factored(Protocol):
    """What scipy's splu gives: the factors of a matrix."""

    def solve(self, rhs: Array) -> Array:
        """Solve for one or more right-hand sides."""
        ...


class Factors(Struct, frozen=True, kw_only=True, dict=True):
    """A factored stiffness of the free freedoms, all its pivots positive."""

    assembly: Assembly
    axial: Array | None
    blocks: BlockFactors

    @cached_property
    def matrix(self) -> csc_array:
        """The stiffness itself."""
        return self.assembly.stiffness(self.axial)

    def once(self, wanted: Array) -> Array:
        """Movements of the free freedoms under forces on them, (f,) or (f, r), to ten digits."""
        pattern = self.assembly.pattern
        at = pattern.at[self.assembly.structure.free]
        places = np.zeros((6 * pattern.count, wanted.size // len(wanted)))
        places[at] = wanted.reshape(len(wanted), -1)
        found: Array = self.blocks.solve(places)[at].reshape(wanted.shape)
        return found

    def solve(self, forces: Array, *, again: bool = True) -> Array:
        """Movements of all freedoms under forces on them, (count,) or (count, r) float.

        ``again`` solves once more for what is left: equilibrium then holds to the last digits.
        """
        free = self.assembly.structure.free
        wanted = np.ascontiguousarray(forces[free])
        found = self.once(wanted)
        if again:
            found += self.once(wanted - self.matrix @ found)
        moved = np.zeros(forces.shape)
        moved[free] = found
        return moved


class Assembly(Struct, frozen=True, kw_only=True, dict=True):
    """A structure with what is worked out of it once, however often its stiffness is put together.

    Parameters
    ----------
    structure : Structure
    """

    structure: Structure

    def in_other_ground(self, structure: Structure) -> Assembly:
        """That of ``structure``, which has the same bars and releases and differs in springs."""
        other = Assembly(structure=structure)
        kept = ("own_stiffness", "own_geometric", "_elastic", "_geometric", "pattern", "_places")
        vars(other).update({name: vars(self)[name] for name in kept if name in vars(self)})
        return other

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
    def pattern(self) -> BlockPattern:
        """Where entries stand in the factors, and who is eliminated when."""
        return BlockPattern(self.structure)

    @cached_property
    def elastic(self) -> Factors:
        """The factored stiffness without axial forces.

        Raises
        ------
        Unstable
            If the structure is a mechanism.
        """
        return self.factors()

    @cached_property
    def _places(self) -> tuple[Array, Array, Array, Array]:
        """Where the entries of bars and springs stand in the matrix of the free freedoms.

        Which of them count, to which entry each belongs, and the pattern's rows and columns.
        """
        structure, numbers = self.structure, self.structure.freedoms
        size = len(structure.free)
        place = np.full(structure.count, -1)
        place[structure.free] = np.arange(size)
        nodes = np.arange(6 * len(structure.nodes))
        rows = place[np.concatenate([np.repeat(numbers, 12, axis=1).ravel(), nodes])]
        columns = place[np.concatenate([np.tile(numbers, (1, 12)).ravel(), nodes])]
        counted = np.flatnonzero((rows >= 0) & (columns >= 0))
        keys = columns[counted] * size + rows[counted]
        unique, entry = np.unique(keys, return_inverse=True)
        return counted, entry, unique % size, unique // size

    def _matrix(self, bars: Array, springs: Array) -> csc_array:
        counted, entry, rows, columns = self._places
        values = np.concatenate([bars.ravel(), springs.ravel()])[counted]
        size = len(self.structure.free)
        data = np.bincount(entry, weights=values, minlength=len(rows))
        starts = np.searchsorted(columns, np.arange(size + 1))
        return csc_array((data, rows, starts), shape=(size, size))

    def _bars(self, axial: Array | None) -> Array:
        return self._elastic if axial is None else self._elastic + axial[:, None] * self._geometric

    def stiffness(self, axial: Array | None = None) -> csc_array:
        """Stiffness of the free freedoms; ``axial`` are the bars' forces, (m,) N."""
        return self._matrix(self._bars(axial), self.structure.springs)

    def geometric(self, axial: Array) -> csc_array:
        """Geometric stiffness alone, for the axial forces ``axial``, (m,) N, tension positive."""
        none = np.zeros_like(self.structure.springs)
        return self._matrix(axial[:, None] * self._geometric, none)

    def factors(self, axial: Array | None = None) -> Factors:
        """The factored stiffness.

        Raises
        ------
        Unstable
            If a pivot is not positive. A second order beyond the critical load would give a
            finite and false answer else.
        """
        values = self.pattern.values(self._bars(axial), self.structure.springs)
        try:
            blocks = BlockFactors(self.pattern, values, _ZERO if axial is None else 0.0)
        except np.linalg.LinAlgError:
            raise Unstable("a pivot is not positive") from None
        return Factors(assembly=self, axial=axial, blocks=blocks)

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
    """The factors of a symmetric matrix that need not be positive, pivots from the diagonal."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        found: Factored = splu(matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0,
                               options={"SymmetricMode": True})  # fmt: skip
        return found
