"""Twelve designs that are recounted from their model and drawings: small, and unlike each other."""

from __future__ import annotations

METRIC, FEET = {"units": "metric"}, {"units": "imperial"}
QUONSET = {"style": "quonset", "width": "6 m", "ridge_height": "3.6 m", "leg_height": "0.6 m"}
GOTHIC = {
    "style": "gothic", "width": "20 ft", "ridge_height": "12 ft", "leg_height": "4 ft",
    "ridge_slope": "20 deg",
}  # fmt: skip
LOW = {"style": "quonset", "width": "4 m", "ridge_height": "2.6 m", "leg_height": "0.6 m"}
BAYS = {"count": 3, "spacing": "1.2 m"}
PARTS = {"listed_as": "parts"}

RECOUNTED = {
    "low, clamped rail, tie": {
        "output": METRIC, "profile": LOW, "bays": BAYS,
        "rail": [{"at": "ridge", "fixing": "clamped"}], "tie": [{"height": "2 m"}],
    },
    "gothic, bolted, boards": {
        "output": FEET, "profile": GOTHIC, "bays": {"count": 2, "spacing": "4 ft"},
        "rail": [{"at": "ridge"}, {"at": "sides", "fraction": 0.5}], "sill_board": {},
    },
    "cover as parts": {
        "output": METRIC, "profile": LOW, "bays": BAYS, "cover": PARTS, "sill_board": {},
    },
    "gothic, cover as parts, hip boards": {
        "output": FEET, "profile": GOTHIC, "bays": {"count": 4, "spacing": "4 ft"},
        "cover": PARTS, "sill_board": {}, "side_opening": {},
    },
    "curtains, crank": {
        "output": METRIC, "profile": QUONSET | {"leg_height": "1.2 m"},
        "bays": {"count": 6, "spacing": "1.5 m"}, "sill_board": {}, "side_opening": {},
        "curtain": {}, "cover": PARTS,
    },
    "curtains, gear, hip rail": {
        "output": METRIC, "profile": QUONSET | {"leg_height": "1.2 m"},
        "bays": {"count": 6, "spacing": "1.5 m"}, "sill_board": {}, "cover": PARTS,
        "side_opening": {"hip": "rail"}, "curtain": {"winder": "gear", "hangs": "one sheet"},
    },
    "roll-up door": {
        "output": METRIC, "profile": QUONSET, "bays": BAYS, "end_wall": [{"at": "both"}],
        "door": [{"kind": "roll-up", "width": "2.4 m"}], "curtain": {}, "cover": PARTS,
    },
    "sliding door": {
        "output": FEET, "profile": GOTHIC, "bays": {"count": 2, "spacing": "4 ft"},
        "end_wall": [{"at": "front"}], "door": [{"kind": "sliding", "width": "4 ft"}],
    },
    "hinged door in tube": {
        "output": METRIC, "profile": QUONSET, "bays": BAYS,
        "end_wall": [{"at": "front", "studs": "tube"}],
        "door": [{"kind": "hinged", "width": "1.6 m", "leaves": 2}],
    },
    "braces, four pieces": {
        "output": METRIC, "profile": QUONSET, "bays": {"count": 5, "spacing": "1.2 m"},
        "hoop": {"pieces": 4, "splice": "sleeve"}, "brace": [{"to_height": "2 m"}],
        "rail": [{"at": "sides", "fraction": 0.5}],
    },
    "gothic with plates": {
        "output": FEET, "profile": GOTHIC, "bays": {"count": 2, "spacing": "4 ft"},
        "hoop": {"ridge_joint": "plates", "splice_fastener": "screws"},
        "tie": [{"height": "8 ft"}],
    },
    "starter in feet": {
        "output": FEET, "profile": GOTHIC, "bays": {"count": 6, "spacing": "4 ft"},
        "rail": [{"at": "ridge"}, {"at": "sides", "fraction": 0.5}], "sill_board": {},
        "brace": [{"to_height": "6 ft 6 in"}], "side_opening": {"height": "4 ft 6 in"},
        "end_wall": [{"at": "both"}], "door": [{"kind": "hinged", "width": "4 ft"}],
        "cover": PARTS,
    },
}  # fmt: skip
