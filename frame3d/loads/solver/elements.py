"""The matrices of straight bars, all bars at once.

References
----------
Stiffness and consistent geometric stiffness of a slender bar in space (cubic shapes, no shear
deformation): J. S. Przemieniecki, Theory of Matrix Structural Analysis, 1968, sections 5.6, 15.2.
The turning about its own axis under an axial force has the term N Ip / (A L), Ip = Iy + Iz.
"""

from __future__ import annotations

import numpy as np

from frame3d.loads.solver.structure import Array, Structure


def stiffness(structure: Structure) -> Array:
    """Elastic stiffness in each bar's own axes, (m, 12, 12) float."""
    bars, length = structure.bars, structure.lengths
    k = np.zeros((len(length), 12, 12))
    _pair(k, 0, bars.modulus * bars.area / length)
    _pair(k, 3, bars.shear * bars.torsion / length)
    for shift, turn, inertia, sign in ((1, 5, bars.inertia_z, 1.0), (2, 4, bars.inertia_y, -1.0)):
        stiff = bars.modulus * inertia / length**3
        ends = (12 * stiff, sign * 6 * stiff * length, 4 * stiff * length**2, 2 * stiff * length**2)
        _bending(k, shift, turn, ends)
    return k


def geometric(structure: Structure) -> Array:
    """Geometric stiffness for an axial force of 1 N, tension, in own axes: (m, 12, 12) float."""
    bars, length = structure.bars, structure.lengths
    k = np.zeros((len(length), 12, 12))
    _pair(k, 3, (bars.inertia_y + bars.inertia_z) / bars.area / length)
    for shift, turn, sign in ((1, 5, 1.0), (2, 4, -1.0)):
        tenth = np.full_like(length, sign * 0.1)
        _bending(k, shift, turn, (1.2 / length, tenth, 2 * length / 15, -length / 30))
    return k


def _pair(k: Array, freedom: int, value: Array) -> None:
    """One stiffness between the same freedom of both ends."""
    k[:, freedom, freedom] = k[:, freedom + 6, freedom + 6] = value
    k[:, freedom, freedom + 6] = k[:, freedom + 6, freedom] = -value


def _bending(k: Array, shift: int, turn: int, ends: tuple[Array, Array, Array, Array]) -> None:
    """Bending in one plane: shift-shift, shift-turn, turn-turn, turn with the other end's turn."""
    across, mixed, own, other = ends
    v1, t1, v2, t2 = shift, turn, shift + 6, turn + 6
    k[:, v1, v1] = k[:, v2, v2] = across
    k[:, v1, v2] = k[:, v2, v1] = -across
    k[:, t1, t1] = k[:, t2, t2] = own
    k[:, t1, t2] = k[:, t2, t1] = other
    for v, sign in ((v1, 1.0), (v2, -1.0)):
        for t in (t1, t2):
            k[:, v, t] = k[:, t, v] = sign * mixed


def to_structure(k: Array, axes: Array) -> Array:
    """Matrices in own axes turned into those of the structure, (m, 12, 12)."""
    count = len(k)
    parts = k.reshape(count, 4, 3, 4, 3).transpose(0, 1, 3, 2, 4)
    turned = axes.transpose(0, 2, 1)[:, None, None] @ parts @ axes[:, None, None]
    whole: Array = turned.transpose(0, 1, 3, 2, 4).reshape(count, 12, 12)
    return whole


def own(values: Array, axes: Array) -> Array:
    """End freedoms or forces of bars, (m, 12), turned into the bars' own axes."""
    count = len(values)
    turned: Array = (axes[:, None] @ values.reshape(count, 4, 3, 1)).reshape(count, 12)
    return turned


def held_ends(structure: Structure, along_bars: Array) -> Array:
    """What holds the ends of bars under even loads, were they fixed: own axes, (m, 12) float."""
    loads = (structure.axes @ along_bars[:, :, None])[:, :, 0]
    length = structure.lengths
    forces = np.zeros((len(length), 12))
    forces[:, 0:3] = forces[:, 6:9] = -loads * (length / 2)[:, None]
    moment = loads * (length**2 / 12)[:, None]
    forces[:, 5], forces[:, 11] = -moment[:, 1], moment[:, 1]
    forces[:, 4], forces[:, 10] = moment[:, 2], -moment[:, 2]
    return forces
