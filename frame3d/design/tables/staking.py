"""Table of the design for setting the sockets out on real ground."""

import enum

from frame3d.design.tables.fields import Date, DesignTable, FileName, LengthMm, Number, Whole, field
from frame3d.design.tables.lengthwise import Corner

_LONGEST_PATH = 200


class StringLine(enum.Enum):
    """How the tops of the sockets run along the tunnel."""

    LEVEL = "level"
    SLOPE = "slope"


class GroundBoards(enum.Enum):
    """What is done about sill boards where the ground is not level."""

    LEVEL = "level"
    FOLLOW = "follow"
    SKIRT = "skirt"
    FILL = "fill"


class Staking(DesignTable):
    """From where the sockets are set out, and how the string over their tops runs."""

    corner: Corner = field(
        "Corner socket staked first; everything is measured from it", default="front left"
    )
    baseline: LengthMm = field(
        "Baseline offset: distance outside the long side at that corner",
        imperial="3 ft",
        metric="1 m",
        ge=0,
        le=50000,
        why="clear of the sockets during driving (common practice)",
    )
    stake_distance: LengthMm = field(
        "Offset of the string-line stakes beyond the corners",
        imperial="4 ft",
        metric="1.2 m",
        ge=300,
        le=20000,
        why="room to drive and dig at the corners (common practice)",
    )
    string: StringLine = field(
        "Socket tops: level, or on one even slope along the tunnel; always level across",
        default="level",
    )
    most_slope: Number = field(
        "Steepest slope of the string along the tunnel, percent",
        default=3.0,
        ge=0,
        le=20,
        why="rails and doors still fit (common practice)",
    )
    hole_clear: LengthMm = field(
        "Least height of the lower hole above ground, to its middle",
        imperial="1 in",
        metric="25 mm",
        ge=0,
        le=1000,
        why="room for a nut and a wrench (common practice)",
    )
    boards: GroundBoards | None = field(
        "Sill boards on ground that is not level: level (dig under them), follow (boards step at "
        "their joints), skirt (a second board below, ripped to the ground) or fill; default the "
        "first of these that closes every bay",
        optional=True,
    )
    pad_margin: LengthMm = field(
        "How far a pad runs past the corner sockets on each side, for its volumes",
        imperial="2 ft",
        metric="600 mm",
        ge=0,
        le=20000,
        why="room to walk and for water to run off beside the boards (common practice)",
    )
    epsg: Whole | None = field(
        "EPSG code of the map projection of east and north",
        optional=True,
        ge=1024,
        le=32767,
    )
    east: Number | None = field(
        "Easting of the corner socket, in that projection's units",
        optional=True,
        ge=-1e8,
        le=1e8,
    )
    north: Number | None = field(
        "Northing of the corner socket, in that projection's units",
        optional=True,
        ge=-1e8,
        le=1e8,
    )
    bearing: Number | None = field(
        "Bearing along the tunnel from the first hoop, degrees clockwise from grid north",
        optional=True,
        ge=-360,
        le=360,
    )
    levels: FileName | None = field(
        "Your levels of the ground, a CSV file in this design's folder: point, x, y, z (or rod "
        "readings with a benchmark), rock; without it everything is on level ground",
        optional=True,
        min_length=1,
        max_length=_LONGEST_PATH,
    )
    measured: FileName | None = field(
        "Your measured sides and diagonals, a CSV file in this design's folder: from, to, distance",
        optional=True,
        min_length=1,
        max_length=_LONGEST_PATH,
    )
    built: FileName | None = field(
        "Your socket tops as driven, a CSV file in this design's folder: point, x, y, z; or hoop, "
        "width, left, right, left_height, right_height",
        optional=True,
        min_length=1,
        max_length=_LONGEST_PATH,
    )
    built_on: Date = field(
        "Day on which the tops in built were measured, year-month-day",
        default="-",
        why="today's date is never filled in, so that two builds give the same files",
    )
