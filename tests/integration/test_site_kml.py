"""``site-stakes.kml``, read by GDAL and as XML, its places worked out anew by PROJ."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pyogrio
import pytest
import shapely
from pyproj import Geod, Transformer
from site_frames import small_frame

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.single_builds import build_site
from frame3d.site.survey import survey_site
from frame3d.site.write.kml import kml_text

# A UTM zone, south of the equator too, and a zone in US survey feet (California 3, EPSG:2227).
MAPS = {
    "metric": {"epsg": 32633, "east": 500120.0, "north": 5400340.0, "bearing": 35.0},
    "south": {"epsg": 32755, "east": 690000.0, "north": 6090000.0, "bearing": 290.0},
    "feet": {"epsg": 2227, "east": 6100000.0, "north": 2100000.0, "bearing": 100.0},
}
# OGC 12-007r2, AbstractFeatureType, PlacemarkType: what stands in a feature, in this order.
ORDER = ("name", "description", "styleUrl", "Style", "ExtendedData", "Point", "Polygon",
         "Placemark", "Folder")  # fmt: skip
SPACE = "{http://www.opengis.net/kml/2.2}"


@pytest.fixture(scope="module", params=MAPS)
def made(request, tmp_path_factory):
    units = "imperial" if request.param == "feet" else "metric"
    frame = small_frame(units=units, corner="back left", **MAPS[request.param])
    site = survey_site(frame)
    files, _ = build_site(site, tmp_path_factory.mktemp("kml"))
    return MAPS[request.param], site, next(path for path in files if path.suffix == ".kml")


def test_points_are_where_proj_puts_them(made) -> None:
    """GDAL's degrees back into the projection: distances from the corner are those of the tape."""
    given, site, path = made
    found = {}
    for layer, _ in pyogrio.list_layers(path):
        meta, _, shapes, fields = pyogrio.raw.read(path, layer=layer, columns=["Name"])
        assert meta["crs"] == "EPSG:4326"
        found |= dict(zip(fields[0], shapely.from_wkb(shapes), strict=True))
    assert found.keys() - {"plot"} == {point.name for point in site.setting_out.points}
    corner = found[site.setting_out.axes.name]
    forth = Transformer.from_crs(given["epsg"], 4326, always_xy=True)
    assert (corner.x, corner.y) == pytest.approx(
        forth.transform(given["east"], given["north"]), abs=2e-9
    )
    # On the ellipsoid, without the projection: its scale is taken out, as on the ground.
    on_ground = Geod(ellps="GRS80")
    for point in site.setting_out.points:
        _, _, long = on_ground.inv(corner.x, corner.y, found[point.name].x, found[point.name].y)
        wanted = (point.x_mm**2 + point.y_mm**2) ** 0.5 / 1000
        assert long == pytest.approx(wanted, abs=1e-3)
    ring = found["plot"].exterior
    assert ring.is_closed and ring.is_ccw
    corners = {f"{hoop}{side}" for hoop in (1, 7) for side in "LR"}
    assert {found[name].coords[0][:2] for name in corners} == {at[:2] for at in ring.coords}


def in_order(feature: ElementTree.Element) -> bool:
    places = [ORDER.index(child.tag.removeprefix(SPACE)) for child in feature]
    return places == sorted(places)


def test_features_are_as_the_standard_orders_them(made) -> None:
    _, site, path = made
    root = ElementTree.parse(path).getroot()
    assert root.tag == f"{SPACE}kml"
    features = [e for e in root.iter() if e.tag.removeprefix(SPACE) in ("Document", "Placemark",
                                                                        "Folder")]  # fmt: skip
    assert len(features) > len(site.setting_out.points)
    assert all(map(in_order, features))
    spoilt = ElementTree.fromstring("<Placemark><Point/><name>a</name></Placemark>")
    assert not in_order(spoilt)
    styles = [style.get("id") for style in root.iter(f"{SPACE}Style")]
    assert len(set(styles)) == len(styles)
    assert all(re.fullmatch(r"[a-z][a-z-]*", name) for name in styles)
    used = {url.text for url in root.iter(f"{SPACE}styleUrl")}
    assert used == {f"#{name}" for name in styles}
    colours = [colour.text for colour in root.iter(f"{SPACE}color")]
    assert all(re.fullmatch(r"[0-9a-f]{8}", colour) for colour in colours)
    # longitude,latitude and no height: clause 10.
    for one in root.iter(f"{SPACE}coordinates"):
        assert re.fullmatch(r"-?[\d.]+,-?[\d.]+( -?[\d.]+,-?[\d.]+)*", one.text)
    assert "buried cables" in root.find(f"{SPACE}Document/{SPACE}description").text


def test_names_of_any_kind_stay_what_they_are(tmp_path: Path) -> None:
    name = "<b> & \"温室\" 'a' ]]>"
    frame = lay_out(design_from_mapping({
        "project": {"name": name},
        "profile": {"style": "quonset", "width": "5 m", "ridge_height": "3.2 m"},
        "bays": {"count": 2, "spacing": "1.5 m"},
        "staking": MAPS["metric"],
    }))  # fmt: skip
    text = kml_text(survey_site(frame))
    said = ElementTree.fromstring(text.encode()).find(f"{SPACE}Document/{SPACE}name").text
    assert said == f"{name}, T-01"
    assert kml_text(survey_site(frame)) == text


def test_no_place_on_the_map_no_file(tmp_path: Path) -> None:
    files, _ = build_site(survey_site(small_frame()), tmp_path / "out")
    assert not [path for path in files if path.suffix in (".kml", ".geojson")]
