"""One checked solid for every distinct part of a frame."""

from __future__ import annotations

from collections.abc import Callable

from OCP.TopoDS import TopoDS_Shape

from frame3d.errors import SolidError
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Board, Bolt, ClampHalf, Nut, Part, Plate, Screw, Tube, Washer
from frame3d.frame.model.roles import Role
from frame3d.solids.kernel.progress import Progress
from frame3d.solids.kernel.solid import Solid, checked
from frame3d.solids.parts.flat import board_shape, plate_shape
from frame3d.solids.parts.hardware_solids import (
    bolt_shape,
    clamp_shape,
    nut_shape,
    screw_shape,
    washer_shape,
)
from frame3d.solids.tubes.tube_solids import tube_shape

_MAKERS: dict[type, Callable[..., TopoDS_Shape]] = {
    Tube: tube_shape,
    Board: board_shape,
    Plate: plate_shape,
    Bolt: bolt_shape,
    Nut: nut_shape,
    Washer: washer_shape,
    Screw: screw_shape,
    ClampHalf: clamp_shape,
}


def make_solid(part: Part, *, mark: str, role: Role) -> Solid:
    """The checked solid of ``part``.

    Raises
    ------
    SolidError
        If it cannot be made, or is not what the part says; the message names the
        part by ``mark``.
    """
    try:
        shape = _MAKERS[type(part)](part)
    except SolidError as error:
        raise SolidError(f"{mark} ({type(part).__name__}): {error}") from error
    return checked(mark=mark, role=role, part=part, shape=shape)


def make_solids(frame: Frame, progress: Progress | None = None) -> dict[str, Solid]:
    """The solid of every distinct part of ``frame``, by mark.

    Parameters
    ----------
    frame : Frame
    progress : callable or None
        Told about each solid as it is begun, and once at the end.

    Raises
    ------
    SolidError
        As :func:`make_solid`.
    """
    counts = frame.parts()
    solids: dict[str, Solid] = {}
    for done, count in enumerate(counts):
        if progress:
            progress(f"solid {count.mark}", done, len(counts))
        solids[count.mark] = make_solid(count.part, mark=count.mark, role=count.role)
    if progress:
        progress("solids", len(counts), len(counts))
    return solids
