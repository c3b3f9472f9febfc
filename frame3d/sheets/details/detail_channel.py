"""Details of channel for the film: on hip and sill board, on an end hoop, at a door's corner."""

from __future__ import annotations

import math
from collections.abc import Iterable

from frame3d.frame.describe.wording import describe
from frame3d.frame.model.channel import Channel
from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.parts import Screw, Tube
from frame3d.frame.model.roles import Role, Side
from frame3d.geometry.placement import ALONG, UP, Vector, add
from frame3d.sheets.annotation.annotations import Aligned, Annotation, Note
from frame3d.sheets.details.details import Detail, DetailContext, detail
from frame3d.sheets.projection.projection import ABOVE, FRONT, Projection
from frame3d.sheets.projection.section_plane import Plane
from frame3d.sheets.projection.silhouettes import reach_of

_BACK = Projection(right=(-1.0, 0.0, 0.0), up=(0.0, 0.0, 1.0))
_HALF_MM, _CORNER_MM = 85.0, 120.0
_HOOPS = (Role.HOOP, Role.SOCKET, Role.SPLICE, Role.RIDGE_JOINT)
_FACES = {
    Role.HIP_BOARD: "hip board", Role.HIP_RAIL: "hip rail", Role.SILL_BOARD: "sill board",
}  # fmt: skip


def _pieces(frame: Frame) -> list[Member[Channel]]:
    return list(frame.of_kind(Channel, Role.CHANNEL))


def _screws(frame: Frame) -> list[Member[Screw]]:
    return [with_part(m, Screw) for m in frame.of(Role.CHANNEL_SCREW)]


def channel_side_details(site: DetailContext) -> list[Detail]:
    """Channel along the left side, cut at one of its screws: on the hip, and on the sill board."""
    frame, found = site.frame, []
    for roles in ((Role.HIP_BOARD, Role.HIP_RAIL), (Role.SILL_BOARD,)):
        made = _on_side(site, [m for m in frame.of(*roles) if m.spot.side is Side.LEFT])
        found += [made] if made else []
    return found


def _on_side(site: DetailContext, boards: list[Member]) -> Detail | None:
    """Across the tunnel through a screw that goes into one of ``boards``."""
    frame = site.frame
    along = [p for p in _pieces(frame) if abs(p.placement.x[1]) > 0.5 and p.spot.side is Side.LEFT]
    for screw in sorted(_screws(frame), key=lambda m: -m.spot.hoop):
        seat = screw.placement.origin
        tip = add(seat, screw.placement.z, 0.6 * screw.part.length_mm)
        piece = next((p for p in along if _runs_past(p, seat)), None)
        board = next((b for b in boards if _holds(b, tip)), None)
        if piece is None or board is None:
            continue
        plane = Plane(projection=FRONT, at_mm=-seat[1])
        face = _FACES[board.role]
        return detail(
            site, f"Channel on the {face}", "Typical of both sides; cut across at a screw.",
            plane, _round(FRONT.flat(seat), _HALF_MM),
            [
                *_channel_notes(site, piece, screw, plane),
                Note(text=f"{face.capitalize()} {site.name(board)}", at=FRONT.flat(tip),
                     others=(FRONT.flat(add(tip, UP, -25.0)),)),
            ],
            of=[board, piece, screw], largest=2,
        )  # fmt: skip
    return None


def _runs_past(piece: Member[Channel], point: Vector) -> bool:
    x, y, z = piece.placement.origin
    near = math.hypot(x - point[0], z - point[2]) < piece.part.section.depth_mm
    return near and y <= point[1] <= y + piece.part.length_mm


def _holds(board: Member, point: Vector) -> bool:
    """Whether a point lies within what a board takes up."""
    for axis in range(3):
        way = (float(axis == 0), float(axis == 1), float(axis == 2))
        low, high = reach_of(board, way)
        # Of a tube that is the reach of its axis.
        more = board.part.section.od_mm / 2 if isinstance(board.part, Tube) else 0.0
        if not low - more <= point[axis] <= high + more:
            return False
    return True


def channel_hoop_detail(site: DetailContext) -> Detail | None:
    """Channel on the first hoop, cut level through the lowest screw of its left leg."""
    frame = site.frame
    bent = [p for p in _pieces(frame) if not p.part.axis.is_straight and p.spot.hoop == 1
            and p.spot.side is not Side.RIGHT]  # fmt: skip
    screws = [m for m in _screws(frame) if m.placement.z[0] > 0.9
              and abs(m.placement.origin[1] - frame.grid.hoop_y_mm[0]) < 1.0]  # fmt: skip
    if not bent or not screws:
        return None
    # Above the socket, where it lies on the hoop itself.
    tops = [reach_of(m, UP)[1] for m in frame.of(Role.SOCKET) if m.spot.hoop == 1]
    free = [m for m in screws if m.placement.origin[2] > max(tops, default=0.0)]
    screw = min(free or screws, key=lambda m: m.placement.origin[2])
    seat = screw.placement.origin
    piece = min(bent, key=lambda p: math.dist(p.placement.origin, seat))
    tubes = [m for m in frame.of(*_HOOPS) if m.spot.hoop == 1 and _holds_height(m, seat)]
    if not tubes:
        return None
    plane = Plane(projection=ABOVE, at_mm=seat[2])
    hoop = next((m for m in tubes if m.role is Role.HOOP), tubes[0])
    middle = (seat[0] + frame.arch.tube_od_mm / 2, frame.grid.hoop_y_mm[0], seat[2])
    wall = ABOVE.flat(add(middle, ALONG, 0.48 * frame.arch.tube_od_mm))
    return detail(
        site, "Channel on an end hoop", "Typical of both end hoops; cut level at a screw.", plane,
        _round(ABOVE.flat(middle), _HALF_MM),
        [
            *_channel_notes(site, piece, screw, plane),
            Note(text=f"Hoop {site.name(hoop)}", at=wall),
        ],
        of=[*tubes, piece, screw], largest=2,
    )  # fmt: skip


def _holds_height(member: Member, point: Vector) -> bool:
    low, high = reach_of(member, UP)
    left, right = reach_of(member, (1.0, 0.0, 0.0))
    return low <= point[2] <= high and left - 30.0 <= point[0] <= right


def channel_corner_detail(site: DetailContext) -> Detail | None:
    """The upper left corner of the channel round the first door, as one looks at the wall."""
    frame = site.frame
    for door in frame.doors:
        here = [p for p in _pieces(frame) if abs(p.placement.origin[1] - door.wall_y_mm) < 1.0]
        head = [p for p in here if abs(p.placement.x[0]) > 0.9]
        sides = [p for p in here if p.placement.x[2] > 0.9 and p.part.end_rad]
        if not head or not sides:
            continue
        front = door.end.value == "front"
        projection = FRONT if front else _BACK
        first = min(head, key=lambda p: projection.flat(p.placement.origin)[0])
        upright = min(sides, key=lambda p: projection.flat(p.placement.origin)[0])
        corner = first.placement.origin
        plane = Plane(projection=projection, at_mm=corner[1] * (-1.0 if front else 1.0))
        at, half = projection.flat(corner), first.part.section.width_mm / 2
        near = [m for m in _screws(frame)
                if math.dist(m.placement.origin, corner) < 2 * _CORNER_MM]  # fmt: skip
        return detail(
            site, "Corner of the channel round a door",
            f"Typical of both upper corners of every door; {door.end.value} end, from outside.",
            plane, (at[0] - 2 * half - 30, at[1] - _CORNER_MM, at[0] + _CORNER_MM, at[1] + 50.0),
            [
                Note(text=f"{_name(first)}, mitred at 45°", at=(at[0] + 60.0, at[1])),
                Note(text=f"{_name(upright)}, mitred at 45°", at=(at[0] - half, at[1] - 80.0)),
                Aligned(first=(at[0] + 95.0, at[1] - half), second=(at[0] + 95.0, at[1] + half)),
            ],
            of=(), whole=[first, upright, *near], largest=2,
        )  # fmt: skip
    return None


def _name(piece: Member[Channel]) -> str:
    return f"{piece.mark}, {piece.part.section.name}"


def _channel_notes(
    site: DetailContext, piece: Member[Channel], screw: Member[Screw], plane: Plane
) -> Iterable[Annotation]:
    """Its mark, size and metal, its screw, and its width and depth measured."""
    section, flat = piece.part.section, plane.projection.flat
    out = (-screw.placement.z[0], -screw.placement.z[1], -screw.placement.z[2])
    along = piece.placement.x if piece.part.axis.is_straight else piece.placement.z
    across = piece.placement.y if piece.part.axis.is_straight else along
    half, thick = section.width_mm / 2, section.thickness_mm
    face = add(screw.placement.origin, out, -thick)
    lip = add(face, out, section.depth_mm)
    ends = [add(lip, across, way * half) for way in (-1.0, 1.0)]
    spacing = site.frame.design.cover.channel_spacing
    yield Aligned(first=flat(ends[0]), second=flat(ends[1]), away=6.0)
    yield Note(
        text=f"{_name(piece)}, {site.fine(thick)} thick, stands out {site.fine(section.depth_mm)}",
        at=flat(add(add(face, across, half - thick / 2), out, 0.7 * section.depth_mm)),
        others=(flat(add(add(face, across, thick / 2 - half), out, 0.7 * section.depth_mm)),),
    )
    said = describe(screw.part, site.lengths)
    yield Note(
        text=f"{said[0].upper()}{said[1:]}, at most {site.say(spacing)} apart",
        at=flat(add(screw.placement.origin, screw.placement.z, 0.4 * screw.part.length_mm)),
    )


def _round(at: tuple[float, float], half: float) -> tuple[float, float, float, float]:
    return (at[0] - half, at[1] - half, at[0] + half, at[1] + half)
