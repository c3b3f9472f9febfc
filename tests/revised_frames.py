"""A small frame with rails and ties, and others that differ from it in one table."""

from __future__ import annotations

import copy

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame

BASE = {
    "output": {"units": "metric"},
    "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3 m", "leg_height": "1 m"},
    "bays": {"count": 4, "spacing": "1.5 m"},
    "rail": [{"at": "ridge"}],
    "tie": [{"height": "2.2 m", "every": 1, "post": "king post", "webs": 0}],
}


def revised(**more: object) -> Frame:
    """The frame with other tables."""
    return lay_out(design_from_mapping({**copy.deepcopy(BASE), **more}))
