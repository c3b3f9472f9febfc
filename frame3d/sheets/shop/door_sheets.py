"""Sheets of doors: leaves put together, their frames, and the pieces that they are made of."""

from __future__ import annotations

from frame3d.frame.model.members import PartCount
from frame3d.frame.model.parts import Plate
from frame3d.frame.model.roles import Role
from frame3d.sheets.layout.sheet_set_builder import ASSEMBLY, SheetSetBuilder
from frame3d.sheets.shop.door_frame_views import frame_views
from frame3d.sheets.shop.door_views import leaf_kinds, leaf_view
from frame3d.sheets.shop.plate_pieces import SIZE as PLATE_SIZE
from frame3d.sheets.shop.plate_pieces import plate_views, weld_notes
from frame3d.sheets.shop.timber_sheets import (
    BOARD,
    NOTES,
    PieceSize,
    add_fitted,
    board_views,
    boards,
)
from frame3d.sheets.views.swing_plan import door_plans

_DOOR = PieceSize(largest=10, deepest_mm=120.0, widest_mm=170.0)
DOOR_NOTES = ("The opening is measured between faces. Check it on site before making the leaves.",)


def door_sheets(builder: SheetSetBuilder) -> None:
    """Leaves, frames, and the boards and plates of leaves."""
    if not builder.frame.doors:
        return
    hinges = [count for count in builder.frame.parts_of_kind(Plate) if count.role is Role.HINGE]
    pieces: list[PartCount] = [*boards(builder, (Role.DOOR_LEAF,)), *hinges]
    plates = plate_views(builder, hinges)
    notes = (
        *builder.lacks(count.mark for count in pieces), *DOOR_NOTES, *NOTES, *weld_notes(plates)
    )  # fmt: skip
    wanted = [(leaf_view(kind), _DOOR) for kind in leaf_kinds(builder.frame)]
    wanted += [(view, _DOOR) for view in door_plans(builder.frame)]
    wanted += [(view, _DOOR) for view in frame_views(builder.frame)]
    wanted += [(view, BOARD) for view in board_views(builder, (Role.DOOR_LEAF,))]
    wanted += [(view, PLATE_SIZE) for view in plates]
    add_fitted(builder, "Doors", wanted, notes, ASSEMBLY)
