"""The staked points as a DXF file: one POINT each with its height, and its name beside it.

Coordinates are those of the site: x to the right and y along from the corner socket, z up,
in inches or millimetres as the design has it, the same numbers as in the list of points.
"""

from __future__ import annotations

from pathlib import Path

from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace

from frame3d.sheets.write.dxf_layers import rename_layers
from frame3d.sheets.write.dxf_text import line_text
from frame3d.sheets.write.dxf_write import without_dates, write_document
from frame3d.site.staking.setting_out import PlaceKind, StakedPoint
from frame3d.site.survey import SITE_CAUTIONS, Site
from frame3d.units import UnitSystem

_LAYERS = {
    PlaceKind.SOCKET: ("sockets", 7),
    PlaceKind.STAKE: ("string stakes", 3),
    PlaceKind.BASELINE: ("baseline", 5),
    PlaceKind.SQUARE: ("square corner", 6),
}
_STRINGS, _NAMES, _CAUTIONS = "strings", "names", "cautions"
_LETTERS_MM = 120.0


def write_stakes_dxf(site: Site, path: str | Path) -> Path:
    """Write the points of ``site`` to ``path``; the same site gives the same bytes.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    output = site.frame.design.output
    system = output.units
    imperial = system is UnitSystem.IMPERIAL
    unit = 1 / system.mm_per_drawing_unit
    with without_dates():
        doc = new(output.dxf_version.value, units=1 if imperial else 4)
        doc.header["$INSUNITS"] = 1 if imperial else 4
        doc.header["$MEASUREMENT"] = 0 if imperial else 1
        doc.header["$PDMODE"] = 3  # points as crosses
        for name, colour in (*_LAYERS.values(), (_STRINGS, 1), (_NAMES, 7), (_CAUTIONS, 7)):
            doc.layers.add(name, color=colour)
        space = doc.modelspace()
        for point in site.setting_out.points:
            at = _place(point, point.z_mm or 0.0, unit)
            space.add_point(at, dxfattribs={"layer": _LAYERS[point.kind][0]})
            space.add_text(
                line_text(point.name),
                height=_LETTERS_MM * unit,
                dxfattribs={"layer": _NAMES, "insert": at},
            )
        for a, b in _strings(site):
            start, end = (_place(p, p.top_z_mm or 0.0, unit) for p in (a, b))
            space.add_line(start, end, dxfattribs={"layer": _STRINGS})
        _add_cautions(space, site, unit)
    rename_layers(doc, output.layers)
    return write_document(doc, Path(path))


def _strings(site: Site) -> list[tuple[StakedPoint, StakedPoint]]:
    """The stakes between which strings run."""
    stakes = site.setting_out.of(PlaceKind.STAKE)
    sides = [stakes[0::2], stakes[1::2]]  # on the lines of the sides, of the ends
    (a, b, c, d), (e, f, g, h) = sides
    return [(a, c), (b, d), (e, f), (g, h)]


def _place(point: StakedPoint, z_mm: float, unit: float) -> tuple[float, float, float]:
    return (round(point.x_mm * unit, 4), round(point.y_mm * unit, 4), round(z_mm * unit, 4))


def _add_cautions(space: Modelspace, site: Site, unit: float) -> None:
    left = min(point.x_mm for point in site.setting_out.points)
    low = min(point.y_mm for point in site.setting_out.points)
    for i, line in enumerate(SITE_CAUTIONS):
        at = (left * unit, (low - (4 + 2 * i) * _LETTERS_MM) * unit, 0.0)
        space.add_text(
            line, height=_LETTERS_MM * unit, dxfattribs={"layer": _CAUTIONS, "insert": at}
        )
