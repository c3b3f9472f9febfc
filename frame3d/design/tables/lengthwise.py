"""Tables of the design for what runs along the tunnel: rails, braces, sill boards."""

import enum
from typing import Self

from pydantic import model_validator

from frame3d.catalog.sections import TimberSection, TubeSection
from frame3d.design.tables.fields import DesignTable, LengthMm, Number, Timber, Tube, Whole, field
from frame3d.errors import DesignError


class Fixing(enum.Enum):
    """How a rail is held to the hoops."""

    BOLTED = "bolted"
    CLAMPED = "clamped"


class RailPlace(enum.Enum):
    """Where across the tunnel a rail lies."""

    RIDGE = "ridge"
    SIDES = "sides"


class Face(enum.Enum):
    """The face of the hoops that a rail lies on."""

    INSIDE = "inside"
    OUTSIDE = "outside"


class Corner(enum.Enum):
    """A corner of the tunnel; front is the end at the first hoop."""

    FRONT_LEFT = "front left"
    FRONT_RIGHT = "front right"
    BACK_LEFT = "back left"
    BACK_RIGHT = "back right"


class Rail(DesignTable):
    """A rail (purlin): a line of tube along the tunnel that keeps the hoops at their spacing."""

    at: RailPlace = field(
        "Where the rail (purlin) runs: under the ridge, or along both sides", default="sides"
    )
    height: LengthMm | None = field(
        "Sides: height above ground on the hoop's centreline", optional=True, ge=100, le=20000
    )
    fraction: Number | None = field(
        "Sides, instead of height: share of the way along the curve from the top of the "
        "straight leg (0) to the ridge (1)",
        optional=True,
        gt=0,
        lt=1,
    )
    tube: Tube = field("Rail tube", imperial="NPS 1 STD", metric="EN 10255 DN25 medium")
    fixing: Fixing = field(
        "How it is fixed: bolted through rail and hoop, or clamped", default="bolted"
    )
    face: Face = field("Sides: the face of the hoops it runs on", default="inside")
    stock_length: LengthMm = field(
        "Stock length of the tube", imperial="21 ft", metric="6 m", ge=600, le=15000
    )
    overlap: LengthMm = field(
        "Length of the swage at each joint", imperial="4 in", metric="100 mm", ge=20, le=400
    )
    overhang: LengthMm = field(
        "Overhang past the centre of the first and last hoops",
        imperial="2 in",
        metric="50 mm",
        ge=10,
        le=1000,
    )

    @property
    def stocked(self) -> TubeSection:
        """What ``stock_length`` is a length of."""
        return self.tube

    @model_validator(mode="after")
    def _one_place(self) -> Self:
        given = [name for name in ("height", "fraction") if getattr(self, name) is not None]
        if self.at is RailPlace.RIDGE and given:
            raise DesignError(
                f'a ridge rail takes no {given[0]}; remove it or set at = "sides"', given[0]
            )
        if self.at is RailPlace.RIDGE and self.face is Face.OUTSIDE:
            raise DesignError("a ridge rail runs under the ridge; remove face", "face")
        if self.at is RailPlace.SIDES and len(given) == 2:
            raise DesignError("gives both height and fraction; remove one of them", "fraction")
        if self.at is RailPlace.SIDES and not given:
            raise DesignError(
                'a side rail needs height or fraction; give one of them, or set at = "ridge"'
            )
        return self


class Brace(DesignTable):
    """A straight tube along the side wall, from low on one hoop to high on another."""

    from_hoop: Whole = field(
        "Hoop at its low end, counted from the corner", ge=1, le=400, default=2
    )
    from_height: LengthMm = field(
        "Height of its low clamp on the hoop's centreline; moved just above the socket "
        "where they would meet",
        imperial="1 ft 6 in",
        metric="450 mm",
        ge=50,
        le=20000,
    )
    to_hoop: Whole = field("Hoop at its high end, counted from the corner", ge=1, le=400, default=4)
    to_height: LengthMm = field(
        "Height of its high clamp", imperial="5 ft", metric="1500 mm", ge=50, le=20000
    )
    corners: tuple[Corner, ...] = field(
        "Corners that get a brace",
        default=["front left", "back right"],
        min_length=1,
        why="diagonally opposite corners (common practice)",
    )
    tube: Tube = field("Brace tube", imperial="NPS 1 STD", metric="EN 10255 DN25 medium")
    overhang: LengthMm = field(
        "Length past the middle of the clamp at each end",
        imperial="2 in",
        metric="50 mm",
        ge=20,
        le=500,
    )

    @model_validator(mode="after")
    def _rises(self) -> Self:
        if self.from_hoop == self.to_hoop:
            raise DesignError(
                f"from_hoop and to_hoop are both {self.to_hoop}; a brace must span at least "
                "one bay, so choose another hoop",
                "to_hoop",
            )
        if len(set(self.corners)) != len(self.corners):
            raise DesignError("names a corner twice; name each corner once", "corners")
        return self


class SillBoard(DesignTable):
    """Sill boards (baseboards): on edge along both sides, bolted to the outside of the sockets."""

    timber: Timber = field(
        "Lumber size of the sill boards (baseboards)", imperial="2x8", metric="47x200"
    )
    stock_length: LengthMm = field(
        "Stock length of the board", imperial="12 ft", metric="4.8 m", ge=600, le=12000
    )
    bottom: LengthMm = field(
        "Bottom edge, height above ground",
        imperial="3/4 in",
        metric="20 mm",
        ge=0,
        le=1000,
    )
    overhang: LengthMm = field(
        "Overhang past the centre of the first and last sockets",
        imperial="2 in",
        metric="50 mm",
        ge=20,
        le=1000,
    )
    block_length: LengthMm = field(
        "Length of the joint block behind each joint",
        imperial="12 in",
        metric="300 mm",
        ge=150,
        le=1000,
        why="about 300 mm or 1 ft (common practice)",
    )

    @property
    def stocked(self) -> TimberSection:
        """What ``stock_length`` is a length of."""
        return self.timber
