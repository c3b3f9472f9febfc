"""Table of the design for what spans a hoop overhead: ties with post and webs."""

from __future__ import annotations

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
    """A level tube from one side of a hoop to the other. It sets the headroom."""

    height: LengthMm = field(
        "Height of its centreline above the ground",
        imperial="8 ft",
        metric="2400 mm",
        ge=300,
        le=18000,
        why="high enough to walk and work under (common practice)",
    )
    every: Whole = field(
        "Which hoops get one: every hoop (1), every second (2) and so on, from the first",
        ge=1,
        le=400,
        default=1,
    )
    ends: TieEnds = field(
        "Whether the first and the last hoop get one; a hoop with an end wall never does, "
        "as the studs stand in its way",
        default="without",
    )
    tube: Tube = field(
        "Tube of the tie, its post and its webs",
        imperial="NPS 1 STD",
        metric="EN 10255 DN25 medium",
    )
    joint: TieJoint = field(
        "How it is joined to the hoop, and post and webs with it: by tube clamps, or by plates "
        "with bolts",
        default="clamped",
    )
    post: Post = field(
        "What stands on its middle: nothing, or a king post, which is an upright tube clamped "
        "to the ridge rail or, where there is none, to the crown of a quonset hoop",
        default="none",
    )
    webs: Annotated[Literal[0, 2], WHOLE_ONLY] = field(
        "Webs, slanting tubes from the tie up to the hoop: none (0), or one to each side (2)",
        default=0,
    )
    web_foot: Number = field(
        "Where a web begins on the tie: share of the way from its middle (0) to the hoop (1)",
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


__all__ = ["Post", "Tie", "TieEnds", "TieJoint"]
