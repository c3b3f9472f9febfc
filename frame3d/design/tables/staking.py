"""Table of the design for setting the sockets out on real ground."""

from __future__ import annotations

import enum

from frame3d.design.tables.fields import DesignTable, LengthMm, Number, Whole, field
from frame3d.design.tables.lengthwise import Corner


class StringLine(enum.Enum):
    """How the tops of the sockets run along the tunnel."""

    LEVEL = "level"
    SLOPE = "slope"


class Staking(DesignTable):
    """From where the sockets are set out, and how the string over their tops runs."""

    corner: Corner = field(
        "Corner socket that is staked first; places are given from it", default="front left"
    )
    baseline: LengthMm = field(
        "How far outside the long side of that corner the baseline runs",
        imperial="3 ft",
        metric="1 m",
        ge=0,
        le=50000,
        why="clear of the sockets while they are driven (common practice)",
    )
    stake_distance: LengthMm = field(
        "How far beyond the corners the stakes of the string lines stand",
        imperial="4 ft",
        metric="1.2 m",
        ge=300,
        le=20000,
        why="far enough to drive and dig at the corners (common practice)",
    )
    string: StringLine = field(
        "Tops of the sockets: level, or on one even slope along the tunnel; always level across",
        default="level",
    )
    most_slope: Number = field(
        "Largest slope of the string along the tunnel, in percent",
        default=3.0,
        ge=0,
        le=20,
        why="rails and doors still go together (common practice)",
    )
    hole_clear: LengthMm = field(
        "Least distance from the middle of the lower hole down to the ground",
        imperial="1 in",
        metric="25 mm",
        ge=0,
        le=1000,
        why="room for a nut and a wrench (common practice)",
    )
    epsg: Whole | None = field(
        "Number of the map projection of east and north in the EPSG register",
        optional=True,
        ge=1024,
        le=32767,
    )
    east: Number | None = field(
        "Of the corner socket, in the units of that projection", optional=True, ge=-1e8, le=1e8
    )
    north: Number | None = field(
        "Of the corner socket, in the units of that projection", optional=True, ge=-1e8, le=1e8
    )
    bearing: Number | None = field(
        "From the first hoop along the tunnel, in degrees from the projection's north through east",
        optional=True,
        ge=-360,
        le=360,
    )


__all__ = ["Staking", "StringLine"]
