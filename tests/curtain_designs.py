"""Small frames that curtains can be hung on: at side openings, and at roll-up doors."""

from __future__ import annotations

BASE = {
    "output": {"units": "metric"},
    "profile": {
        "style": "gothic", "width": "6 m", "ridge_height": "3.6 m", "leg_height": "1.2 m",
        "ridge_slope": "20 deg",
    },
    "bays": {"count": 8, "spacing": "1.5 m"},
    "hoop": {"tube": "EN 10255 DN32 medium"},
    "sill_board": {"timber": "47x200"},
    "side_opening": {"height": "1400 mm", "timber": "47x150"},
}  # fmt: skip

ROLL_UP = {
    "output": {"units": "metric"},
    "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.6 m", "leg_height": "0.6 m"},
    "bays": {"count": 1, "spacing": "1.5 m"},
    "end_wall": [{"at": "both"}],
    "door": [{"kind": "roll-up", "width": "2.4 m", "at": "both"}],
    "cover": {"listed_as": "parts"},
    "curtain": {},
}
