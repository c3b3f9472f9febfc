"""Uprights of an end wall, each cut to the hoop's curve, with what holds them.

A timber upright stands on edge, its depth along the tunnel. Its top is cut along the
chord of the hoop's face over its own thickness, so that both its edges bear. The flat
top of a tube upright is cut along such a chord too, just below the cover.
"""

from __future__ import annotations

import math

from msgspec.structs import replace

from frame3d.catalog.sections import TimberSection
from frame3d.design.tables.whole_design import DoorKind, StudFoot, StudTop, Swing
from frame3d.errors import DesignError
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_places import DoorPlace, Upright, UprightKind
from frame3d.frame.end_walls.wall_runs import header_at, hoop_over, sill_at, upright_at
from frame3d.frame.hoops.demands import Demand
from frame3d.frame.joining.bolts import bolt_up
from frame3d.frame.joining.clamps import WIDTH_MM, coupler
from frame3d.frame.joining.splices import QUARTER
from frame3d.frame.joining.stops import KeptClear
from frame3d.frame.joining.timber_screws import lag_into
from frame3d.frame.model.end_forms import BoardEnd, Flat
from frame3d.frame.model.joints import Place, Stretch
from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.parts import Board, BoardHole, EdgeHole, Hole, Tube
from frame3d.frame.model.roles import Role, Spot
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import ACROSS, UP, Placement

_ROLES = {
    UprightKind.STUD: Role.STUD,
    UprightKind.JAMB: Role.DOOR_JAMB,
    UprightKind.CRIPPLE: Role.STUD,
}
_ROOM_MM = 10.0
_TOE_RAD = math.radians(30)


def stud_demands(wall: Wall, uprights: tuple[Upright, ...]) -> tuple[Demand, ...]:
    """The holes in the end hoop for the bolts of the uprights."""
    if wall.spec.stud_top is StudTop.CLAMPED:
        return ()
    found = []
    for upright in uprights:
        side, at_mm, _ = wall.hoop_at(upright.x_mm)
        hole = Hole(at_mm=at_mm, clock_rad=QUARTER, diameter_mm=wall.plan.fasteners.hex.hole_mm)
        where = upright.door.where if upright.door is not None else wall.where
        found.append(Demand(hoop=wall.hoop, side=side, hole=hole, where=where))
    return tuple(found)


def stud_stretches(wall: Wall, uprights: tuple[Upright, ...]) -> tuple[KeptClear, ...]:
    """What the uprights take up of a half hoop, their own width on its slope and some more."""
    found = []
    for upright in uprights:
        _, at_mm, point = wall.hoop_at(upright.x_mm)
        level = max(0.3, abs(point.along[0]))
        # It bears on the faces of the hoop, which lie beside its axis: the steeper, the farther.
        beside = wall.hoop_od_mm / 2 * abs(point.along[2])
        wide = (wall.upright_mm / 2 + beside) / level
        found.append(KeptClear.around(at_mm, max(wide, WIDTH_MM / 2) + _ROOM_MM))
    return tuple(found)


def upright_members(
    wall: Wall,
    upright: Upright,
    order: int,
    *,
    bored_mm: tuple[float, ...] = (),
    on_sill: bool = False,
    door_holes: tuple[Hole, ...] = (),
) -> list[UnmarkedMember]:
    """The upright with what holds its top and its foot.

    Parameters
    ----------
    wall : Wall
    upright : Upright
    order : int
    bored_mm : tuple of float
        Heights of holes across it, along X, for braces.
    on_sill : bool
        True where a sill on edge is bolted to it.
    door_holes : tuple of Hole
        In a tube jamb, for the hardware of its door; by height above the ground.
    """
    side, _, _ = wall.hoop_at(upright.x_mm)
    spot = Spot(side=side, hoop=wall.hoop, order=order)
    role = _ROLES[upright.kind]
    if wall.is_timber:
        return _timber(wall, upright, role, spot, bored_mm)
    if wall.spec.stud_top is StudTop.CLAMPED:
        return _clamped(wall, upright, role, spot, _holes(wall, upright, on_sill, door_holes))
    return _flattened(wall, upright, role, spot, _holes(wall, upright, on_sill, door_holes))


def timber_top(wall: Wall, x_mm: float) -> tuple[float, float, float]:
    """How a timber upright at ``x_mm`` ends.

    Returns
    -------
    left, right : float
        Heights of its top at its left and right face, mm.
    lap : float
        Height of the notch round the hoop, mm; 0 where it is bolted behind the hoop.
    """
    half = wall.upright_mm / 2
    xs = (x_mm - half, x_mm + half)
    over = [wall.z_over(x) for x in xs]
    if wall.spec.stud_top is StudTop.BOLTED:
        return over[0], over[1], 0.0
    under = [wall.z_under(x) for x in xs]
    lap = min(high - low for low, high in zip(under, over, strict=True))
    return under[0] + lap, under[1] + lap, lap


def _timber(
    wall: Wall, upright: Upright, role: Role, spot: Spot, bored_mm: tuple[float, ...]
) -> list[UnmarkedMember]:
    section, x, way = wall.spec.timber, upright.x_mm, wall.way
    left, right, lap = timber_top(wall, x)
    length = max(left, right) - upright.foot_mm
    # The face z = 0 looks to the right in front, to the left at the back.
    first, other = (right, left) if way > 0 else (left, right)
    bevel = math.atan2(first - other, section.thickness_mm)
    end = BoardEnd(bevel_rad=bevel, lap_mm=lap, lap_depth_mm=wall.hoop_od_mm if lap else 0.0)
    _, _, point = wall.hoop_at(x)
    height = point.point[2]
    board = Board(
        section=section, length_mm=length, end=end,
        holes=tuple(
            BoardHole(along_mm=z - upright.foot_mm, up_mm=section.depth_mm / 2,
                      diameter_mm=wall.plan.fasteners.hex.hole_mm)
            for z in bored_mm
        ),
        edge_holes=(
            EdgeHole(along_mm=height - upright.foot_mm, across_mm=section.thickness_mm / 2,
                     diameter_mm=wall.plan.fasteners.hex.hole_mm),
        ),
    )  # fmt: skip
    placement = Placement.of(
        origin=(x + way * section.thickness_mm / 2, wall.y(wall.front_mm), upright.foot_mm),
        x=UP,
        y=wall.across(1.0),
    )
    own = upright_at(wall, x)
    drafts = [
        UnmarkedMember(
            role=role, part=board, placement=placement, spot=spot, stretches=(Stretch(own.run),)
        )
    ]
    thick = section.depth_mm + (0.0 if lap else wall.hoop_od_mm)
    drafts += bolt_up(
        wall.plan.fasteners,
        wall.plan.fasteners.hex,
        seat=(x, wall.y(-wall.hoop_od_mm / 2), height),
        direction=wall.across(1.0),
        thickness_mm=thick,
        spot=spot,
        where="hardware.frame_bolt",
        joins=(hoop_over(wall, x), own),
        plane_mm=wall.hoop_od_mm,
    )
    if wall.spec.stud_foot is StudFoot.SILL or upright.kind is UprightKind.CRIPPLE:
        drafts += _toe_screws(wall, upright, spot)
    return drafts


def _toe_screws(wall: Wall, upright: Upright, spot: Spot) -> list[UnmarkedMember]:
    """Two screws on a slant into what it stands on, none of them in a door's reveal."""
    section, half = wall.spec.timber, wall.upright_mm / 2
    signs, shares = (-1.0, 1.0), (0.35, 0.65)
    near, across_mm, depth = wall.front_mm, section.depth_mm, wall.spec.sill.thickness_mm
    if upright.kind is UprightKind.CRIPPLE:
        # It stands on a header on edge, which is only as deep in the wall as a board is thick.
        header, near = header_in_wall(wall, upright.its_door)
        across_mm, depth, shares = header.thickness_mm, header.depth_mm, (0.3, 0.7)
    if upright.kind is UprightKind.JAMB:
        outer = -1.0 if upright.x_mm < upright.its_door.left_mm else 1.0
        # In the middle, between the screws of hinges from either face.
        signs, shares = (outer, outer), (0.45, 0.6)
    into = depth / math.cos(_TOE_RAD)
    if upright.kind is UprightKind.JAMB:
        # The sill ends below the jamb's other face, in the opening.
        into = min(into, half / math.sin(_TOE_RAD))
    drafts = []
    for sign, share in zip(signs, shares, strict=True):
        rise = half / math.tan(_TOE_RAD)
        seat = (
            upright.x_mm + sign * half,
            wall.y(near + share * across_mm),
            upright.foot_mm + rise,
        )
        direction = (-sign * math.sin(_TOE_RAD), 0.0, -math.cos(_TOE_RAD))
        drafts += lag_into(
            wall.plan,
            seat,
            direction,
            rise / math.cos(_TOE_RAD),
            into,
            spot,
            f"{wall.where}.timber",
            (upright_at(wall, upright.x_mm), _under(wall, upright, -sign)),
        )
    return drafts


def _under(wall: Wall, upright: Upright, way: float) -> Place:
    """What a timber upright stands on: a header, or the piece of sill on one side of its middle."""
    if upright.kind is UprightKind.CRIPPLE:
        return header_at(wall, upright.its_door, upright.x_mm)
    return sill_at(wall, upright.x_mm + way)


def header_in_wall(wall: Wall, door: DoorPlace) -> tuple[TimberSection, float]:
    """The board of a timber header, on edge, and how far into the wall its front lies, mm.

    It is flush with the face that the door shuts against.
    """
    section = door.door.header or wall.spec.timber
    inside = door.door.kind is DoorKind.HINGED and door.door.swing is Swing.IN
    return section, wall.back_mm - section.thickness_mm if inside else wall.front_mm


def tube_top(wall: Wall, x_mm: float) -> tuple[float, float]:
    """How a tube upright at ``x_mm`` ends at its top, clear of the cover.

    Returns
    -------
    height : float
        Of its top at its axis, mm.
    slope : float
        Of the cut across its flat, rad: positive where it rises toward +X; 0 for a round top.

    Raises
    ------
    DesignError
        If nothing is left there to hold it by.
    """
    room, least, say = wall.tube_room(x_mm), wall.least_grip_mm, wall.plan.say
    if room >= least:
        if wall.is_flattened:
            return wall.flat_cut(x_mm)
        return wall.hoop_at(x_mm)[2].point[2] + min(WIDTH_MM / 2 + 2, room), 0.0
    if wall.is_flattened:
        raise DesignError(
            f"the flat of a tube stud {say(abs(x_mm))} from the centreline, cut to clear "
            f"the cover, ends {say(max(room, 0.0))} from the centre of its bolt and needs "
            f"{say(least)}, 1.2 times the hole; use a thinner bolt, or clamp the studs",
            "hardware.frame_bolt",
        )
    raise DesignError(
        f"a tube stud {say(abs(x_mm))} from the centreline would come through the cover, "
        "because the hoop is too steep there; move it toward the middle, or use timber "
        "studs",
        wall.where,
    )


def _clamped(
    wall: Wall, upright: Upright, role: Role, spot: Spot, holes: tuple[Hole, ...]
) -> list[UnmarkedMember]:
    tube, x = wall.spec.tube, upright.x_mm
    _, _, point = wall.hoop_at(x)
    top, _ = tube_top(wall, x)
    foot = _tube_foot(wall, upright)
    part, own = (
        Tube(section=tube, axis=PlanePath((Line(top - foot),)), holes=holes),
        upright_at(wall, x),
    )
    placement = Placement.of(origin=(x, wall.y(wall.axis_mm), foot), x=UP, y=wall.across(1.0))
    drafts = [
        UnmarkedMember(
            role=role, part=part, placement=placement, spot=spot, stretches=(Stretch(own.run),)
        )
    ]
    drafts += coupler(
        wall.plan.fasteners,
        on=point.point,
        boss=wall.across(1.0),
        first=(point.along, wall.hoop_od_mm),
        second=(UP, tube.od_mm),
        spot=spot,
        joins=(hoop_over(wall, x), own),
    )
    return drafts + _on_header(wall, upright, spot)


def _flattened(
    wall: Wall, upright: Upright, role: Role, spot: Spot, holes: tuple[Hole, ...]
) -> list[UnmarkedMember]:
    tube, x = wall.spec.tube, upright.x_mm
    _, _, point = wall.hoop_at(x)
    height, foot, (top, slope) = point.point[2], _tube_foot(wall, upright), tube_top(wall, x)
    below = wall.flat_foot(x)
    # Its own z points to the left in front, to the right at the back.
    flat = Flat(
        length_mm=top - below,
        transition_mm=wall.transition_mm,
        clock_rad=0.0,
        slant_rad=-wall.way * slope,
    )
    if below - flat.transition_mm < foot + 50:
        raise DesignError(
            f"the stud {wall.plan.say(abs(x))} from the centreline is too short to be "
            "flattened; remove it, or clamp the studs",
            wall.where,
        )
    holes = (
        *holes,
        Hole(at_mm=height - foot, diameter_mm=wall.plan.fasteners.hex.hole_mm),
    )
    part = Tube(section=tube, axis=PlanePath((Line(top - foot),)), holes=holes, end=flat)
    placement = Placement.of(origin=(x, wall.y(wall.axis_mm), foot), x=UP, y=wall.across(1.0))
    own = upright_at(wall, x)
    drafts = [
        UnmarkedMember(
            role=role, part=part, placement=placement, spot=spot, stretches=(Stretch(own.run),)
        )
    ]
    drafts += bolt_up(
        wall.plan.fasteners,
        wall.plan.fasteners.hex,
        seat=(x, wall.y(-wall.hoop_od_mm / 2), height),
        direction=wall.across(1.0),
        thickness_mm=wall.hoop_od_mm + 2 * tube.wall_mm,
        spot=spot,
        where="hardware.frame_bolt",
        joins=(hoop_over(wall, x), own),
        plane_mm=wall.hoop_od_mm,
    )
    return drafts + _on_header(wall, upright, spot)


def _tube_foot(wall: Wall, upright: Upright) -> float:
    """A cripple hangs past the header's tube that it is clamped to."""
    if upright.kind is UprightKind.CRIPPLE:
        return upright.foot_mm - wall.spec.tube.od_mm / 2 - WIDTH_MM / 2 - 2
    return upright.foot_mm


def _on_header(wall: Wall, upright: Upright, spot: Spot) -> list[UnmarkedMember]:
    if upright.kind is not UprightKind.CRIPPLE:
        return []
    od_mm = wall.spec.tube.od_mm
    toward = 1.0 if wall.girt_axis_mm > wall.axis_mm else -1.0
    return coupler(
        wall.plan.fasteners,
        on=(upright.x_mm, wall.y(wall.axis_mm), upright.foot_mm - od_mm / 2),
        boss=wall.across(toward),
        first=(UP, od_mm),
        second=(ACROSS, od_mm),
        spot=spot,
        joins=(
            upright_at(wall, upright.x_mm),
            header_at(wall, upright.its_door, upright.x_mm),
        ),
    )


def sill_bolt_heights(wall: Wall) -> tuple[float, ...]:
    """Heights at which a sill on edge is held to uprights in the ground, mm."""
    return (0.3 * wall.spec.sill.depth_mm, 0.75 * wall.spec.sill.depth_mm)


def _holes(
    wall: Wall, upright: Upright, on_sill: bool, door_holes: tuple[Hole, ...]
) -> tuple[Hole, ...]:
    """Through a tube upright: for the bolts of the sill, and for the hardware of a door."""
    foot = _tube_foot(wall, upright)
    size = wall.plan.fasteners.carriage.hole_mm
    sill = tuple(
        Hole(at_mm=z, diameter_mm=size) for z in (sill_bolt_heights(wall) if on_sill else ())
    )
    return tuple(replace(hole, at_mm=hole.at_mm - foot) for hole in (*sill, *door_holes))
