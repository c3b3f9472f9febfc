"""What the frame takes up on the ground, and what of it stands in the ground."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from frame3d.design.tables.surroundings import Bearing
from frame3d.frame.model.cached import cached_per_frame
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.roles import Role
from frame3d.frame.space.envelopes import Rod, bodies_of, reach_of
from frame3d.frame.space.passage import MOVING
from frame3d.geometry.placement import DOWN
from frame3d.geometry.plane import Line, Point
from frame3d.site.staking.socket_names import socket_name

Ring = tuple[Point, ...]
_DEEP_MM = 1.0
_BEYOND_MM = 6000.0
"""How far a line along a side is drawn past the frame where nothing else ends it."""
_ON_GROUND = frozenset({Role.SKIRT_BOARD, Role.WALL_SKIRT, Role.JOINT_BLOCK})
"""What goes down to ground that is lower than the frame is drawn on, and not into it."""
OUT = {
    Bearing.FRONT: (0.0, -1.0), Bearing.BACK: (0.0, 1.0),
    Bearing.LEFT: (-1.0, 0.0), Bearing.RIGHT: (1.0, 0.0),
}  # fmt: skip
"""Away from the frame on each side."""


class InGround(Struct, frozen=True, kw_only=True):
    """What stands in the ground, as seen from above: a name, its axis, half its width, mm."""

    name: str
    member: Member
    axis: Line
    half_mm: float


@cached_per_frame
def outline(frame: Frame) -> Ring:
    """The rectangle round the frame with its boards and end walls, doors shut; anticlockwise."""
    return _round(m for m in frame.members if not m.part.is_bought and m.role not in MOVING)


@cached_per_frame
def hoops_outside(frame: Frame) -> Ring:
    """The same round the hoops alone."""
    return _round(frame.of(Role.HOOP, Role.SOCKET))


def reach_at(ring: Ring, side: Bearing, distance: float) -> float:
    """Where a line along a side runs: its x for left and right, its y for front and back."""
    way = OUT[side]
    reach = max(x * way[0] + y * way[1] for x, y in ring) + distance
    return reach * (way[0] + way[1])


def beside(ring: Ring, side: Bearing, distance: float) -> Line:
    """A line along a side, a little longer than the frame."""
    at = reach_at(ring, side, distance)
    (low, front), _, (high, back), _ = ring
    if side in (Bearing.LEFT, Bearing.RIGHT):
        return (at, front - _BEYOND_MM), (at, back + _BEYOND_MM)
    return (low - _BEYOND_MM, at), (high + _BEYOND_MM, at)


def _round(members: Iterator[Member]) -> Ring:
    found = list(members)
    left, right = (_reach(found, (sign, 0.0, 0.0)) * sign for sign in (-1.0, 1.0))
    front, back = (_reach(found, (0.0, sign, 0.0)) * sign for sign in (-1.0, 1.0))
    return (left, front), (right, front), (right, back), (left, back)


def _reach(members: list[Member], direction: tuple[float, float, float]) -> float:
    reaches = (reach_of(member, direction) for member in members)
    return max(reach for reach in reaches if reach is not None)


@cached_per_frame
def in_ground(frame: Frame) -> tuple[InGround, ...]:
    """Sockets, and studs or posts that are set into the ground."""
    found = []
    for member in frame.members:
        if member.part.is_bought or member.role in _ON_GROUND:
            continue
        if (reach_of(member, DOWN) or 0.0) <= _DEEP_MM:
            continue
        name = member.mark
        if member.role is Role.SOCKET:
            name = f"socket {socket_name(member.spot.hoop, member.spot.side)}"
        found += [
            InGround(name=name, member=member, axis=a, half_mm=half) for a, half in _buried(member)
        ]
    return tuple(found)


def _buried(member: Member) -> Iterator[tuple[Line, float]]:
    """What of a member lies below the level ground, from above: axes and half widths."""
    for body in bodies_of(member):
        if isinstance(body, Rod):
            (ax, ay, az), (bx, by, bz) = sorted((body.start, body.end), key=lambda end: end[2])
            if az < 0.0:
                share = 1.0 if bz <= 0.0 else az / (az - bz)
                yield ((ax, ay), (ax + share * (bx - ax), ay + share * (by - ay))), body.radius_mm
            continue
        low = [(x, y) for x, y, z in body.points() if z < 0.0]
        if low:
            (left, right), (front, back) = ((min(v), max(v)) for v in zip(*low, strict=True))
            half, middle = min(right - left, back - front) / 2, (front + back) / 2
            if right - left >= back - front:
                yield ((left + half, middle), (right - half, middle)), half
            else:
                across = (left + right) / 2
                yield ((across, front + half), (across, back - half)), half
