"""Tables of the design for the checks: room for people and machines, limits, surroundings.

Nothing here changes the frame. Every limit of a check that is not a dimension of the
frame itself stands in one of these tables, with its default.
"""

from __future__ import annotations

import enum

from pydantic import model_validator

from frame3d.design.tables.fields import (
    DesignTable,
    LengthMm,
    Number,
    OffsetMm,
    PointMm,
    Text,
    Whole,
    field,
)
from frame3d.design.tables.surroundings import Bearing, Compass, Nearby, Neighbour, Surroundings
from frame3d.errors import DesignError
from frame3d.geometry.outlines import crossing_sides


class Clearance(DesignTable):
    """Room that people need inside and at the doors."""

    head_height: LengthMm = field(
        "Headroom that a person needs along a walking line, and under ties",
        imperial="80 in",
        metric="2030 mm",
        ge=1000,
        le=4000,
        why="the clear height of an accessible way (ADA 404.2.3)",
    )
    walking_lines: tuple[OffsetMm, ...] = field(
        "Distances of the walking lines from the centreline; to the right as seen from the front, "
        "left with a minus sign",
        imperial=["0 in"],
        metric=["0 mm"],
        max_length=12,
    )
    walking_width: LengthMm = field(
        "Width of the strip along a walking line that needs the headroom",
        imperial="18 in",
        metric="450 mm",
        ge=0,
        le=3000,
        why="shoulders (common practice)",
    )
    bed_edges: tuple[LengthMm, ...] = field(
        "Distances of the edges of the outer beds from the inside of the hoops at the ground, on "
        "both sides",
        imperial=["24 in"],
        metric=["600 mm"],
        max_length=12,
    )
    bed_headroom: LengthMm = field(
        "Height that is needed over the edge of a bed",
        imperial="4 ft",
        metric="1200 mm",
        ge=100,
        le=4000,
        why="to work stooping or kneeling (common practice)",
    )
    door_width: LengthMm = field(
        "Clear width that a door needs, its leaf open at a right angle",
        imperial="32 in",
        metric="815 mm",
        ge=300,
        le=6000,
        why="ADA 404.2.3",
    )
    door_height: LengthMm = field(
        "Clear height that a door needs",
        imperial="80 in",
        metric="2030 mm",
        ge=300,
        le=6000,
        why="ADA 404.2.3",
    )
    leaf_gap: LengthMm = field(
        "Gap between a moving door leaf and whatever it passes",
        imperial="1/2 in",
        metric="12 mm",
        ge=0,
        le=500,
        why="timber moves and hinges sag (common practice)",
    )
    leaf_ground: LengthMm = field(
        "Gap between a door leaf and the ground",
        imperial="3/4 in",
        metric="20 mm",
        ge=0,
        le=500,
        why="ground is uneven and heaves (common practice)",
    )


class Passes(enum.Enum):
    """Which doors a machine must pass."""

    ONE = "one"
    EVERY = "every"
    NONE = "none"


class Machine(DesignTable):
    """A machine that must get in and drive along the tunnel, as it is seen from behind."""

    name: Text = field("What it is called", min_length=1, max_length=40, default="Machine")
    width: LengthMm = field("Largest width", imperial="3 ft", metric="900 mm", ge=100, le=12000)
    height: LengthMm = field("Largest height", imperial="6 ft", metric="1800 mm", ge=100, le=8000)
    shoulder_height: LengthMm | None = field(
        "With top_width: height up to which it has its largest width; it narrows evenly from "
        "there. Left out: half its height",
        optional=True,
        ge=0,
        le=8000,
    )
    top_width: LengthMm | None = field(
        "Width at the top. Left out: its largest width", optional=True, ge=0, le=12000
    )
    corners: tuple[PointMm, ...] = field(
        "Any other outline, in place of the four sizes above: its corners one after the other, "
        "each as its distance from the middle of the machine at its height above the ground",
        default=[],
        max_length=60,
    )
    margin: LengthMm = field(
        "Safety margin all round",
        imperial="6 in",
        metric="150 mm",
        ge=0,
        le=2000,
        why="nobody steers to a hair (common practice)",
    )
    passes: Passes = field(
        "Which doors it must pass: one of them, every door, or none", default="one"
    )
    wall_distance: LengthMm | None = field(
        "How near its side must come to the inside of the hoops at the ground, with the margin "
        "kept, for example to reach the outer bed",
        optional=True,
        ge=0,
        le=15000,
    )

    @model_validator(mode="after")
    def _agrees(self) -> Machine:
        if self.corners:
            across, up = ([corner[axis] for corner in self.corners] for axis in (0, 1))
            if len(self.corners) < 3 or min(max(v) - min(v) for v in (across, up)) < 1:
                raise DesignError(
                    f"got {len(self.corners)} corners that enclose nothing; give at least three "
                    "that do not lie on a level or a plumb line",
                    "corners",
                )
            if sides := crossing_sides(self.corners):
                raise DesignError(
                    f"the side after corner {sides[0]} crosses the one after corner {sides[1]}; "
                    "give the corners in their order round the machine",
                    "corners",
                )
        elif self.shoulder_height is not None and self.shoulder_height > self.height:
            raise DesignError(
                "shoulder_height is above the height; make it lower", "shoulder_height"
            )
        elif self.top_width is not None and self.top_width > self.width:
            raise DesignError("top_width is more than width; make it less", "top_width")
        return self

    @property
    def outline(self) -> tuple[tuple[float, float], ...]:
        """Corners of its outline, anticlockwise or clockwise: across and up, (n, 2) mm."""
        if self.corners:
            return self.corners
        half, height = self.width / 2, self.height
        if self.top_width is None:
            return ((-half, 0.0), (half, 0.0), (half, height), (-half, height))
        top = self.top_width / 2
        shoulder = height / 2 if self.shoulder_height is None else self.shoulder_height
        return (
            (-half, 0.0),
            (half, 0.0),
            (half, shoulder),
            (top, height),
            (-top, height),
            (-half, shoulder),
        )


class Practice(DesignTable):
    """Limits of good practice: what is bent, carried, braced, driven and aired."""

    hoop_stock: LengthMm = field(
        "Longest tube for hoops that can be bought",
        imperial="24 ft",
        metric="6.4 m",
        ge=600,
        le=20000,
    )
    transport_length: LengthMm = field(
        "Longest part that can be brought to the site",
        imperial="24 ft",
        metric="7 m",
        ge=600,
        le=30000,
    )
    hoop_pieces: Whole = field(
        "Largest number of pieces in one hoop",
        default=5,
        ge=1,
        le=5,
        why="each splice is a weak place (a government bulletin on such structures, 2013)",
    )
    least_brace_angle: Number = field(
        "Smallest angle of a brace to the ground, in degrees",
        default=30.0,
        ge=0,
        le=89,
        why="flatter ones do little (common practice)",
    )
    most_brace_angle: Number = field(
        "Largest angle of a brace to the ground, in degrees",
        default=60.0,
        ge=1,
        le=90,
        why="steeper ones do little (common practice)",
    )
    brace_reach: LengthMm = field(
        "Length of tunnel for which one brace on each side will do",
        imperial="96 ft",
        metric="30 m",
        ge=2000,
        le=200000,
        why="common practice",
    )
    embedment: LengthMm = field(
        "Least length of a socket in the ground",
        imperial="24 in",
        metric="600 mm",
        ge=100,
        le=3000,
        why="firm soil; frost, uplift and soil decide it locally (common practice)",
    )
    joint_share: Number = field(
        "Least distance of a joint of boards from a hoop, as a share of the bay",
        default=0.25,
        ge=0,
        le=0.5,
        why="midway is best; near a hoop the joint opens (common practice)",
    )
    vent_share: Number = field(
        "Least share of the floor that opens at the sides",
        default=0.15,
        ge=0,
        le=1,
        why="15 to 20 % of the floor is asked for (ASABE EP406.4, second hand)",
    )
    least_ratio: Number = field(
        "Least ratio of length to width", default=1.0, ge=0, le=20, why="common practice"
    )
    most_ratio: Number = field(
        "Largest ratio of length to width",
        default=6.0,
        ge=0.1,
        le=200,
        why="long narrow tunnels air badly through their sides and ends (common practice)",
    )

    @model_validator(mode="after")
    def _in_order(self) -> Practice:
        for low, high in (("least_brace_angle", "most_brace_angle"), ("least_ratio", "most_ratio")):
            if getattr(self, low) >= getattr(self, high):
                raise DesignError(f"{high} must be more than {low}; change one of them", high)
        return self


class Accept(DesignTable):
    """A finding of the checks that is known and accepted, with the reason."""

    rule: Text = field(
        "Name of the rule; frame3d rules lists them",
        min_length=1,
        max_length=40,
        default="rule-name",
    )
    where: Text = field(
        "Only findings whose place contains these words; empty for all of the rule",
        default="",
        max_length=80,
    )
    reason: Text = field(
        "Why it is accepted; it is shown with the finding",
        min_length=3,
        max_length=200,
        default="state the reason",
    )


__all__ = [
    "Accept",
    "Bearing",
    "Clearance",
    "Compass",
    "Machine",
    "Nearby",
    "Neighbour",
    "Passes",
    "Practice",
    "Surroundings",
]
