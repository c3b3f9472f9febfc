"""End walls and their doors on the ground: as it was measured, or level.

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
from frame3d.frame.describe.wall_feet import anchors_at
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.openings import DoorOpening, Leaf
from frame3d.frame.model.parts import RippedBoard
from frame3d.frame.model.roles import Role
from frame3d.frame.model.surveyed import GroundLine, stretch_of
from frame3d.frame.space.envelopes import reach_of
from frame3d.frame.space.sweeps import sweeps_of
from frame3d.geometry.convex import Point
from frame3d.geometry.placement import ACROSS, UP
from frame3d.site.driving.driving_plan import DrivingPlan
from frame3d.site.ground.facets import ground_line
from frame3d.site.staking.socket_names import axes_of

_LYING = (Role.WALL_SILL, Role.WALL_SKIRT, Role.THRESHOLD)
_STANDING = (Role.STUD, Role.DOOR_JAMB, Role.WALL_ANCHOR)

_HAIR_MM = 1.0


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
    above_mm : float
        Of what stands in the ground: how far its top is above the lowest ground there.
    """

    member: Member
    low_x_mm: float
    high_x_mm: float
    gap_mm: float
    dig_mm: float
    embedded_mm: float | None
    above_mm: float = 0.0


class Struck(Struct, frozen=True, kw_only=True):
    """The highest ground that a leaf passes over, mm.

    Parameters
    ----------
    clear_mm : float
        Between the leaf and the ground there; less than 0 where it strikes.
    x_mm : float
        Right of the middle of the tunnel.
    out_mm : float
        From the outer face of the door's frame away from the tunnel; less than 0 inside.
    """

    clear_mm: float
    x_mm: float
    out_mm: float


class DoorGround(Struct, frozen=True, kw_only=True):
    """A door over the ground, mm.

    Parameters
    ----------
    door : DoorOpening
    steps_mm : (float, float)
        From the ground up to the threshold, or down to ground where there is none, at the left
        and the right reveal.
    struck : Struck or None
        Where a leaf comes nearest to the ground on its whole way; None without leaves.
    gap_mm : float or None
        Between a shut leaf and the lowest ground under it, or the threshold where there is one.
    """

    door: DoorOpening
    steps_mm: tuple[float, float]
    struck: Struck | None
    gap_mm: float | None

    @property
    def clear_mm(self) -> float | None:
        """Between a leaf and the highest ground that it passes over; None without leaves."""
        return self.struck.clear_mm if self.struck else None

    @property
    def low_mm(self) -> float:
        """How far the ground lies below the height that the door is drawn for, at most."""
        under = [max(self.steps_mm) - self.door.bottom_mm]
        if self.gap_mm is not None and not _has_threshold(self.door):
            under.append(self.gap_mm - max(leaf.bottom_mm for leaf in self.door.leaves))
        return max(0.0, *under)


class WallGround(Struct, frozen=True, kw_only=True):
    """An end wall with what stands and lies on its ground.

    Parameters
    ----------
    end : End
    pieces : tuple of WallPiece
    doors : tuple of DoorGround
    open_mm : float
        The widest gap under its sill that no skirt board closes, mm.
    """

    end: End
    pieces: tuple[WallPiece, ...]
    doors: tuple[DoorGround, ...]
    open_mm: float = 0.0

    @property
    def hangs_mm(self) -> float:
        """The widest gap between the sill and the ground, closed or open."""
        sills = (one.gap_mm for one in self.pieces if one.member.role is Role.WALL_SILL)
        return max(sills, default=0.0)

    @property
    def skirts(self) -> tuple[WallPiece, ...]:
        """The skirt boards under the sill, from the left."""
        return tuple(one for one in self.pieces if one.member.role is Role.WALL_SKIRT)


def walls_on_ground(frame: Frame, driving: DrivingPlan) -> tuple[WallGround, ...]:
    """Both ends, as far as they have an end wall or a door."""
    found = []
    for end in End:
        pieces = tuple(_piece(frame, end, m) for m in frame.of(*_LYING, *_STANDING)
                       if m.spot.hoop == _hoop(frame, end))  # fmt: skip
        doors = tuple(_door(frame, driving, door) for door in frame.doors if door.end is end)
        kept = tuple(piece for piece in pieces if piece is not None)
        if kept or doors:
            left = _open_mm(frame, end, kept)
            found.append(WallGround(end=end, pieces=kept, doors=doors, open_mm=left))
    return tuple(found)


def anchored(frame: Frame, end: End) -> tuple[WallPiece, ...]:
    """What holds the sill of an end wall, from the left, in its own ground."""
    pieces = (_piece(frame, end, member) for member in anchors_at(frame, end))
    return tuple(piece for piece in pieces if piece is not None)


def _hoop(frame: Frame, end: End) -> int:
    return 1 if end is End.FRONT else len(frame.grid.hoop_y_mm)


def _line(frame: Frame, end: End) -> GroundLine:
    ground = frame.ground
    if ground is None:
        return ((0.0, 0.0),)
    return ground.front if end is End.FRONT else ground.back


def _piece(frame: Frame, end: End, member: Member) -> WallPiece | None:
    """A piece on its ground; None for an upright that stands on a sill or a header."""
    low, high, bottom, top = (
        sign * present(reach_of(member, (sign * way[0], 0.0, sign * way[2])), "body of a piece")
        for sign, way in ((-1, ACROSS), (1, ACROSS), (-1, UP), (1, UP))
    )
    heights = [z for _, z in stretch_of(_line(frame, end), low, high)]
    if isinstance(member.part, RippedBoard):
        return _ripped(frame, end, member, (low, high), member.part.depths_mm)
    lies = member.role in _LYING
    if not lies and bottom > min(heights):
        return None
    if not lies:
        return WallPiece(
            member=member, low_x_mm=low, high_x_mm=high, gap_mm=0.0, dig_mm=0.0,
            embedded_mm=min(heights) - bottom, above_mm=top - min(heights),
        )  # fmt: skip
    return WallPiece(
        member=member, low_x_mm=low, high_x_mm=high, gap_mm=max(0.0, bottom - min(heights)),
        dig_mm=max(0.0, max(heights) - bottom), embedded_mm=None,
    )  # fmt: skip


def _ripped(
    frame: Frame, end: End, member: Member, span: tuple[float, float], depths: tuple[float, float]
) -> WallPiece:
    """A skirt board with what is left between its ripped edge and the ground."""
    (low, high), (first, last) = span, depths
    over = [
        -(first + (x - low) / (high - low) * (last - first)) - z
        for x, z in stretch_of(_line(frame, end), low, high)
    ]
    return WallPiece(
        member=member, low_x_mm=low, high_x_mm=high, gap_mm=max(0.0, *over),
        dig_mm=max(0.0, -min(over)), embedded_mm=None,
    )  # fmt: skip


def _open_mm(frame: Frame, end: End, pieces: Sequence[WallPiece]) -> float:
    """The widest gap under the sill of a wall that no skirt board closes."""
    skirts = [one for one in pieces if one.member.role is Role.WALL_SKIRT]
    found = [one.gap_mm for one in skirts]
    for sill in (one for one in pieces if one.member.role is Role.WALL_SILL):
        bottom = -present(reach_of(sill.member, (0.0, 0.0, -1.0)), "body of a sill")
        start = sill.low_x_mm
        for skirt in (*skirts, None):
            stop = sill.high_x_mm if skirt is None else min(skirt.low_x_mm, sill.high_x_mm)
            if stop - start > _HAIR_MM:
                found += [bottom - z for _, z in stretch_of(_line(frame, end), start, stop)]
            start = max(start, sill.high_x_mm if skirt is None else skirt.high_x_mm)
    return max(0.0, *found) if found else 0.0


def level_door(door: DoorOpening) -> DoorGround:
    """A door over level ground, which is at the height that the frame is drawn on."""
    bottoms = [leaf.bottom_mm - door.bottom_mm for leaf in door.leaves]
    struck = None
    if door.leaves:
        leaf = min(door.leaves, key=lambda one: one.bottom_mm)
        middle = (leaf.low_x_mm + leaf.high_x_mm) / 2
        struck = Struck(clear_mm=leaf.bottom_mm, x_mm=middle, out_mm=0.0)
    return DoorGround(
        door=door, steps_mm=(door.bottom_mm, door.bottom_mm), struck=struck,
        gap_mm=max(bottoms, default=None),
    )  # fmt: skip


def _door(frame: Frame, driving: DrivingPlan, door: DoorOpening) -> DoorGround:
    line = _line(frame, door.end)
    steps = [
        door.bottom_mm - z
        for z in (stretch_of(line, door.left_x_mm, door.right_x_mm)[i][1] for i in (0, -1))
    ]
    out = -1.0 if door.end is End.FRONT else 1.0
    swept = [
        Struck(clear_mm=sweep.leaf.bottom_mm - z, x_mm=x, out_mm=out * (y - door.wall_y_mm))
        for sweep in sweeps_of(door)
        for z, x, y in [max(_heights(frame, driving, door, sweep.plan))]
    ]
    shut = [
        leaf.bottom_mm - (
            door.bottom_mm if _has_threshold(door)
            else min(_heights(frame, driving, door, _shut(leaf)))[0]
        )
        for leaf in door.leaves
    ]  # fmt: skip
    return DoorGround(
        door=door, steps_mm=(steps[0], steps[1]),
        struck=min(swept, key=lambda one: one.clear_mm, default=None),
        gap_mm=max(shut, default=None),
    )  # fmt: skip


def _has_threshold(door: DoorOpening) -> bool:
    """Whether a board lies in the opening: without one it is measured from the ground."""
    return door.bottom_mm > 0.0


def _shut(leaf: Leaf) -> tuple[Point, ...]:
    """A shut leaf on plan, anticlockwise."""
    xs, ys = (leaf.low_x_mm, leaf.high_x_mm), (leaf.near_y_mm, leaf.far_y_mm)
    return ((xs[0], ys[0]), (xs[1], ys[0]), (xs[1], ys[1]), (xs[0], ys[1]))


def _heights(
    frame: Frame, driving: DrivingPlan, door: DoorOpening, plan: Sequence[Point]
) -> list[tuple[float, float, float]]:
    """Heights of the ground in an outline on plan, with their places in the frame, mm.

    Above the ground that the end wall is drawn on, wherever it is highest or lowest. A leaf is
    level, so it is measured from the wall and not along the string.
    """
    axes = axes_of(frame)
    level = float(np.cos(np.arctan(driving.rise_toward_last)))
    wall_y = 0.0 if door.end is End.FRONT else frame.grid.length_mm
    y_wall = (wall_y - axes.y_mm) * level
    # What is beside the wall is near it, so that a level tape gives the same as one on the string.
    corners = [(x - axes.x_mm, y_wall + (y - wall_y)) for x, y in plan]
    drawn_on = (
        driving.string.start_mm - driving.exposure.wanted_mm + driving.rise_toward_last * y_wall
    )
    ground, found = driving.ground, []
    for start, end in itertools.pairwise((*corners, corners[0])):
        if start == end:
            continue
        long = float(np.hypot(end[0] - start[0], end[1] - start[1]))
        for at, z in ground_line(ground, start, end):
            share = at / long
            found.append((z, start[0] + share * (end[0] - start[0]),
                          start[1] + share * (end[1] - start[1])))  # fmt: skip
    found += [
        (float(z), float(place[0]), float(place[1]))
        for place, z in zip(ground.points, ground.heights, strict=True)
        if _is_inside(corners, (float(place[0]), float(place[1])))
    ]
    return [(z - drawn_on, x + axes.x_mm, wall_y + y - y_wall) for z, x, y in found]


def _is_inside(corners: Sequence[Point], place: Point) -> bool:
    """Whether a place lies in a convex outline, anticlockwise."""
    return all(
        (b[0] - a[0]) * (place[1] - a[1]) - (b[1] - a[1]) * (place[0] - a[0]) >= 0
        for a, b in itertools.pairwise((*corners, corners[0]))
    )
