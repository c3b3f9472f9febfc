"""Boards and plates as solids: an outline with its holes, raised by the thickness."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from OCP.TopoDS import TopoDS_Shape

from frame3d.frame.parts import Board, Plate
from frame3d.solids import kernel


def board_shape(board: Board) -> TopoDS_Shape:
    """The shape of ``board`` in its own axes, unchecked."""
    long, deep = board.length_mm, board.section.depth_mm
    return _prism(
        ((0.0, 0.0), (long, 0.0), (long, deep), (0.0, deep)),
        ((hole.along_mm, hole.up_mm, hole.diameter_mm) for hole in board.holes),
        board.section.thickness_mm,
    )


def plate_shape(plate: Plate) -> TopoDS_Shape:
    """The shape of ``plate`` in its own axes, unchecked."""
    return _prism(plate.outline, plate.holes, plate.thickness_mm)


def _prism(
    outline: Sequence[tuple[float, float]],
    holes: Iterable[tuple[float, float, float]],
    thickness_mm: float,
) -> TopoDS_Shape:
    """The outline raised, with holes given as x, y and diameter, mm.

    The holes are openings of the face that is raised: that costs nothing, and a
    hole that overlaps another or the edge makes a solid that fails its check.
    """
    edge = kernel.polygon([(x, y, 0.0) for x, y in outline])
    openings = [
        kernel.circle((x, y, 0.0), (0, 0, 1), (1, 0, 0), diameter / 2) for x, y, diameter in holes
    ]
    return kernel.raised(kernel.flat_face(edge, openings), thickness_mm)
