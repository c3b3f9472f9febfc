"""Some sheets of a frame without the rest of the set, for tests that look at no others."""

from __future__ import annotations

from collections.abc import Callable

from frame3d.frame.model.members import Frame
from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.layout.sheet_set_builder import SheetSetBuilder
from frame3d.sheets.sets.draw import desk_for, sheet_set_of


def sheets_by(frame: Frame, *makers: Callable[[SheetSetBuilder], None]) -> SheetSet:
    """The sheets that ``makers`` put on the desk, numbered from one."""
    desk = desk_for(frame)
    for add_sheets in makers:
        add_sheets(desk)
    return sheet_set_of(desk)


__all__ = ["sheets_by"]
