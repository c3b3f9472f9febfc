"""Members: parts in their places; and the frame, which is all of them.

Glossary
--------
member : a part placed, with its mark and where it stands in the grid.
mark : the short name that stands on the part, the drawings and the lists; equal
    parts have equal marks.
side : left is x < 0, right is x > 0, looking along +y from the first hoop.
"""

from __future__ import annotations

import enum
from collections.abc import Iterator
from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct

from frame3d.frame.parts import Part
from frame3d.geometry.placement import Placement

if TYPE_CHECKING:  # clear.py needs Side from here
    from frame3d.frame.clear import DoorOpening, SideVent


class Role(enum.Enum):
    """What a member is for. The value is what lists and layers call it."""

    # A role equals itself alone, so the hash of any object will do; enum's own is written in
    # Python, and roles are looked up in sets some 50,000 times in a check.
    __hash__ = object.__hash__

    SOCKET = "socket"
    HOOP = "hoop"
    SPLICE = "splice sleeve"
    RIDGE_JOINT = "ridge joint"
    RAIL = "rail"
    BRACE = "brace"
    SILL_BOARD = "sill board"
    JOINT_BLOCK = "joint block"
    HIP_BOARD = "hip board"
    HIP_RAIL = "hip rail"
    END_STOP = "end stop"
    TIE = "tie"
    KING_POST = "king post"
    WEB = "web"
    GUSSET = "gusset plate"
    STUD = "end wall stud"
    GIRT = "end wall girt"
    WALL_SILL = "end wall sill"
    WALL_BRACE = "end wall brace"
    DOOR_JAMB = "door jamb"
    DOOR_HEADER = "door header"
    THRESHOLD = "threshold"
    DOOR_LEAF = "door leaf"
    HINGE = "hinge"
    DOOR_TRACK = "door track"
    ROLL_TUBE = "roll tube"
    TRACK_NAILER = "track nailer"
    BRACKET = "door bracket"
    CURTAIN_GUIDE = "curtain guide"
    FLOOR_GUIDE = "floor guide"
    CLAMP = "clamp"
    BOLT = "bolt"
    NUT = "nut"
    WASHER = "washer"
    SCREW = "screw"


class Side(enum.Enum):
    """Where across the tunnel a member stands."""

    __hash__ = object.__hash__  # as that of a role

    LEFT = "left"
    RIGHT = "right"
    MIDDLE = "middle"


class Spot(Struct, frozen=True, kw_only=True):
    """Where a member stands in the grid.

    Parameters
    ----------
    side : Side
    hoop : int
        Number of the hoop, from 1; for a member that spans several, its first.
    to_hoop : int or None
        The last hoop that it reaches, for a member that spans several.
    order : int
        Its place among the members of its kind there, from 1: the piece of a
        hoop from the left foot, the piece of a rail from the first hoop.
    """

    side: Side
    hoop: int
    to_hoop: int | None = None
    order: int = 1


class Member(Struct, frozen=True, kw_only=True):
    """A part placed.

    Parameters
    ----------
    mark : str
        For example ``H1``; equal parts have equal marks.
    role : Role
    part : Part
    placement : Placement
        The part's own axes in the frame's axes, mm.
    spot : Spot
    source : str
        The section of the design that asks for it, such as ``rail[2]``; hardware has that of
        what it holds.
    """

    mark: str
    role: Role
    part: Part
    placement: Placement
    spot: Spot
    source: str = ""


class PartCount(Struct, frozen=True, kw_only=True):
    """A distinct part with its mark, role and the members that are made of it."""

    mark: str
    role: Role
    part: Part
    members: tuple[Member, ...]

    @property
    def count(self) -> int:
        """How many are needed."""
        return len(self.members)


class Grid(Struct, frozen=True, kw_only=True):
    """The lines that the frame is set out on.

    Parameters
    ----------
    hoop_y_mm : tuple of float
        Position of every hoop along the tunnel, rising from 0.
    socket_x_mm : float
        Half the distance between centres of the sockets at ground level.
    """

    hoop_y_mm: tuple[float, ...]
    socket_x_mm: float

    @property
    def length_mm(self) -> float:
        """Length between the centres of the first and the last hoop, mm."""
        return self.hoop_y_mm[-1]

    @property
    def spacing_mm(self) -> float:
        """Distance between neighbouring hoops, mm."""
        return self.hoop_y_mm[-1] / (len(self.hoop_y_mm) - 1)


class Frame(Struct, frozen=True, kw_only=True, dict=True):
    """Everything that gets built: the design it came from, the grid, the arch, the members.

    ``doors`` and ``vents`` are the openings that the members leave, from
    :mod:`frame3d.frame.clear`.
    """

    design: object
    grid: Grid
    arch: object
    members: tuple[Member, ...]
    doors: tuple[DoorOpening, ...] = ()
    vents: tuple[SideVent, ...] = ()

    @cached_property
    def worked_out(self) -> dict:
        """What :mod:`frame3d.frame.once` has kept of it so far."""
        return {}

    def of(self, *roles: Role) -> Iterator[Member]:
        """The members with one of ``roles``, in order."""
        return (member for member in self.members if member.role in roles)

    def parts(self) -> tuple[PartCount, ...]:
        """Every distinct part once, with its members, in the order of the marks' first use."""
        found: dict[str, list[Member]] = {}
        for member in self.members:
            found.setdefault(member.mark, []).append(member)
        return tuple(
            PartCount(mark=mark, role=group[0].role, part=group[0].part, members=tuple(group))
            for mark, group in found.items()
        )
