"""Where a frame stands on the map, for a file whose design says so.

References
----------
ISO 16739-1:2018, IfcMapConversion: easting and northing of the origin, the direction of x as
abscissa (east) and ordinate (north), and the scale from the file's lengths to those of the map.
IfcCompoundPlaneAngleMeasure: degrees, minutes, seconds and millionths, all of one sign.
"""

from __future__ import annotations

import math

from msgspec import Struct

from frame3d.errors import DesignError
from frame3d.frame.model.members import Frame
from frame3d.ifc.part21 import Enum, Lines, Measure, Ref
from frame3d.site.staking.mapped import MapOrigin, Mapped, map_origin, on_map
from frame3d.site.staking.setting_out import PlaceKind, StakedPoint
from frame3d.site.staking.socket_names import axes_of

_MM_PER_M = 1000.0
_MILLIONTHS = 3600 * 10**6
_METRE = 1.0


class Geography(Struct, frozen=True, kw_only=True):
    """The map, the origin of the frame's axes on it, and the bearing of the tunnel, deg."""

    origin: MapOrigin
    place: Mapped
    bearing_deg: float


def geography_of(frame: Frame) -> Geography | None:
    """Where the frame's axes stand; None where the design gives no place, or not all of one.

    What is wrong with a place is told by whoever sets the frame out; a model is right without.
    """
    staking = frame.design.staking
    try:
        origin = map_origin(staking)
    except DesignError:
        return None
    if origin is None or staking.bearing is None:
        return None
    axes = axes_of(frame)
    zero = StakedPoint(
        name="", kind=PlaceKind.SQUARE, x_mm=-axes.x_mm, y_mm=-axes.y_mm, z_mm=0.0,
        along_mm=0.0, offset_mm=0.0,
    )  # fmt: skip
    [place] = on_map([zero], staking, origin)
    return Geography(origin=origin, place=place, bearing_deg=staking.bearing)


def add_conversion(lines: Lines, where: Geography, context: Ref, metre: Ref) -> None:
    """Say how lengths of ``context`` come onto the map; ``metre`` is that unit."""
    origin, turn = where.origin, math.radians(where.bearing_deg)
    unit = metre
    if origin.unit_m != _METRE:
        size = lines.add("IFCMEASUREWITHUNIT", Measure("IFCLENGTHMEASURE", origin.unit_m), metre)
        powers = lines.add("IFCDIMENSIONALEXPONENTS", 1, 0, 0, 0, 0, 0, 0)
        unit = lines.add(
            "IFCCONVERSIONBASEDUNIT", powers, Enum("LENGTHUNIT"), f"unit of EPSG:{origin.epsg}",
            size,
        )  # fmt: skip
    system = lines.add(
        "IFCPROJECTEDCRS", f"EPSG:{origin.epsg}", origin.name, None, None, None, None, unit
    )
    per_mm = origin.scale / _MM_PER_M / origin.unit_m
    place = where.place
    lines.add(
        "IFCMAPCONVERSION", context, system, place.east, place.north, 0.0, math.cos(turn),
        -math.sin(turn), per_mm,
    )  # fmt: skip


def compound_angle(degrees: float) -> tuple[int, int, int, int]:
    """Degrees, minutes, seconds and millionths of a second.

    Examples
    --------
    >>> compound_angle(48.5), compound_angle(-0.000001)
    ((48, 30, 0, 0), (0, 0, 0, -3600))
    """
    whole, sign = round(abs(degrees) * _MILLIONTHS), -1 if degrees < 0 else 1
    seconds, millionths = divmod(whole, 10**6)
    return (
        sign * (seconds // 3600), sign * (seconds // 60 % 60), sign * (seconds % 60),
        sign * millionths,
    )  # fmt: skip
