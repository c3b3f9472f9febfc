"""Dimensioned drawings of a frame: DXF, PDF and SVG.

``draw_sheets`` works out what stands where, as plain values; the ``write_`` functions
put it into files. A sheet module (:mod:`plan`, :mod:`end_elevation`, :mod:`end_wall`,
:mod:`cross_section`, :mod:`side_elevation`) says what a view shows and which sizes, marks
and tables are wanted; :mod:`annotation` and :mod:`strips` find the places for all of them
at once;
:mod:`compose` chooses scales and breaks long views over several sheets.

To add a sheet: write a module with a function of the frame that returns a
:class:`~frame3d.sheets.wishes.View`, whose ink comes from
:func:`~frame3d.sheets.silhouettes.silhouette` and
:func:`~frame3d.sheets.hiding.visible` and whose wishes name the sizes and marks; then
add a short function to the set in :mod:`draw`, which fits the view and adds it with
its notes.
"""

from frame3d.sheets.clearance import clearance_sheets
from frame3d.sheets.draw import draw_sheets
from frame3d.sheets.dxf_write import write_dxf
from frame3d.sheets.pdf_write import pdf_bytes, sheet_pictures, write_pdf
from frame3d.sheets.sheet import SheetFinding, SheetSet
from frame3d.sheets.site_set import draw_site
from frame3d.sheets.stakes_dxf import write_stakes_dxf
from frame3d.sheets.svg_write import write_svg

__all__ = [
    "SheetFinding",
    "SheetSet",
    "clearance_sheets",
    "draw_sheets",
    "draw_site",
    "pdf_bytes",
    "sheet_pictures",
    "write_dxf",
    "write_pdf",
    "write_stakes_dxf",
    "write_svg",
]
