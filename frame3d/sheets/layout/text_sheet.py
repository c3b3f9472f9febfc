"""A sheet whose words stand on the paper itself, before it has its number."""

from __future__ import annotations

from msgspec import Struct

from frame3d.sheets.layout.listing import PaperInk
from frame3d.sheets.layout.sheet import SheetView


class Page(Struct, frozen=True, kw_only=True):
    """A cover or a schedule.

    Parameters
    ----------
    title, kind : str
        As the title block has them; ``kind`` is the document type.
    views : tuple of SheetView
    primitives : tuple of Stroke and Label
        On the paper, mm.
    notes : tuple of str or None
        What stands beside the title block with the cautions; None for neither.
    family : str
        As a sheet has it.
    """

    title: str
    kind: str
    views: tuple[SheetView, ...] = ()
    primitives: tuple[PaperInk, ...] = ()
    notes: tuple[str, ...] | None = ()
    family: str = ""
