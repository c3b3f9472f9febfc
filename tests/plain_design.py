"""The design of frames that tests put together by hand: units and files, not the members."""

from __future__ import annotations

from frame3d.design.reading.reader import design_from_mapping

PLAIN = design_from_mapping({
    "output": {"units": "metric", "mesh_angle": "3.4 deg"},
    "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3 m", "leg_height": "1 m"},
    "bays": {"count": 2, "spacing": "1.2 m"},
})  # fmt: skip
