"""The design: what the user wants, complete and checked field by field.

A :class:`Design` is made by :mod:`frame3d.spec.reader` from a file or a mapping;
defaults that depend on the units are filled in there. Whether the fields agree
with each other is found where the frame is laid out, with the numbers at hand.
"""

from __future__ import annotations

from pydantic import Field, PrivateAttr

from frame3d.spec.bents import Hoop, RidgeJoint, Socket, Splice, SpliceFastener
from frame3d.spec.fields import Part
from frame3d.spec.general import FastenerSystem, Hardware, Output, Project, SheetStandard
from frame3d.spec.lengthwise import Brace, Corner, Face, Fixing, Place, Rail, SillBoard
from frame3d.spec.purchase import CuttingGoal, Order
from frame3d.spec.shape import Bays, Profile


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
    order: Order

    _origin: object = PrivateAttr(default=None)

    def __eq__(self, other: object) -> bool:
        """Two designs are equal when all fields are, wherever they were read from."""
        return isinstance(other, Design) and self.__dict__ == other.__dict__


__all__ = [
    "Bays",
    "Brace",
    "Corner",
    "CuttingGoal",
    "Design",
    "Face",
    "FastenerSystem",
    "Fixing",
    "Hardware",
    "Hoop",
    "Order",
    "Output",
    "Place",
    "Profile",
    "Project",
    "Rail",
    "RidgeJoint",
    "SheetStandard",
    "SillBoard",
    "Socket",
    "Splice",
    "SpliceFastener",
]
