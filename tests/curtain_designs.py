"""A small frame with side openings that curtains can be hung on."""

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
