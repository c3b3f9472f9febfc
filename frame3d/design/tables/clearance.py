"""Tables of the design for the checks: room for people and machines, limits, surroundings.

Nothing here changes the frame. Every limit of a check that is not a dimension of the
frame itself stands in one of these tables, with its default.
"""

import enum
from typing import Self

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
    """Room that people need, inside and at the doors."""

    head_height: LengthMm = field(
        "Headroom needed along a walking line and under ties",
        imperial="80 in",
        metric="2030 mm",
        ge=1000,
        le=4000,
        why="clear height of an accessible route (ADA 404.2.3)",
    )
    walking_lines: tuple[OffsetMm, ...] = field(
        "Where people walk: distances from the centreline. Right as seen from the front; "
        "left with a minus sign",
        imperial=["0 in"],
        metric=["0 mm"],
        max_length=12,
    )
    walking_width: LengthMm = field(
        "Width of the walking strip that needs the headroom",
        imperial="18 in",
        metric="450 mm",
        ge=0,
        le=3000,
        why="shoulders (common practice)",
    )
    bed_edges: tuple[LengthMm, ...] = field(
        "Edges of the outer beds: distances from the inside of the hoops at the ground, both sides",
        imperial=["24 in"],
        metric=["600 mm"],
        max_length=12,
    )
    bed_headroom: LengthMm = field(
        "Height needed above the edge of a bed",
        imperial="4 ft",
        metric="1200 mm",
        ge=100,
        le=4000,
        why="enough to work stooped or kneeling (common practice)",
    )
    door_width: LengthMm = field(
        "Clear width needed at a door, leaf open 90 degrees",
        imperial="32 in",
        metric="815 mm",
        ge=300,
        le=6000,
        why="ADA 404.2.3",
    )
    door_height: LengthMm = field(
        "Clear height needed at a door",
        imperial="80 in",
        metric="2030 mm",
        ge=300,
        le=6000,
        why="ADA 404.2.3",
    )
    leaf_gap: LengthMm = field(
        "Clearance between a moving door leaf and anything it passes",
        imperial="1/2 in",
        metric="12 mm",
        ge=0,
        le=500,
        why="lumber moves and hinges sag (common practice)",
    )
    leaf_ground: LengthMm = field(
        "Clearance between a door leaf and the ground",
        imperial="3/4 in",
        metric="20 mm",
        ge=0,
        le=500,
        why="the ground is uneven and heaves (common practice)",
    )


class Passes(enum.Enum):
    """Which doors a machine must pass."""

    ONE = "one"
    EVERY = "every"
    NONE = "none"


class Machine(DesignTable):
    """A machine that must get in and drive along the tunnel, seen from behind."""

    name: Text = field("Its name", min_length=1, max_length=40, default="Machine")
    width: LengthMm = field("Largest width", imperial="3 ft", metric="900 mm", ge=100, le=12000)
    height: LengthMm = field("Largest height", imperial="6 ft", metric="1800 mm", ge=100, le=8000)
    shoulder_height: LengthMm | None = field(
        "With top_width: height where it starts to narrow. Default: half its height",
        optional=True,
        ge=0,
        le=8000,
    )
    top_width: LengthMm | None = field(
        "Width at the top. Default: its largest width", optional=True, ge=0, le=12000
    )
    corners: tuple[PointMm, ...] = field(
        "Any other outline, instead of the four sizes above: its corners in order, each as "
        "distance from the machine's middle at height above ground",
        default=[],
        max_length=60,
    )
    margin: LengthMm = field(
        "Clearance all round",
        imperial="6 in",
        metric="150 mm",
        ge=0,
        le=2000,
        why="nobody steers exactly (common practice)",
    )
    passes: Passes = field("Doors it must pass through: one, all or none", default="one")
    wall_distance: LengthMm | None = field(
        "How close its side must get to the inside of the hoops at the ground, margin "
        "kept, for example to reach the outer bed",
        optional=True,
        ge=0,
        le=15000,
    )

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        if self.corners:
            across, up = ([corner[axis] for corner in self.corners] for axis in (0, 1))
            if len(self.corners) < 3 or min(max(v) - min(v) for v in (across, up)) < 1:
                raise DesignError(
                    f"got {len(self.corners)} corners that enclose no area; give at least "
                    "three that are not all in one line",
                    "corners",
                )
            if sides := crossing_sides(self.corners):
                raise DesignError(
                    f"the side after corner {sides[0]} crosses the one after corner "
                    f"{sides[1]}; give the corners in order round the machine",
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
    """Limits of usual practice: bending, hauling, bracing, driving and ventilation."""

    hoop_stock: LengthMm = field(
        "Longest hoop tube you can buy",
        imperial="24 ft",
        metric="6.4 m",
        ge=600,
        le=20000,
    )
    transport_length: LengthMm = field(
        "Longest part you can get to the site",
        imperial="24 ft",
        metric="7 m",
        ge=600,
        le=30000,
    )
    hoop_pieces: Whole = field(
        "Most pieces in one hoop",
        default=5,
        ge=1,
        le=5,
        why="from a bulletin of USDA NRCS Maine on seasonal high tunnels, 2013",
    )
    least_brace_angle: Number = field(
        "Flattest brace, degrees from the ground",
        default=30.0,
        ge=0,
        le=89,
        why="common practice",
    )
    most_brace_angle: Number = field(
        "Steepest brace, degrees from the ground",
        default=60.0,
        ge=1,
        le=90,
        why="common practice",
    )
    brace_reach: LengthMm = field(
        "Length of tunnel for each brace on a side; a longer tunnel is expected to have more",
        imperial="96 ft",
        metric="30 m",
        ge=2000,
        le=200000,
        why="common practice",
    )
    embedment: LengthMm = field(
        "Shortest length of a socket in the ground",
        imperial="24 in",
        metric="600 mm",
        ge=100,
        le=3000,
        why="firm soil; local soil, frost and uplift decide (common practice)",
    )
    joint_share: Number = field(
        "Least distance from a board joint to a hoop, as a share of the bay",
        default=0.25,
        ge=0,
        le=0.5,
        why="midway between hoops is best (common practice)",
    )
    vent_share: Number = field(
        "Least open side area, as a share of the floor",
        default=0.15,
        ge=0,
        le=1,
        why="15 to 20 % is recommended (ASABE EP406.4, second hand)",
    )
    least_ratio: Number = field(
        "Least length, as a multiple of the width", default=1.0, ge=0, le=20, why="common practice"
    )
    most_ratio: Number = field(
        "Greatest length, as a multiple of the width",
        default=6.0,
        ge=0.1,
        le=200,
        why="long tunnels are hard to ventilate (common practice)",
    )

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        for low, high in (("least_brace_angle", "most_brace_angle"), ("least_ratio", "most_ratio")):
            if getattr(self, low) >= getattr(self, high):
                raise DesignError(f"{high} must be more than {low}; change one of them", high)
        return self


class Accept(DesignTable):
    """A finding of the checks that you accept, with the reason."""

    rule: Text = field(
        "Name of the rule; see: frame3d rules",
        min_length=1,
        max_length=40,
        default="rule-name",
    )
    where: Text = field(
        "Accept only findings whose place contains these words; empty accepts all of this rule",
        default="",
        max_length=80,
    )
    reason: Text = field(
        "Why you accept it; shown with the finding",
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
