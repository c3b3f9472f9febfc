"""Tables of the design for the ends of the tunnel: end walls and doors."""

from __future__ import annotations

import enum
from typing import Annotated, Literal

from pydantic import model_validator

from frame3d.errors import DesignError
from frame3d.spec.fields import WHOLE_ONLY, LengthMm, OffsetMm, Part, Timber, Tube, field


class End(enum.Enum):
    """An end of the tunnel: front at the first hoop, back at the last."""

    FRONT = "front"
    BACK = "back"


class Ends(enum.Enum):
    """Which ends of the tunnel something is for."""

    FRONT = "front"
    BACK = "back"
    BOTH = "both"

    @property
    def each(self) -> tuple[End, ...]:
        """The ends meant, front first."""
        return tuple(End) if self is Ends.BOTH else (End(self.value),)


class StudMaterial(enum.Enum):
    """What the studs of an end wall are made of."""

    TIMBER = "timber"
    TUBE = "tube"


class StudTop(enum.Enum):
    """How a stud is held to the hoop."""

    NOTCHED = "notched"
    BOLTED = "bolted"
    FLATTENED = "flattened"
    CLAMPED = "clamped"


class StudFoot(enum.Enum):
    """What a stud stands on."""

    SILL = "sill"
    GROUND = "ground"


class WallBraces(enum.Enum):
    """Which studs are braced to the next hoop."""

    NONE = "none"
    PAIR = "pair"
    ALL = "all"


class DoorKind(enum.Enum):
    """How a door opens."""

    HINGED = "hinged"
    SLIDING = "sliding"
    ROLL_UP = "roll-up"


class Hand(enum.Enum):
    """A side, as seen from outside by who stands before the end wall."""

    LEFT = "left"
    RIGHT = "right"


class Swing(enum.Enum):
    """Which way a hinged leaf turns."""

    OUT = "out"
    IN = "in"


class Threshold(enum.Enum):
    """What lies on the ground in a door opening."""

    BOARD = "board"
    NONE = "none"


_TOPS = {
    StudMaterial.TIMBER: (StudTop.NOTCHED, StudTop.BOLTED),
    StudMaterial.TUBE: (StudTop.FLATTENED, StudTop.CLAMPED),
}


class EndWall(Part):
    """The frame of an end: studs from a sill or the ground up to the end hoop."""

    at: Ends = field("Which end it is for: front is at the first hoop", default="both")
    studs: StudMaterial = field("What the studs are made of", default="timber")
    timber: Timber = field(
        "Timber studs: section; its depth stands along the tunnel",
        imperial="2x4", metric="47x100")
    tube: Tube = field(
        "Tube studs: section", imperial="NPS 1-1/4 STD", metric="EN 10255 DN32 medium")
    top: StudTop | None = field(
        "How a stud is held to the hoop. Timber: notched round its inner half, or bolted behind "
        "it. Tube: pressed flat and bolted behind it, or clamped. Left out: notched or clamped",
        optional=True)
    largest_spacing: LengthMm = field(
        "Largest distance between studs, where no positions are given",
        imperial="4 ft", metric="1200 mm", ge=200, le=10000,
        why="what a sheet of cladding spans (common practice)")
    positions: tuple[OffsetMm, ...] = field(
        "Studs at these distances of their centres from the centreline, in place of even spacing; "
        "to the right as seen from the front, left ones with a minus sign", default=[],
        max_length=60)
    foot: StudFoot | None = field(
        "What the studs stand on: a sill on the ground, or set into the ground. Left out: sill "
        "for timber, ground for tube", optional=True)
    embedment: LengthMm = field(
        "Studs set into the ground: how deep", imperial="24 in", metric="600 mm", ge=100, le=3000,
        why="as sockets (common practice)")
    sill: Timber = field(
        "Section of the sill: flat under timber studs, on edge before studs in the ground",
        imperial="2x6", metric="47x150")
    girts: tuple[OffsetMm, ...] = field(
        "Heights of the girts, to their centres; they run between the studs", default=[],
        max_length=12)
    braces: WallBraces = field(
        "Which studs are braced to the next hoop: none, the pair nearest to the quarter points, "
        "or all that reach above the brace", default="pair",
        why="the end wall takes the wind along the tunnel (common practice)")
    brace_height: LengthMm = field(
        "Height of a brace's low end on its stud", imperial="4 ft", metric="1200 mm",
        ge=100, le=15000)
    brace_tube: Tube = field(
        "Tube of the braces", imperial="NPS 1 STD", metric="EN 10255 DN25 medium")

    @model_validator(mode="after")
    def _agrees(self) -> EndWall:
        tops = _TOPS[self.studs]
        if self.top is not None and self.top not in tops:
            names = " or ".join(f'"{top.value}"' for top in tops)
            raise DesignError(
                f'"{self.top.value}" is not for studs of {self.studs.value}; make it {names}, or '
                "leave it out", "top")
        if self.studs is StudMaterial.TUBE and self.foot is StudFoot.SILL:
            raise DesignError(
                'tube studs are set into the ground; make it "ground", or leave it out', "foot")
        return self

    @property
    def stud_top(self) -> StudTop:
        """How the studs are held to the hoop, given or by default."""
        first = StudTop.NOTCHED if self.studs is StudMaterial.TIMBER else StudTop.CLAMPED
        return self.top or first

    @property
    def stud_foot(self) -> StudFoot:
        """What the studs stand on, given or by default."""
        timber = self.studs is StudMaterial.TIMBER
        return self.foot or (StudFoot.SILL if timber else StudFoot.GROUND)


class Door(Part):
    """A door in an end wall."""

    at: Ends = field("Which end wall it is in", default="front")
    kind: DoorKind = field("How it opens", default="hinged")
    width: LengthMm = field(
        "Clear width: between the faces of the jambs", imperial="4 ft", metric="1200 mm",
        ge=300, le=12000,
        why="a wheelbarrow with room for hands; 32 in is the least for access (ADA 404.2.3)")
    height: LengthMm = field(
        "Clear height: from the threshold, or the ground, to the header",
        imperial="6 ft 8 in", metric="2050 mm", ge=300, le=8000,
        why="80 in or about 2.03 m is the least for access (ADA 404.2.3)")
    position: OffsetMm = field(
        "Distance of its middle from the centreline; to the right as seen from the front, "
        "left with a minus sign", imperial="0 in", metric="0 mm")
    leaves: Annotated[Literal[1, 2], WHOLE_ONLY] = field("Number of leaves", default=1)
    hand: Hand = field(
        "One leaf, seen from outside: the side of its hinges, or the side that it slides to",
        default="left")
    swing: Swing = field("Hinged: which way it turns", default="out",
                         why="nothing stands behind it inside (common practice)")
    threshold: Threshold = field("What lies on the ground in the opening", default="none",
                                 why="wheels pass")
    leaf: Timber = field("Section of the frame of the leaf", imperial="2x4", metric="47x75")
    header: Timber | None = field(
        "Timber walls: section of the header, on edge. Left out: as the studs", optional=True)

    @model_validator(mode="after")
    def _agrees(self) -> Door:
        if self.kind is DoorKind.ROLL_UP and self.leaves == 2:
            raise DesignError("a roll-up door has one curtain; leave leaves out", "leaves")
        return self


__all__ = [
    "Door",
    "DoorKind",
    "End",
    "EndWall",
    "Ends",
    "Hand",
    "StudFoot",
    "StudMaterial",
    "StudTop",
    "Swing",
    "Threshold",
    "WallBraces",
]
