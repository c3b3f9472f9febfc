"""What the recorded joints of a frame mean for its bars: where axes meet, and by what.

Which members are joined is in the record and never looked for by distance; only where along each
axis a bolt or a coupler sits is measured.

Glossary
--------
shared : places on two tubes that move as one: the ends of where a tube lies in a tube.
link : a short stiff bar between the axes of two tubes, where a bolt or a coupler holds them.
hub : a plate, as one point to which the tubes that are bolted to it are linked.
"""

from __future__ import annotations

import itertools

import numpy as np
from msgspec import Struct

from frame3d.frame.model.joints import Joint, JointKind
from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.parts import ClampHalf, Plate, Tube
from frame3d.frame.model.roles import Role
from frame3d.loads.model.axis import TubeAxis
from frame3d.loads.solver.structure import Array

BEARING_ROLES = (
    Role.SOCKET, Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT, Role.RAIL, Role.HIP_RAIL, Role.BRACE,
    Role.TIE, Role.KING_POST, Role.WEB, Role.GUSSET,
)  # fmt: skip
"""What becomes bars. End walls, doors and boards do not; every output says so."""
ARM_MM, HUB_MM = 25.0, 40.0
"""Diameters of the round bars that stand for a bolt or coupler between two axes, and for a plate
between its middle and a bolt: stiff beside any tube (no source)."""

TURNING_N_MM = 1e6
"""What holds two tubes on one bolt or coupler against turning, N·mm/rad: friction (no source)."""

Spot = tuple[int, float]
"""The number of an axis, and how far along it, mm."""


class Link(Struct, frozen=True):
    """A short bar between two places; ``diameter_mm`` is that of the round bar that it is."""

    first: Spot
    second: Spot
    diameter_mm: float
    turns: bool
    """Whether it turns about itself, as a coupler on its rivet or tubes on one bolt."""


class Hub(Struct, frozen=True):
    """A plate with the places that are bolted to it."""

    member: Member[Plate]
    spots: tuple[Spot, ...]
    points: tuple[tuple[float, float, float], ...]


class Overlap(Struct, frozen=True):
    """A tube in a tube: the numbers of both axes and the places that coincide, as pairs."""

    outer: int
    inner: int
    pairs: tuple[tuple[float, float], ...]

    @property
    def inner_mm(self) -> tuple[float, float]:
        """From where to where the inner tube is covered."""
        at = [pair[1] for pair in self.pairs]
        return min(at), max(at)


class Connections(Struct, frozen=True, kw_only=True):
    """All of a frame's axes with what connects them."""

    axes: tuple[TubeAxis, ...]
    overlaps: tuple[Overlap, ...]
    shared: tuple[tuple[Spot, Spot], ...]
    links: tuple[Link, ...]
    hubs: tuple[Hub, ...]
    places: dict[int, Spot]
    """By the identity of a joint: a place on the tube that it holds last."""


def connections_of(frame: Frame) -> Connections:
    """What the joints of ``frame`` connect."""
    axes = tuple(TubeAxis(member=member) for member in frame.of_kind(Tube, *BEARING_ROLES))
    number = {id(axis.member): k for k, axis in enumerate(axes)}
    overlaps = tuple(
        found
        for joint in frame.joints
        if joint.kind is JointKind.NESTED and all(id(m) in number for m in joint.members)
        if (found := _overlap(axes, *(number[id(m)] for m in joint.members))) is not None
    )
    inside = {frozenset((lap.outer, lap.inner)) for lap in overlaps}
    shared: list[tuple[Spot, Spot]] = [
        ((lap.outer, outer), (lap.inner, inner)) for lap in overlaps for outer, inner in lap.pairs
    ]
    links: list[Link] = []
    hubs: dict[int, tuple[Member[Plate], list[Spot], list[tuple[float, float, float]]]] = {}
    places: dict[int, Spot] = {}
    for joint in frame.joints:
        if joint.kind is JointKind.NESTED:
            continue
        spots = _spots(joint, axes, number)
        if not spots:
            continue
        places[id(joint)] = spots[-1]
        for first, second in itertools.pairwise(spots):
            if frozenset((first[0], second[0])) not in inside:
                links.append(Link(first, second, ARM_MM, True))
        for member in joint.members:
            if isinstance(member.part, Plate) and member.role in BEARING_ROLES:
                plate = with_part(member, Plate)
                _, held, points = hubs.setdefault(id(member), (plate, [], []))
                held.append(spots[0])
                points.append(joint.placement.origin)
    return Connections(
        axes=axes,
        overlaps=overlaps,
        shared=tuple(shared),
        links=tuple(links),
        hubs=tuple(Hub(member, tuple(held), tuple(at)) for member, held, at in hubs.values()),
        places=places,
    )


def _overlap(axes: tuple[TubeAxis, ...], outer: int, inner: int) -> Overlap | None:
    """Where one tube covers another: each end of either that lies along the other."""
    pairs = []
    for holder, other, swap in ((outer, inner, False), (inner, outer, True)):
        within = axes[holder].length_mm
        reach = axes[outer].member.part.section.od_mm / 2
        for end in (0.0, axes[other].length_mm):
            point = axes[other].point(end)
            at = axes[holder].nearest(point)
            off = float(np.linalg.norm(axes[holder].point(at) - point))
            if off < reach and 1.0 < at < within - 1.0:
                pairs.append((end, at) if swap else (at, end))
    if len(pairs) < 2:
        return None
    return Overlap(outer, inner, (min(pairs), max(pairs)))


def _spots(joint: Joint, axes: tuple[TubeAxis, ...], number: dict[int, int]) -> list[Spot]:
    """Where a joint sits on each of the tubes that it holds."""
    found = []
    halves = [m for m in joint.fasteners if isinstance(m.part, ClampHalf)]
    line = joint.placement
    for place, member in enumerate(joint.members):
        axis = number.get(id(member))
        if axis is None:
            continue
        if joint.kind is JointKind.CLAMPED and place < len(halves):
            at = axes[axis].nearest(np.array(halves[place].placement.origin))
        else:
            at = axes[axis].nearest(np.array(line.origin), np.array(line.z))
        found.append((axis, at))
    return found


def hub_point(hub: Hub) -> Array:
    """The middle of a plate's bolts, (3,) float, mm."""
    middle: Array = np.asarray(hub.points).mean(axis=0)
    return middle
