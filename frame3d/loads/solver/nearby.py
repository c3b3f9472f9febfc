"""Movements under stiffnesses that differ little from one whose factors are at hand.

The movements are sought among a few shapes that are kept from one solution to the next, and whose
number grows by what is left of the forces: a factor of a load is tried many times over, and after
the first time hardly anything is left.
"""

from __future__ import annotations

import numpy as np
from scipy.linalg import LinAlgError, cho_factor, cho_solve

from frame3d.loads.solver.assembly import Assembly, Unstable
from frame3d.loads.solver.structure import Array

_MOST_SHAPES = 90
_RESIDUE = 1e-7
"""Of forces that are left, as a share of all."""


class Nearby:
    """The shapes found so far for one structure.

    Parameters
    ----------
    assembly : Assembly
    """

    def __init__(self, assembly: Assembly) -> None:
        self._assembly = assembly
        size = len(assembly.structure.free)
        self._shapes = np.empty((size, 0))
        self._held = np.empty((size, 0))

    def solve(self, axial: Array, forces: Array) -> Array:
        """Movements of all freedoms under ``forces``, (count, r), with the axial forces ``axial``.

        That no shape is seen that gives way is no proof that there is none.

        Raises
        ------
        Unstable
            If one is seen, or the shapes lead nowhere.
        """
        assembly = self._assembly
        places = assembly.structure.free[assembly.order]
        wanted = np.ascontiguousarray(forces[places])
        size = np.linalg.norm(wanted, axis=0)
        pressing = assembly.geometric(axial)
        if self._shapes.shape[1] > _MOST_SHAPES / 2:
            self._shapes, self._held = self._shapes[:, :0], self._held[:, :0]
        pressed, left, found = pressing @ self._shapes, wanted, np.zeros_like(wanted)
        while self._shapes.shape[1] < _MOST_SHAPES:
            if self._shapes.shape[1]:
                whole = self._held + pressed
                try:
                    among = cho_factor(self._shapes.T @ whole)
                except LinAlgError:
                    raise Unstable("a shape gives way") from None
                share = cho_solve(among, self._shapes.T @ wanted)
                found, left = self._shapes @ share, wanted - whole @ share
            if np.all(np.linalg.norm(left, axis=0) <= _RESIDUE * size):
                moved = np.zeros(forces.shape)
                moved[places] = found
                return moved
            new = self._grown(left)
            if not new:
                break
            pressed = np.hstack([pressed, pressing @ self._shapes[:, -new:]])
        raise Unstable("the shapes lead nowhere")

    def _grown(self, left: Array) -> int:
        """More shapes, from forces that are left; how many."""
        elastic, new = self._assembly.elastic, 0
        for column in elastic.factored.solve(left).T:
            shape = column
            for _ in range(2):
                shape = shape - self._shapes @ (self._held.T @ shape)
            held = elastic.matrix @ shape
            size = float(shape @ held)
            if size > 1e-24 * max(float(column @ (elastic.matrix @ column)), 1e-300):
                size **= 0.5
                self._shapes = np.column_stack([self._shapes, shape / size])
                self._held = np.column_stack([self._held, held / size])
                new += 1
        return new


__all__ = ["Nearby"]
