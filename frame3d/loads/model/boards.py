"""Sill boards and hip boards as bars, where a design has them counted.

Every board and every block that joins two of them is one bar along its middle. All bolts that hold
it to one tube, or to one block, are a link that gives way sideways as the bolts do and turns about
itself as the group does; one bolt alone is held against turning by friction, as between two tubes.
Holes are drilled larger than bolts, and before that play is used up a board holds nothing: that is
left out, so boards hold more here than they do.

References
----------
Slip of a bolt in timber for each shear plane, rho^1.5 d / 23 in N/mm, twice that against steel:
EN 1995-1-1:2004, table 7.1 and 7.1 (3). Mean density 420 kg/m³, modulus of elasticity 11,000 and
shear modulus 690 N/mm² of C24: EN 338:2016, table 1. All from memory. Torsion of a rectangle,
t³ d (1 - 0.63 t / d) / 3: S. Timoshenko and J. N. Goodier, Theory of Elasticity.
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from frame3d.frame.model.joints import Joint, JointKind
from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.parts import Board, Bolt
from frame3d.frame.model.roles import Role
from frame3d.loads.model.axis import TubeAxis
from frame3d.loads.model.connections import TURNING_N_MM, Spot
from frame3d.loads.solver.structure import STEEL_E, Array

TIMBER_E, TIMBER_G = 11_000.0, 690.0
"""N/mm²."""
_DENSITY = 420.0
_ROLES = (Role.SILL_BOARD, Role.HIP_BOARD, Role.JOINT_BLOCK)


class BoardEnd(Struct, frozen=True):
    """A place on a board: its number, and how far along it, mm."""

    board: int
    at_mm: float


class BoardLink(Struct, frozen=True, kw_only=True):
    """The bolts between a board and a tube, or between a board and a block.

    ``diameter_mm`` is that of the round bar that gives way as they do, fixed at both ends;
    ``turning_n_mm`` what holds it against turning about itself, N·mm/rad.
    """

    first: BoardEnd
    second: BoardEnd | Spot
    diameter_mm: float
    turning_n_mm: float


class Boards(Struct, frozen=True, kw_only=True):
    """All boards that are bars, and what holds them."""

    members: tuple[Member[Board], ...] = ()
    links: tuple[BoardLink, ...] = ()

    def places(self, number: int) -> list[float]:
        """Where along a board it is held, from its start."""
        ends = [end for link in self.links for end in (link.first, link.second)]
        return sorted({e.at_mm for e in ends if isinstance(e, BoardEnd) and e.board == number})

    def point(self, end: BoardEnd) -> Array:
        """A place on the middle line of a board, (3,) float, mm."""
        return np.array(_middle(self.members[end.board], end.at_mm))


def boards_of(frame: Frame, axes: tuple[TubeAxis, ...]) -> Boards:
    """The boards of ``frame`` with what holds them to tubes and to each other."""
    members = tuple(frame.of_kind(Board, *_ROLES))
    number = {id(member): k for k, member in enumerate(members)}
    tubes = {id(axis.member): k for k, axis in enumerate(axes)}
    groups: dict[tuple[int, int], list[Joint]] = {}
    for joint in frame.joints:
        if joint.kind is not JointKind.BOLTED:
            continue
        board = next((m for m in joint.members if id(m) in number), None)
        mate = next((m for m in reversed(joint.members)
                     if m is not board and (id(m) in tubes or id(m) in number)), None)  # fmt: skip
        if board is not None and mate is not None:
            groups.setdefault((id(board), id(mate)), []).append(joint)
    links = []
    for (own, other), joints in groups.items():
        board = members[number[own]]
        at = [_seen_from(board, joint) for joint in joints]
        first = BoardEnd(number[own], float(np.mean([along for along, _ in at])))
        point = np.array(_middle(board, first.at_mm))
        second: BoardEnd | Spot
        if other in tubes:
            second = tubes[other], axes[tubes[other]].nearest(point)
            mate_point = axes[tubes[other]].point(second[1])
        else:
            mate = members[number[other]]
            along = float(np.mean([_seen_from(mate, joint)[0] for joint in joints]))
            second = BoardEnd(number[other], along)
            mate_point = np.array(_middle(mate, along))
        arm = float(np.linalg.norm(mate_point - point))
        links.append(_link(first, second, at, joints, arm))
    return Boards(members=members, links=tuple(links))


def _link(
    first: BoardEnd,
    second: BoardEnd | Spot,
    at: list[tuple[float, float]],
    joints: list[Joint],
    arm_mm: float,
) -> BoardLink:
    against_steel = not isinstance(second, BoardEnd)
    slips = [slip_n_per_mm(_diameter(joint), against_steel=against_steel) for joint in joints]
    middle = np.average(at, axis=0, weights=slips)
    turning = sum(
        k * float((np.array(p) - middle) @ (np.array(p) - middle))
        for k, p in zip(slips, at, strict=True)
    )
    return BoardLink(
        first=first,
        second=second,
        diameter_mm=round_bar_mm(sum(slips), arm_mm),
        turning_n_mm=turning + TURNING_N_MM,
    )


def slip_n_per_mm(diameter_mm: float, *, against_steel: bool) -> float:
    """How stiff a bolt through timber is sideways in one shear plane, N/mm."""
    return float((2.0 if against_steel else 1.0) * _DENSITY**1.5 * diameter_mm / 23)


def round_bar_mm(sideways_n_per_mm: float, length_mm: float) -> float:
    """The diameter of a round bar of steel that gives way so, both ends kept from turning.

    From 12 E I / L³, I = pi d⁴ / 64.
    """
    inertia = sideways_n_per_mm * length_mm**3 / (12 * STEEL_E)
    return math.sqrt(math.sqrt(64 * inertia / math.pi))


def timber_bars(members: tuple[Member[Board], ...]) -> Array:
    """Of each board area, Iy (bending in its depth), Iz and torsion; (k, 4) float, mm."""
    found = []
    for member in members:
        section = member.part.section
        thin, deep = sorted((section.thickness_mm, section.depth_mm))
        depth, thick = section.depth_mm, section.thickness_mm
        found.append((
            depth * thick, thick * depth**3 / 12, depth * thick**3 / 12,
            thin**3 * deep * (1 - 0.63 * thin / deep) / 3,
        ))  # fmt: skip
    return np.array(found).reshape(-1, 4)


def _middle(member: Member[Board], along_mm: float) -> tuple[float, float, float]:
    section = member.part.section
    return member.placement.point((along_mm, section.depth_mm / 2, section.thickness_mm / 2))


def _seen_from(member: Member[Board], joint: Joint) -> tuple[float, float]:
    """Where a bolt goes through a board: along it and up its depth, mm."""
    place = member.placement
    away = np.array(joint.placement.origin) - np.array(place.origin)
    return float(away @ np.array(place.x)), float(away @ np.array(place.y))


def _diameter(joint: Joint) -> float:
    return next(
        with_part(m, Bolt).part.size.diameter_mm
        for m in joint.fasteners
        if isinstance(m.part, Bolt)
    )
