"""What members are for and where they stand: roles, and their spots in the grid of the frame.

Glossary
--------
side : left is x < 0, right is x > 0, looking along +y from the first hoop.
"""

from __future__ import annotations

import bisect
import enum
import itertools

from msgspec import Struct


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
    SKIRT_BOARD = "skirt board"
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
    WALL_ANCHOR = "end wall anchor"
    WALL_SKIRT = "end wall skirt"
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
    CHANNEL = "film channel"
    CHANNEL_SCREW = "channel screw"
    CURTAIN_TUBE = "curtain tube"
    CURTAIN_SCREW = "curtain screw"
    CURTAIN_CLIP = "curtain clip"
    CORD_EYE = "cord eye"
    WINDER = "curtain winder"
    GUIDE_POST = "guide post"
    FILM = "film"
    WIRE = "film wire"
    CORD = "cord"
    CLAMP = "clamp"
    BOLT = "bolt"
    NUT = "nut"
    WASHER = "washer"
    SCREW = "screw"


SKIN = frozenset(
    {
        Role.CHANNEL, Role.CHANNEL_SCREW, Role.CURTAIN_TUBE, Role.CURTAIN_SCREW, Role.CURTAIN_CLIP,
        Role.CORD_EYE, Role.WINDER, Role.GUIDE_POST, Role.FILM, Role.WIRE, Role.CORD,
    }
)  # fmt: skip
"""What is put on with the cover: it lies on the frame and is fitted to it on site, so nothing
is measured against it."""


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


class Grid(Struct, frozen=True, kw_only=True):
    """The lines that the frame is set out on.

    Parameters
    ----------
    hoop_y_mm : tuple of float
        Position of every hoop along the tunnel, rising from 0.
    socket_x_mm : float
        Half the distance between centres of the sockets at ground level.
    designed_y_mm : tuple of float
        Position of every hoop in the design, evenly spaced, where they stand elsewhere as they
        were driven; else empty.
    """

    hoop_y_mm: tuple[float, ...]
    socket_x_mm: float
    designed_y_mm: tuple[float, ...] = ()

    @property
    def length_mm(self) -> float:
        """Length between the centres of the first and the last hoop, mm."""
        return self.hoop_y_mm[-1]

    @property
    def spacing_mm(self) -> float:
        """Distance between neighbouring hoops, the mean of them as driven, mm."""
        return self.hoop_y_mm[-1] / (len(self.hoop_y_mm) - 1)

    @property
    def bays_mm(self) -> tuple[float, ...]:
        """The width of each bay, mm."""
        return tuple(b - a for a, b in itertools.pairwise(self.hoop_y_mm))

    @property
    def driven_mm(self) -> tuple[float, ...]:
        """Where hoops stand as driven; empty for the grid of a design."""
        return self.hoop_y_mm if self.designed_y_mm else ()

    @property
    def even(self) -> Grid:
        """The grid of the design."""
        if not self.designed_y_mm:
            return self
        return Grid(hoop_y_mm=self.designed_y_mm, socket_x_mm=self.socket_x_mm)

    @property
    def most_growth_mm(self) -> float:
        """By how much any stretch between two hoops is longer than in the design, at most, mm."""
        most, least = 0.0, 0.0
        for now, then in zip(self.hoop_y_mm, self.designed_y_mm, strict=False):
            least = min(least, now - then)
            most = max(most, now - then - least)
        return most

    def driven_at(self, y_mm: float) -> float:
        """Where a place of the design comes to lie: a share of its bay stays that share of it."""
        return _carried(y_mm, self.designed_y_mm, self.hoop_y_mm)

    def designed_at(self, y_mm: float) -> float:
        """The place of the design that comes to lie there."""
        return _carried(y_mm, self.hoop_y_mm, self.designed_y_mm)


def _carried(at: float, here: tuple[float, ...], there: tuple[float, ...]) -> float:
    """A place among stations ``here`` as it lies among ``there``; past the ends as far out."""
    if not here or not there:
        return at
    if not here[0] < at < here[-1]:
        end = 0 if at <= here[0] else -1
        return there[end] + (at - here[end])
    after = bisect.bisect_right(here, at)
    share = (at - here[after - 1]) / (here[after] - here[after - 1])
    return there[after - 1] + share * (there[after] - there[after - 1])
