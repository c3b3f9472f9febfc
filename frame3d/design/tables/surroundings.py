"""Tables of the design for the plot: the way the tunnel faces, boundary, neighbours, services."""

import enum
from typing import Annotated, Self

from annotated_types import Ge, Le
from pydantic import model_validator

from frame3d.design.tables.fields import (
    DesignTable,
    LengthMm,
    Number,
    OffsetMm,
    PlaceMm,
    Text,
    field,
)
from frame3d.errors import DesignError


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
    setback: LengthMm | None = field(
        "Setback: least distance of the frame from the boundary; your permit desk has the figure",
        optional=True,
        ge=0,
        le=200000,
    )
    service_distance: LengthMm = field(
        "Least distance of a socket from a buried service",
        imperial="3 ft",
        metric="1 m",
        ge=0,
        le=20000,
        why="a service lies where it is found, not where it is drawn (common practice)",
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
    starts: OffsetMm | None = field(
        "Where it starts along that side: from the front corner socket along a side, from the left "
        "one across an end; of a tree, its trunk",
        optional=True,
        ge=-500000,
        le=500000,
    )
    length: LengthMm | None = field(
        "Its length along that side; of a tree, the width of its crown",
        optional=True,
        ge=0,
        le=500000,
    )
    depth: LengthMm | None = field("Its depth away from the tunnel", optional=True, ge=0, le=500000)


class Boundary(DesignTable):
    """A corner of the plot's boundary, or one of its lines where that runs beside the tunnel.

    All are corners, in order round the plot, or all are lines along sides of the tunnel.
    """

    name: Text = field(
        "Name of the line from this corner to the next, or of the line along the side",
        min_length=1,
        max_length=40,
        default="Boundary",
    )
    corner: PlaceMm | None = field(
        "Place of the corner: across by along from the corner socket that is staked first",
        optional=True,
    )
    tapes: tuple[Annotated[LengthMm, Ge(0), Le(2000000)], ...] = field(
        "In place of corner: two tapes to it from the corner sockets of that side of the tunnel, "
        "front and back of a side, left and right of an end; it lies outside of them",
        default=[],
        max_length=2,
        why="corner or distance says the place",
    )
    side: Bearing = field(
        "Side of the tunnel that the line runs along, or the tapes are held on; not for corner",
        default="left",
    )
    distance: LengthMm = field(
        "Where neither corner nor tapes is given: distance of the line along that side from the "
        "outside of the frame, along the ground",
        imperial="30 ft",
        metric="9 m",
        ge=0,
        le=2000000,
        why="an example; measure it",
    )
    setback: LengthMm | None = field(
        "Setback from this line, in place of that of [surroundings]",
        optional=True,
        ge=0,
        le=200000,
    )

    @model_validator(mode="after")
    def _placed(self) -> Self:
        if self.corner is not None and self.tapes:
            raise DesignError("corner and tapes are both given; remove one of them", "tapes")
        if len(self.tapes) == 1:
            raise DesignError("one tape finds no corner; give both", "tapes")
        return self


class ServiceKind(enum.Enum):
    """What a service carries."""

    WATER = "water"
    ELECTRICITY = "electricity"
    GAS = "gas"
    DRAIN = "drain"
    TELEPHONE = "telephone"
    IRRIGATION = "irrigation"
    OTHER = "other"


class Laid(enum.Enum):
    """How a service runs."""

    BURIED = "buried"
    OVERHEAD = "overhead"


class Known(enum.Enum):
    """Where the place of a service is known from."""

    DRAWING = "a drawing"
    LOCATED = "located on site"


class Service(DesignTable):
    """A pipe, cable or line that crosses the plot.

    It runs along a side of the tunnel at a distance, or through points.
    """

    name: Text = field("Its name", min_length=1, max_length=40, default="Service")
    kind: ServiceKind = field("What it carries", default="other")
    laid: Laid = field("Whether it is buried or overhead", default="buried")
    known_from: Known = field(
        "Where its place is known from: a drawing, or located on site by its owner",
        default="a drawing",
        why="the more careful of the two",
    )
    points: tuple[PlaceMm, ...] = field(
        "Points it runs through: across by along from the corner socket that is staked first",
        default=[],
        max_length=40,
        why="side and distance say the place of one that runs along the tunnel",
    )
    side: Bearing = field("Without points: side of the tunnel that it runs along", default="left")
    distance: LengthMm = field(
        "Without points: distance from the outside of the frame, along the ground",
        imperial="20 ft",
        metric="6 m",
        ge=0,
        le=2000000,
        why="an example; have it located",
    )
    height: LengthMm = field(
        "Height of the lowest wire, where it is overhead",
        imperial="18 ft",
        metric="5.5 m",
        ge=0,
        le=150000,
        why="an example; measure from a distance or ask the owner, never with a tape or a pole",
    )
    depth: LengthMm | None = field(
        "Depth at which it was found, where it is buried", optional=True, ge=0, le=20000
    )

    @model_validator(mode="after")
    def _placed(self) -> Self:
        if len(self.points) == 1:
            raise DesignError("one point is no line; give two or more", "points")
        return self
