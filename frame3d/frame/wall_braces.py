"""Braces from the studs of an end wall back to the next hoop.

A brace rises from its stud, in a plane along the tunnel, to where the next hoop passes
over. On a timber stud its end is pressed flat and bolted to the stud's side that looks
away from the middle; on a tube stud it is clamped. On the hoop it is always clamped.
"""

from __future__ import annotations

import math
from operator import sub

from msgspec import Struct

from frame3d.errors import DesignError
from frame3d.frame.bolting import bolt_up
from frame3d.frame.clamps import WIDTH_MM, axis_distance_mm, coupler
from frame3d.frame.end_forms import Flat, flat_width_mm
from frame3d.frame.members import Role, Side, Spot
from frame3d.frame.parts import Hole, Tube
from frame3d.frame.plan import Draft, HoopPoint
from frame3d.frame.spanning import Held, boss_of, clamped_tube
from frame3d.frame.stops import Stretch
from frame3d.frame.wall import Wall
from frame3d.frame.wall_places import Kind, Upright
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import Placement, Vector, add, dot, unit
from frame3d.spec.design import WallBraces

_UP = (0.0, 0.0, 1.0)
_OVERHANG_MM = 40.0
_ROOM_MM = 10.0
_CLEAR_MM = 3.0
_LEAST_RISE_MM = 200.0
_STEEPEST_RAD = math.radians(75)
"""A steeper brace holds nothing (common practice, no source)."""


def braced(wall: Wall, uprights: tuple[Upright, ...]) -> tuple[Upright, ...]:
    """The uprights that get a brace.

    Raises
    ------
    DesignError
        If the design asks for braces and no upright can have one.
    """
    spec = wall.spec
    if spec.braces is WallBraces.NONE:
        return ()
    whole = [u for u in uprights if u.kind is not Kind.CRIPPLE]
    if spec.braces is WallBraces.ALL and (able := [u for u in whole if _can_be(wall, u)]):
        return tuple(able)
    quarter = wall.plan.arch.width_mm / 4
    # The best first, so that few of them have the line of a brace searched for.
    whole.sort(key=lambda u: (abs(abs(u.x_mm) - quarter), abs(u.x_mm)))
    chosen = [
        next((u for u in whole if sign * u.x_mm > 1.0 and _can_be(wall, u)), None)
        for sign in (-1, 1)
    ]
    if None in chosen:
        raise DesignError(
            f"no stud on either side can be braced from {wall.plan.say(spec.brace_height)} up to "
            "the next hoop at less than 75 deg, clear of its ridge joint, rails and ties; change "
            "brace_height, add "
            'studs, or set braces = "none"', f"{wall.where}.braces")
    return tuple(chosen)


def _can_be(wall: Wall, upright: Upright) -> bool:
    height = wall.spec.brace_height
    half = wall.upright_mm / 2
    top = min(wall.z_under(upright.x_mm - half), wall.z_under(upright.x_mm + half))
    if top < height + _LEAST_RISE_MM or height < upright.foot_mm + 100:
        return False
    if upright.door is not None and _on_header(upright, height):
        return False
    place = _top_distance(wall, upright)
    reach = WIDTH_MM / 2 + _ROOM_MM
    high = wall.plan.line.half.length_mm if wall.ridge is None else wall.ridge.clear_from_mm
    if not wall.plan.design.socket.insertion + reach <= place <= high - reach:
        return False
    if any(abs(at - place) < 2 * WIDTH_MM for at in wall.tied_mm):
        return False
    if any(
        abs(line.at_mm - place) < reach + line.rail.tube.od_mm / 2 + WIDTH_MM / 2
        for line in wall.lines
    ):
        return False
    # Last, since its line must be searched for.
    return angle_rad(wall, upright) <= _STEEPEST_RAD


def _on_header(upright: Upright, height: float) -> bool:
    low, high = upright.door.top_mm - 60, upright.door.header_top_mm + 60
    return low < height < high


class _Line(Struct, frozen=True):
    """A brace's centreline: its lower end on the stud and its upper end off the hoop."""

    low: Vector
    high: Vector
    boss: Vector
    hoop: HoopPoint


def _side(upright: Upright) -> float:
    """The side of a stud, in X, that looks away from the middle."""
    return -1.0 if upright.x_mm < 0 else 1.0


def _next_hoop(wall: Wall) -> int:
    return wall.hoop + int(wall.way)


def _plane_x(wall: Wall, upright: Upright) -> float:
    """X of a brace's axis beside its stud."""
    tube = wall.spec.brace_tube
    off = wall.upright_mm / 2 + tube.wall_mm
    if not wall.is_timber:
        off = axis_distance_mm(wall.spec.tube.od_mm, tube.od_mm)
    return upright.x_mm + _side(upright) * off


def _on_next_hoop(wall: Wall, side: Side, at_mm: float) -> HoopPoint:
    y_mm = wall.plan.grid.hoop_y_mm[_next_hoop(wall) - 1]
    return wall.plan.line.at(side, at_mm).at_y(y_mm)


def _line(wall: Wall, upright: Upright) -> _Line:
    """The centreline, in the plane beside the stud; the place on the hoop is searched for."""
    x = _plane_x(wall, upright)
    side = Side.LEFT if x < 0 else Side.RIGHT
    depth = (wall.front_mm + wall.back_mm) / 2
    low = (x, wall.y(depth), wall.spec.brace_height)
    distance = axis_distance_mm(wall.hoop_od_mm, wall.spec.brace_tube.od_mm)
    at_mm = wall.plan.arch.distance_at_x(x) + wall.plan.line.below_mm
    boss = None
    for _ in range(80):
        hoop = _on_next_hoop(wall, side, at_mm)
        boss = boss or hoop.inward
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
    return _Line(low=low, high=(x, high[1], high[2]), boss=boss, hoop=hoop)


def _top_distance(wall: Wall, upright: Upright) -> float:
    """Distance from the leg end at which the brace meets the next hoop, mm."""
    return wall.plan.arch.distance_at_x(_plane_x(wall, upright)) + wall.plan.line.below_mm


def brace_claims(wall: Wall, chosen: tuple[Upright, ...]) -> tuple[Stretch, ...]:
    """What the clamps of the braces take up of a half hoop."""
    return tuple(
        Stretch.around(_top_distance(wall, upright), 2 * WIDTH_MM) for upright in chosen
    )


def bolt_height_mm(wall: Wall) -> float:
    """Height of the bolt of a brace in its stud, mm."""
    return wall.spec.brace_height


def brace_members(wall: Wall, chosen: tuple[Upright, ...]) -> list[Draft]:
    """All braces of a wall with what holds them."""
    drafts = []
    for order, upright in enumerate(chosen, start=1):
        drafts += _bolted(wall, upright, order) if wall.is_timber else _clamped(
            wall, upright, order)
    return drafts


def _spot(wall: Wall, x_mm: float, order: int) -> Spot:
    side = Side.LEFT if x_mm < 0 else Side.RIGHT
    hoops = sorted((wall.hoop, _next_hoop(wall)))
    return Spot(side=side, hoop=hoops[0], to_hoop=hoops[1], order=order)


def _bolted(wall: Wall, upright: Upright, order: int) -> list[Draft]:
    """A brace pressed flat at its foot, against the side of a timber stud."""
    tube, plan = wall.spec.brace_tube, wall.plan
    line, hole = _line(wall, upright), plan.fasteners.hex.hole_mm
    along = unit(add(line.high, line.low, -1.0))
    edge = 2.0 * hole
    # Flat until the last corner of it has left the stud's side, at whatever slant.
    level = max(0.2, abs(along[1]))
    beside = wall.spec.timber.depth_mm / 2 + flat_width_mm(tube) / 2 * abs(along[2])
    flat_mm = edge + beside / level + _CLEAR_MM
    length = math.dist(line.low, line.high) + edge + _OVERHANG_MM
    flat = Flat(length_mm=flat_mm, transition_mm=1.5 * tube.od_mm, clock_rad=0.0)
    if length < flat.length_mm + flat.transition_mm + 2 * WIDTH_MM:
        raise DesignError(
            f"a brace of {plan.say(length)} has no room for its flat and its clamp; make "
            "brace_height less, or leave the braces out", f"{wall.where}.brace_height")
    part = Tube(section=tube, axis=PlanePath((Line(length),)), start=flat,
                holes=(Hole(at_mm=edge, diameter_mm=hole),))
    side = _side(upright)
    spot = _spot(wall, line.low[0], order)
    placement = Placement.of(origin=add(line.low, along, -edge), x=along, y=(side, 0.0, 0.0))
    drafts = [Draft(role=Role.WALL_BRACE, part=part, placement=placement, spot=spot)]
    thick = wall.upright_mm + 2 * tube.wall_mm
    inner = upright.x_mm - side * wall.upright_mm / 2
    drafts += bolt_up(
        plan.fasteners, plan.fasteners.hex, seat=(inner, line.low[1], line.low[2]),
        direction=(side, 0.0, 0.0), thickness_mm=thick, spot=spot, where="hardware.frame_bolt",
        plane_mm=wall.upright_mm,
    )
    drafts += coupler(
        plan.fasteners, on=line.hoop.point, boss=line.boss,
        first=(line.hoop.along, wall.hoop_od_mm), second=(along, tube.od_mm), spot=spot,
    )
    return drafts


def _clamped(wall: Wall, upright: Upright, order: int) -> list[Draft]:
    tube, plan, side = wall.spec.brace_tube, wall.plan, _side(upright)
    x = _plane_x(wall, upright)
    place = _on_next_hoop(wall, Side.LEFT if x < 0 else Side.RIGHT, _top_distance(wall, upright))
    foot = HoopPoint(
        point=(upright.x_mm, wall.y(wall.axis_mm), wall.spec.brace_height), along=_UP,
        inward=(side, 0.0, 0.0),
    )
    spot = _spot(wall, x, order)
    return clamped_tube(
        plan.fasteners,
        Held(point=foot, od_mm=wall.spec.tube.od_mm, spot=spot),
        Held(point=place, od_mm=wall.hoop_od_mm, spot=spot),
        section=tube, overhang_mm=_OVERHANG_MM, role=Role.WALL_BRACE, spot=spot,
        where=f"{wall.where}.brace_height",
    )


def angle_rad(wall: Wall, upright: Upright) -> float:
    """Angle of a brace to the ground, rad."""
    line = _line(wall, upright)
    along = unit(add(line.high, line.low, -1.0))
    return math.asin(dot(along, _UP))
