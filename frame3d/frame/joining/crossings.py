"""Where the planes lie along each bolt of a frame, and which holes are drilled for it.

What a bolt goes through is in its joint; grip and shear planes come from the placements of bolt,
nut and drilled parts, so that a new family of members needs no word here.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from msgspec import Struct

from frame3d.frame.measure.measures import radii_at
from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.parts import Board, Bolt, ClampHalf, Nut, Part, Plate, Tube, Washer
from frame3d.geometry.placement import Vector, add, dot

_PARALLEL = 0.9999

__all__ = ["BoltPath", "GrippedLayer", "passages"]


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


class _Hole(Struct, frozen=True, kw_only=True):
    """A hole in a part's own axes.

    A point on its axis, direction, diameter, and the stretches of material along it from that
    point, mm.
    """

    point: Vector
    along: Vector
    diameter_mm: float
    stretches: tuple[tuple[float, float], ...]


def passages(frame: Frame) -> Iterator[BoltPath]:
    """Every bolt of ``frame`` with what it goes through, in the order of the members."""
    holes: dict[int, tuple[_Hole, ...]] = {}
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
    known: dict[int, tuple[_Hole, ...]],
) -> BoltPath:
    crossings: list[GrippedLayer] = []
    for member in held:
        if id(member.part) not in known:
            known[id(member.part)] = tuple(_holes(member.part))
        for number, hole in enumerate(known[id(member.part)]):
            at, off = _along(bolt, member.placement.point(hole.point))
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
    bolt: Member[Bolt], member: Member, number: int, hole: _Hole, at_mm: float
) -> Iterator[GrippedLayer]:
    turn = dot(member.placement.direction(hole.along), bolt.placement.z)
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


def _holes(part: Part) -> Iterator[_Hole]:
    match part:
        case Tube():
            yield from _tube_holes(part)
        case Board():
            for hole in part.holes:
                point = (hole.along_mm, hole.up_mm, 0.0)
                yield _square(point, part.section.thickness_mm, hole.diameter_mm)
            yield from _edge_holes(part)
        case Plate():
            for x, y, diameter in part.holes:
                yield _square((x, y, 0.0), part.thickness_mm, diameter)
        case ClampHalf():
            near, far = part.gap_mm / 2, part.gap_mm / 2 + part.band_mm
            yield _Hole(
                point=(0.0, part.ear_bolt_mm, 0.0),
                along=(0.0, 0.0, 1.0),
                diameter_mm=part.bolt.hole_mm,
                stretches=((-far, -near), (near, far)),
            )


def _square(point: Vector, thickness_mm: float, diameter_mm: float) -> _Hole:
    return _Hole(
        point=point,
        along=(0.0, 0.0, 1.0),
        diameter_mm=diameter_mm,
        stretches=((0.0, thickness_mm),),
    )


def _edge_holes(board: Board) -> Iterator[_Hole]:
    for hole in board.edge_holes:
        low, high = 0.0, board.section.depth_mm
        to_end = board.length_mm - hole.along_mm
        for end, away in ((board.start, hole.along_mm), (board.end, to_end)):
            if end is not None and away < end.lap_mm:
                low = end.lap_depth_mm if not end.lap_from_top else low
                high = high - end.lap_depth_mm if end.lap_from_top else high
        yield _Hole(
            point=(hole.along_mm, 0.0, hole.across_mm),
            along=(0.0, 1.0, 0.0),
            diameter_mm=hole.diameter_mm,
            stretches=((low, high),),
        )


def _tube_holes(tube: Tube) -> Iterator[_Hole]:
    for hole in tube.holes:
        station = tube.axis.at(hole.at_mm)
        outside, inside = radii_at(tube, hole.at_mm)
        across, up = math.cos(hole.clock_rad), math.sin(hole.clock_rad)
        yield _Hole(
            point=(station.x_mm, station.y_mm, 0.0),
            along=(station.normal[0] * across, station.normal[1] * across, up),
            diameter_mm=hole.diameter_mm,
            stretches=((-outside, -inside), (inside, outside)),
        )
