"""Tables of the design for the ends of the tunnel: end walls and doors."""

import enum
import itertools
from typing import Annotated, Literal, Self

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


class WallAnchors(enum.Enum):
    """What holds the sill of an end wall to the ground."""

    NONE = "none"
    STAKES = "stakes"
    POSTS = "posts"
    GROUND_ANCHORS = "ground anchors"


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
    """An end wall: studs from the ground, or from a sill on it, up to the end hoop."""

    at: Ends = field("Which end of the tunnel; the front is at the first hoop", default="both")
    studs: StudMaterial = field("What the studs are made of", default="timber")
    timber: Timber = field(
        "Timber studs: lumber size; the wide faces run along the tunnel",
        imperial="2x4",
        metric="47x100",
    )
    tube: Tube = field("Tube studs: tube", imperial="NPS 1-1/4 STD", metric="EN 10255 DN32 medium")
    top: StudTop | None = field(
        "How the top of a stud is fixed to the hoop. Timber: notched round the hoop tube, "
        "or bolted behind it. Tube: flattened and bolted behind it, or clamped. Behind "
        "means on the inside of the tunnel. Default: timber notched, tube clamped",
        optional=True,
    )
    largest_spacing: LengthMm = field(
        "Without positions: widest stud spacing, centre to centre",
        imperial="4 ft",
        metric="1200 mm",
        ge=200,
        le=10000,
        why="about one sheet of cladding (common practice)",
    )
    positions: tuple[Annotated[OffsetMm, Ge(-15000), Le(15000)], ...] = field(
        "Stud positions, instead of even spacing: distances of their centres from the "
        "middle of the tunnel. Right as seen from the front, at both ends; left with a "
        "minus sign",
        default=[],
        max_length=60,
        why="studs are spaced evenly",
    )
    foot: StudFoot | None = field(
        "What the studs stand on: a sill (a board on the ground), or set into the ground. "
        "Default: timber on a sill, tube in the ground",
        optional=True,
    )
    embedment: LengthMm = field(
        "Studs set into the ground: depth",
        imperial="24 in",
        metric="600 mm",
        ge=100,
        le=3000,
        why="about 24 in or 600 mm (common practice)",
    )
    sill: Timber = field(
        "Lumber size of the sill: flat under timber studs, or on edge outside studs set "
        "into the ground",
        imperial="2x6",
        metric="47x150",
    )
    girts: tuple[Annotated[LengthMm, Ge(50), Le(20000)], ...] = field(
        "Girts (level rails between the studs): heights of their centres above ground",
        default=[],
        max_length=12,
        why="no girts",
    )
    braces: WallBraces = field(
        "Studs braced to the next hoop: none, the pair nearest the quarter points of the "
        "width, or all that are taller than brace_height",
        default="pair",
        why="wind along the tunnel pushes on the end wall; whether this resists it is for "
        "your engineer (common practice)",
    )
    brace_height: LengthMm = field(
        "Height of a brace's low end on its stud; moved as little as girts, headers and "
        "hinges require",
        imperial="4 ft",
        metric="1200 mm",
        ge=100,
        le=15000,
    )
    brace_tube: Tube = field("Brace tube", imperial="NPS 1 STD", metric="EN 10255 DN25 medium")

    anchors: WallAnchors = field(
        "What holds a sill under the studs to the ground: stakes (tubes driven beside it), posts "
        "(timber set into the ground beside it) or ground anchors (rods with a plate, turned in)",
        default="none",
        why="by others: what it has to hold is for your engineer, and nothing here knows it",
    )
    anchor_spacing: LengthMm = field(
        "Anchors: widest distance between them along the sill",
        imperial="4 ft",
        metric="1200 mm",
        ge=200,
        le=10000,
        why="where to begin (common practice, no source); what is needed is for your engineer",
    )
    anchor_depth: LengthMm = field(
        "Anchors: least depth in the ground, as it is at each of them",
        imperial="24 in",
        metric="600 mm",
        ge=100,
        le=3000,
        why="where to begin (common practice, no source); what is needed is for your engineer",
    )
    anchor_tube: Tube = field("Stakes: tube", imperial="NPS 1 STD", metric="EN 10255 DN25 medium")
    anchor_timber: Timber = field(
        "Posts: lumber size; the wide face is against the sill", imperial="4x4", metric="100x100"
    )
    anchor_rod: LengthMm = field(
        "Ground anchors: diameter of the rod", imperial="5/8 in", metric="16 mm", ge=8, le=50
    )
    anchor_plate: LengthMm = field(
        "Ground anchors: diameter of the plate at the foot of the rod",
        imperial="4 in",
        metric="100 mm",
        ge=60,
        le=400,
    )

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        tops = _TOPS[self.studs]
        if self.top is not None and self.top not in tops:
            names = " or ".join(f'"{top.value}"' for top in tops)
            raise DesignError(
                f'got "{self.top.value}", which does not suit {self.studs.value} studs; use '
                f"{names}, remove it, or change studs",
                "top",
            )
        if self.studs is StudMaterial.TUBE and self.foot is StudFoot.SILL:
            raise DesignError(
                'got "sill", but tube studs are set into the ground; use "ground", remove '
                "it, or change studs",
                "foot",
            )
        if self.anchors is not WallAnchors.NONE and self.stud_foot is StudFoot.GROUND:
            raise DesignError(
                f'"{self.anchors.value}" hold a sill under the studs, but these studs go into the '
                'ground and the sill is held to them; use "none", remove it, or use timber studs '
                'with foot = "sill"',
                "anchors",
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
                        f"these {what} overlap: items {first} and {second} of the list; "
                        "remove or move one of them",
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

    at: Ends = field("Which end wall", default="front")
    kind: DoorKind = field("How it opens", default="hinged")
    width: LengthMm = field(
        "Clear width between the jambs",
        imperial="4 ft",
        metric="1200 mm",
        ge=300,
        le=12000,
        why="room for a wheelbarrow; 32 in or 815 mm is the minimum for wheelchairs (2010 "
        "ADA Standards, 404.2.3)",
    )
    height: LengthMm = field(
        "Clear height from the threshold or ground to the header",
        imperial="6 ft 8 in",
        metric="2050 mm",
        ge=300,
        le=8000,
        why="80 in or 2030 mm is the minimum headroom where the public walks (2010 ADA "
        "Standards, 307.4)",
    )
    position: OffsetMm = field(
        "Distance of its middle from the middle of the tunnel. Right as seen from the "
        "front, at both ends; left with a minus sign",
        imperial="0 in",
        metric="0 mm",
        ge=-15000,
        le=15000,
    )
    leaves: Annotated[Literal[1, 2], WHOLE_ONLY] = field("Number of leaves", default=1)
    hand: Hand = field(
        "One leaf: the hinge side, or the side it slides to, seen from outside that end; roll-up: "
        "the side it is wound at, where there is a [curtain]",
        default="left",
    )
    swing: Swing = field(
        "Hinged: which way it swings",
        default="out",
        why="it takes up no room inside (common practice)",
    )
    threshold: Threshold = field(
        "What is on the ground in the opening", default="none", why="wheels roll in freely"
    )
    leaf: Timber = field(
        "Hinged or sliding: lumber size of the leaf's frame", imperial="2x4", metric="47x75"
    )
    header: Timber | None = field(
        "Timber studs: lumber size of the header, which is set on edge. Default: same as the studs",
        optional=True,
    )

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        if self.kind is DoorKind.ROLL_UP and self.leaves == 2:
            raise DesignError(
                "got 2, but a roll-up door has one curtain; use 1, remove it, or change kind",
                "leaves",
            )
        return self
