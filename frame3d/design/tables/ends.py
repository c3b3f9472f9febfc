"""Tables of the design for the ends of the tunnel: end walls and doors."""

from __future__ import annotations

import enum
import itertools
from typing import Annotated, Literal

from annotated_types import Ge, Le
from pydantic import model_validator

from frame3d.design.tables.fields import (
    WHOLE_ONLY,
    DesignTable,
    LengthMm,
    OffsetMm,
    Timber,
    Tube,
    field,
)
from frame3d.errors import DesignError


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


LEAST_IN_NOTCH_MM = 20.0
"""What a notch round the hoop must leave of a stud (common practice, no source)."""
_TOPS = {
    StudMaterial.TIMBER: (StudTop.NOTCHED, StudTop.BOLTED),
    StudMaterial.TUBE: (StudTop.FLATTENED, StudTop.CLAMPED),
}


class EndWall(DesignTable):
    """An end wall: uprights (studs) from the ground, or from a board on it, to the end hoop."""

    at: Ends = field(
        "Which end of the tunnel it is for; front is at the first hoop", default="both"
    )
    studs: StudMaterial = field("What the studs are made of", default="timber")
    timber: Timber = field(
        "Timber studs: their section; the wide faces stand along the tunnel",
        imperial="2x4",
        metric="47x100",
    )
    tube: Tube = field(
        "Tube studs: their tube", imperial="NPS 1-1/4 STD", metric="EN 10255 DN32 medium"
    )
    top: StudTop | None = field(
        "How a stud is held to the hoop. Timber: notched round the inner half of the hoop's tube, "
        "or bolted behind it. Tube: flattened at the end and bolted behind it, or clamped to it. "
        "Behind is towards the inside of the tunnel. Left out: timber is notched, tube clamped",
        optional=True,
    )
    largest_spacing: LengthMm = field(
        "Where positions are not given: largest distance between the centres of studs",
        imperial="4 ft",
        metric="1200 mm",
        ge=200,
        le=10000,
        why="a sheet of cladding is about as wide (common practice)",
    )
    positions: tuple[Annotated[OffsetMm, Ge(-15000), Le(15000)], ...] = field(
        "Where the studs stand, in place of even spacing: distances of their centres from the "
        "middle of the tunnel. To the right for one who stands before the front, at both ends; to "
        "the left with a minus sign",
        default=[],
        max_length=60,
        why="the studs are spaced evenly",
    )
    foot: StudFoot | None = field(
        "What the studs stand on: a sill, which is a board on the ground; or they are set into "
        "the ground. Left out: timber stands on a sill, tube in the ground",
        optional=True,
    )
    embedment: LengthMm = field(
        "Studs set into the ground: how deep",
        imperial="24 in",
        metric="600 mm",
        ge=100,
        le=3000,
        why="about 24 in or 600 mm (common practice)",
    )
    sill: Timber = field(
        "Section of the sill: it lies flat under timber studs, and stands on edge on the outside "
        "of studs set into the ground",
        imperial="2x6",
        metric="47x150",
    )
    girts: tuple[Annotated[LengthMm, Ge(50), Le(20000)], ...] = field(
        "Girts, level pieces between the studs: heights of their centres above the ground",
        default=[],
        max_length=12,
        why="no girts",
    )
    braces: WallBraces = field(
        "Which studs get a brace to the next hoop: none, the pair that stands nearest to a "
        "quarter of the width from each side, or all that reach above brace_height",
        default="pair",
        why="wind along the tunnel pushes on the end wall (common practice)",
    )
    brace_height: LengthMm = field(
        "Height of a brace's low end, on its stud; it stands as near to it as girts, headers and "
        "hinges let it",
        imperial="4 ft",
        metric="1200 mm",
        ge=100,
        le=15000,
    )
    brace_tube: Tube = field(
        "Tube of the braces", imperial="NPS 1 STD", metric="EN 10255 DN25 medium"
    )

    @model_validator(mode="after")
    def _agrees(self) -> EndWall:
        tops = _TOPS[self.studs]
        if self.top is not None and self.top not in tops:
            names = " or ".join(f'"{top.value}"' for top in tops)
            raise DesignError(
                f'got "{self.top.value}", which is not for studs of {self.studs.value}; make it '
                f"{names}, leave it out, or change studs",
                "top",
            )
        if self.studs is StudMaterial.TUBE and self.foot is StudFoot.SILL:
            raise DesignError(
                'got "sill", and studs of tube are set into the ground; make it "ground", leave '
                "it out, or change studs",
                "foot",
            )
        self._apart()
        return self

    def _apart(self) -> None:
        """No two studs may overlap, nor two girts lie at one height."""
        timber = self.studs is StudMaterial.TIMBER
        wide = self.timber.thickness_mm if timber else self.tube.od_mm
        for name, least, what in (("positions", wide, "studs"), ("girts", 1.0, "girts")):
            order = sorted(enumerate(getattr(self, name), start=1), key=lambda item: item[1])
            for (one, here), (other, there) in itertools.pairwise(order):
                if there - here < least:
                    first, second = sorted((one, other))
                    raise DesignError(
                        f"these {what} overlap: items {first} and {second} of the "
                        "list; leave one of them out or move it",
                        f"{name}[{second}]",
                    )

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


class Door(DesignTable):
    """A door in an end wall."""

    at: Ends = field("Which end wall it is in", default="front")
    kind: DoorKind = field("How it opens", default="hinged")
    width: LengthMm = field(
        "Clear width, between the posts at its sides (jambs)",
        imperial="4 ft",
        metric="1200 mm",
        ge=300,
        le=12000,
        why="a wheelbarrow with room for hands; where wheelchairs must pass, 32 in or 815 mm is "
        "the least (2010 ADA Standards, 404.2.3)",
    )
    height: LengthMm = field(
        "Clear height, from the threshold or the ground to the beam over the door (header)",
        imperial="6 ft 8 in",
        metric="2050 mm",
        ge=300,
        le=8000,
        why="80 in or 2030 mm is the least headroom where the public walks (2010 ADA Standards, "
        "307.4)",
    )
    position: OffsetMm = field(
        "Distance of its middle from the middle of the tunnel. To the right for one who stands "
        "before the front, at both ends; to the left with a minus sign",
        imperial="0 in",
        metric="0 mm",
        ge=-15000,
        le=15000,
    )
    leaves: Annotated[Literal[1, 2], WHOLE_ONLY] = field("Number of leaves", default=1)
    hand: Hand = field(
        "One leaf: the side of its hinges, or the side that it slides to, as seen from outside "
        "that end",
        default="left",
    )
    swing: Swing = field(
        "Hinged: which way it turns", default="out", why="it takes no room inside (common practice)"
    )
    threshold: Threshold = field(
        "What lies on the ground in the opening", default="none", why="wheels roll in freely"
    )
    leaf: Timber = field(
        "Hinged or sliding: boards of the leaf's frame", imperial="2x4", metric="47x75"
    )
    header: Timber | None = field(
        "Studs of timber: section of the header, which stands on edge. Left out: as the studs",
        optional=True,
    )

    @model_validator(mode="after")
    def _agrees(self) -> Door:
        if self.kind is DoorKind.ROLL_UP and self.leaves == 2:
            raise DesignError(
                "got 2, and a roll-up door has one curtain; make it 1, leave it out, or change "
                "kind",
                "leaves",
            )
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
