"""Sheets and sets of sheets, as plain values: what a file writer needs and no more."""

from __future__ import annotations

from msgspec import Struct

from frame3d.design.tables.whole_design import DxfVersion, LayerNames, PrintedSet, SheetStandard
from frame3d.sheets.annotation.annotated_view import PlacedView
from frame3d.sheets.primitives.paper import Paper
from frame3d.sheets.primitives.primitives import Label, Point, Stroke
from frame3d.units import LengthFormat


class SheetView(Struct, frozen=True, kw_only=True):
    """A view on a sheet: ``centre`` of its window on the paper, mm."""

    view: PlacedView
    centre: Point


class TitleBlock(Struct, frozen=True, kw_only=True):
    """The fields of a title block by ISO 7200, its status among them, scale, units and standard.

    ``standard`` decides how they are laid out and named, and the projection.
    """

    owner: str
    project: str
    title: str
    drawn_by: str
    approved_by: str
    date: str
    kind: str
    scale: str
    number: str
    revision: str
    sheet: str
    paper: str
    dimensions: str
    status: str
    standard: SheetStandard

    @property
    def first_angle(self) -> bool:
        """Whether the views are in first-angle projection; in third-angle otherwise."""
        return self.standard is SheetStandard.ISO


class Sheet(Struct, frozen=True, kw_only=True):
    """One sheet.

    Parameters
    ----------
    number : int
        From 1.
    title : str
    paper : Paper
    views : tuple of SheetView
    border : tuple of Stroke and Label
        Frame, centring marks and zones, on the paper, mm; the same on every sheet.
    strokes : tuple of Stroke
        Other lines on the paper, mm.
    labels : tuple of Label
        Notes and titles of views, on the paper, mm.
    block : TitleBlock
    family : str
        What drew it, by which it can be asked for alone; empty for what tells of the whole set.
    """

    number: int
    title: str
    paper: Paper
    views: tuple[SheetView, ...]
    border: tuple[Stroke | Label, ...]
    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    block: TitleBlock
    family: str = ""


class SheetFinding(Struct, frozen=True, kw_only=True):
    """What could not be shown as wanted: on which sheet, and what to do about it."""

    sheet: int
    message: str

    def __str__(self) -> str:
        """What reports show."""
        return f"sheet {self.sheet}: {self.message}"


class SheetSet(Struct, frozen=True, kw_only=True):
    """All the sheets of a frame, and what is to be known about them.

    ``layers`` and ``version`` say how drawing files are written, ``sets`` which of them are printed
    apart, ``names`` are those texts of the
    design in which letters run from right to left.
    """

    sheets: tuple[Sheet, ...]
    lengths: LengthFormat
    findings: tuple[SheetFinding, ...] = ()
    layers: LayerNames = LayerNames.PLAIN
    version: DxfVersion = DxfVersion.R2018
    names: tuple[str, ...] = ()
    sets: tuple[PrintedSet, ...] = ()
