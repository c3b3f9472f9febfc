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
        # One column for each shape; room for all of them, as growing would copy them every time.
        self._room = np.empty((3, _MOST_SHAPES + 4, size)).transpose(0, 2, 1)
        self._count = 0

    @property
    def _parts(self) -> tuple[Array, Array, Array]:
        """The shapes, what holds them, and what presses on them: (f, count) each."""
        shapes, held, pressed = self._room[:, :, : self._count]
        return shapes, held, pressed

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
        if self._count > _MOST_SHAPES / 2:
            self._count = 0
        self._room[2, :, : self._count] = pressing @ self._parts[0]
        left, found = wanted, np.zeros_like(wanted)
        while self._count < _MOST_SHAPES:
            if self._count:
                shapes, held, pressed = self._parts
                whole = held + pressed
                try:
                    among = cho_factor(shapes.T @ whole)
                except LinAlgError:
                    raise Unstable("a shape gives way") from None
                share = cho_solve(among, shapes.T @ wanted)
                found, left = shapes @ share, wanted - whole @ share
            if np.all(np.linalg.norm(left, axis=0) <= _RESIDUE * size):
                moved = np.zeros(forces.shape)
                moved[places] = found
                return moved
            before = self._count
            self._grow(left)
            if self._count == before:
                break
            self._room[2, :, before : self._count] = (
                pressing @ self._room[0, :, before : self._count]
            )
        raise Unstable("the shapes lead nowhere")

    def _grow(self, left: Array) -> None:
        """Add shapes, from forces that are left."""
        elastic = self._assembly.elastic
        for column in elastic.factored.solve(left).T:
            shapes, holding, _ = self._parts
            shape = column
            for _ in range(2):
                shape = shape - shapes @ (holding.T @ shape)
            held = elastic.matrix @ shape
            size = float(shape @ held)
            if size > 1e-24 * max(float(column @ (elastic.matrix @ column)), 1e-300):
                self._room[0, :, self._count] = shape / size**0.5
                self._room[1, :, self._count] = held / size**0.5
                self._count += 1


__all__ = ["Nearby"]
