"""Names of sockets and corners, and the axes of the site.

A socket is called by its hoop and its side: ``1L`` is that of the first hoop on the left,
looking along the tunnel from the first hoop.
"""

from __future__ import annotations

import math
import re

from msgspec import Struct

from frame3d.design.tables.lengthwise import Corner
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.roles import Role, Side

_LETTERS = {Side.LEFT: "L", Side.RIGHT: "R"}
_SOCKET = re.compile(r"(?:hoop )?0*([0-9]{1,4})[ -]?(l|r|left|right)")


def socket_name(hoop: int, side: Side) -> str:
    """How a socket is called.

    Examples
    --------
    >>> socket_name(12, Side.RIGHT)
    '12R'
    """
    return f"{hoop}{_LETTERS[side]}"


def corner_names(frame: Frame) -> dict[Corner, str]:
    """The sockets at the four corners."""
    last = len(frame.grid.hoop_y_mm)
    return {
        Corner.FRONT_LEFT: socket_name(1, Side.LEFT),
        Corner.FRONT_RIGHT: socket_name(1, Side.RIGHT),
        Corner.BACK_LEFT: socket_name(last, Side.LEFT),
        Corner.BACK_RIGHT: socket_name(last, Side.RIGHT),
    }


def named_socket(frame: Frame, text: str) -> str | None:
    """The socket that ``text`` names, as ``12R``, ``12 right`` or ``back right``; else None."""
    plain = " ".join(text.casefold().replace("-", " ").split())
    for corner, name in corner_names(frame).items():
        if plain == corner.value:
            return name
    match = _SOCKET.fullmatch(plain)
    if not match or not 1 <= int(match[1]) <= len(frame.grid.hoop_y_mm):
        return None
    return socket_name(int(match[1]), Side.LEFT if match[2][0] == "l" else Side.RIGHT)


class Axes(Struct, frozen=True, kw_only=True):
    """The axes of the site in those of the frame: where the corner socket stands, mm."""

    corner: Corner
    name: str
    x_mm: float
    y_mm: float

    @property
    def is_left(self) -> bool:
        """True when the corner stands on the left side."""
        return self.x_mm < 0


def axes_of(frame: Frame) -> Axes:
    """The axes from the corner that the design stakes first."""
    corner = frame.design.staking.corner
    left = corner in (Corner.FRONT_LEFT, Corner.BACK_LEFT)
    front = corner in (Corner.FRONT_LEFT, Corner.FRONT_RIGHT)
    x = frame.grid.socket_x_mm
    return Axes(
        corner=corner,
        name=corner_names(frame)[corner],
        x_mm=-x if left else x,
        y_mm=0.0 if front else frame.grid.length_mm,
    )


class SocketPlace(Struct, frozen=True, kw_only=True):
    """Where a socket stands, in the axes of the frame.

    Parameters
    ----------
    name : str
    hoop : int
    side : Side
    mark : str
        Of the part.
    ground_x_mm : float
        Where its axis meets the nominal ground.
    top_x_mm, top_z_mm : float
        Of the middle of its top; the latter above the nominal ground.
    y_mm : float
    """

    name: str
    hoop: int
    side: Side
    mark: str
    ground_x_mm: float
    top_x_mm: float
    top_z_mm: float
    y_mm: float

    @property
    def plumb_share(self) -> float:
        """Height gained for each length along the socket: the cosine of its lean."""
        return self.top_z_mm / math.sqrt((self.ground_x_mm - self.top_x_mm) ** 2 + self.top_z_mm**2)


def socket_places(frame: Frame) -> tuple[SocketPlace, ...]:
    """Every socket of ``frame``, hoop by hoop, the left one first."""
    places = [_place(member) for member in frame.of(Role.SOCKET)]
    return tuple(sorted(places, key=lambda place: (place.hoop, place.side is Side.RIGHT)))


def _place(member: Member) -> SocketPlace:
    top, down = member.placement.origin, member.placement.x
    return SocketPlace(
        name=socket_name(member.spot.hoop, member.spot.side),
        hoop=member.spot.hoop,
        side=member.spot.side,
        mark=member.mark,
        ground_x_mm=top[0] - down[0] / down[2] * top[2],
        top_x_mm=top[0],
        top_z_mm=top[2],
        y_mm=top[1],
    )
