"""Bolts, screws and clamps that are there before the cover, for screws that keep clear of them."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable

from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.parts import Bolt, ClampHalf, Nut, Plate, Screw, Washer
from frame3d.frame.model.roles import Role
from frame3d.geometry.placement import Vector, add

_KINDS = (Bolt, ClampHalf, Nut, Screw, Washer)
_CELL_MM, _STEP_MM = 60.0, 10.0
_PLATED = (Role.HINGE, Role.BRACKET, Role.FLOOR_GUIDE)
_PLATE_MM, _EARS_MM = 8.0, 20.0
"""Round a point of a plate, and what the ears of a clamp stand out over its tube."""
_Cell = tuple[int, int, int]
_Ball = tuple[Vector, float]


class FastenersNear:
    """Points along the axes of fasteners, by the cell that they lie in."""

    def __init__(self, drafts: Iterable[UnmarkedMember]) -> None:
        self._cells: dict[_Cell, list[_Ball]] = defaultdict(list)
        self._round: dict[_Cell, list[_Ball]] = {}
        for draft in drafts:
            if isinstance(draft.part, _KINDS) or draft.role in _PLATED:
                self._add(draft)

    def _add(self, draft: UnmarkedMember) -> None:
        part, place = draft.part, draft.placement
        if isinstance(part, Plate):
            for x, y in _spread(part):
                self._put(place.point((x, y, part.thickness_mm / 2)), _PLATE_MM)
            return
        match part:
            case Bolt():
                length, radius, along = part.length_mm, part.size.flats_mm / 2, place.z
            case Screw():
                length, radius, along = part.length_mm, part.flats_mm / 2, place.z
            case ClampHalf():
                length, radius, along = 0.0, part.tube_od_mm / 2 + _EARS_MM, place.x
            case _:
                length, radius, along = 0.0, 12.0, place.z
        for k in range(math.ceil(length / _STEP_MM) + 1):
            self._put(add(place.origin, along, min(length, k * _STEP_MM)), radius)

    def _put(self, point: Vector, radius: float) -> None:
        self._cells[_cell(point)].append((point, radius))

    def clear_mm(self, start: Vector, along: Vector, length_mm: float) -> float:
        """How far the nearest is from a screw's axis, less its own radius; at most a cell, mm."""
        least = _CELL_MM
        for k in range(math.ceil(length_mm / _STEP_MM) + 1):
            point = add(start, along, min(length_mm, k * _STEP_MM))
            for other, radius in self._near(_cell(point)):
                least = min(least, math.dist(point, other) - radius)
        return least

    def _near(self, cell: _Cell) -> list[_Ball]:
        """What lies in a cell and in those round it; screw after screw asks for the same."""
        if cell not in self._round:
            x, y, z = cell
            about = ((x + i, y + j, z + k) for i in _NEAR for j in _NEAR for k in _NEAR)
            self._round[cell] = [ball for one in about for ball in self._cells.get(one, ())]
        return self._round[cell]


_NEAR = (-1, 0, 1)


def _cell(point: Vector) -> _Cell:
    x, y, z = point
    return math.floor(x / _CELL_MM), math.floor(y / _CELL_MM), math.floor(z / _CELL_MM)


def _spread(part: Plate) -> list[tuple[float, float]]:
    """Points all over the box round a plate's outline."""
    xs, ys = ([point[axis] for point in part.outline] for axis in (0, 1))
    sides = []
    for values in (xs, ys):
        low, high = min(values), max(values)
        count = math.ceil((high - low) / _STEP_MM) + 1
        sides.append([low + (high - low) * k / count for k in range(count + 1)])
    return [(x, y) for x in sides[0] for y in sides[1]]
