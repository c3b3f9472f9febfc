"""Lay a design out and tell a fault with its file and line."""

from __future__ import annotations

from frame3d.design.reading.reader import locate
from frame3d.design.tables.whole_design import Design
from frame3d.errors import DesignError
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame


def laid_out(design: Design) -> Frame:
    """The frame of ``design``; a fault is told with its file and line.

    Raises
    ------
    DesignFaults
        If the design contradicts itself or asks for what cannot be made.
    """
    try:
        return lay_out(design)
    except DesignError as error:
        raise locate(design, error) from None
