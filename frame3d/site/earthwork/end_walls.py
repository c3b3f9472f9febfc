"""End walls and their doors on the ground that was measured.

Sills and leaves are level, so what is under them follows from the ground across the tunnel, and
for a leaf that swings from all the ground that it passes over. Between its bends the ground is
straight, so its highest place under a sweep is a point that was taken, or lies on the sweep's
edge, at a bend or a corner.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from frame3d.design.tables.whole_design import End
from frame3d.errors import present
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.model.roles import Role
from frame3d.frame.model.surveyed import GroundLine, stretch_of
from frame3d.frame.space.envelopes import reach_of
from frame3d.frame.space.sweeps import sweeps_of
from frame3d.geometry.convex import Point
from frame3d.site.driving.driving_plan import DrivingPlan
from frame3d.site.ground.facets import ground_line
from frame3d.site.staking.socket_names import axes_of

_ACROSS, _UP = (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)
_LYING = (Role.WALL_SILL, Role.THRESHOLD)
_STANDING = (Role.STUD, Role.DOOR_JAMB)

__all__ = ["DoorGround", "WallGround", "WallPiece", "walls_on_ground"]


class WallPiece(Struct, frozen=True, kw_only=True):
    """A sill, a threshold, or an upright that goes into the ground, mm.

    Parameters
    ----------
    member : Member
    low_x_mm, high_x_mm : float
        From where to where across the tunnel, right of its middle.
    gap_mm, dig_mm : float
        Of what lies: how far the ground is below it at most, and how much of it is to be dug.
    embedded_mm : float or None
        Of what stands in the ground: how deep, below the ground as it is there.
    """

    member: Member
    low_x_mm: float
    high_x_mm: float
    gap_mm: float
    dig_mm: float
    embedded_mm: float | None


class DoorGround(Struct, frozen=True, kw_only=True):
    """A door over the ground, mm.

    Parameters
    ----------
    door : DoorOpening
    steps_mm : (float, float)
        From the ground up to the threshold, or down to ground where there is none, at the left
        and the right reveal.
    clear_mm : float or None
        Between a leaf and the highest ground that it passes over; less than 0 where it strikes.
        None without leaves.
    gap_mm : float or None
        Between a shut leaf and the lowest ground under it.
    """

    door: DoorOpening
    steps_mm: tuple[float, float]
    clear_mm: float | None
    gap_mm: float | None


class WallGround(Struct, frozen=True, kw_only=True):
    """An end wall with what stands and lies on its ground."""

    end: End
    pieces: tuple[WallPiece, ...]
    doors: tuple[DoorGround, ...]


def walls_on_ground(frame: Frame, driving: DrivingPlan) -> tuple[WallGround, ...]:
    """Both ends, as far as they have an end wall or a door."""
    found = []
    for end in End:
        pieces = tuple(_piece(frame, end, m) for m in frame.of(*_LYING, *_STANDING)
                       if m.spot.hoop == _hoop(frame, end))  # fmt: skip
        doors = tuple(_door(frame, driving, door) for door in frame.doors if door.end is end)
        kept = tuple(piece for piece in pieces if piece is not None)
        if kept or doors:
            found.append(WallGround(end=end, pieces=kept, doors=doors))
    return tuple(found)


def _hoop(frame: Frame, end: End) -> int:
    return 1 if end is End.FRONT else len(frame.grid.hoop_y_mm)


def _line(frame: Frame, end: End) -> GroundLine:
    ground = frame.ground
    if ground is None:
        return ((0.0, 0.0),)
    return ground.front if end is End.FRONT else ground.back


def _piece(frame: Frame, end: End, member: Member) -> WallPiece | None:
    """A piece on its ground; None for an upright that stands on a sill or a header."""
    low, high, bottom = (
        sign * present(reach_of(member, (sign * way[0], 0.0, sign * way[2])), "body of a piece")
        for sign, way in ((-1, _ACROSS), (1, _ACROSS), (-1, _UP))
    )
    heights = [z for _, z in stretch_of(_line(frame, end), low, high)]
    lies = member.role in _LYING
    if not lies and bottom > min(heights):
        return None
    if not lies:
        return WallPiece(
            member=member, low_x_mm=low, high_x_mm=high, gap_mm=0.0, dig_mm=0.0,
            embedded_mm=min(heights) - bottom,
        )  # fmt: skip
    return WallPiece(
        member=member, low_x_mm=low, high_x_mm=high, gap_mm=max(0.0, bottom - min(heights)),
        dig_mm=max(0.0, max(heights) - bottom), embedded_mm=None,
    )  # fmt: skip


def _door(frame: Frame, driving: DrivingPlan, door: DoorOpening) -> DoorGround:
    line = _line(frame, door.end)
    steps = [
        door.bottom_mm - z
        for z in (stretch_of(line, door.left_x_mm, door.right_x_mm)[i][1] for i in (0, -1))
    ]
    swept = [
        sweep.leaf.bottom_mm - _highest(frame, driving, door, sweep.plan)
        for sweep in sweeps_of(door)
    ]
    shut = [
        leaf.bottom_mm - min(z for _, z in stretch_of(line, leaf.low_x_mm, leaf.high_x_mm))
        for leaf in door.leaves
    ]
    return DoorGround(
        door=door, steps_mm=(steps[0], steps[1]),
        clear_mm=min(swept, default=None), gap_mm=max(shut, default=None),
    )  # fmt: skip


def _highest(frame: Frame, driving: DrivingPlan, door: DoorOpening, plan: Sequence[Point]) -> float:
    """The highest ground in an outline on plan, above that the end wall is drawn on, mm.

    A leaf is level, so it is measured from the wall and not along the string.
    """
    axes = axes_of(frame)
    level = float(np.cos(np.arctan(driving.rise_toward_last)))
    wall_y = 0.0 if door.end is End.FRONT else frame.grid.length_mm
    y_wall = (wall_y - axes.y_mm) * level
    # What is beside the wall is near it, so that a level tape gives the same as one on the string.
    corners = [(x - axes.x_mm, y_wall + (y - wall_y)) for x, y in plan]
    ground = driving.ground
    heights = [
        z
        for start, end in itertools.pairwise((*corners, corners[0]))
        if start != end
        for _, z in ground_line(ground, start, end)
    ]
    inside = [
        float(z) for place, z in zip(ground.points, ground.heights, strict=True)
        if _is_inside(corners, (float(place[0]), float(place[1])))
    ]  # fmt: skip
    drawn_on = (
        driving.string.start_mm - driving.exposure.wanted_mm + driving.rise_toward_last * y_wall
    )
    return max((*heights, *inside)) - drawn_on


def _is_inside(corners: Sequence[Point], place: Point) -> bool:
    """Whether a place lies in a convex outline, anticlockwise."""
    return all(
        (b[0] - a[0]) * (place[1] - a[1]) - (b[1] - a[1]) * (place[0] - a[0]) >= 0
        for a, b in itertools.pairwise((*corners, corners[0]))
    )
