"""Details of what the hoops hold: rails by bolts or clamps, and the clamps of braces."""

from __future__ import annotations

import math

from frame3d.catalog.sections import TubeSection
from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import Bolt, ClampHalf, Tube
from frame3d.frame.model.roles import Role, Side
from frame3d.geometry.placement import Vector, add, cross, dot
from frame3d.sheets.annotation.annotations import Annotation, Note, Slanting, ViewEdge
from frame3d.sheets.details.details import (
    HARDWARE_ROLES,
    Detail,
    DetailContext,
    bolt_note,
    detail,
    near_to,
    nearest_on,
    opposite,
    quiet_hoop,
    ring_points,
)
from frame3d.sheets.projection.projection import FRONT, Projection
from frame3d.sheets.projection.section_plane import Plane
from frame3d.sheets.projection.silhouettes import reach_of

_Y = (0.0, 1.0, 0.0)
_NEAR_MM = 130.0
_MOST_RAILS = 3
_HALF_WINDOW_MM = 105.0


def rail_details(site: DetailContext) -> list[Detail]:
    """One detail for each way in which rails are held: role, tube, bolted or clamped."""
    frame = site.frame
    number = quiet_hoop(frame)
    y = frame.grid.hoop_y_mm[number - 1]
    found: dict[tuple[Role, TubeSection, bool, bool], Detail] = {}
    rails = sorted(
        frame.of_kind(Tube, Role.RAIL, Role.HIP_RAIL), key=lambda m: m.spot.side is not Side.RIGHT
    )
    for rail in rails:
        low, high = reach_of(rail, _Y)
        if not low + 30.0 < y < high - 30.0:
            continue
        x, _, z = rail.placement.origin
        clamps = _coupler_at(site, (x, y, z))
        key = (rail.role, rail.part.section, bool(clamps), rail.spot.side is Side.MIDDLE)
        if key not in found and len(found) < _MOST_RAILS:
            made = _rail_on_hoop(site, rail, number, clamps)
            if made is not None:
                found[key] = made
    return list(found.values())


def _kind(rail: Member) -> str:
    """What a rail is called."""
    name = "ridge rail" if rail.spot.side is Side.MIDDLE else rail.role.value
    return name.capitalize()


def _coupler_at(site: DetailContext, point: Vector) -> list[Member[ClampHalf]]:
    """The halves of the coupler that holds a rail near ``point``; empty where there is none."""
    if any(
        _goes_through(bolt, point) for bolt in near_to(point, _NEAR_MM, site.frame.of_kind(Bolt))
    ):
        return []  # bolted; a coupler here holds something else
    halves = near_to(point, _NEAR_MM, site.frame.of_kind(ClampHalf))
    on_rail = [
        m
        for m in halves
        if abs(m.placement.x[1]) > 0.999
        and math.dist((m.placement.origin[0], m.placement.origin[2]), (point[0], point[2])) < 2.0
    ]
    if not on_rail:
        return []
    half = min(on_rail, key=lambda m: abs(m.placement.origin[1] - point[1]))
    back = half.placement.point((0.0, 0.0, half.part.face_mm))
    mates = [
        m
        for m in halves
        if m is not half and math.dist(m.placement.point((0.0, 0.0, m.part.face_mm)), back) < 1.0
    ]
    return [half, *mates] if mates else []


def _rail_on_hoop(
    site: DetailContext, rail: Member[Tube], number: int, clamps: list[Member[ClampHalf]]
) -> Detail | None:
    """A rail where it crosses a hoop, cut along the hoop."""
    frame = site.frame
    y = frame.grid.hoop_y_mm[number - 1]
    x, _, z = rail.placement.origin
    point = (x, y, z)
    hoops = [
        m
        for m in frame.of_kind(Tube, Role.HOOP, Role.RIDGE_JOINT, Role.SPLICE)
        if m.spot.hoop == number
    ]
    if not hoops:
        return None
    holder = min(hoops, key=lambda m: math.dist(nearest_on(m, point)[1], point))
    if holder.role is Role.RIDGE_JOINT and not clamps:
        return None  # it is in the detail of the ridge joint
    on_hoop = nearest_on(holder, point)[1]
    plane = Plane(eye=FRONT, at_mm=-y)
    middle = ((x + on_hoop[0]) / 2, (z + on_hoop[2]) / 2)
    half = _HALF_WINDOW_MM
    window = (middle[0] - half, middle[1] - half, middle[0] + half, middle[1] + half)
    bolts = near_to(point, 100.0, site.frame.of(*HARDWARE_ROLES))
    # What holds something else here is left out.
    bolts = [m for m in bolts if _inside(m, window) and _is_of(m, point, clamps)]
    wishes: list[Annotation] = [
        Slanting(first=FRONT.flat(on_hoop), second=(x, z)),
        Note(
            text=f"{_kind(rail)} {site.name(rail)}; its centre is {site.say(z)} above the ground",
            at=(x, z),
            others=ring_points((x, z), rail.part),
        ),
        Note(
            text=f"{holder.role.value.capitalize()} {site.name(holder)}",
            at=_on_holder(holder, on_hoop, rail),
        ),
        *bolt_note(site, bolts, plane, ViewEdge.RIGHT),
    ]
    if clamps:
        wishes.append(_clamp_note(site, clamps))
    name = "clamped" if clamps else "bolted"
    where = f"At every hoop; hoop {number} is shown, cut along the hoop."
    return detail(
        site,
        f"{_kind(rail)} {rail.mark}, {name} to the hoop",
        where,
        plane,
        window,
        wishes,
        of=[*hoops, rail, *clamps, *bolts],
    )


def _goes_through(bolt: Member[Bolt], point: Vector) -> bool:
    """Whether a bolt square to the tunnel's length goes through ``point``."""
    place = bolt.placement
    along = dot(add(point, place.origin, -1.0), place.z)
    off = math.dist(point, add(place.origin, place.z, along))
    return off < 2.0 and 0.0 < along < bolt.part.length_mm and abs(place.z[1]) < 0.5


def _is_of(member: Member, point: Vector, clamps: list[Member[ClampHalf]]) -> bool:
    """Whether a fastener goes through the rail at ``point`` or through one of the clamps."""
    place = member.placement
    for target, reach in (
        (point, 2.0),
        *(
            (m.placement.origin, m.part.tube_od_mm / 2 + m.part.band_mm + m.part.ear_mm)
            for m in clamps
        ),
    ):
        way = add(target, place.origin, -1.0)
        off = math.dist(target, add(place.origin, place.z, dot(way, place.z)))
        if off < reach and math.dist(target, place.origin) < 120.0:
            return True
    return False


def _inside(member: Member, window: tuple[float, float, float, float]) -> bool:
    u, v = FRONT.flat(member.placement.origin)
    return window[0] < u < window[2] and window[1] < v < window[3]


def _on_holder(holder: Member[Tube], on_hoop: Vector, rail: Member) -> tuple[float, float]:
    """A point in the wall of the hoop, away from the rail."""
    section = holder.part.section
    at, here = nearest_on(holder, on_hoop)
    span = holder.part.length_mm
    aside = at + 75.0 if at + 75.0 < span else at - 75.0
    station = holder.part.axis.at(min(max(aside, 0.0), span))
    nx, ny = station.normal
    wall = section.od_mm / 2 - section.wall_mm / 2
    rail_way = add(rail.placement.origin, here, -1.0)
    out = holder.placement.direction((nx, ny, 0.0))
    sign = -1.0 if dot(out, (rail_way[0], 0.0, rail_way[2])) > 0.0 else 1.0
    place = holder.placement.point(
        (station.x_mm + sign * wall * nx, station.y_mm + sign * wall * ny, 0.0)
    )
    return FRONT.flat(place)


def _clamp_note(site: DetailContext, clamps: list[Member[ClampHalf]]) -> Note:
    first = min(clamps, key=lambda m: FRONT.flat(m.placement.origin))
    part = first.part
    at = first.placement.point((0.0, -(part.tube_od_mm + part.band_mm) / 2, 0.0))
    marks = " and ".join(dict.fromkeys(m.mark for m in clamps))
    return Note(text=f"Swivel coupler, halves {marks} on one rivet", at=FRONT.flat(at))


def brace_detail(site: DetailContext) -> Detail | None:
    """The lower clamp of a brace, cut across the hoop there and seen from above."""
    braces = sorted(
        site.frame.of_kind(Tube, Role.BRACE), key=lambda m: m.spot.side is not Side.RIGHT
    )
    if not braces:
        return None
    brace = braces[0]
    halves = list(site.frame.of_kind(ClampHalf))
    on_hoop = [m for m in halves if _holds(m, brace, halves)]
    if not on_hoop:
        return None
    half = min(on_hoop, key=lambda m: m.placement.origin[2])
    other = min(
        (m for m in halves if m is not half),
        key=lambda m: math.dist(m.placement.origin, half.placement.origin),
    )
    toward = half.placement.x if half.placement.x[2] > 0 else opposite(half.placement.x)
    eye = Projection(right=_Y, up=cross(toward, _Y))
    plane = Plane(eye=eye, at_mm=eye.near(half.placement.origin))
    centre, held = (eye.flat(m.placement.origin) for m in (half, other))
    middle = ((centre[0] + held[0]) / 2, (centre[1] + held[1]) / 2)
    window = (middle[0] - 120.0, middle[1] - 85.0, middle[0] + 120.0, middle[1] + 85.0)
    hoops = [m for m in site.frame.of(Role.HOOP, Role.SOCKET) if m.spot.hoop == half.spot.hoop]
    bolts = [
        m
        for m in near_to(half.placement.origin, 110.0, site.frame.of(*HARDWARE_ROLES))
        if m.spot == half.spot
    ]
    wishes: list[Annotation] = [
        Slanting(first=centre, second=held),
        Note(text=f"Brace {site.name(brace)}", at=_along_brace(brace, eye, window)),
        Note(text=f"Hoop {_hoop_name(site, hoops)}", at=_rim(half, eye)),
        Note(
            text=f"Swivel coupler, halves {half.mark} and {other.mark} on one rivet; centre "
            f"{site.say(half.placement.origin[2])} above the ground on hoop {half.spot.hoop}",
            at=eye.flat(other.placement.point((0.0, 0.0, other.part.tube_od_mm / 2 + 4.0))),
        ),
        *bolt_note(site, bolts, plane, ViewEdge.RIGHT),
    ]
    where = "Seen from above along the hoop, which is cut; the brace is not."
    return detail(
        site,
        "Clamp of a brace",
        where,
        plane,
        window,
        wishes,
        of=[*hoops, half, other, *bolts],
        whole=[brace],
    )


def _holds(half: Member[ClampHalf], brace: Member[Tube], halves: list[Member[ClampHalf]]) -> bool:
    """Whether this half sits on a hoop and its other half on ``brace``."""
    if abs(dot(half.placement.x, brace.placement.x)) > 0.999:
        return False
    _, on_brace = nearest_on(brace, half.placement.origin)
    gap = math.dist(on_brace, half.placement.origin)
    mates = half.part.face_mm + brace.part.section.od_mm / 2 + 30.0
    return gap < mates and any(
        m is not half and math.dist(m.placement.origin, on_brace) < 5.0 for m in halves
    )


def _hoop_name(site: DetailContext, hoops: list[Member]) -> str:
    pieces = [m for m in hoops if m.role is Role.HOOP]
    return site.name(pieces[0]).split(", ", 1)[1] if pieces else ""


def _rim(half: Member[ClampHalf], eye: Projection) -> tuple[float, float]:
    """A point in the wall of the hoop's ring, on the side away from the brace."""
    part = half.part
    return eye.flat(half.placement.point((0.0, 0.0, -(part.tube_od_mm / 2 - 1.0))))


def _along_brace(
    brace: Member[Tube], eye: Projection, window: tuple[float, float, float, float]
) -> tuple[float, float]:
    """A point of the brace's axis near the right edge of the window."""
    inside = []
    for k in range(201):
        u, v = eye.flat(brace.placement.point((brace.part.length_mm * k / 200, 0.0, 0.0)))
        if window[0] < u < window[2] - 20.0 and window[1] < v < window[3]:
            inside.append((u, v))
    return max(inside, default=((window[0] + window[2]) / 2, window[3]))


__all__ = ["brace_detail", "rail_details"]
