"""The values of the four designs that a user can start from: the choices that decide a tunnel.

All else has a default, which goes by these; each design can be built as it is.
"""

from __future__ import annotations

import copy

from pydantic.config import JsonValue

from frame3d.design.tables.fields import Table
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

_I, _M = UnitSystem.IMPERIAL, UnitSystem.METRIC
_G, _Q = ArchStyle.GOTHIC, ArchStyle.QUONSET


_UNITS: dict[UnitSystem, dict[str, list[Table]]] = {
    _I: {
        "output": [{"units": "imperial"}],
        "bays": [{"length": "48 ft", "largest_spacing": "4 ft"}],
        "hoop": [{"tube": "NPS 1-1/4 STD"}],
        # Two bays of 4 ft and a rise of 5 ft: 32 degrees; steeper than 30 does more.
        "brace": [{"to_height": "6 ft 6 in", "tube": "NPS 1 STD"}],
        "sill_board": [{"timber": "2x8"}],
        "side_opening": [{"height": "4 ft 6 in", "timber": "2x6"}],
        "cover": [{"listed_as": "parts"}],
        "end_wall": [{"at": "both", "timber": "2x4"}],
        "door": [{"kind": "hinged", "width": "4 ft"}],
    },
    _M: {
        "output": [{"units": "metric"}],
        "bays": [{"length": "15 m", "largest_spacing": "1.5 m"}],
        "hoop": [{"tube": "EN 10255 DN32 medium"}],
        "brace": [{"to_height": "2250 mm", "tube": "EN 10255 DN25 medium"}],
        "sill_board": [{"timber": "47x200"}],
        "side_opening": [{"height": "1400 mm", "timber": "47x150"}],
        "cover": [{"listed_as": "parts"}],
        "end_wall": [{"at": "both", "timber": "47x100"}],
        "door": [{"kind": "hinged", "width": "1200 mm"}],
    },
}

_PROFILES: dict[tuple[ArchStyle, UnitSystem], Table] = {
    (_G, _I): {
        "width": "20 ft", "ridge_height": "12 ft", "leg_height": "4 ft", "ridge_slope": "20 deg",
    },
    (_G, _M): {
        "width": "6 m", "ridge_height": "3.6 m", "leg_height": "1.2 m", "ridge_slope": "20 deg",
    },
    (_Q, _I): {"width": "20 ft", "ridge_height": "11 ft 6 in", "leg_height": "1 ft 6 in"},
    (_Q, _M): {"width": "6 m", "ridge_height": "3.6 m", "leg_height": "0.6 m"},
}  # fmt: skip
_RAIL_TUBES = {_I: "NPS 1 STD", _M: "EN 10255 DN25 medium"}

EXAMPLES: dict[tuple[str, str], tuple[JsonValue, JsonValue]] = {
    ("profile", "width"): ("20 ft", "6 m"),
    ("profile", "ridge_height"): ("12 ft", "3.6 m"),
    ("profile", "leg_height"): ("4 ft", "1.2 m"),
    ("profile", "leg_lean"): ("0 deg", "0 deg"),
    ("profile", "eave_radius"): ("5 ft", "1.5 m"),
    ("profile", "crown_radius"): ("10 ft", "3 m"),
    ("profile", "rafter_radius"): ("30 ft", "9 m"),
    ("profile", "ridge_slope"): ("20 deg", "20 deg"),
    ("bays", "count"): (12, 10),
    ("bays", "spacing"): ("4 ft", "1.5 m"),
    ("bays", "length"): ("48 ft", "15 m"),
    ("bays", "largest_spacing"): ("4 ft", "1.5 m"),
    ("hoop", "splice_tube"): ("2 in x 11 ga BWG", "48.3 x 2.6 mm"),
    ("hoop", "ridge_tube"): ("2 in x 11 ga BWG", "50 x 3 mm"),
    ("rail", "height"): ("8 ft", "2.4 m"),
    ("rail", "fraction"): (0.5, 0.5),
    ("machine", "shoulder_height"): ("4 ft", "1.2 m"),
    ("machine", "top_width"): ("2 ft", "600 mm"),
    ("machine", "corners"): (
        ["-18 in at 0 ft", "18 in at 0 ft", "1 ft at 6 ft", "-1 ft at 6 ft"],
        ["-0.45 m at 0 m", "0.45 m at 0 m", "0.3 m at 1.8 m", "-0.3 m at 1.8 m"],
    ),
    ("machine", "wall_distance"): ("3 ft", "900 mm"),
    ("surroundings", "front_faces"): ("east", "east"),
    ("surroundings", "wind_from"): ("west", "west"),
    ("surroundings", "setback"): ("10 ft", "3 m"),
    ("nearby", "starts"): ("0 ft", "0 m"),
    ("nearby", "length"): ("40 ft", "12 m"),
    ("nearby", "depth"): ("24 ft", "7 m"),
    ("boundary", "corner"): ("-30 ft by -20 ft", "-9 m by -6 m"),
    ("boundary", "tapes"): (["36 ft", "75 ft"], ["11 m", "23 m"]),
    ("boundary", "setback"): ("10 ft", "3 m"),
    ("service", "points"): (
        ["-20 ft by -20 ft", "-20 ft by 80 ft"], ["-6 m by -6 m", "-6 m by 25 m"],
    ),
    ("service", "depth"): ("3 ft", "900 mm"),
    ("end_wall", "top"): ("notched", "notched"),
    # Clear of the jambs of the door that a new design has, and of its rails.
    ("end_wall", "positions"): (
        ["-8 ft", "-4 ft", "4 ft", "8 ft"], ["-2.4 m", "-1.2 m", "1.2 m", "2.4 m"],
    ),
    ("end_wall", "foot"): ("sill", "sill"),
    ("end_wall", "girts"): (["4 ft"], ["1.2 m"]),
    ("door", "header"): ("2x6", "47x150"),
    ("cover", "film_widths"): (["32 ft", "40 ft", "48 ft"], ["8 m", "10 m", "12 m"]),
    ("staking", "epsg"): (32633, 32633),
    ("staking", "east"): (500120.0, 500120.0),
    ("staking", "north"): (5400340.0, 5400340.0),
    ("staking", "bearing"): (35.0, 35.0),
    ("staking", "boards"): ("level", "level"),
    ("tolerances", "cut_length"): ("1/16 in", "2 mm"),
    ("tolerances", "hole_diameter"): ("1/64 in", "0.5 mm"),
    ("tolerances", "bend_angle"): ("1 deg", "1 deg"),
    ("tolerances", "bend_radius"): ("1 in", "25 mm"),
    ("output", "sets"): (["site", "shop", "erection"], ["site", "shop", "erection"]),
    ("output", "order_files"): (["requests", "labels"], ["requests", "labels"]),
    ("crew", "rest_days"): (["saturday", "sunday"], ["saturday", "sunday"]),
    ("order", "bar_lengths"): (["20 ft", "24 ft"], ["6 m"]),
    ("order", "groups"): (["yard: steel + timber"], ["yard: steel + timber"]),
    ("order", "zinc"): (305.0, 325.0),
    ("order", "price_file"): ("prices.csv", "prices.csv"),
    ("order", "stock_file"): ("stock.csv", "stock.csv"),
    ("staking", "levels"): ("levels.csv", "levels.csv"),
    ("staking", "measured"): ("measured.csv", "measured.csv"),
    ("staking", "built"): ("built.csv", "built.csv"),
}  # fmt: skip
"""What an optional field or an empty list could be, in feet and inches and in metric: shown,
not used."""

INSTEAD: dict[tuple[str, str], str] = {
    ("profile", "eave_radius"): "with a ridge that is lower than a half circle makes it",
    ("profile", "rafter_radius"): "in place of ridge_slope",
    ("bays", "count"): "in place of largest_spacing",
    ("bays", "spacing"): "in place of largest_spacing",
    ("hoop", "splice_tube"): "where the splice is a sleeve",
    ("rail", "height"): "in place of fraction",
}
"""Fields that a new design cannot have besides what it has; what they go with, or instead of."""

INSTEAD_OF_STYLE: dict[tuple[str, str], ArchStyle] = {("profile", "eave_radius"): _Q}
"""Those of them that the other family takes as they are."""

STYLED: dict[tuple[str, str], ArchStyle] = {
    ("profile", "crown_radius"): _Q,
    ("profile", "rafter_radius"): _G,
    ("profile", "ridge_slope"): _G,
}
"""Fields of one family of hoops."""

OFFERED = (
    "curtain", "tie", "machine", "boundary", "nearby", "service", "crew", "accept", "revision",
)  # fmt: skip
"""Sections that not every tunnel has: a new design shows them switched off."""


NOTES: dict[tuple[str, str], str] = {
    ("project", "name"): "on every drawing",
    ("output", "units"): "imperial or metric: what is printed, and which defaults",
    ("profile", "style"): "gothic (pointed) or quonset (round)",
    ("profile", "width"): "between the centres of the ground posts",
    ("profile", "ridge_height"): "above the ground",
    ("profile", "leg_height"): "straight legs up to here, the bend begins",
    ("profile", "ridge_slope"): "gothic only: slope of the rafters at the ridge",
    ("bays", "length"): "from the first hoop to the last",
    ("bays", "largest_spacing"): "equal bays, no wider than this",
    ("hoop", "tube"): "hoop (bow); sockets, splices and ridge joint go by it",
    ("rail", "at"): "rail (purlin): sides is one along each side",
    ("rail", "fraction"): "of the curve from leg to ridge; or height",
    ("rail", "tube"): "a name of the catalogue, or outside x wall",
    ("rail", "fixing"): "bolted or clamped",
    ("brace", "to_height"): "up the side wall, from low on hoop 2 to here on hoop 4",
    ("brace", "tube"): "clamped to both hoops",
    ("sill_board", "timber"): "sill board (baseboard), along both sides",
    ("side_opening", "height"): "hip board: sides open for air up to here",
    ("side_opening", "timber"): "section of the hip board",
    ("cover", "listed_as"): "film and channel in lists and drawings; or figures",
    ("end_wall", "at"): "front, back or both",
    ("end_wall", "timber"): "studs",
    ("door", "kind"): "hinged, sliding or roll-up; one [[door]] for each",
    ("door", "width"): "clear, between the jambs",
}
"""Half a line on each field of a new design."""


def start_values(style: ArchStyle, units: UnitSystem) -> dict[str, list[Table]]:
    """For each section the tables that a new design has, in the order of a file."""
    clamped = {"fixing": "clamped"} if style is _Q else {}
    tube = {"tube": _RAIL_TUBES[units]}
    tables = copy.deepcopy(_UNITS[units])
    return {
        "project": [{}],
        "output": tables.pop("output"),
        "profile": [{"style": style.value, **_PROFILES[style, units]}],
        "bays": tables.pop("bays"),
        "hoop": tables.pop("hoop"),
        "rail": [
            {"at": "sides", "fraction": 0.5, **tube, **clamped}, {"at": "ridge", **tube, **clamped},
        ],
        **tables,
    }  # fmt: skip
