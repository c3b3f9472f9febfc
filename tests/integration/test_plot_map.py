"""Boundary and services where other programs read them: GDAL, PROJ's ellipsoid, ezdxf, poppler."""

from __future__ import annotations

import json
import math
import subprocess
from pathlib import Path

import ezdxf
import pyogrio
import pytest
import shapely
from pyproj import Geod

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.single_builds import build_site
from frame3d.site.plot.plot import plot_of
from frame3d.site.survey import Site, survey_site

LOT = {
    "project": {"name": "Mapped lot"},
    "output": {"units": "metric"},
    "profile": {"style": "quonset", "width": "4 m", "ridge_height": "2.6 m", "leg_height": "0.6 m"},
    "bays": {"count": 2, "spacing": "1.2 m"},
    "hoop": {"tube": "42 x 2 mm"},
    "socket": {"tube": "50 x 3 mm"},
    "staking": {"corner": "back right", "epsg": 32633, "east": 500120.0, "north": 5400340.0,
                "bearing": 35.0},
    "boundary": [
        # Clockwise as seen from above, which GeoJSON and KML turn round.
        {"corner": place} for place in
        ("-20 m by -30 m", "-25 m by 40 m", "30 m by 45 m", "35 m by -25 m")
    ],
    "service": [
        {"name": "Main", "kind": "water", "points": ["-9 m by -20 m", "-9 m by 10 m",
                                                     "-5 m by 30 m"]},
        {"name": "Wire", "laid": "overhead", "points": ["-20 m by 30 m", "30 m by 33 m"]},
    ],
}  # fmt: skip
# Of the same figures, by hand: the shoelace of the four corners, and Pythagoras along the main.
AREA_M2 = 0.5 * abs(
    (-20 * 40 - -25 * -30) + (-25 * 45 - 30 * 40) + (30 * -25 - 35 * 45) + (35 * -30 - -20 * -25)
)
MAIN_M = 30 + math.hypot(4, 20)
GRS80 = Geod(ellps="GRS80")


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> tuple[Site, Path]:
    folder = tmp_path_factory.mktemp("lot")
    site = survey_site(lay_out(design_from_mapping(LOT)))
    _, troubles = build_site(site, folder)
    assert troubles == ()
    return site, folder


def shapes_of(path: Path, column: str) -> dict[str, shapely.Geometry]:
    found = {}
    for layer, _ in pyogrio.list_layers(path):
        _, _, shapes, fields = pyogrio.raw.read(path, layer=layer, columns=[column])
        found |= dict(zip(fields[0], shapely.from_wkb(shapes), strict=True))
    return found


@pytest.mark.parametrize(("name", "column"), [("kml", "Name"), ("geojson", "name")])
def test_gdal_reads_the_boundary_and_the_services_at_their_size(made, name, column) -> None:
    _, folder = made
    found = shapes_of(folder / f"site-stakes.{name}", column)
    ring = found["boundary"].exterior
    assert ring.is_closed and ring.is_ccw and len(ring.coords) == 5
    area, _ = GRS80.geometry_area_perimeter(shapely.Polygon(ring))
    assert area == pytest.approx(AREA_M2, rel=1e-4)
    assert GRS80.geometry_length(found["Main"]) == pytest.approx(MAIN_M, abs=1e-2)
    assert found["Wire"].geom_type == "LineString"


def test_places_on_the_map_are_as_far_from_the_corner_as_the_tape_says(made) -> None:
    """The first corner: 20 m to the left of the back right socket and 30 m toward the front."""
    _, folder = made
    found = shapes_of(folder / "site-stakes.kml", "Name")
    corner, main = found["3R"], found["Main"].coords[0]
    _, _, far = GRS80.inv(corner.x, corner.y, main[0], main[1])
    assert far == pytest.approx(math.hypot(9, 20), abs=1e-3)
    azimuth, _, _ = GRS80.inv(corner.x, corner.y, main[0], main[1])
    # Along is 35 degrees from north; the place lies back and to the left of that.
    wanted = 35.0 + 180.0 + math.degrees(math.atan2(9, 20))
    assert (azimuth - wanted + 180) % 360 - 180 == pytest.approx(0.0, abs=0.05)  # grid and true


def test_the_map_says_that_a_service_is_not_proven(made) -> None:
    _, folder = made
    features = json.loads((folder / "site-stakes.geojson").read_text("utf-8"))["features"]
    notes = [f["properties"]["note"] for f in features if f["properties"]["what"] == "service"]
    assert len(notes) == 2 and all("no proof of where it lies" in note for note in notes)


def test_the_drawing_has_the_boundary_to_scale_on_its_own_layer(made) -> None:
    site, folder = made
    doc = ezdxf.readfile(folder / "site-sheets.dxf")
    assert doc.audit().errors == []
    lines = list(doc.modelspace().query("LINE"))
    bounds = [e for e in lines if e.dxf.layer == "boundary"]
    long = sorted(math.dist(e.dxf.start, e.dxf.end) for e in bounds)
    sides = sorted(math.dist(*line.ends) for line in plot_of(site.frame).lines)
    assert long[-4:] == pytest.approx(sides)  # the model is drawn in millimetres, full size


def test_print_has_the_plan_with_its_distances_and_cautions(made) -> None:
    site, folder = made
    text = subprocess.run(
        ["pdftotext", "-layout", str(folder / "site-sheets.pdf"), "-"],
        capture_output=True, text=True, check=True,
    ).stdout  # fmt: skip
    assert "Plot plan" in text and "no proof of where it lies" in text
    for line in plot_of(site.frame).lines:
        assert f"{line.distance_mm:.0f}" in text
