"""One checked solid for every distinct part of a frame."""

from __future__ import annotations

from OCP.TopoDS import TopoDS_Shape

from frame3d.errors import SolidError
from frame3d.frame.model.bodies import (
    Body,
    ExtrudedOutline,
    SawnTimber,
    SplitRing,
    SweptRing,
    TurnedProfile,
)
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Part
from frame3d.frame.model.roles import Role
from frame3d.solids.kernel import kernel
from frame3d.solids.kernel.solid import Solid, checked
from frame3d.solids.parts.flat import board_shape, extruded_shape
from frame3d.solids.parts.hardware_solids import split_ring_shape, turned_shape
from frame3d.solids.tubes.tube_solids import tube_shape


def make_solid(part: Part, *, mark: str, role: Role) -> Solid:
    """The checked solid of ``part``.

    Raises
    ------
    SolidError
        If it cannot be made, or is not what the part says; the message names the
        part by ``mark``.
    """
    try:
        first, *others = map(_shape, part.bodies)
        shape = kernel.fuse(first, others) if others else first
    except SolidError as error:
        raise SolidError(f"{mark} ({type(part).__name__}): {error}") from error
    return checked(mark=mark, role=role, part=part, shape=shape)


def _shape(body: Body) -> TopoDS_Shape:
    match body:
        case SweptRing():
            return tube_shape(body)
        case SawnTimber():
            return board_shape(body)
        case ExtrudedOutline():
            return extruded_shape(body)
        case TurnedProfile():
            return turned_shape(body)
        case SplitRing():
            return split_ring_shape(body)


def make_solids(frame: Frame) -> dict[str, Solid]:
    """The solid of every distinct part of ``frame``, by mark.

    Raises
    ------
    SolidError
        As :func:`make_solid`.
    """
    return {
        count.mark: make_solid(count.part, mark=count.mark, role=count.role)
        for count in frame.parts()
    }
