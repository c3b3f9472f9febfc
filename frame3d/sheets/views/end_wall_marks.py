"""Where the marks of an end wall's pieces may stand."""

from __future__ import annotations

import itertools

from frame3d.frame.model.roles import Role
from frame3d.sheets.annotation.annotations import Annotation, Mark, MarkRow, Way
from frame3d.sheets.projection.projection import Silhouette
from frame3d.sheets.views.seen_wall import WallSeen

_UPRIGHTS = (Role.STUD, Role.DOOR_JAMB)
_BESIDE: tuple[Way, ...] = ((1, 0, 0.8), (-1, 0, 0.8))
_OVER: tuple[Way, ...] = ((0, 1, 0.8), (0, -1, 0.8), (0, 1, 2.0))


def wall_marks(seen: WallSeen) -> list[Annotation]:
    """Marks of uprights, girts, sill, header, threshold, leaves, tracks and their plates."""
    annotations: list[Annotation] = [
        _upright(seen, shape) for shape in seen.of(*_UPRIGHTS, Role.CURTAIN_GUIDE)
    ]
    annotations += [_anchor(shape) for shape in seen.of(Role.WALL_ANCHOR)]
    annotations += _girts(seen)
    for role, ways in (
        (Role.WALL_SILL, ((0, 1, 1.0), (0, 1, 2.2), (0, -1, 2.0), (0, -1, 4.0))),
        (Role.WALL_SKIRT, ((0, -1, 2.0), (0, -1, 4.0), (0, -1, 6.0))),
        (Role.DOOR_HEADER, ((0, 1, 0.8), (0, 1, 2.0), (0, -1, 0.8))),
        (Role.THRESHOLD, ((0, -1, 2.0), (0, -1, 4.0), (0, 1, 1.0))),
        (Role.DOOR_TRACK, ((0, 1, 0.8), (0, 1, 2.0), (0, -1, 0.8))),
        (Role.ROLL_TUBE, ((0, 1, 0.8), (0, 1, 2.0), (0, -1, 0.8))),
        (Role.TRACK_NAILER, ((0, 1, 0.8), (0, 1, 2.0), (0, -1, 0.8), (0, -1, 2.0))),
    ):
        annotations += [_level(seen, shape, ways) for shape in seen.of(role)]
    return annotations + _leaves(seen) + _plates(seen)


def _upright(seen: WallSeen, shape: Silhouette) -> Mark:
    """Beside an upright, in the longest stretch of it that nothing crosses."""
    u0, v0, u1, v1 = shape.area.bounds
    u = (u0 + u1) / 2
    levels = [max(v0, 0.0), v1]
    for other in seen.of(
        Role.GIRT, Role.WALL_SILL, Role.DOOR_HEADER, Role.DOOR_TRACK, Role.ROLL_TUBE
    ):
        left, low, right, high = other.area.bounds
        if left - 100 < u < right + 100 and v0 < low and high < v1:
            levels.append((low + high) / 2)
    levels.sort()
    low, high = max(itertools.pairwise(levels), key=lambda pair: round(pair[1] - pair[0], 3))
    ways = _BESIDE
    if shape.member.role is Role.DOOR_JAMB:
        opening = min(
            (seen.reveals(door) for door in seen.doors),
            key=lambda ends: min(abs(end - u) for end in ends),
        )
        ways = _BESIDE if u > sum(opening) / 2 else _BESIDE[::-1]
    at = (u, (low + high) / 2)
    return Mark(text=shape.member.mark, at=at, ways=ways, half=((u1 - u0) / 2, 0.0))


def _anchor(shape: Silhouette) -> Mark:
    """Beside an anchor, near its foot."""
    u0, v0, u1, v1 = shape.area.bounds
    return Mark(
        text=shape.member.mark, at=((u0 + u1) / 2, v0 + (v1 - v0) / 4), ways=_BESIDE,
        half=((u1 - u0) / 2, 0.0),
    )  # fmt: skip


def _girts(seen: WallSeen) -> list[Annotation]:
    rows: dict[float, list[Mark]] = {}
    for shape in seen.of(Role.GIRT):
        mark = _level(seen, shape, _OVER)
        rows.setdefault(round(mark.at[1], 1), []).append(mark)
    return [
        MarkRow(marks=tuple(sorted(row, key=lambda mark: mark.at)))
        for _, row in sorted(rows.items())
    ]


def _level(seen: WallSeen, shape: Silhouette, ways: tuple[Way, ...]) -> Mark:
    """Above or below a level piece, in the gap between uprights nearest to its middle."""
    u0, v0, u1, v1 = shape.area.bounds
    middle, z = (u0 + u1) / 2, (v0 + v1) / 2
    stops = [u0, u1]
    for other in seen.of(*_UPRIGHTS):
        left, low, right, high = other.area.bounds
        if u0 < left and right < u1 and low <= v1 + 50 and high >= v1:
            stops.append((left + right) / 2)
    stops.sort()
    wide = max(b - a for a, b in itertools.pairwise(stops))
    gaps = [(a + b) / 2 for a, b in itertools.pairwise(stops) if b - a > 0.5 * wide]
    u = min(gaps, key=lambda place: round(abs(place - middle), 3))
    return Mark(text=shape.member.mark, at=(u, z), ways=ways, half=(0.0, (v1 - v0) / 2))


def _from_the_left(seen: WallSeen, role: Role) -> list[Silhouette]:
    """In order from the left, then from below, so that both ends choose the same pieces."""
    return sorted(seen.of(role), key=lambda shape: [round(b, 1) for b in shape.area.bounds])


def _leaves(seen: WallSeen) -> list[Annotation]:
    """One mark for each kind of board in the leaves of a door."""
    found: dict[tuple[int, str], Silhouette] = {}
    for shape in _from_the_left(seen, Role.DOOR_LEAF):
        door = (shape.member.spot.order + 1) // 2
        found.setdefault((door, shape.member.mark), shape)
    annotations: list[Annotation] = []
    for shape in found.values():
        u0, v0, u1, v1 = shape.area.bounds
        wide, high = u1 - u0, v1 - v0
        # A aligned board fills less of its bounds than a level or an upright one.
        slants = shape.area.area < 0.9 * wide * high
        at = ((u0 + u1) / 2, (v0 + v1) / 2)
        ways: tuple[Way, ...]
        if slants:
            ways, half = ((1, 1, 2.5), (-1, 1, 2.5), (1, -1, 2.5), (-1, -1, 2.5)), (0.0, 0.0)
        elif high > wide:
            at, ways, half = (at[0], v0 + 0.4 * high), _BESIDE, (wide / 2, 0.0)
        else:
            ways, half = _OVER, (0.0, high / 2)
        annotations.append(Mark(text=shape.member.mark, at=at, ways=ways, half=half, leader=slants))
    return annotations


def _plates(seen: WallSeen) -> list[Annotation]:
    """One mark for each kind of plate of hinges, brackets, hangers and guides."""
    found: dict[str, Silhouette] = {}
    for role in (Role.HINGE, Role.BRACKET, Role.FLOOR_GUIDE):
        for shape in _from_the_left(seen, role):
            found.setdefault(shape.member.mark, shape)
    annotations: list[Annotation] = []
    for shape in found.values():
        centre = shape.area.centroid
        annotations.append(
            Mark(
                text=shape.member.mark,
                at=(centre.x, centre.y),
                leader=True,
                ways=((1, 1, 4.0), (-1, 1, 4.0), (1, -1, 4.0), (-1, -1, 4.0)),
            )
        )
    return annotations
