"""What each bolt of a frame goes through, found from where the members are.

Grip and shear planes come from the placements of bolts, nuts and drilled parts, so
that a new family of members needs no word here.
"""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Iterable, Iterator

from msgspec import Struct

from frame3d.frame.measure.measures import radii_at
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Board, Bolt, ClampHalf, Nut, Part, Plate, Tube, Washer
from frame3d.geometry.placement import Vector, add, dot

_CELL_MM = 120.0
_ON_AXIS_MM = 0.05
_PARALLEL = 0.9999

__all__ = ["GrippedLayer", "BoltPath", "passages"]


class GrippedLayer(Struct, frozen=True, kw_only=True):
    """Material of one member that a bolt goes through.

    Parameters
    ----------
    low_mm, high_mm : float
        Distances from under the head.
    member : Member
    hole_mm : float
        Diameter of the hole there.
    """

    low_mm: float
    high_mm: float
    member: Member
    hole_mm: float


class BoltPath(Struct, frozen=True, kw_only=True):
    """A bolt with what it goes through.

    Parameters
    ----------
    bolt : Member
    crossings : tuple of GrippedLayer
        From the head on.
    nut_mm : float or None
        Distance from under the head to the nut; None where no nut is on the bolt.
    fittings : tuple of Member
        The nut and the washers on it.
    """

    bolt: Member[Bolt]
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


_Place = tuple[Vector, Member, "_Hole | None"]
_Cells = dict[tuple[int, ...], list[_Place]]


def passages(frame: Frame) -> Iterator[BoltPath]:
    """Every bolt of ``frame`` with what it goes through, in the order of the members."""
    cells = _sorted_into_cells(frame)
    for bolt in frame.of_kind(Bolt):
        yield _passage(bolt, cells)


def _sorted_into_cells(frame: Frame) -> _Cells:
    """Holes, nuts and washers by where they are, so that a bolt finds its own at once."""
    cells: _Cells = defaultdict(list)
    holes: dict[int, tuple[_Hole, ...]] = {}
    for member in frame.members:
        part, placement = member.part, member.placement
        if isinstance(part, (Nut, Washer)):
            cells[_cell(placement.origin)].append((placement.origin, member, None))
            continue
        if id(part) not in holes:
            holes[id(part)] = tuple(_holes(part))
        for hole in holes[id(part)]:
            point = placement.point(hole.point)
            cells[_cell(point)].append((point, member, hole))
    return cells


def _cell(point: Iterable[float]) -> tuple[int, ...]:
    return tuple(math.floor(c / _CELL_MM) for c in point)


def _near(cells: _Cells, start: Vector, end: Vector) -> Iterator[_Place]:
    low = _cell(min(a, b) - _ON_AXIS_MM for a, b in zip(start, end, strict=True))
    high = _cell(max(a, b) + _ON_AXIS_MM for a, b in zip(start, end, strict=True))
    spans = (range(a, b + 1) for a, b in zip(low, high, strict=True))
    for cell in itertools.product(*spans):
        yield from cells.get(cell, ())


def _passage(bolt: Member[Bolt], cells: _Cells) -> BoltPath:
    head, along = bolt.placement.origin, bolt.placement.z
    length = bolt.part.length_mm
    crossings: list[GrippedLayer] = []
    fittings: list[Member] = []
    nut_mm = None
    for point, member, hole in _near(cells, head, add(head, along, length)):
        away = add(point, head, -1.0)
        at = dot(away, along)
        if math.dist(away, tuple(c * at for c in along)) > _ON_AXIS_MM:
            continue
        if not -_ON_AXIS_MM <= at <= length + _ON_AXIS_MM:
            continue
        if hole is not None:
            crossings += _through(bolt, member, hole, at)
        else:
            fittings.append(member)
            nut_mm = at if isinstance(member.part, Nut) else nut_mm
    crossings.sort(key=lambda crossing: (crossing.low_mm, crossing.high_mm))
    return BoltPath(bolt=bolt, crossings=tuple(crossings), nut_mm=nut_mm, fittings=tuple(fittings))


def _through(
    bolt: Member[Bolt], member: Member, hole: _Hole, at_mm: float
) -> Iterator[GrippedLayer]:
    turn = dot(member.placement.direction(hole.along), bolt.placement.z)
    if abs(turn) < _PARALLEL:
        return
    for low, high in hole.stretches:
        ends = sorted(at_mm + math.copysign(1.0, turn) * end for end in (low, high))
        yield GrippedLayer(low_mm=ends[0], high_mm=ends[1], member=member, hole_mm=hole.diameter_mm)


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
