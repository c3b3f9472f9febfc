"""Where a structure gives way most easily, and which way: of a mechanism, where it is loose."""

from __future__ import annotations

import numpy as np
from scipy.sparse import diags_array

from frame3d.loads.solver.assembly import Assembly, factored
from frame3d.loads.solver.structure import Array

_ROUNDS = 6
_SLIGHT = 1e-9
"""What is added to each stiffness, as a share of it, so that a mechanism can be factored."""


def softest_shape(assembly: Assembly) -> Array:
    """The shape in which the nodes shift most for the least work, (n, 6) float, greatest shift 1.

    Of a mechanism it is a movement that nothing holds. Where nothing shifts but something turns,
    the greatest turn is 1.
    """
    structure = assembly.structure
    matrix = assembly.stiffness()
    held = factored((matrix + diags_array(_SLIGHT * matrix.diagonal())).tocsc())
    size = matrix.shape[0]
    shift = np.zeros(structure.count, dtype=bool)
    shift[: 6 * len(structure.nodes)] = np.tile([True] * 3 + [False] * 3, len(structure.nodes))
    weight = np.where(shift[structure.free], 1.0, 1e-6)
    shape = np.random.default_rng(1).standard_normal(size)
    for _ in range(_ROUNDS):
        shape = held.solve(weight * shape)
        shape /= np.abs(shape).max()
    moved = np.zeros(structure.count)
    moved[structure.free] = shape
    nodes: Array = moved[: 6 * len(structure.nodes)].reshape(-1, 6)
    shifts = np.linalg.norm(nodes[:, :3], axis=1).max()
    turns = np.linalg.norm(nodes[:, 3:], axis=1).max()
    scaled: Array = nodes / (shifts if shifts > 1e-3 * turns else turns)
    return scaled
