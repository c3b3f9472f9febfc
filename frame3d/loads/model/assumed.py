"""What nobody knows of a frame in the ground, as assumptions that the comparison goes through.

A socket stands in springs over its depth. Sideways their stiffness rises in proportion to the
depth, as in sand: n_h z for each unit of length, whatever the diameter.

References
----------
n_h of dry or moist sand, 2.2, 6.6 and 17.6 MN/m³ for loose, medium and dense: K. Terzaghi,
Evaluation of coefficients of subgrade reaction, Géotechnique 5 (1955), from memory. Along the
socket and about it: taken from the same stiffness, common practice, no source.
"""

from __future__ import annotations

import enum

import numpy as np
from msgspec import Struct

from frame3d.design.tables.loads import LegFoot, Loads, SoilKind
from frame3d.loads.solver.structure import Array


class Soil(enum.Enum):
    """How stiff the ground is; the value is n_h, N/mm³."""

    LOOSE = 2.2e-3
    MEDIUM = 6.6e-3
    DENSE = 17.6e-3


class Assumed(Struct, frozen=True):
    """How stiff the ground is, and whether legs are hinged at their sockets."""

    soil: Soil = Soil.MEDIUM
    hinged: bool = False

    @property
    def legs(self) -> str:
        """How the legs are taken, in words."""
        return f"legs taken as {'hinged at' if self.hinged else 'fixed in'} their sockets"


USUAL, HINGED = "first set of assumptions", "legs hinged at their sockets"


def assumptions(given: Loads) -> dict[str, Assumed]:
    """All that are gone through, by the words for each; the first is what the figures rest on."""
    soil = Soil.MEDIUM if given.soil is SoilKind.UNKNOWN else Soil[given.soil.name]
    hinged = given.foot is LegFoot.HINGED
    found = {USUAL: Assumed(soil, hinged)}
    if given.soil is SoilKind.UNKNOWN:
        found["loose soil"] = Assumed(Soil.LOOSE, hinged)
        found["dense soil"] = Assumed(Soil.DENSE, hinged)
    if given.foot is LegFoot.UNKNOWN:
        found[HINGED] = Assumed(soil, True)
    return found


def soil_springs(nodes: Array, chains: list[list[int]], radii_mm: list[float], soil: Soil) -> Array:
    """The springs of all nodes, (n, 6) float, N/mm and N·mm/rad.

    Parameters
    ----------
    nodes : (n, 3) float, mm
    chains : list of list of int
        For each socket its nodes from the top down.
    radii_mm : list of float
        Outside radius of each socket.
    soil : Soil
    """
    springs = np.zeros((len(nodes), 6))
    for chain, radius in zip(chains, radii_mm, strict=True):
        stiff = soil.value * _weights(np.maximum(-nodes[chain, 2], 0.0))
        springs[chain, :3] += stiff[:, None]
        springs[chain, 5] += stiff * radius**2
    return springs


def _weights(depth: Array) -> Array:
    """What each node stands for of the depth, times that depth, mm²: a spring rises with it.

    By Simpson's rule over each two bars, which keeps sum, moment and second moment of the springs;
    where two are not alike, by shares that keep sum and moment.
    """
    found = np.zeros(len(depth))
    at = int(np.flatnonzero(depth <= 0).max(initial=0))
    while at < len(depth) - 1:
        here = depth[at : at + 3]
        steps = np.diff(here)
        if len(steps) == 2 and abs(steps[0] - steps[1]) < 1e-3 * steps[0]:
            found[at : at + 3] += steps[0] / 3 * np.array([1.0, 4.0, 1.0]) * here
            at += 2
        else:
            upper, lower = here[:2]
            found[at] += steps[0] / 6 * (2 * upper + lower)
            found[at + 1] += steps[0] / 6 * (upper + 2 * lower)
            at += 1
    return found
