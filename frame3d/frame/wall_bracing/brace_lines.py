"""The line of a brace of an end wall: from its stud back and up to the next hoop.

It lies in a plane along the tunnel beside its stud; on the stud it starts at a height, and
on the hoop it ends where the hoop passes over that plane.
"""

from __future__ import annotations

import math
from operator import sub

from msgspec import Struct

from frame3d.frame.doors.leaves import swings_in
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_places import Upright
from frame3d.frame.end_walls.wall_runs import upright_at
from frame3d.frame.joining.clamps import axis_distance_mm
from frame3d.frame.joining.spanning import Held, boss_of, held_axis
from frame3d.frame.model.layout_context import HoopPoint
from frame3d.frame.model.roles import Side, Spot
from frame3d.geometry.placement import UP, Vector, add, dot, unit


class Braced(Struct, frozen=True, kw_only=True):
    """An upright with its brace.

    Parameters
    ----------
    upright : Upright
    side : float
        -1 or +1: the side of the upright, in X, that the brace lies on.
    height_mm : float
        Of the brace's low end, above the ground.
    """

    upright: Upright
    side: float
    height_mm: float


class Opposite(Struct, frozen=True, kw_only=True):
    """What of the other end wall is in the way, in a tunnel of one or two bays.

    Parameters
    ----------
    standing_mm : tuple of (float, float)
        X of the middle and half the width of its uprights, where braces reach to its hoop.
    braces_mm : tuple of ((float, float), float)
        X of its braces at their stud and their hoop, and half their diameter, where they cross
        the same bay or meet the same hoop.
    bays : int
    """

    standing_mm: tuple[tuple[float, float], ...] = ()
    braces_mm: tuple[tuple[tuple[float, float], float], ...] = ()
    bays: int = 3

    def bars(self, ends_mm: tuple[float, float], half_mm: float, room_mm: float) -> bool:
        """Whether a brace comes nearer to them than ``room_mm``.

        ``ends_mm`` are its X at its stud and at its hoop.
        """
        if any(abs(x - ends_mm[1]) < half + half_mm + room_mm for x, half in self.standing_mm):
            return True
        for (low, high), half in self.braces_mm:
            # Two that cross in one bay pass each other in the middle; in two bays they meet at
            # the hoop.
            apart = high - ends_mm[1] if self.bays > 1 else (low + high - sum(ends_mm)) / 2
            if abs(apart) < half + half_mm + room_mm:
                return True
        return False


class BraceLine(Struct, frozen=True):
    """A brace's centreline: its lower end on the stud and its upper end off the hoop."""

    low: Vector
    high: Vector
    boss: Vector
    hoop: HoopPoint
    at_mm: float
    """Distance from the leg end at which it meets the hoop."""

    @property
    def along(self) -> Vector:
        """Unit vector from the lower end to the upper."""
        return unit(add(self.high, self.low, -1.0))

    @property
    def angle_rad(self) -> float:
        """Angle to the ground, rad."""
        return math.asin(dot(self.along, UP))


def next_hoop(wall: Wall) -> int:
    """Number of the hoop that the braces of ``wall`` reach back to."""
    return wall.hoop + int(wall.way)


def plane_x(wall: Wall, upright: Upright, side: float) -> float:
    """X of a brace's axis beside its stud."""
    tube = wall.spec.brace_tube
    off = wall.upright_mm / 2 + tube.wall_mm
    if not wall.is_timber:
        off = axis_distance_mm(wall.spec.tube.od_mm, tube.od_mm)
    return upright.x_mm + side * off


def top_distance(wall: Wall, upright: Upright, side: float) -> float:
    """Distance from the leg end at which the brace meets the next hoop, mm."""
    return wall.plan.arch.distance_at_x(plane_x(wall, upright, side)) + wall.plan.line.below_mm


def on_next_hoop(wall: Wall, side: Side, at_mm: float) -> HoopPoint:
    """A point of the next hoop."""
    y_mm = wall.plan.grid.hoop_y_mm[next_hoop(wall) - 1]
    return wall.plan.line.at(side, at_mm).at_y(y_mm)


def tube_ends(wall: Wall, brace: Braced) -> tuple[Held, Held]:
    """Where couplers hold a brace to its tube stud and to the next hoop."""
    x, door = plane_x(wall, brace.upright, brace.side), brace.upright.door
    side, at_mm = half_of(x), top_distance(wall, brace.upright, brace.side)
    up = 1.0
    if door is not None and (swings_in(door) or wall.is_flattened):
        # The ears of the clamp look to where no leaf lies on the jamb.
        up = wall.way * brace.side * (1.0 if swings_in(door) else -1.0)
    foot = HoopPoint(
        point=(brace.upright.x_mm, wall.y(wall.axis_mm), brace.height_mm),
        along=(0.0, 0.0, up),
        inward=(brace.side, 0.0, 0.0),
    )
    spot = spot_of(wall, x, 0)
    return (
        Held(
            point=foot,
            od_mm=wall.spec.tube.od_mm,
            spot=spot,
            place=upright_at(wall, brace.upright.x_mm),
        ),
        Held(
            point=on_next_hoop(wall, side, at_mm),
            od_mm=wall.hoop_od_mm,
            spot=spot,
            place=wall.plan.on_hoop(next_hoop(wall), side, at_mm),
        ),
    )


def spot_of(wall: Wall, x_mm: float, order: int) -> Spot:
    """The place in the grid of a brace."""
    hoops = sorted((wall.hoop, next_hoop(wall)))
    return Spot(side=half_of(x_mm), hoop=hoops[0], to_hoop=hoops[1], order=order)


def half_of(x_mm: float) -> Side:
    """The half of the hoop that a brace goes to."""
    return Side.LEFT if x_mm < 0 else Side.RIGHT


def ends_x(wall: Wall, brace: Braced) -> tuple[float, float]:
    """X of a brace's axis at its stud and at the next hoop, mm.

    Clamped to a stud it leans over to where the coupler on the hoop holds it.
    """
    x = plane_x(wall, brace.upright, brace.side)
    if wall.is_timber:
        return x, x
    first, second = tube_ends(wall, brace)
    od_mm = wall.spec.brace_tube.od_mm
    off = axis_distance_mm(first.od_mm, od_mm), axis_distance_mm(second.od_mm, od_mm)
    held = held_axis(first.point, second.point, off)
    return (x, x) if held is None else (held[0][0], held[1][0])


def line_of(wall: Wall, brace: Braced) -> BraceLine:
    """The centreline, in the plane beside the stud; the place on the hoop is searched for."""
    x = plane_x(wall, brace.upright, brace.side)
    side = half_of(x)
    depth = (wall.front_mm + wall.back_mm) / 2
    low = (x, wall.y(depth), brace.height_mm)
    distance = axis_distance_mm(wall.hoop_od_mm, wall.spec.brace_tube.od_mm)
    at_mm = top_distance(wall, brace.upright, brace.side)
    boss = on_next_hoop(wall, side, at_mm).inward
    for _ in range(80):
        met_mm, hoop = at_mm, on_next_hoop(wall, side, at_mm)
        for _ in range(30):
            high = add(hoop.point, boss, distance)
            before, boss = boss, boss_of(hoop, unit(add(high, low, -1.0)))
            if max(map(abs, map(sub, before, boss))) < 1e-14:
                break
        high = add(hoop.point, boss, distance)
        miss = high[0] - x
        if abs(miss) < 1e-9:
            break
        # As if the hoop were straight here: what is left is the offset over the radius.
        at_mm -= miss / hoop.along[0]
        at_mm = min(max(at_mm, 0.0), wall.plan.line.half.length_mm)
    return BraceLine(low=low, high=(x, high[1], high[2]), boss=boss, hoop=hoop, at_mm=met_mm)
