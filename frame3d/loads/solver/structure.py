"""A structure of straight bars, as arrays: what the solver is given.

Units are N and mm throughout, angles radians. Axes of the structure are x, y, z; those of a bar are
its own x from its first end to its second, and y, z square to it.

Glossary
--------
freedom : one way in which a node can move: three shifts and three turns in the structure's axes.
release : an end of a bar that turns freely against its node.
spring : what holds a node against the ground, one stiffness for each of its six freedoms.
"""

from __future__ import annotations

from functools import cached_property
from typing import Any

import numpy as np
from msgspec import Struct

Array = np.ndarray[Any, np.dtype[Any]]

STEEL_E = 210_000.0
"""Modulus of elasticity of steel, N/mm² (EN 1993-1-1, 3.2.6)."""
STEEL_G = 81_000.0
"""Shear modulus of steel, N/mm² (EN 1993-1-1, 3.2.6)."""


class Bars(Struct, frozen=True, kw_only=True):
    """The properties of m bars, each an array of (m,) floats, N and mm.

    Parameters
    ----------
    area, inertia_y, inertia_z, torsion : (m,) float
        Of the cross section, about the bar's own axes.
    modulus, shear : (m,) float
        E and G, N/mm².
    edge : (m,) float
        From the axis to the outside of a round bar; 0 for bars whose stress is not looked at.
    """

    area: Array
    inertia_y: Array
    inertia_z: Array
    torsion: Array
    modulus: Array
    shear: Array
    edge: Array


class Structure(Struct, frozen=True, kw_only=True, dict=True):
    """Nodes, the bars between them, and what holds them.

    Parameters
    ----------
    nodes : (n, 3) float, mm
    ends : (m, 2) int
        The nodes of each bar.
    bars : Bars
    up : (m, 3) float
        A direction, not along the bar, to whose side the bar's own z lies.
    springs : (n, 6) float
        N/mm and N·mm/rad, in the structure's axes.
    fixed : (n, 6) bool
        Freedoms that do not move at all.
    released : (m, 12) bool
        Of a bar's twelve end freedoms, in the structure's axes, those that are its own.
    """

    nodes: Array
    ends: Array
    bars: Bars
    up: Array
    springs: Array
    fixed: Array
    released: Array

    @cached_property
    def lengths(self) -> Array:
        """Of the bars, (m,) float, mm."""
        first, second = self.nodes[self.ends[:, 0]], self.nodes[self.ends[:, 1]]
        lengths: Array = np.linalg.norm(second - first, axis=1)
        return lengths

    @cached_property
    def axes(self) -> Array:
        """Own x, y and z of each bar as rows, (m, 3, 3) float."""
        first, second = self.nodes[self.ends[:, 0]], self.nodes[self.ends[:, 1]]
        x = (second - first) / self.lengths[:, None]
        y = np.cross(self.up, x)
        y /= np.linalg.norm(y, axis=1)[:, None]
        axes: Array = np.stack([x, y, np.cross(x, y)], axis=1)
        return axes

    @cached_property
    def freedoms(self) -> Array:
        """The number of each end freedom of each bar, (m, 12) int.

        Those of node k are 6 k to 6 k + 5; releases come after those of all nodes.
        """
        six = np.arange(6)
        numbers = np.concatenate([6 * self.ends[:, [k]] + six for k in (0, 1)], axis=1)
        numbers[self.released] = 6 * len(self.nodes) + np.arange(int(self.released.sum()))
        return numbers

    @property
    def count(self) -> int:
        """How many freedoms there are, fixed ones included."""
        return 6 * len(self.nodes) + int(self.released.sum())

    @cached_property
    def free(self) -> Array:
        """The numbers of the freedoms that are not fixed, (f,) int."""
        held = np.zeros(self.count, dtype=bool)
        held[: 6 * len(self.nodes)] = self.fixed.ravel()
        return np.flatnonzero(~held)


class Load(Struct, frozen=True, kw_only=True):
    """Forces on a structure.

    Parameters
    ----------
    at_nodes : (n, 6) float
        N and N·mm, in the structure's axes.
    along_bars : (m, 3) float
        Even along each bar, N per mm of its length, in the structure's axes.
    """

    at_nodes: Array
    along_bars: Array
