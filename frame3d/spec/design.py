"""The design: what the user wants, complete and checked field by field.

A :class:`Design` is made by :mod:`frame3d.spec.reader` from a file or a mapping;
defaults that depend on the units are filled in there. Whether the fields agree
with each other is found where the frame is laid out, with the numbers at hand.
"""

from __future__ import annotations

import enum
from typing import Annotated, Literal

from pydantic import Field, PrivateAttr, model_validator

from frame3d.errors import DesignError
from frame3d.geometry.arch import ArchStyle, Measured
from frame3d.spec.fields import (
    WHOLE_ONLY,
    AngleRad,
    Date,
    LengthMm,
    Number,
    Part,
    RadiusMm,
    Text,
    Timber,
    Tube,
    Whole,
    field,
)
from frame3d.units import UnitSystem


class SheetStandard(enum.Enum):
    """Whose sheet sizes the drawings use."""

    ISO = "iso"
    US = "us"


class Splice(enum.Enum):
    """How the pieces of a hoop are joined."""

    SWAGE = "swage"
    SLEEVE = "sleeve"


class SpliceFastener(enum.Enum):
    """What holds a splice."""

    BOLTS = "bolts"
    SCREWS = "screws"


class RidgeJoint(enum.Enum):
    """How the two halves of a gothic hoop are joined."""

    SLEEVE = "sleeve"
    PLATES = "plates"


class Fixing(enum.Enum):
    """How a rail is held to the hoops."""

    BOLTED = "bolted"
    CLAMPED = "clamped"


class Place(enum.Enum):
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


class FastenerSystem(enum.Enum):
    """Which bolts are bought."""

    INCH = "inch"
    METRIC = "metric"


class Project(Part):
    """What the title block says."""

    name: Text = field("Name of the tunnel", min_length=1, max_length=60, default="New tunnel")
    number: Text = field(
        "Drawing number", min_length=1, max_length=16, default="T-01",
        why="ISO 7200 allows 16 characters",
    )
    owner: Text = field("Who the drawings belong to", max_length=40, default="-")
    drawn_by: Text = field("Who drew it", max_length=20, default="-")
    approved_by: Text = field("Who approved it", max_length=20, default="-")
    date: Date = field(
        "Date of issue, year-month-day", default="-",
        why="never today's date by itself, so that two builds give the same files",
    )


class Output(Part):
    """Units and paper."""

    units: UnitSystem = field("Units of everything that is printed", default="imperial")
    fraction: Annotated[Literal[2, 4, 8, 16, 32, 64], WHOLE_ONLY] = field(
        "Smallest fraction of an inch shown, as its denominator", default=16,
        why="1/16 in is what a tape measure shows",
    )
    decimals: Annotated[Literal[0, 1, 2], WHOLE_ONLY] = field(
        "Decimals of a millimetre shown", default=0, why="1 mm is what a tape measure shows"
    )
    sheets: SheetStandard = field("Whose sheet sizes are used", imperial="us", metric="iso")
    sheet_size: Literal["A4", "A3", "A2", "A1", "A0", "A", "B", "C", "D", "E"] = field(
        "Largest sheet: A4 to A0 (iso), A to E (us)", imperial="B", metric="A3",
        why="what an office printer takes",
    )

    @model_validator(mode="after")
    def _size_of_the_standard(self) -> Output:
        iso = len(self.sheet_size) == 2
        if iso != (self.sheets is SheetStandard.ISO):
            sizes = "A4, A3, A2, A1, A0" if self.sheets is SheetStandard.ISO else "A, B, C, D, E"
            raise DesignError(
                f'got "{self.sheet_size}", which is not one of the {self.sheets.value} sizes '
                f"({sizes}); change sheet_size or sheets",
                "sheet_size",
            )
        return self


class Profile(Part):
    """The shape of the hoops. Give what you know; the rest is worked out."""

    style: ArchStyle = field(
        "Family of the hoops: gothic (pointed) or quonset (round)", default="gothic"
    )
    measured: Measured = field(
        "Where width and ridge height are measured on the hoop tube: "
        "centres, outside, or inside (clear)", default="centres",
    )
    width: LengthMm | None = field(
        "Width at the ground", optional=True, ge=1000, le=30000)
    ridge_height: LengthMm | None = field(
        "Height of the ridge above the ground", optional=True, ge=1000, le=20000)
    leg_height: LengthMm | None = field(
        "Height at which the straight leg ends and the bend begins", optional=True, ge=0, le=8000)
    leg_lean: AngleRad | None = field(
        "Lean of the legs inward; 0 deg is plumb", optional=True, ge=0, le=0.3)
    eave_radius: LengthMm | None = field(
        "Radius of the bend at the eave, to the centreline", optional=True, gt=0, le=30000)
    crown_radius: LengthMm | None = field(
        "Quonset: radius of the crown, to the centreline", optional=True, gt=0, le=1e6)
    rafter_radius: RadiusMm | None = field(
        'Gothic: radius of the rafters, to the centreline, or "straight"',
        optional=True, gt=0)
    ridge_slope: AngleRad | None = field(
        "Gothic: slope of the rafters at the ridge, from level", optional=True, gt=0, le=1.4)

    @model_validator(mode="after")
    def _fields_of_the_style(self) -> Profile:
        wrong = {
            ArchStyle.QUONSET: ("rafter_radius", "ridge_slope"),
            ArchStyle.GOTHIC: ("crown_radius",),
        }
        for name in wrong[self.style]:
            if getattr(self, name) is not None:
                other = "gothic" if self.style is ArchStyle.QUONSET else "quonset"
                raise DesignError(
                    f"{name} belongs to a {other} profile and style is {self.style.value}; "
                    f"leave {name} out or change style",
                    name,
                )
        if self.width is None and self.ridge_height is None:
            raise DesignError("gives neither width nor ridge_height; give one, better both")
        return self


class Bays(Part):
    """How many hoops, and how far apart, between centres."""

    count: Whole | None = field(
        "Number of bays; there is one more hoop", optional=True, ge=1, le=400)
    spacing: LengthMm | None = field(
        "Distance between neighbouring hoops", optional=True, ge=300, le=6000)
    length: LengthMm | None = field(
        "Length from the first hoop to the last", optional=True, ge=300, le=600000)
    largest_spacing: LengthMm | None = field(
        "With length: bays are made equal and no wider than this", optional=True, ge=300, le=6000)


class Hoop(Part):
    """The bent tubes."""

    tube: Tube = field("Tube of the hoops", imperial="NPS 1-1/4 STD", metric="EN 10255 DN32 medium")
    pieces: Whole = field(
        "Pieces that one hoop is made of; even for a gothic hoop", ge=1, le=5, default=2,
        why="two halves fit a lorry and a bender",
    )
    splice: Splice = field(
        "How pieces are joined: one end reduced to slip into the next (swage), or a sleeve",
        default="swage",
    )
    splice_tube: Tube | None = field(
        "Tube of the splice sleeve, outside or inside the hoop tube", optional=True)
    overlap: LengthMm = field(
        "Length over which one tube is inside the other, at each splice",
        imperial="5 in", metric="130 mm", ge=30, le=600,
        why="about three outside diameters (common practice)",
    )
    splice_fastener: SpliceFastener = field("What holds a splice", default="bolts")
    ridge_joint: RidgeJoint = field(
        "Gothic: how the halves are joined at the ridge, by a bent sleeve or a pair of plates",
        default="sleeve",
    )
    ridge_tube: Tube | None = field(
        "Gothic: tube of the ridge sleeve; hoop tube must slide into it", optional=True)
    ridge_bend_radius: LengthMm = field(
        "Gothic: radius of the bend in the ridge sleeve", imperial="12 in", metric="300 mm",
        ge=50, le=5000)
    ridge_overlap: LengthMm = field(
        "Gothic: length of each half inside the ridge sleeve, or along the plates",
        imperial="8 in", metric="200 mm", ge=60, le=1000)
    smallest_bend: Number = field(
        "Smallest centreline radius of the bender, in outside diameters of the tube",
        default=5.0, ge=1.5, le=100,
        why="below about 5 the tube flattens (EN 13480-4 limits ovality for R of 5 D)",
    )


class Socket(Part):
    """The ground posts that the hoop legs slide into."""

    tube: Tube = field(
        "Tube of the sockets; the hoop tube must slide into it",
        imperial="2 in x 11 ga BWG", metric="50 x 3 mm",
        why="about 0.1 in or 1.6 mm of play round the default hoop tube; 0.5 to 3 mm slides "
        "without rattling (common practice)",
    )
    length: LengthMm = field(
        "Length of a socket", imperial="42 in", metric="1000 mm", ge=300, le=4000)
    exposed: LengthMm = field(
        "Length that stays out of the ground", imperial="12 in", metric="300 mm",
        ge=50, le=2000, why="about 12 in or 300 mm (common practice)",
    )
    upper_hole: LengthMm = field(
        "Distance of the upper hole from the top", imperial="5 in", metric="125 mm",
        ge=20, le=2000)
    lower_hole: LengthMm = field(
        "Distance of the lower hole from the top; must stay above the ground",
        imperial="9 1/2 in", metric="240 mm", ge=30, le=2000)
    insertion: LengthMm = field(
        "Length of the hoop leg inside the socket", imperial="12 in", metric="300 mm",
        ge=50, le=3000, why="past the lower hole by several bolt diameters",
    )


class Rail(Part):
    """A line of tube along the tunnel, which ties the hoops at their spacing."""

    at: Place = field(
        "Where it lies: under the ridge, or along both sides", default="sides"
    )
    height: LengthMm | None = field(
        "Sides: height on the hoop's centreline above the ground", optional=True, ge=100, le=20000)
    fraction: Number | None = field(
        "Sides, in place of height: share of the way along the curve from the top of the "
        "straight leg (0) to the ridge (1)", optional=True, gt=0, lt=1)
    tube: Tube = field("Tube of the rail", imperial="NPS 1 STD", metric="EN 10255 DN25 medium")
    fixing: Fixing = field(
        "How it is held: a bolt through rail and hoop, or a clamp", default="bolted"
    )
    face: Face = field(
        "Sides: the face of the hoops that it lies on", default="inside"
    )
    stock_length: LengthMm = field(
        "Length of tube that can be bought", imperial="21 ft", metric="6 m", ge=600, le=15000)
    overlap: LengthMm = field(
        "Length of the swage at each joint", imperial="4 in", metric="100 mm", ge=20, le=400)
    overhang: LengthMm = field(
        "Length past the centre of the first and the last hoop",
        imperial="2 in", metric="50 mm", ge=10, le=1000)

    @model_validator(mode="after")
    def _one_place(self) -> Rail:
        given = [name for name in ("height", "fraction") if getattr(self, name) is not None]
        if self.at is Place.RIDGE and given:
            raise DesignError(
                f'a ridge rail needs no {given[0]}; leave it out or set at = "sides"', given[0]
            )
        if self.at is Place.RIDGE and self.face is Face.OUTSIDE:
            raise DesignError("a ridge rail lies under the ridge; leave face out", "face")
        if self.at is Place.SIDES and len(given) == 2:
            raise DesignError("gives both height and fraction; leave one of them out", "fraction")
        if self.at is Place.SIDES and not given:
            raise DesignError(
                "a rail at the sides needs height or fraction; give one of them, or set "
                'at = "ridge"'
            )
        return self


class Brace(Part):
    """A straight tube along the side wall, from low on one hoop to high on another."""

    from_hoop: Whole = field(
        "Hoop at its low end, counted from the corner", ge=1, le=400, default=2)
    from_height: LengthMm = field(
        "Height of its low clamp on the hoop's centreline", imperial="1 ft 6 in", metric="450 mm",
        ge=50, le=20000)
    to_hoop: Whole = field("Hoop at its high end, counted from the corner", ge=1, le=400, default=4)
    to_height: LengthMm = field(
        "Height of its high clamp", imperial="5 ft", metric="1500 mm", ge=50, le=20000)
    corners: tuple[Corner, ...] = field(
        "The corners that get one", default=["front left", "back right"], min_length=1,
        why="in diagonally opposite corners (common practice)",
    )
    tube: Tube = field("Tube of the brace", imperial="NPS 1 STD", metric="EN 10255 DN25 medium")
    overhang: LengthMm = field(
        "Length past the middle of the clamp at each end", imperial="2 in", metric="50 mm",
        ge=20, le=500)

    @model_validator(mode="after")
    def _rises(self) -> Brace:
        if self.from_hoop == self.to_hoop:
            raise DesignError(
                f"from_hoop and to_hoop are both {self.to_hoop}; a brace spans at least one bay, "
                "so give another hoop",
                "to_hoop",
            )
        if len(set(self.corners)) != len(self.corners):
            raise DesignError("names a corner twice; name each corner once", "corners")
        return self


class SillBoard(Part):
    """Boards on edge along both sides, bolted to the outside of the sockets."""

    timber: Timber = field("Section of the boards", imperial="2x8", metric="47x200")
    stock_length: LengthMm = field(
        "Length of board that can be bought", imperial="12 ft", metric="4.8 m", ge=600, le=12000)
    bottom: LengthMm = field(
        "Height of the lower edge above the ground", imperial="3/4 in", metric="20 mm",
        ge=0, le=1000)
    overhang: LengthMm = field(
        "Length past the centre of the first and the last socket",
        imperial="2 in", metric="50 mm", ge=20, le=1000)
    block_length: LengthMm = field(
        "Length of the block behind each joint", imperial="12 in", metric="300 mm",
        ge=150, le=1000, why="about 300 mm or 1 ft (common practice)",
    )


class Hardware(Part):
    """The bolts."""

    system: FastenerSystem = field("Which bolts are bought", imperial="inch", metric="metric")
    frame_bolt: Text = field(
        "Bolt through sockets, rails and splices", imperial="3/8-16", metric="M10")
    board_bolt: Text = field("Carriage bolt through boards", imperial="3/8-16", metric="M10")


class Design(Part):
    """Everything that the user decides, in millimetres and radians."""

    project: Project
    output: Output
    profile: Profile
    bays: Bays
    hoop: Hoop
    socket: Socket
    rail: tuple[Rail, ...] = Field((), max_length=40)
    brace: tuple[Brace, ...] = Field((), max_length=40)
    sill_board: SillBoard | None = None
    hardware: Hardware

    _origin: object = PrivateAttr(default=None)

    def __eq__(self, other: object) -> bool:
        """Two designs are equal when all fields are, wherever they were read from."""
        return isinstance(other, Design) and self.__dict__ == other.__dict__
