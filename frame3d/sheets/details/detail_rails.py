"""Details of what the hoops hold: rails by bolts or clamps, and the clamps of braces."""

from __future__ import annotations

from frame3d.catalog.sections import TubeSection
from frame3d.frame.model.joints import Joint, JointKind
from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import ClampHalf, Tube
from frame3d.frame.model.roles import Role, Side
from frame3d.geometry.placement import ALONG, Vector, add, cross, dot, opposite
from frame3d.sheets.annotation.annotations import Aligned, Annotation, Note, ViewEdge
from frame3d.sheets.details.details import (
    Detail,
    DetailContext,
    bolt_note,
    bolts_of,
    clamps_of,
    detail,
    nearest_on,
    of_role,
    quiet_hoop,
    ring_points,
)
from frame3d.sheets.projection.projection import FRONT, Projection
from frame3d.sheets.projection.section_plane import Plane
from frame3d.sheets.projection.silhouettes import reach_of

_HOLDERS = (Role.HOOP, Role.RIDGE_JOINT)
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
        low, high = reach_of(rail, ALONG)
        if not low + 30.0 < y < high - 30.0:
            continue
        joints = frame.joints_with(rail, *_HOLDERS)
        joint = next((j for j in joints if _holder(j).spot.hoop == number), None)
        # What is bolted to a ridge joint is in the detail of that.
        if joint is None or _holder(joint).role is Role.RIDGE_JOINT:
            continue
        clamped = joint.kind is JointKind.CLAMPED
        key = (rail.role, rail.part.section, clamped, rail.spot.side is Side.MIDDLE)
        if key not in found and len(found) < _MOST_RAILS:
            found[key] = _rail_on_hoop(site, rail, joint)
    return list(found.values())


def _holder(joint: Joint) -> Member[Tube]:
    """The tube of the hoop that a rail is joined to."""
    return of_role([joint], Tube, *_HOLDERS)[0]


def _kind(rail: Member) -> str:
    """What a rail is called."""
    name = "ridge rail" if rail.spot.side is Side.MIDDLE else rail.role.value
    return name.capitalize()


def _rail_on_hoop(site: DetailContext, rail: Member[Tube], joint: Joint) -> Detail:
    """A rail where it crosses a hoop, cut along the hoop."""
    frame, holder = site.frame, _holder(joint)
    number = holder.spot.hoop
    y = frame.grid.hoop_y_mm[number - 1]
    x, _, z = rail.placement.origin
    point = (x, y, z)
    hoops = [m for m in frame.of(Role.HOOP, Role.SPLICE) if m.spot.hoop == number]
    on_hoop = nearest_on(holder, point)[1]
    plane = Plane(projection=FRONT, at_mm=-y)
    middle = ((x + on_hoop[0]) / 2, (z + on_hoop[2]) / 2)
    half = _HALF_WINDOW_MM
    window = (middle[0] - half, middle[1] - half, middle[0] + half, middle[1] + half)
    bolts, clamps = bolts_of([joint]), clamps_of([joint])[::-1]
    annotations: list[Annotation] = [
        Aligned(first=FRONT.flat(on_hoop), second=(x, z)),
        Note(
            text=f"{_kind(rail)} {site.name(rail)}; its centre is {site.say(z)} above ground",
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
        annotations.append(_clamp_note(site, clamps))
    name = "clamped" if clamps else "bolted"
    where = f"Typical of every hoop; shown at hoop {number}, cut along the hoop."
    return detail(
        site,
        f"{_kind(rail)} {rail.mark}, {name} to the hoop",
        where,
        plane,
        window,
        annotations,
        of=[*hoops, rail, *clamps, *bolts],
    )


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
    return Note(text=f"Clamp, halves {marks} on one rivet", at=FRONT.flat(at))


def brace_detail(site: DetailContext) -> Detail | None:
    """The lower clamp of a brace, cut across the hoop there and seen from above."""
    braces = sorted(
        site.frame.of_kind(Tube, Role.BRACE), key=lambda m: m.spot.side is not Side.RIGHT
    )
    if not braces:
        return None
    brace = braces[0]
    joints = site.frame.joints_with(brace, Role.HOOP)
    if not joints:
        return None
    joint = min(joints, key=lambda j: j.placement.origin[2])
    (half, other), bolts = clamps_of([joint]), bolts_of([joint])
    toward = half.placement.x if half.placement.x[2] > 0 else opposite(half.placement.x)
    projection = Projection(right=ALONG, up=cross(toward, ALONG))
    plane = Plane(projection=projection, at_mm=projection.near(half.placement.origin))
    centre, held = (projection.flat(m.placement.origin) for m in (half, other))
    middle = ((centre[0] + held[0]) / 2, (centre[1] + held[1]) / 2)
    window = (middle[0] - 120.0, middle[1] - 85.0, middle[0] + 120.0, middle[1] + 85.0)
    hoops = [m for m in joint.members if m.role in (Role.HOOP, Role.SOCKET)]
    annotations: list[Annotation] = [
        Aligned(first=centre, second=held),
        Note(text=f"Brace {site.name(brace)}", at=_along_brace(brace, projection, window)),
        Note(text=f"Hoop {_hoop_name(site, hoops)}", at=_rim(half, projection)),
        Note(
            text=f"Clamp, halves {half.mark} and {other.mark} on one rivet; centre "
            f"{site.say(half.placement.origin[2])} above ground on hoop {half.spot.hoop}",
            at=projection.flat(other.placement.point((0.0, 0.0, other.part.tube_od_mm / 2 + 4.0))),
        ),
        *bolt_note(site, bolts, plane, ViewEdge.RIGHT),
    ]
    where = "Seen from above along the hoop; the hoop is cut, the brace is not."
    return detail(
        site,
        "Brace clamp",
        where,
        plane,
        window,
        annotations,
        of=[*hoops, half, other, *bolts],
        whole=[brace],
    )


def _hoop_name(site: DetailContext, hoops: list[Member]) -> str:
    pieces = [m for m in hoops if m.role is Role.HOOP]
    return site.name(pieces[0]).split(", ", 1)[1] if pieces else ""


def _rim(half: Member[ClampHalf], projection: Projection) -> tuple[float, float]:
    """A point in the wall of the hoop's ring, on the side away from the brace."""
    part = half.part
    return projection.flat(half.placement.point((0.0, 0.0, -(part.tube_od_mm / 2 - 1.0))))


def _along_brace(
    brace: Member[Tube], projection: Projection, window: tuple[float, float, float, float]
) -> tuple[float, float]:
    """A point of the brace's axis near the right edge of the window."""
    inside = []
    for k in range(201):
        u, v = projection.flat(brace.placement.point((brace.part.length_mm * k / 200, 0.0, 0.0)))
        if window[0] < u < window[2] - 20.0 and window[1] < v < window[3]:
            inside.append((u, v))
    return max(inside, default=((window[0] + window[2]) / 2, window[3]))
