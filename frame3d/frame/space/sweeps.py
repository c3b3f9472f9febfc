"""What the leaves of doors sweep when they open, and what is in their way.

Glossary
--------
sweep : all that a leaf passes over on the ground plan, from shut to open; convex, and
    never too small. A hinged leaf opens by a right angle.
outward : the way a leaf moves off the wall: out of the tunnel, or into it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec import Struct

from frame3d.design.tables.whole_design import DoorKind, End, Swing
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.openings import DoorOpening, Leaf
from frame3d.frame.model.roles import SKIN, Role
from frame3d.frame.space.envelopes import bodies_of, reach_of
from frame3d.frame.space.passage import MOVING
from frame3d.geometry.convex import Point, between, hull, separation
from frame3d.geometry.placement import DOWN, UP

_STEPS = 24
_SAME_MM = 0.01
_PROUD_MM = 12.0
"""How far clamps of the wall may stand proud of the face that a leaf lies on (common practice)."""
_NOT_STRUCK = (
    Role.BOLT, Role.NUT, Role.WASHER, Role.SCREW, Role.DOOR_TRACK, Role.FLOOR_GUIDE,
    *SKIN,
)  # fmt: skip
"""Hardware, and what a sliding leaf runs in."""


class Sweep(Struct, frozen=True, kw_only=True):
    """What one leaf sweeps.

    Parameters
    ----------
    door : DoorOpening
    leaf : Leaf
    plan : tuple of (x, y), mm
        Its outline on the ground plan, anticlockwise.
    """

    door: DoorOpening
    leaf: Leaf
    plan: tuple[Point, ...]

    def gap_mm(self, member: Member) -> float | None:
        """How far a member is from the sweep at the heights of the leaf; negative within it.

        None where the member has nothing at those heights.
        """
        gaps = []
        low, high = self.leaf.bottom_mm, self.leaf.top_mm
        for body in bodies_of(member):
            if body.reach(UP) <= low or -body.reach(DOWN) >= high:
                continue
            points = between(body.points(), low, high)
            if points:
                gaps.append(separation(self.plan, hull((x, y) for x, y, _ in points)))
        return min(gaps, default=None)


def sweeps_of(door: DoorOpening) -> tuple[Sweep, ...]:
    """The sweep of each leaf of a door; none for a roll-up door."""
    if door.kind is DoorKind.ROLL_UP:
        return ()
    make = _hinged if door.kind is DoorKind.HINGED else _sliding
    return tuple(
        Sweep(door=door, leaf=leaf, plan=tuple(hull(make(door, leaf)))) for leaf in door.leaves
    )


def outward(door: DoorOpening) -> float:
    """1 or -1: the way along the tunnel in which a hinged leaf moves off the wall."""
    out = -1.0 if door.end is End.FRONT else 1.0
    return out if door.swing is Swing.OUT else -out


def opened(door: DoorOpening, leaf: Leaf, angle_rad: float, more: float = 1.0) -> list[Point]:
    """The corners of a hinged leaf on the ground plan, opened by an angle about its pin.

    Parameters
    ----------
    more : float
        How many times as far from the pin as they are.
    """
    edge_x, (pin_x, pin_y) = leaf.hung_at
    sense = outward(door) * (1.0 if leaf.low_x_mm + leaf.high_x_mm > 2 * edge_x else -1.0)
    cos, sin = more * math.cos(angle_rad), more * sense * math.sin(angle_rad)
    return [
        (pin_x + cos * (x - pin_x) - sin * (y - pin_y),
         pin_y + sin * (x - pin_x) + cos * (y - pin_y))
        for x in (leaf.low_x_mm, leaf.high_x_mm) for y in (leaf.near_y_mm, leaf.far_y_mm)
    ]  # fmt: skip


def _hinged(door: DoorOpening, leaf: Leaf) -> Iterator[Point]:
    """All corners on their way through a right angle about the pin."""
    # Around the arcs, so that the polygon holds them.
    more = 1 / math.cos(math.pi / 4 / _STEPS)
    for k in range(_STEPS + 1):
        yield from opened(door, leaf, math.pi / 2 * k / _STEPS, more)
    # Not around where it lies shut and open: there the corners are what they are.
    yield from opened(door, leaf, 0.0)
    yield from opened(door, leaf, math.pi / 2)


def _sliding(door: DoorOpening, leaf: Leaf) -> Iterator[Point]:
    low = leaf.low_x_mm + min(0.0, leaf.slide_mm)
    high = leaf.high_x_mm + max(0.0, leaf.slide_mm)
    for y in (leaf.near_y_mm, leaf.far_y_mm):
        for x in (low, high):
            yield (x, y)


def in_reach(frame: Frame, door: DoorOpening) -> list[Member]:
    """The members that a leaf of ``door`` could strike: those near its end."""
    ys = frame.grid.hoop_y_mm
    widest = max((leaf.width_mm for leaf in door.leaves), default=0.0)
    bays = 1 + math.ceil(widest / frame.grid.spacing_mm)
    last = len(ys)
    low, high = (1, 1 + bays) if door.end is End.FRONT else (last - bays, last)
    found = []
    for member in frame.members:
        if member.role in MOVING or member.role in _NOT_STRUCK:
            continue
        first, end = sorted((member.spot.hoop, member.spot.to_hoop or member.spot.hoop))
        if end >= low and first <= high:
            found.append(member)
    return found


def on_the_wall_side(member: Member, sweep: Sweep) -> bool:
    """Whether the member lies wholly on the other side of the face that a leaf lies on."""
    door, leaf = sweep.door, sweep.leaf
    way = (
        outward(door) if door.kind is DoorKind.HINGED else (-1.0 if door.end is End.FRONT else 1.0)
    )
    face = leaf.far_y_mm if way < 0 else leaf.near_y_mm
    reach = reach_of(member, (0.0, way, 0.0))
    proud = _PROUD_MM if member.role is Role.CLAMP else 0.5
    return reach is None or reach <= way * face + proud


def clear_stretch_mm(door: DoorOpening) -> tuple[float, float]:
    """X of the two sides of the widest free stretch with the leaves open; mm.

    Hinged leaves are open at a right angle, sliding ones slid aside.
    """
    left, right = door.left_x_mm, door.right_x_mm
    free, at = [], left
    for low, high in sorted(_open_edges(door, leaf) for leaf in door.leaves):
        free.append((at, max(at, min(low, right))))
        at = max(at, high)
    free.append((min(at, right), right))
    return max(free, key=lambda stretch: stretch[1] - stretch[0])


def _open_edges(door: DoorOpening, leaf: Leaf) -> tuple[float, float]:
    """X of the sides of an open leaf."""
    if door.kind is DoorKind.HINGED:
        xs = [x for x, _ in opened(door, leaf, math.pi / 2)]
        return min(xs), max(xs)
    return leaf.low_x_mm + leaf.slide_mm, leaf.high_x_mm + leaf.slide_mm


def clear_width_mm(door: DoorOpening) -> float:
    """Clear width with the leaves open, mm: what is called clear of a door everywhere."""
    low, high = clear_stretch_mm(door)
    return high - low


def is_all_clear(door: DoorOpening) -> bool:
    """Whether the open leaves leave the whole opening between the jambs."""
    return clear_width_mm(door) > door.width_mm - _SAME_MM
