"""Where the planes lie along each bolt of a frame, and which holes are drilled for it.

What a bolt goes through is in its joint; grip and shear planes come from the placements of bolt,
nut and drilled parts, so that a new family of members needs no word here.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from msgspec import Struct

from frame3d.frame.measure.bores import Bore, bores_of
from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.parts import Bolt, ClampHalf, Nut, Washer
from frame3d.geometry.placement import Vector, add, dot

_PARALLEL = 0.9999


class GrippedLayer(Struct, frozen=True, kw_only=True):
    """Material of one member that a bolt goes through.

    Parameters
    ----------
    low_mm, high_mm : float
        Distances from under the head.
    member : Member
    hole : int
        Number of the hole there, from 0: of a board after those through its depth come those
        from edge to edge.
    hole_mm : float
        Its diameter.
    """

    low_mm: float
    high_mm: float
    member: Member
    hole: int
    hole_mm: float


class BoltPath(Struct, frozen=True, kw_only=True):
    """A bolt with what it goes through.

    Parameters
    ----------
    bolt : Member
    held : tuple of Member
        What it goes through, from the head on: the members of its joint, or the clamp half that
        it draws together.
    crossings : tuple of GrippedLayer
        The material of these, from the head on.
    nut_mm : float or None
        Distance from under the head to the nut; None where no nut is on the bolt.
    fittings : tuple of Member
        The nut and the washers on it.
    """

    bolt: Member[Bolt]
    held: tuple[Member, ...]
    crossings: tuple[GrippedLayer, ...]
    nut_mm: float | None
    fittings: tuple[Member, ...]

    @property
    def washers(self) -> int:
        """How many washers are on the bolt."""
        return sum(1 for member in self.fittings if isinstance(member.part, Washer))

    @property
    def planes_mm(self) -> tuple[float, ...]:
        """Where two members meet, distances from under the head, rising.

        Where a tube has play in another, where the farther one begins: by that the lengths of
        the bolts are chosen (``plane_mm`` of ``bolt_up``).
        """
        return tuple(
            second.low_mm
            for first, second in itertools.pairwise(self.crossings)
            if first.member is not second.member
        )


def passages(frame: Frame) -> Iterator[BoltPath]:
    """Every bolt of ``frame`` with what it goes through, in the order of the members."""
    holes: dict[int, tuple[Bore, ...]] = {}
    for joint in frame.joints:
        held = joint.members
        for bolt in joint.fasteners:
            if isinstance(bolt.part, ClampHalf):
                held = (bolt,)
            elif isinstance(bolt.part, Bolt):
                yield _passage(with_part(bolt, Bolt), held, joint.rings(bolt), holes)


def _passage(
    bolt: Member[Bolt],
    held: tuple[Member, ...],
    rings: tuple[Member, ...],
    known: dict[int, tuple[Bore, ...]],
) -> BoltPath:
    crossings: list[GrippedLayer] = []
    for member in held:
        if id(member.part) not in known:
            known[id(member.part)] = bores_of(member.part)
        for number, hole in enumerate(known[id(member.part)]):
            at, off = _along(bolt, member.placement.point(hole.middle))
            # The holes of a part are farther apart than they are wide; but a hoop has one in
            # either leg, in line with each other.
            wide = hole.diameter_mm
            if off < wide / 2 and -wide < at < bolt.part.length_mm + wide:
                crossings += _through(bolt, member, number, hole, at)
    crossings.sort(key=lambda crossing: (crossing.low_mm, crossing.high_mm))
    nuts = [ring for ring in rings if isinstance(ring.part, Nut)]
    return BoltPath(
        bolt=bolt,
        held=held,
        crossings=tuple(crossings),
        nut_mm=_along(bolt, nuts[0].placement.origin)[0] if nuts else None,
        fittings=rings,
    )


def _along(bolt: Member[Bolt], point: Vector) -> tuple[float, float]:
    """How far along a bolt from under its head a point is, and how far off its axis, mm."""
    away, along = add(point, bolt.placement.origin, -1.0), bolt.placement.z
    at = dot(away, along)
    return at, math.dist(away, tuple(c * at for c in along))


def _through(
    bolt: Member[Bolt], member: Member, number: int, hole: Bore, at_mm: float
) -> Iterator[GrippedLayer]:
    turn = dot(member.placement.direction(hole.way), bolt.placement.z)
    if abs(turn) < _PARALLEL:
        return
    for low, high in hole.stretches:
        ends = sorted(at_mm + math.copysign(1.0, turn) * end for end in (low, high))
        yield GrippedLayer(
            low_mm=ends[0],
            high_mm=ends[1],
            member=member,
            hole=number,
            hole_mm=hole.diameter_mm,
        )
