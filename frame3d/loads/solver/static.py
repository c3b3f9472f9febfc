"""The linear response: movements, forces at the ends of bars, stresses."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from frame3d.loads.solver import elements
from frame3d.loads.solver.assembly import Assembly
from frame3d.loads.solver.structure import Array, Load, Structure


class Response(Struct, frozen=True, kw_only=True):
    """What a structure does under a load.

    Parameters
    ----------
    moved : (count,) float
        Of all freedoms, mm and rad.
    forces : (m, 12) float
        On the ends of the bars, in their own axes, N and N·mm.
    axial : (m,) float
        Force in the middle of each bar, N, tension positive.
    """

    moved: Array
    forces: Array
    axial: Array

    def at_nodes(self, structure: Structure) -> Array:
        """Movements of the nodes, (n, 6) float."""
        return self.moved[: 6 * len(structure.nodes)].reshape(-1, 6)


def end_forces(
    assembly: Assembly, moved: Array, load: Load, axial: Array | None = None
) -> tuple[Array, Array]:
    """Forces on bar ends in own axes, (m, 12), and the axial force of each bar, (m,)."""
    structure = assembly.structure
    ends = elements.own(moved[structure.freedoms], structure.axes)
    stiff = assembly.own_stiffness
    forces = (stiff @ ends[:, :, None])[:, :, 0] + elements.held_ends(structure, load.along_bars)
    if axial is not None:
        forces += axial[:, None] * (assembly.own_geometric @ ends[:, :, None])[:, :, 0]
    return forces, (forces[:, 6] - forces[:, 0]) / 2


def linear(assembly: Assembly, load: Load) -> Response:
    """The linear response.

    Raises
    ------
    Unstable
        If the structure is a mechanism.
    """
    moved = assembly.elastic.solve(assembly.forces(load))
    forces, axial = end_forces(assembly, moved, load)
    return Response(moved=moved, forces=forces, axial=axial)


def stresses(structure: Structure, forces: Array) -> Array:
    """Greatest stress in each bar's ends, (m, 2) float, N/mm²; 0 where none is looked at.

    Axial force by area, and bending about any axis of a round section.
    """
    bars = structure.bars
    bent = np.hypot(forces[:, [4, 10]], forces[:, [5, 11]])
    axial = np.abs(forces[:, [0, 6]])
    share: Array = axial / bars.area[:, None] + bent * (bars.edge / bars.inertia_y)[:, None]
    return np.where((bars.edge > 0)[:, None], share, 0.0)
