"""Places on the map: from the axes of the site into a map projection and to WGS 84.

A length on the ground is not the same length on a map: near the origin the projection
draws it longer or shorter by its scale factor, in UTM by up to 0.4 mm in a metre. Places are
therefore laid out with the factor at the corner socket, so that a tape on the ground
measures what the drawing says. That the ground lies above the ellipsoid is left out: 0.16 mm
in a metre for each 1000 m of height. Between datums PROJ uses what comes with it and no grids
from the network, so the whole plot may be off by a metre or so where a grid would be
needed; places to each other are not touched by that.

References
----------
H. Butler et al., The GeoJSON Format, RFC 7946, IETF 2016, section 4: positions are
longitude and latitude in WGS 84.
PROJ contributors, PROJ coordinate transformation software library, by pyproj.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from frame3d.design.tables.staking import Staking
from frame3d.errors import DesignError, present
from frame3d.site.staking.setting_out import StakedPoint

if TYPE_CHECKING:
    import pyproj

_MM_PER_M = 1000.0
_NAMES = ("epsg", "east", "north", "bearing")


class MapOrigin(Struct, frozen=True, kw_only=True):
    """The map projection and where the corner stands in it.

    Parameters
    ----------
    name : str
        Of the projection, as the EPSG register has it.
    epsg : int
    unit_m : float
        Metres in one unit of its coordinates.
    scale : float
        Its scale factor at the corner.
    """

    name: str
    epsg: int
    unit_m: float
    scale: float


class Mapped(Struct, frozen=True, kw_only=True):
    """A point on the map: in the projection, and in degrees of WGS 84."""

    east: float
    north: float
    longitude: float
    latitude: float


def map_origin(staking: Staking) -> MapOrigin | None:
    """The projection of the design; None where it gives no place on the map.

    Raises
    ------
    DesignError
        If only a part of it is given, or the number is no map projection.
    """
    lost = [name for name in _NAMES if getattr(staking, name) is None]
    if len(lost) == len(_NAMES):
        return None
    if lost:
        raise DesignError(
            f"a place on the map needs {', '.join(_NAMES)}, and {', '.join(lost)} "
            f"{'is' if len(lost) == 1 else 'are'} not given; add what is missing, or remove "
            "all four",
            f"staking.{lost[0]}",
        )
    from pyproj import CRS, Proj
    from pyproj.exceptions import CRSError

    epsg, east, north = present(staking.epsg, "epsg"), *_corner_of(staking)
    try:
        system = CRS.from_epsg(epsg)
    except CRSError:
        raise DesignError(
            f"got {epsg}, which is not in the EPSG register; give the code of the map "
            "projection of east and north, such as 32633 for UTM zone 33 north",
            "staking.epsg",
        ) from None
    if not system.is_projected:
        raise DesignError(
            f"got {epsg}, {system.name}, which is not a map projection; give one with east "
            "and north, such as 32633 for UTM zone 33 north",
            "staking.epsg",
        )
    longitude, latitude = _to_degrees(system, east, north)
    if not (math.isfinite(longitude) and math.isfinite(latitude)):
        raise DesignError(
            f"got {east:g}, which with north {north:g} is not a place in {system.name}; "
            "give both in the projection's units",
            "staking.east",
        )
    factors = Proj(system).get_factors(longitude, latitude)
    return MapOrigin(
        name=system.name,
        epsg=epsg,
        unit_m=system.axis_info[0].unit_conversion_factor,
        scale=math.sqrt(factors.areal_scale),
    )


def on_map(
    points: Sequence[StakedPoint], staking: Staking, origin: MapOrigin
) -> tuple[Mapped, ...]:
    """``points`` on the map, the corner socket at the design's east and north."""
    return places_on_map([(point.x_mm, point.y_mm) for point in points], staking, origin)


def places_on_map(
    places: Sequence[tuple[float, float]], staking: Staking, origin: MapOrigin
) -> tuple[Mapped, ...]:
    """The same of places in the axes of the site, mm."""
    from pyproj import CRS

    system = CRS.from_epsg(origin.epsg)
    turn = math.radians(present(staking.bearing, "bearing"))
    sin, cos = math.sin(turn), math.cos(turn)
    per_mm = origin.scale / _MM_PER_M / origin.unit_m
    corner_east, corner_north = _corner_of(staking)
    made = []
    for across, along in places:
        x, y = across * per_mm, along * per_mm
        east = corner_east + x * cos + y * sin
        north = corner_north - x * sin + y * cos
        longitude, latitude = _to_degrees(system, east, north)
        made.append(Mapped(east=east, north=north, longitude=longitude, latitude=latitude))
    return tuple(made)


def _corner_of(staking: Staking) -> tuple[float, float]:
    """East and north of the corner socket, where all of a place on the map is given."""
    return present(staking.east, "east"), present(staking.north, "north")


def _to_degrees(system: pyproj.CRS, east: float, north: float) -> tuple[float, float]:
    from pyproj import Transformer

    change = Transformer.from_crs(system, "EPSG:4326", always_xy=True)
    longitude, latitude = change.transform(east, north)
    return float(longitude), float(latitude)
