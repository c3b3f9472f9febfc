"""A frame as a space frame of bars in the ground.

Tubes in tubes share their nodes, so that both bear; what bolts and couplers hold is linked by short
bars. End walls, doors and the cover are loads at most, and hold nothing; nor do boards, unless they
are asked for.
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
from frame3d.loads.model.boards import TIMBER_E, TIMBER_G, Boards, boards_of, timber_bars
from frame3d.loads.model.connections import Connections, connections_of
from frame3d.loads.model.mesh import Mesh, mesh_of
from frame3d.loads.solver.structure import STEEL_E, STEEL_G, Array, Bars, Structure

_UPRIGHT = 0.99


class SpaceFrame(Struct, frozen=True, kw_only=True, dict=True):
    """A frame with its bars: those of tubes first, then links, then those of boards.

    Parameters
    ----------
    frame : Frame
    found : Connections
    boards : Boards
        None unless they are asked for.
    mesh : Mesh
    """

    frame: Frame
    found: Connections
    boards: Boards
    mesh: Mesh

    def member(self, bar: int) -> Member[Tube] | None:
        """The tube that a bar is of; None for a link and for a board."""
        pieces = self.mesh.pieces
        return self.found.axes[pieces[bar].axis].member if bar < len(pieces) else None

    @cached_property
    def tubes(self) -> int:
        """How many bars are of tubes."""
        return len(self.mesh.pieces)

    @property
    def bars(self) -> int:
        """How many bars there are in all."""
        return self.tubes + len(self.mesh.links) + len(self.mesh.timbers)

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
        mesh, links = self.mesh, self.mesh.links
        timbers = timber_bars(self.boards.members)[[k for _, _, k in mesh.timbers]]
        numbers = np.array([
            *((p.start, p.end) for p in mesh.pieces), *((one.start, one.end) for one in links),
            *((a, b) for a, b, _ in mesh.timbers),
        ])  # fmt: skip
        sizes = np.array([
            *((p.od_mm, p.od_mm - 2 * p.wall_mm) for p in mesh.pieces),
            *((one.diameter_mm, 0.0) for one in links),
        ])  # fmt: skip
        outside, inside = sizes[:, 0], sizes[:, 1]
        inertia = np.pi * (outside**4 - inside**4) / 64
        along = mesh.nodes[numbers[:, 1]] - mesh.nodes[numbers[:, 0]]
        length = np.linalg.norm(along, axis=1)
        torsion = np.concatenate([2 * inertia, timbers[:, 3]])
        for bar, one in enumerate(links, start=self.tubes):
            if one.turning_n_mm is not None:
                torsion[bar] = one.turning_n_mm * length[bar] / STEEL_G
        steel = np.arange(len(numbers)) < len(sizes)
        edge = np.zeros(len(numbers))
        edge[: self.tubes] = outside[: self.tubes] / 2
        count = len(mesh.nodes)
        return Structure(
            nodes=mesh.nodes,
            ends=numbers,
            bars=Bars(
                area=np.concatenate([np.pi * (outside**2 - inside**2) / 4, timbers[:, 0]]),
                inertia_y=np.concatenate([inertia, timbers[:, 1]]),
                inertia_z=np.concatenate([inertia, timbers[:, 2]]),
                torsion=torsion, edge=edge,
                modulus=np.where(steel, STEEL_E, TIMBER_E),
                shear=np.where(steel, STEEL_G, TIMBER_G),
            ),
            up=self._up(along, length),
            springs=np.zeros((count, 6)),
            fixed=np.zeros((count, 6), dtype=bool),
            released=np.zeros((len(numbers), 12), dtype=bool),
        )  # fmt: skip

    def _up(self, along: Array, length: Array) -> Array:
        """To which side each bar's own z lies: upward where it can; of a board up its depth."""
        up = np.zeros((len(along), 3))
        upright = np.abs(along[:, 2]) > _UPRIGHT * length
        up[:, 2], up[upright] = 1.0, (0.0, 1.0, 0.0)
        first = self.bars - len(self.mesh.timbers)
        for bar, (_, _, board) in enumerate(self.mesh.timbers, start=first):
            up[bar] = self.boards.members[board].placement.y
        return up

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


def space_frame(frame: Frame, *, finer: int = 1, with_boards: bool = False) -> SpaceFrame:
    """The space frame of ``frame``; ``finer`` times as many bars as are needed."""
    found = connections_of(frame)
    boards = boards_of(frame, found.axes) if with_boards else Boards()
    mesh = mesh_of(found, boards, finer=finer)
    return SpaceFrame(frame=frame, found=found, boards=boards, mesh=mesh)
