"""A frame as a space frame of bars in the ground.

Tubes in tubes share their nodes, so that both bear; what bolts and couplers hold is linked by short
bars. End walls, doors and the cover are loads at most, and hold nothing.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role
from frame3d.loads.model.assumed import Assumed, soil_springs
from frame3d.loads.model.connections import Connections, connections_of
from frame3d.loads.model.mesh import Mesh, mesh_of
from frame3d.loads.solver.structure import STEEL_E, STEEL_G, Array, Bars, Structure

TURNING_N_MM = 1e6
"""What holds two tubes on one bolt or coupler against turning, N·mm/rad: friction (no source)."""
_UPRIGHT = 0.99


class SpaceFrame(Struct, frozen=True, kw_only=True, dict=True):
    """A frame with its bars: those of tubes first, then links.

    Parameters
    ----------
    frame : Frame
    found : Connections
    mesh : Mesh
    """

    frame: Frame
    found: Connections
    mesh: Mesh

    def member(self, bar: int) -> Member[Tube] | None:
        """The member that a bar is of; None for a link."""
        pieces = self.mesh.pieces
        return self.found.axes[pieces[bar].axis].member if bar < len(pieces) else None

    @cached_property
    def tubes(self) -> int:
        """How many bars are of tubes."""
        return len(self.mesh.pieces)

    @cached_property
    def sockets(self) -> tuple[tuple[Member[Tube], tuple[int, ...]], ...]:
        """Each socket with its nodes from the top down."""
        chains: dict[int, list[int]] = {}
        for piece in self.mesh.pieces:
            if self.found.axes[piece.axis].member.role is Role.SOCKET:
                chain = chains.setdefault(piece.axis, [piece.start])
                chain.append(piece.end)
        return tuple((self.found.axes[k].member, tuple(chain)) for k, chain in chains.items())

    @cached_property
    def _bare(self) -> Structure:
        mesh = self.mesh
        ends = [(p.start, p.end) for p in mesh.pieces] + [(a, b) for a, b, _, _ in mesh.links]
        rods = [(d, 0.0) for _, _, d, _ in mesh.links]
        sizes = np.array([(p.od_mm, p.od_mm - 2 * p.wall_mm) for p in mesh.pieces] + rods)
        outside, inside = sizes[:, 0], sizes[:, 1]
        inertia = np.pi * (outside**4 - inside**4) / 64
        numbers = np.array(ends)
        along = mesh.nodes[numbers[:, 1]] - mesh.nodes[numbers[:, 0]]
        length = np.linalg.norm(along, axis=1)
        torsion = 2 * inertia
        turns = [self.tubes + k for k, link in enumerate(mesh.links) if link[3]]
        torsion[turns] = TURNING_N_MM * length[turns] / STEEL_G
        up = np.zeros((len(ends), 3))
        upright = np.abs(along[:, 2]) > _UPRIGHT * length
        up[:, 2], up[upright] = 1.0, (0.0, 1.0, 0.0)
        count = len(mesh.nodes)
        even = np.ones(len(ends))
        return Structure(
            nodes=mesh.nodes,
            ends=numbers,
            bars=Bars(
                area=np.pi * (outside**2 - inside**2) / 4, inertia_y=inertia, inertia_z=inertia,
                torsion=torsion, modulus=STEEL_E * even, shear=STEEL_G * even,
                edge=np.where(np.arange(len(ends)) < self.tubes, outside / 2, 0.0),
            ),
            up=up,
            springs=np.zeros((count, 6)),
            fixed=np.zeros((count, 6), dtype=bool),
            released=np.zeros((len(ends), 12), dtype=bool),
        )  # fmt: skip

    def structure(self, given: Assumed) -> Structure:
        """The bars in the ground, as assumed."""
        bare = self._bare
        chains = [list(chain) for _, chain in self.sockets]
        radii = [member.part.section.od_mm / 2 for member, _ in self.sockets]
        springs = soil_springs(bare.nodes, chains, radii, given.soil)
        released = self._hinges if given.hinged else bare.released
        return replace(bare, springs=springs, released=released)

    @cached_property
    def _hinges(self) -> Array:
        """Bars that turn freely in level axes where a leg leaves its socket, (m, 12) bool."""
        released = np.zeros((len(self._bare.ends), 12), dtype=bool)
        tops = {chain[0] for _, chain in self.sockets}
        for bar, piece in enumerate(self.mesh.pieces):
            member = self.found.axes[piece.axis].member
            if member.role is Role.SOCKET:
                continue
            for end, (node, other) in enumerate(
                ((piece.start, piece.end), (piece.end, piece.start))
            ):
                rising = self.mesh.nodes[other, 2] > self.mesh.nodes[node, 2]
                if node in tops and rising:
                    released[bar, [6 * end + 3, 6 * end + 4]] = True
        return released


def space_frame(frame: Frame, *, finer: int = 1) -> SpaceFrame:
    """The space frame of ``frame``; ``finer`` times as many bars as are needed."""
    found = connections_of(frame)
    return SpaceFrame(frame=frame, found=found, mesh=mesh_of(found, finer=finer))


__all__ = ["TURNING_N_MM", "SpaceFrame", "space_frame"]
