"""Some sheets of a frame without the rest of the set, for tests that look at no others."""

from __future__ import annotations

from collections.abc import Callable

from frame3d.frame.model.members import Frame
from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.layout.sheet_set_builder import SheetSetBuilder
from frame3d.sheets.sets.numbered import builder_for, sheet_set_of


def sheets_by(frame: Frame, *makers: Callable[[SheetSetBuilder], None]) -> SheetSet:
    """The sheets that ``makers`` put on the builder, numbered from one."""
    builder = builder_for(frame)
    for add_sheets in makers:
        add_sheets(builder)
    return sheet_set_of(builder)


__all__ = ["sheets_by"]
