"""Details at the ground: socket with leg, board and bolts; the joint of two boards."""

from __future__ import annotations

import math

from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Board, Tube
from frame3d.frame.model.roles import Role, Side
from frame3d.geometry.placement import ACROSS, ALONG, UP, Vector, add, opposite
from frame3d.sheets.annotation.annotations import Annotation, Chain, Note, Running, ViewEdge
from frame3d.sheets.details.details import (
    Detail,
    DetailContext,
    bolt_note,
    bolts_of,
    detail,
    of_role,
    quiet_hoop,
)
from frame3d.sheets.projection.projection import FRONT, Projection, axis_point
from frame3d.sheets.projection.section_plane import Plane
from frame3d.sheets.projection.silhouettes import reach_of
from frame3d.site.survey import site_of
from frame3d.site.write.ground_words import marks_text

_BELOW_MM, _ABOVE_MM, _BESIDE_MM = 110.0, 110.0, 90.0


def socket_detail(site: DetailContext) -> Detail | None:
    """A socket with the leg in it, cut along the hoop, on the right side."""
    frame = site.frame
    number = quiet_hoop(frame)
    y = frame.grid.hoop_y_mm[number - 1]
    socket = next(
        (
            m
            for m in frame.of_kind(Tube, Role.SOCKET)
            if m.spot.hoop == number and m.spot.side is Side.RIGHT
        ),
        None,
    )
    if socket is None:
        return None
    top = _top(socket)
    plane = Plane(projection=FRONT, at_mm=-y)
    joints = frame.joints_with(socket)
    boards, legs = of_role(joints, Board, Role.SILL_BOARD), of_role(joints, Tube, Role.HOOP)
    board = boards[0] if boards else None
    high = max([top[2], *(reach_of(b, UP)[1] for b in boards)])
    right = max([top[0] + socket.part.section.od_mm / 2, *(reach_of(b, ACROSS)[1] for b in boards)])
    window = (top[0] - _BESIDE_MM, -_BELOW_MM, right + _BESIDE_MM, high + _ABOVE_MM)
    leg, bolts = legs[0] if legs else None, bolts_of(joints)
    annotations = _socket_sizes(site, socket, leg, board)
    annotations += _socket_notes(site, socket, leg, board)
    annotations += bolt_note(site, bolts, plane, ViewEdge.LEFT)
    where = f"Typical of every hoop; shown at hoop {number}, right side, cut along the hoop."
    name = "Socket with leg and sill board" if board else "Socket with leg"
    of: list[Member] = [socket, *legs, *boards, *bolts]
    return detail(site, name, where, plane, window, annotations, ground=True, of=of)


def _top(socket: Member[Tube]) -> Vector:
    """The upper end of a socket's axis."""
    ends = (axis_point(socket, 0.0), axis_point(socket, socket.part.length_mm))
    return max(ends, key=lambda p: p[2])


def _down(socket: Member[Tube], distance_mm: float) -> Vector:
    """The point of a socket's axis at a distance from its top."""
    way = socket.placement.x
    return add(_top(socket), way, math.copysign(distance_mm, -way[2]))


def _low_end(hoop: Member[Tube]) -> tuple[float, float, float]:
    """The lower end of a piece of hoop, of two at one height that on the right."""
    end = hoop.part.axis.end
    ends = [hoop.placement.origin, hoop.placement.point((end.x_mm, end.y_mm, 0.0))]
    return min(ends, key=lambda p: (round(p[2], 3), -p[0]))


def _socket_sizes(
    site: DetailContext, socket: Member[Tube], leg: Member[Tube] | None, board: Member | None
) -> list[Annotation]:
    """Heights above the ground at the right: holes, top of the socket, board; insertion."""
    half = socket.part.section.od_mm / 2
    top = _top(socket)
    holes = [axis_point(socket, h.at_mm) for h in socket.part.holes]
    points = [(x + half, z) for x, _, z in holes if z > 0.0]
    points.append((top[0] + half, top[2]))
    annotations: list[Annotation] = [
        Running(datum=(top[0], 0.0), points=tuple(points), edge=ViewEdge.RIGHT, rank=0)
    ]
    if board is not None:
        low, high = reach_of(board, UP)
        right = reach_of(board, ACROSS)[1]
        annotations.append(
            Chain(points=((right, 0.0), (right, low), (right, high)), edge=ViewEdge.RIGHT, rank=2)
        )
    if leg is not None:
        end = _low_end(leg)
        annotations.append(
            Chain(
                points=((end[0] + half, end[2]), (top[0] + half, top[2])),
                edge=ViewEdge.RIGHT,
                names=("inserted",),
                rank=3,
            )
        )
    return annotations


def _driving_mark(frame: Frame) -> str:
    text = f"Driving mark, {marks_text(frame)} below the top: drive until it is at ground level"
    if site_of(frame).driving is None:
        return text
    return f"{text}; each socket has its own, as the socket plan tells it"


def _socket_notes(
    site: DetailContext, socket: Member[Tube], leg: Member[Tube] | None, board: Member | None
) -> list[Annotation]:
    section = socket.part.section
    wall = section.od_mm / 2 - section.wall_mm / 2
    top = _top(socket)
    exposed = top[2] / abs(socket.placement.x[2])
    x, _, z = _down(socket, 0.15 * exposed)
    buried = socket.part.length_mm - exposed
    notes: list[Annotation] = [
        Note(
            text=f"Socket {site.name(socket)}, {site.say(socket.part.length_mm)} long, "
            f"{site.say(buried)} of it in the ground",
            at=(x - wall, z),
            edge=ViewEdge.LEFT,
        ),
        Note(
            text=_driving_mark(site.frame),
            at=(_down(socket, exposed)[0] - wall, 0.0),
            edge=ViewEdge.LEFT,
        ),
    ]
    if leg is not None:
        thin = leg.part.section
        notes.append(
            Note(
                text=f"Leg of hoop {site.name(leg)}",
                at=(top[0] - thin.od_mm / 2 + thin.wall_mm / 2, top[2] + 0.6 * _ABOVE_MM),
                edge=ViewEdge.LEFT,
            )
        )
    if board is not None:
        low, high = reach_of(board, UP)
        x0, x1 = reach_of(board, ACROSS)
        notes.append(
            Note(
                text=f"Sill board {site.name(board)}",
                at=((x0 + x1) / 2, low + 0.85 * (high - low)),
                edge=ViewEdge.LEFT,
            )
        )
    return notes


def joint_detail(site: DetailContext, role: Role) -> Detail | None:
    """The joint of two boards with its block, cut level through the upper bolts."""
    frame = site.frame
    blocks = [
        m
        for m in frame.of_kind(Board, Role.JOINT_BLOCK)
        if m.spot.side is Side.RIGHT and frame.joints_with(m, role)
    ]
    if not blocks:
        return None
    block = blocks[len(blocks) // 2]
    low, high = reach_of(block, ALONG)
    joint, joints = (low + high) / 2, frame.joints_with(block)
    pair, bolts = of_role(joints, Board, role), bolts_of(joints)
    # Square to the boards, which lean where the hoop does.
    out = block.placement.z if block.placement.z[0] > 0.0 else opposite(block.placement.z)
    projection = Projection(right=ALONG, up=opposite(out))
    level = max(
        (projection.near(m.placement.origin) for m in bolts if m.role is Role.BOLT), default=0.0
    )
    plane = Plane(projection=projection, at_mm=level)
    bolts = [m for m in bolts if abs(plane.depth(m.placement.origin)) < 5.0]
    thick = block.part.section.thickness_mm
    inner, outer = (f(-c for c in reach_of(m, out)) for f, m in ((max, block), (min, pair[0])))
    window = (low - 80.0, outer - 30.0, high + 80.0, inner + 40.0)
    heads = sorted(m.placement.origin[1] for m in bolts if m.role is Role.BOLT)
    annotations: list[Annotation] = [
        Chain(points=((low, inner), (joint, inner), (high, inner)), edge=ViewEdge.TOP),
        Running(
            datum=(joint, outer), points=tuple((y, outer) for y in heads), edge=ViewEdge.BOTTOM
        ),
        Note(
            text=f"Joint block {site.name(block)}, on the inside",
            at=(joint + 0.3 * (high - joint), inner - thick / 2),
        ),
        Note(
            text=f"{role.value.capitalize()} {site.name(pair[-1])}; the ends meet at the "
            "middle of the block",
            at=(high + 25.0, outer + thick / 2),
        ),
        *bolt_note(site, bolts, plane, ViewEdge.RIGHT),
    ]
    where = "Seen from above, cut through the upper bolts; the same number of bolts is below them."
    return detail(
        site,
        f"{role.value.capitalize()} joint",
        where,
        plane,
        window,
        annotations,
        of=[*pair, block, *bolts],
    )
