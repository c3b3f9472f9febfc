"""Table of the design for what spans a hoop overhead: ties with post and webs."""

import enum
from typing import Annotated, Literal

from frame3d.design.tables.fields import (
    WHOLE_ONLY,
    DesignTable,
    LengthMm,
    Number,
    Tube,
    Whole,
    field,
)


class TieEnds(enum.Enum):
    """Whether the end hoops get a tie."""

    WITH = "with"
    WITHOUT = "without"


class TieJoint(enum.Enum):
    """How ties, posts and webs are joined to the hoop and to each other."""

    CLAMPED = "clamped"
    PLATES = "plates"


class Post(enum.Enum):
    """What stands on the middle of a tie."""

    NONE = "none"
    KING_POST = "king post"


class Tie(DesignTable):
    """A tie (collar tie): a level tube across a hoop. It sets the headroom."""

    height: LengthMm = field(
        "Height of the tie (collar tie) above ground, to its centreline",
        imperial="8 ft",
        metric="2400 mm",
        ge=300,
        le=18000,
        why="high enough to walk and work under (common practice)",
    )
    every: Whole = field(
        "Hoops with a tie: every hoop (1), every second (2) and so on, from the first",
        ge=1,
        le=400,
        default=1,
    )
    ends: TieEnds = field(
        "Whether the first and last hoops get one; a hoop with an end wall never does, "
        "because the studs are in the way",
        default="without",
    )
    tube: Tube = field(
        "Tube of the tie, king post and webs",
        imperial="NPS 1 STD",
        metric="EN 10255 DN25 medium",
    )
    joint: TieJoint = field(
        "How tie, king post and webs are joined: tube clamps, or bolted plates",
        default="clamped",
    )
    post: Post = field(
        "King post: an upright tube on the middle of the tie, clamped to the ridge rail "
        "or, without one, to the crown of a quonset hoop",
        default="none",
    )
    webs: Annotated[Literal[0, 2], WHOLE_ONLY] = field(
        "Webs, sloping tubes from the tie up to the hoop: none (0), or one on each side (2)",
        default=0,
    )
    web_foot: Number = field(
        "Where a web starts on the tie: share of the way from its middle (0) to the hoop (1)",
        default=0.2,
        ge=0.05,
        le=0.9,
    )
    web_top: Number = field(
        "Where a web meets the hoop: share of the way along the curve from the tie (0) to the "
        "ridge (1)",
        default=0.5,
        ge=0.1,
        le=0.95,
    )
    overhang: LengthMm = field(
        "Clamped: length past the middle of the clamp at each end",
        imperial="2 in",
        metric="50 mm",
        ge=20,
        le=500,
    )
