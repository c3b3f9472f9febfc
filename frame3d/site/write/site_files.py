"""The files of a site that need no drawing: JSON, CSV, GeoJSON, KML and a text to read first."""

from __future__ import annotations

import csv
import json
import textwrap
from pathlib import Path

from frame3d import __version__
from frame3d.errors import present
from frame3d.frame.describe.set_status import UNCHECKED, SetStatus
from frame3d.frame.describe.wording import TIE, lengths_of, tied
from frame3d.frame.model.members import Frame
from frame3d.frame.revisions.revision_index import project_record
from frame3d.frame.revisions.words import with_revision
from frame3d.schemas import Document
from frame3d.site.survey import SITE_CAUTIONS, Site, site_of
from frame3d.site.write.ground_words import ground_record
from frame3d.site.write.kml import kml_text
from frame3d.site.write.mapped_plot import MappedShape, mapped_shapes
from frame3d.site.write.site_report import assumptions, figures, findings
from frame3d.site.write.site_tables import site_tables, stakes
from frame3d.staging import write_text
from frame3d.units.data_tables import DataTable, Json, Units, Value

TABLES = (
    "stakes",
    "skew",
    "distances",
    "corners",
    "drive",
    "earthwork",
    "water",
    "boards",
    "bays",
    "walls",
    "doors",
    "tops",
    "hoops",
    "holes",
    "differences",
)
"""The tables, each of which is a CSV file where there is something for it."""
SITE_JSON, GEOJSON, DXF = "site.json", "site-stakes.geojson", "site-stakes.dxf"
KML = "site-stakes.kml"
READ_FIRST = "site-read-first.txt"
"""Cautions and what the figures rest on, for the CSV files: these are read by instruments, so no
line of them can say it."""
SHEETS = ("site-sheets.dxf", "site-sheets.pdf")
SITE_FILES = (
    READ_FIRST,
    SITE_JSON,
    *(f"site-{key}.csv" for key in TABLES),
    GEOJSON,
    KML,
    DXF,
    *SHEETS,
)
"""What ``frame3d site`` writes, as far as there is something for each."""

_DEGREES = 9
"""Decimals of a degree: a tenth of a millimetre."""


def write_site(site: Site, folder: Path) -> None:
    """Write text, JSON, CSV and, with a place on the map, GeoJSON and KML into ``folder``.

    Raises
    ------
    OutputError
        If a file cannot be written.
    """
    units = Units(system=site.frame.design.output.units)
    write_text(folder / READ_FIRST, read_first(site))
    write_text(folder / SITE_JSON, record_text(record_of(site)))
    for table in site_tables(site):
        write_csv(folder / f"site-{table.key}.csv", table, units)
    if site.mapped:
        text = json.dumps(geojson_of(site), indent=1, ensure_ascii=False, allow_nan=False)
        write_text(folder / GEOJSON, text + "\n")
        write_text(folder / KML, kml_text(site))


def write_stakes(frame: Frame, path: Path, status: SetStatus = UNCHECKED) -> None:
    """Write the points to stake out, on the ground that the frame was surveyed on, as one CSV file.

    Raises
    ------
    OSError
        If it cannot be written.
    """
    table = stakes(site_of(frame, status))
    write_csv(path, table, Units(system=frame.design.output.units))


def record_of(site: Site) -> dict[str, Json]:
    """Everything that ``site.json`` holds; lengths in millimetres."""
    return {
        "schema": Document.SITE.value,
        "program": f"frame3d {__version__}",
        "project": project_record(site.frame.design),
        "units": {
            "text": site.frame.design.output.units.value, "numbers": "mm, as their names say",
        },
        "ground": ground_record(site),
        "figures": dict(figures(site)),
        "tables": {table.key: table.as_json() for table in site_tables(site)},
        "findings": list(findings(site)),
        "assumptions": list(assumptions(site)),
        "cautions": list(SITE_CAUTIONS),
    }  # fmt: skip


def record_text(record: dict[str, Json]) -> str:
    """The text of ``site.json``."""
    return json.dumps(record, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def read_first(site: Site) -> str:
    """The text of ``site-read-first.txt``."""
    parts = (
        ("Cautions", SITE_CAUTIONS),
        ("Findings", tuple(findings(site))),
        ("Assumptions", tuple(assumptions(site))),
    )
    name = with_revision(site.frame, site.frame.design.project.name)
    lines = [f"{name}: read before staking, digging or driving"]
    for title, texts in parts:
        if texts:
            lines += ["", title]
        for text in texts:
            broken = textwrap.wrap(tied(text), 88, initial_indent="- ", subsequent_indent="  ")
            lines += [line.replace(TIE, " ") for line in broken]
    return "\n".join(lines) + "\n"


def write_csv(path: Path, table: DataTable, units: Units) -> None:
    """Write a table as CSV: one row of names with units, then the rows.

    Without a byte order mark, as instruments read it.
    """
    lines: list[list[Value]] = [[table.header(column, units) for column in table.columns]]
    lines += [["" if v is None else v for v in values] for values in table.values(units)]
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(lines)


def _shape(shape: MappedShape) -> Json:
    """The boundary as an area, a service as a line."""
    line: list[Json] = [
        [round(place.longitude, _DEGREES), round(place.latitude, _DEGREES)]
        for place in shape.places
    ]
    return {
        "type": "Feature",
        "geometry": {
            "type": "Polygon" if shape.closed else "LineString",
            "coordinates": [line] if shape.closed else line,
        },
        "properties": {"what": shape.kind, "name": shape.name, "note": shape.what},
    }


def geojson_of(site: Site) -> dict[str, Json]:
    """The points as GeoJSON by RFC 7946: WGS 84, longitude before latitude.

    Without heights: the standard's are above the ellipsoid, and those of levels are not.
    """
    form = lengths_of(site.frame)
    staking, origin = site.frame.design.staking, present(site.origin, "place on the map")
    features: list[Json] = []
    for point, place in zip(site.setting_out.points, site.mapped, strict=True):
        features.append(
            {
                "type": "Feature",
                "id": point.name,
                "geometry": {
                    "type": "Point",
                    "coordinates": [round(place.longitude, _DEGREES),
                                    round(place.latitude, _DEGREES)],
                },
                "properties": {
                    "point": point.name, "what": point.kind.value, "mark": point.mark,
                    "x_mm": round(point.x_mm, 4), "y_mm": round(point.y_mm, 4),
                    "z_mm": None if point.z_mm is None else round(point.z_mm, 4),
                    "along": form.text(point.along_mm, unit=True),
                    "off_baseline": form.text(point.offset_mm, unit=True),
                    "east": round(place.east, 4), "north": round(place.north, 4),
                },
            }
        )  # fmt: skip
    features += [_shape(shape) for shape in mapped_shapes(site)]
    return {
        "type": "FeatureCollection",
        "origin": {
            "point": site.setting_out.axes.name, "epsg": origin.epsg, "projection": origin.name,
            "east": staking.east, "north": staking.north, "bearing_deg": staking.bearing,
            "scale_factor": round(origin.scale, 9),
        },
        "cautions": list(SITE_CAUTIONS),
        "features": features,
    }  # fmt: skip
