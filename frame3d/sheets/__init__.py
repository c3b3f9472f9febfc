"""Dimensioned drawings of a frame: DXF, PDF and SVG, and a DXF file for each part.

``draw_sheets`` works out what stands where, as plain values; the ``write_`` functions
put it into files. A sheet module (:mod:`plan`, :mod:`end_elevation`, :mod:`end_wall`,
:mod:`cross_section`, :mod:`side_elevation`) says what a view shows and which sizes, marks
and tables are wanted; :mod:`annotation` and :mod:`strips` find the places for all of them
at once;
:mod:`compose` chooses scales and breaks long views over several sheets.

To add a sheet: write a module with a function of the frame that returns a
:class:`~frame3d.sheets.annotation.annotations.View`, whose ink comes from
:func:`~frame3d.sheets.projection.silhouettes.silhouette` and
:func:`~frame3d.sheets.projection.hiding.visible` and whose wishes name the sizes and marks; then
add a short function to the set in :mod:`draw`, which fits the view and adds it with
its notes.
"""

from frame3d.sheets.layout.sheet import SheetFinding, SheetSet
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.sets.site_set import draw_site
from frame3d.sheets.views.clearance_views import clearance_sheets
from frame3d.sheets.write.dxf_write import write_dxf
from frame3d.sheets.write.part_files import write_parts
from frame3d.sheets.write.pdf_write import pdf_bytes, sheet_pictures, write_pdf
from frame3d.sheets.write.sheet_files import write_sheet_files
from frame3d.sheets.write.stakes_dxf import write_stakes_dxf
from frame3d.sheets.write.svg_write import write_svg

__all__ = [
    "SheetFinding",
    "SheetSet",
    "clearance_sheets",
    "draw_sheets",
    "draw_site",
    "pdf_bytes",
    "sheet_pictures",
    "write_dxf",
    "write_parts",
    "write_pdf",
    "write_sheet_files",
    "write_stakes_dxf",
    "write_svg",
]
