"""Figures that hold points check, worked out from the model."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from frame3d.frame.measure.outer_points import ends_of
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Board, Tube
from frame3d.frame.model.roles import Role, Side
from frame3d.geometry.curves import curves_of


class HoopFigures(Struct, frozen=True, kw_only=True):
    """A hoop as it lies on the ground, centrelines, mm.

    Parameters
    ----------
    foot_mm : float
        Between the ends of the two legs.
    rise_mm : float
        From the line through both ends to the highest point of the tubes' axes.
    """

    foot_mm: float
    rise_mm: float


def axis_points(member: Member, count: int = 33) -> np.ndarray:
    """Points of a tube's or board's axis, or corners, in frame axes, (n, 3) mm."""
    part, place = member.part, member.placement
    if isinstance(part, Tube):
        curves = curves_of(part.axis)
        shares = np.linspace(0.0, 1.0, count)
        which = np.repeat(np.arange(len(curves)), count)
        own = curves.take(which).at(np.tile(shares, len(curves)) * curves.length[which])
    elif isinstance(part, Board):
        half = (part.section.depth_mm / 2, part.section.thickness_mm / 2)
        own = np.array([(0.0, *half), (part.length_mm, *half)])
    else:
        own = np.array([end for body in part.bodies for end in ends_of(body)])
    points: np.ndarray = own @ np.array([place.x, place.y, place.z]) + np.array(place.origin)
    return points


def axis_ends(member: Member) -> tuple[np.ndarray, np.ndarray]:
    """Both ends of a member's axis, in frame axes, the lower one first; (3,) mm each."""
    points = axis_points(member, 2)
    first, last = points[0], points[-1]
    return (first, last) if first[2] <= last[2] else (last, first)


def hoop_figures(frame: Frame) -> HoopFigures:
    """The first hoop from leg end to leg end, along its tubes' axes."""
    points = np.vstack(
        [
            axis_points(member, 65)
            for member in frame.of(Role.HOOP, Role.RIDGE_JOINT)
            if member.spot.hoop == 1 and isinstance(member.part, Tube)
        ]
    )
    feet = [points[points[:, 0] * sign > 0] for sign in (-1, 1)]
    left, right = (side[np.argmin(side[:, 2])] for side in feet)
    return HoopFigures(
        foot_mm=float(right[0] - left[0]),
        rise_mm=float(points[:, 2].max() - (left[2] + right[2]) / 2),
    )


def socket_holes_mm(frame: Frame) -> tuple[float, float]:
    """Heights of the upper and the lower hole of a socket above the ground, along it, mm."""
    socket = frame.design.socket
    return socket.exposed - socket.upper_hole, socket.exposed - socket.lower_hole


def socket_tops(frame: Frame) -> tuple[float, float]:
    """Distance between the tops of two sockets across, and their height, mm."""
    tops = {
        member.spot.side: member.placement.origin
        for member in frame.of(Role.SOCKET)
        if member.spot.hoop == 1
    }
    left, right = tops[Side.LEFT], tops[Side.RIGHT]
    return right[0] - left[0], right[2]
