"""The values of the four designs that a user can start from.

Only what the models have no default for, or what must differ from the default, stands
here; each table is complete enough to be built as it is.
"""

from __future__ import annotations

from pydantic.config import JsonValue

from frame3d.design.tables.fields import Table
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

_I, _M = UnitSystem.IMPERIAL, UnitSystem.METRIC
_G, _Q = ArchStyle.GOTHIC, ArchStyle.QUONSET


_UNITS: dict[UnitSystem, dict[str, list[Table]]] = {
    _I: {
        "output": [{"units": "imperial"}],
        "bays": [{"count": 12, "spacing": "4 ft"}],
        # Two bays of 4 ft and a rise of 5 ft: 32 degrees; steeper than 30 does more.
        "brace": [{"to_height": "6 ft 6 in"}],
    },
    _M: {
        "output": [{"units": "metric"}],
        "bays": [{"count": 10, "spacing": "1.5 m"}],
        "brace": [{"to_height": "2250 mm"}],
    },
}

_SHAPES: dict[tuple[ArchStyle, UnitSystem], dict[str, list[Table]]] = {
    (_G, _I): {
        "profile": [
            {
                "style": "gothic", "width": "20 ft", "ridge_height": "12 ft",
                "leg_height": "4 ft", "eave_radius": "4 ft", "ridge_slope": "20 deg",
            }
        ],
        "hoop": [{}],
        "rail": [{"at": "sides", "fraction": 0.5}, {"at": "ridge"}],
    },
    (_G, _M): {
        "profile": [
            {
                "style": "gothic", "width": "6 m", "ridge_height": "3.6 m",
                "leg_height": "1.2 m", "eave_radius": "1.2 m", "ridge_slope": "20 deg",
            }
        ],
        "hoop": [{}],
        "rail": [{"at": "sides", "fraction": 0.5}, {"at": "ridge"}],
    },
    (_Q, _I): {
        "profile": [
            {
                "style": "quonset", "width": "20 ft", "ridge_height": "11 ft 6 in",
                "leg_height": "1 ft 6 in",
            }
        ],
        # Three pieces of less than 12 ft: two from a length of 24 ft.
        "hoop": [{"pieces": 3}],
        "rail": [
            {"at": "sides", "fraction": 0.5, "fixing": "clamped"},
            {"at": "ridge", "fixing": "clamped"},
        ],
    },
    (_Q, _M): {
        "profile": [
            {"style": "quonset", "width": "6 m", "ridge_height": "3.6 m", "leg_height": "0.6 m"}
        ],
        "hoop": [{"pieces": 2}],
        "rail": [
            {"at": "sides", "fraction": 0.5, "fixing": "clamped"},
            {"at": "ridge", "fixing": "clamped"},
        ],
    },
}  # fmt: skip

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
    ("end_wall", "top"): ("notched", "notched"),
    # Clear of the jambs of the door that a new design has, and of its rails.
    ("end_wall", "positions"): (
        ["-8 ft", "-4 ft", "4 ft", "8 ft"], ["-2.4 m", "-1.2 m", "1.2 m", "2.4 m"],
    ),
    ("end_wall", "foot"): ("sill", "sill"),
    ("end_wall", "girts"): (["4 ft"], ["1.2 m"]),
    ("door", "header"): ("2x6", "47x150"),
    ("staking", "epsg"): (32633, 32633),
    ("staking", "east"): (500120.0, 500120.0),
    ("staking", "north"): (5400340.0, 5400340.0),
    ("staking", "bearing"): (35.0, 35.0),
    ("order", "zinc"): (305.0, 325.0),
    ("order", "price_file"): ("prices.csv", "prices.csv"),
    ("order", "stock_file"): ("stock.csv", "stock.csv"),
}  # fmt: skip
"""What an optional field or an empty list could be, in feet and inches and in metric: shown,
not used."""

INSTEAD: dict[tuple[str, str], str] = {
    ("profile", "eave_radius"): "with a ridge that is lower than a half circle makes it",
    ("profile", "rafter_radius"): "in place of eave_radius or ridge_slope",
    ("bays", "largest_spacing"): "with length, in place of count and spacing",
    ("hoop", "splice_tube"): "where the splice is a sleeve",
    ("rail", "height"): "in place of fraction",
}
"""Fields that a new design cannot have besides what it has; what they go with, or instead of."""

STYLED: dict[tuple[str, str], ArchStyle] = {
    ("profile", "crown_radius"): _Q,
    ("profile", "rafter_radius"): _G,
    ("profile", "ridge_slope"): _G,
}
"""Fields of one family of hoops."""

OFFERED = ("tie", "machine", "nearby", "accept")
"""Sections that not every tunnel has: a new design shows them switched off."""


def start_values(style: ArchStyle, units: UnitSystem) -> dict[str, list[Table]]:
    """For each section the tables that a new design has; those with defaults only are empty."""
    return {
        "project": [{}], "socket": [{}], "sill_board": [{}], "side_opening": [{}], "hardware": [{}],
        "clearance": [{}], "practice": [{}], "surroundings": [{}],
        "end_wall": [{}], "door": [{}], "cover": [{}], "tolerances": [{}], "staking": [{}],
        "loads": [{}], "order": [{}],
        **_UNITS[units], **_SHAPES[style, units],
    }  # fmt: skip
