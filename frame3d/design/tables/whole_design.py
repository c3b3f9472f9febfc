"""The design: what the user wants, complete and checked field by field.

A :class:`Design` is made by :mod:`frame3d.design.reading.reader` from a file or a mapping;
defaults that depend on the units are filled in there. Whether the fields agree
with each other is found where the frame is laid out, with the numbers at hand.
"""

from typing import Any

from pydantic import Field, PrivateAttr

from frame3d.design.tables.clearance import Accept, Clearance, Machine, Passes, Practice
from frame3d.design.tables.cover import Cover, CoverListed, Hip, SideOpening, WallCover
from frame3d.design.tables.curtain import Curtain, Hangs, Winder
from frame3d.design.tables.ends import (
    Door,
    DoorKind,
    End,
    Ends,
    EndWall,
    Hand,
    StudFoot,
    StudMaterial,
    StudTop,
    Swing,
    Threshold,
    WallBraces,
)
from frame3d.design.tables.fields import DesignTable
from frame3d.design.tables.general import (
    DxfVersion,
    FastenerSystem,
    Hardware,
    LayerNames,
    OrderFiles,
    Output,
    PrintedSet,
    Project,
    Revision,
    SheetStandard,
)
from frame3d.design.tables.hoops import Hoop, RidgeJoint, Socket, Splice, SpliceFastener
from frame3d.design.tables.labels import LabelFor, Labels
from frame3d.design.tables.lengthwise import Brace, Corner, Face, Fixing, Rail, RailPlace, SillBoard
from frame3d.design.tables.loads import (
    CropHangs,
    LegFoot,
    Loads,
    LoadShape,
    OpenSides,
    SoilKind,
)
from frame3d.design.tables.making import Crew, HolesWhen, Make, Pace, Weekday, ZincWhen
from frame3d.design.tables.overhead import Post, Tie, TieEnds, TieJoint
from frame3d.design.tables.purchase import Bender, CuttingGoal, Order
from frame3d.design.tables.shape import Bays, Profile
from frame3d.design.tables.staking import Staking, StringLine
from frame3d.design.tables.surroundings import (
    Bearing,
    Boundary,
    Compass,
    Laid,
    Nearby,
    Neighbour,
    Service,
    Surroundings,
)
from frame3d.design.tables.tolerances import GeneralClass, SetOut, Spread, Tolerances


class Design(DesignTable):
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
    side_opening: SideOpening | None = None
    tie: tuple[Tie, ...] = Field((), max_length=6)
    end_wall: tuple[EndWall, ...] = Field((), max_length=2)
    door: tuple[Door, ...] = Field((), max_length=12)
    cover: Cover
    curtain: Curtain | None = None
    hardware: Hardware
    clearance: Clearance
    machine: tuple[Machine, ...] = Field((), max_length=20)
    practice: Practice
    surroundings: Surroundings
    boundary: tuple[Boundary, ...] = Field((), max_length=40)
    nearby: tuple[Nearby, ...] = Field((), max_length=40)
    service: tuple[Service, ...] = Field((), max_length=40)
    accept: tuple[Accept, ...] = Field((), max_length=100)
    tolerances: Tolerances
    staking: Staking
    loads: Loads
    make: Make
    crew: Crew | None = None
    order: Order
    labels: Labels
    revision: tuple[Revision, ...] = Field((), max_length=40)

    _origin: Any = PrivateAttr(default=None)  # an Origin, of a room that loads this one

    def __eq__(self, other: object) -> bool:
        """Two designs are equal when all fields are, wherever they were read from."""
        return isinstance(other, Design) and self.__dict__ == other.__dict__


__all__ = [
    "Accept",
    "Bays",
    "Bearing",
    "Bender",
    "Boundary",
    "Brace",
    "Clearance",
    "Compass",
    "Corner",
    "Cover",
    "CoverListed",
    "Crew",
    "CropHangs",
    "Curtain",
    "CuttingGoal",
    "Design",
    "Door",
    "DoorKind",
    "DxfVersion",
    "End",
    "EndWall",
    "Ends",
    "Face",
    "FastenerSystem",
    "Fixing",
    "GeneralClass",
    "Hand",
    "Hangs",
    "Hardware",
    "Hip",
    "HolesWhen",
    "Hoop",
    "LabelFor",
    "Labels",
    "Laid",
    "LayerNames",
    "LegFoot",
    "LoadShape",
    "Loads",
    "Machine",
    "Make",
    "Nearby",
    "Neighbour",
    "OpenSides",
    "Order",
    "Output",
    "Pace",
    "Passes",
    "RailPlace",
    "Post",
    "Practice",
    "OrderFiles",
    "PrintedSet",
    "Profile",
    "Project",
    "Rail",
    "Revision",
    "RidgeJoint",
    "Service",
    "SetOut",
    "SheetStandard",
    "SideOpening",
    "SillBoard",
    "Socket",
    "SoilKind",
    "Splice",
    "SpliceFastener",
    "Spread",
    "Staking",
    "StringLine",
    "StudFoot",
    "StudMaterial",
    "StudTop",
    "Surroundings",
    "Swing",
    "Threshold",
    "Tie",
    "TieEnds",
    "TieJoint",
    "Tolerances",
    "WallBraces",
    "WallCover",
    "Weekday",
    "Winder",
    "ZincWhen",
]
