"""Own weight, from the parts: tubes along themselves, what is bolted to them at their joints.

A board weighs on the joints that hold it, in equal shares; what no joint holds to a tube, such as
end walls and doors, stands on the ground.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from msgspec import Struct

from frame3d.frame.measure.measures import centre_mm, mass_kg
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Part
from frame3d.loads.model.space_frame import SpaceFrame
from frame3d.loads.solver.structure import Array, Load

Mass = Callable[[Part], float]
"""The mass of a part, kg."""
GRAVITY = 9.80665
"""m/s², standard (ISO 80000-3)."""


class Weights(Struct, frozen=True, kw_only=True):
    """What weighs on a space frame.

    Parameters
    ----------
    load : Load
    borne_kg : float
        All of it.
    whole_kg : float
        All parts of the frame, with what stands on the ground by itself.
    centre_mm : (3,) float
        Centre of gravity of all parts.
    """

    load: Load
    borne_kg: float
    whole_kg: float
    centre_mm: Array


def weights_of(space: SpaceFrame) -> Weights:
    """Own weight of ``space``."""
    frame, mesh = space.frame, space.mesh
    masses: dict[int, float] = {}

    def mass(part: Part) -> float:
        if id(part) not in masses:
            masses[id(part)] = mass_kg(part)
        return masses[id(part)]

    load = Load(
        at_nodes=np.zeros((len(mesh.nodes), 6)),
        along_bars=np.zeros((space.bars, 3)),
    )
    borne = 0.0
    bars: dict[int, list[int]] = {}
    for bar, piece in enumerate(mesh.pieces):
        bars.setdefault(piece.axis, []).append(bar)
    for number, axis in enumerate(space.found.axes):
        whole = mass(axis.member.part)
        lengths = [
            float(np.linalg.norm(mesh.nodes[mesh.pieces[k].end] - mesh.nodes[mesh.pieces[k].start]))
            for k in bars.get(number, ())
        ]
        if lengths:
            load.along_bars[bars[number], 2] -= whole * GRAVITY / sum(lengths)
            borne += whole
    for node, kilograms in _at_nodes(space, mass).items():
        load.at_nodes[node, 2] -= kilograms * GRAVITY
        borne += kilograms
    whole_kg, centre = _centre(frame, mass)
    return Weights(load=load, borne_kg=borne, whole_kg=whole_kg, centre_mm=centre)


def _at_nodes(space: SpaceFrame, mass: Mass) -> dict[int, float]:
    """Masses at nodes: fasteners, and boards and plates by the joints that hold them to tubes."""
    tubes = {id(axis.member) for axis in space.found.axes}
    held: dict[int, tuple[Part, list[int]]] = {}
    found: dict[int, float] = {}
    for joint in space.frame.joints:
        spot = space.found.places.get(id(joint))
        if spot is None:
            continue
        node = space.mesh.node_at(spot)
        found[node] = found.get(node, 0.0) + sum(mass(m.part) for m in joint.fasteners)
        for member in joint.members:
            if id(member) not in tubes:
                held.setdefault(id(member), (member.part, []))[1].append(node)
    for part, nodes in held.values():
        for node in nodes:
            found[node] = found.get(node, 0.0) + mass(part) / len(nodes)
    return found


def _centre(frame: Frame, mass: Mass) -> tuple[float, Array]:
    centres: dict[int, tuple[float, float, float]] = {}
    whole, moment = 0.0, np.zeros(3)
    for member in frame.members:
        if id(member.part) not in centres:
            centres[id(member.part)] = centre_mm(member.part)
        own = mass(member.part)
        whole += own
        moment += own * np.array(member.placement.point(centres[id(member.part)]))
    return whole, moment / whole
