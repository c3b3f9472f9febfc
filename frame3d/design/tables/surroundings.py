"""Tables of the design for what stands around the tunnel: the way it faces, and its neighbours."""

from __future__ import annotations

import enum

from frame3d.design.tables.fields import (
    DesignTable,
    LengthMm,
    Number,
    Text,
    field,
)


class Compass(enum.Enum):
    """A direction on the map."""

    NORTH = "north"
    NORTH_EAST = "north-east"
    EAST = "east"
    SOUTH_EAST = "south-east"
    SOUTH = "south"
    SOUTH_WEST = "south-west"
    WEST = "west"
    NORTH_WEST = "north-west"

    @property
    def degrees(self) -> float:
        """Bearing, degrees from north through east."""
        return 45.0 * list(Compass).index(self)


class Surroundings(DesignTable):
    """Where the tunnel stands and what distances it needs."""

    front_faces: Compass | None = field("Direction the front end faces", optional=True)
    wind_from: Compass | None = field("Where strong winds come from", optional=True)
    clear_way: LengthMm = field(
        "Clear width all round, for access and sliding snow",
        imperial="6 ft",
        metric="2 m",
        ge=0,
        le=20000,
        why="common practice",
    )
    tree_share: Number = field(
        "Least distance to a tree, as a share of its height",
        default=1.0,
        ge=0,
        le=5,
        why="so that it would not reach the tunnel if it fell (common practice)",
    )
    building_share: Number = field(
        "Least distance to a building, as a share of its height",
        default=1.0,
        ge=0,
        le=5,
        why="drifting snow and shade (common practice)",
    )
    line_distance: LengthMm = field(
        "Least distance from an overhead line to anything being lifted",
        imperial="10 ft",
        metric="3.05 m",
        ge=0,
        le=50000,
        why="lines of up to 50 kV (OSHA 29 CFR 1926.1408, table A)",
    )


class Neighbour(enum.Enum):
    """A kind of thing that stands near a tunnel."""

    BUILDING = "building"
    TREE = "tree"
    TUNNEL = "tunnel"
    FENCE = "fence"
    OVERHEAD_LINE = "overhead line"
    OTHER = "other"


class Bearing(enum.Enum):
    """A side of the tunnel, looking from the front along it."""

    FRONT = "front"
    BACK = "back"
    LEFT = "left"
    RIGHT = "right"


class Nearby(DesignTable):
    """Something that stands near the tunnel."""

    name: Text = field("Its name", min_length=1, max_length=40, default="Neighbour")
    kind: Neighbour = field("What it is", default="other")
    side: Bearing = field("Side of the tunnel it is on", default="left")
    distance: LengthMm = field(
        "Distance from the outside of the hoops, along the ground",
        imperial="20 ft",
        metric="6 m",
        ge=0,
        le=500000,
    )
    height: LengthMm = field(
        "Height; for an overhead line, of the lowest wire",
        imperial="10 ft",
        metric="3 m",
        ge=0,
        le=150000,
    )
