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

from frame3d.frame.measure.bores import Bore, bores_of
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Bolt, Nut, Washer
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


_Place = tuple[Vector, Member, Bore | None]
_Cells = dict[tuple[int, ...], list[_Place]]


def passages(frame: Frame) -> Iterator[BoltPath]:
    """Every bolt of ``frame`` with what it goes through, in the order of the members."""
    cells = _sorted_into_cells(frame)
    for bolt in frame.of_kind(Bolt):
        yield _passage(bolt, cells)


def _sorted_into_cells(frame: Frame) -> _Cells:
    """Holes, nuts and washers by where they are, so that a bolt finds its own at once."""
    cells: _Cells = defaultdict(list)
    holes: dict[int, tuple[Bore, ...]] = {}
    for member in frame.members:
        part, placement = member.part, member.placement
        if isinstance(part, (Nut, Washer)):
            cells[_cell(placement.origin)].append((placement.origin, member, None))
            continue
        if id(part) not in holes:
            holes[id(part)] = bores_of(part)
        for hole in holes[id(part)]:
            point = placement.point(hole.middle)
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
    bolt: Member[Bolt], member: Member, hole: Bore, at_mm: float
) -> Iterator[GrippedLayer]:
    turn = dot(member.placement.direction(hole.way), bolt.placement.z)
    if abs(turn) < _PARALLEL:
        return
    for low, high in hole.stretches:
        ends = sorted(at_mm + math.copysign(1.0, turn) * end for end in (low, high))
        yield GrippedLayer(low_mm=ends[0], high_mm=ends[1], member=member, hole_mm=hole.diameter_mm)
