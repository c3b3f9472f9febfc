"""Places on the map: distances as a tape has them, directions as the bearing says."""

from __future__ import annotations

import math

import pytest
from pyproj import Geod
from site_frames import small_frame

from frame3d.errors import DesignError, DesignFaults
from frame3d.site.staking.mapped import map_origin, on_map
from frame3d.site.staking.setting_out import PlaceKind, set_out
from frame3d.site.survey import survey_site

UTM = {"epsg": 32633, "east": 500120.0, "north": 5400340.0, "bearing": 35.0}
# Feet: a state plane zone in US survey feet (EPSG:2263), whose scale factor is near 1.
FEET = {"epsg": 2263, "east": 984250.0, "north": 197500.0, "bearing": -20.0}


@pytest.mark.parametrize("place", [UTM, FEET])
@pytest.mark.parametrize("corner", ["front left", "back right"])
def test_geodesics_between_points_are_what_a_tape_measures(place: dict, corner: str) -> None:
    """Lengths on the ellipsoid by another way: Karney's geodesics, which know no projection."""
    frame = small_frame(corner=corner, **place)
    site = survey_site(frame)
    mapped = dict(zip((p.name for p in site.setting_out.points), site.mapped, strict=True))
    points = {p.name: p for p in site.setting_out.points}
    geod = Geod(ellps="WGS84")
    for a, b in (("1L", "7R"), ("1R", "7L"), ("1L", "1R"), ("1L", "7L"), ("1R-E", "7L-A")):
        _, _, geodesic = geod.inv(
            mapped[a].longitude, mapped[a].latitude, mapped[b].longitude, mapped[b].latitude
        )
        taped = math.dist((points[a].x_mm, points[a].y_mm), (points[b].x_mm, points[b].y_mm))
        # GRS 80 and WGS 84 differ by 0.1 mm in the polar half-axis.
        assert geodesic * 1000 == pytest.approx(taped, abs=0.05)


def test_the_bearing_is_from_grid_north_through_east() -> None:
    site = survey_site(small_frame(**UTM))
    mapped = dict(zip((p.name for p in site.setting_out.points), site.mapped, strict=True))
    first, last, right = mapped["1L"], mapped["7L"], mapped["1R"]
    assert (first.east, first.north) == (UTM["east"], UTM["north"])
    bearing = math.degrees(math.atan2(last.east - first.east, last.north - first.north))
    assert bearing == pytest.approx(35.0, abs=1e-6)
    # Right of it is 90° on.
    across = math.degrees(math.atan2(right.east - first.east, right.north - first.north))
    assert across == pytest.approx(125.0, abs=1e-6)
    # UTM draws lengths on its middle meridian at 0.9996 (definition of UTM).
    assert site.origin.scale == pytest.approx(0.9996, abs=1e-6)
    drawn = math.dist((first.east, first.north), (last.east, last.north))
    assert drawn == pytest.approx(9.0 * 0.9996, abs=1e-5)


def test_the_corner_that_was_given_is_where_it_was_given() -> None:
    site = survey_site(small_frame(corner="back left", **UTM))
    mapped = dict(zip((p.name for p in site.setting_out.points), site.mapped, strict=True))
    assert (mapped["7L"].east, mapped["7L"].north) == (UTM["east"], UTM["north"])


def test_without_a_place_there_is_no_map() -> None:
    site = survey_site(small_frame())
    assert (site.origin, site.mapped) == (None, ())


@pytest.mark.parametrize(
    ("place", "told"),
    [
        ({"epsg": 32633}, "needs epsg, east, north, bearing, and east, north, bearing are not"),
        ({**UTM, "bearing": None}, "and bearing is not given; add what is missing, or remove"),
        ({**UTM, "epsg": 30000}, "got 30000, which is not in the EPSG register"),
        ({**UTM, "epsg": 4326}, "got 4326, WGS 84, which is not a map projection"),
        ({**UTM, "east": 9e7}, "is not a place in WGS 84 / UTM zone 33N"),
    ],
)
def test_half_a_place_or_a_wrong_one_is_told(place: dict, told: str) -> None:
    frame = small_frame(**{key: value for key, value in place.items() if value is not None})
    with pytest.raises(DesignError, match=r"^staking\.") as error:
        map_origin(frame.design.staking)
    assert told in str(error.value)
    with pytest.raises(DesignFaults):
        survey_site(frame)


def test_points_go_through_in_order() -> None:
    frame = small_frame(**UTM)
    out = set_out(frame)
    mapped = on_map(out.points, frame.design.staking, map_origin(frame.design.staking))
    assert len(mapped) == len(out.points)
    assert out.points[0].kind is PlaceKind.SOCKET
