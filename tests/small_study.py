"""A study of small frames for tests: each is laid out in a few hundredths of a second."""

from __future__ import annotations

from typing import Any

SMALL: dict[str, Any] = {
    "output": {"units": "metric"},
    "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3 m", "leg_height": "1 m"},
    "bays": {"count": 2, "spacing": "1.2 m"},
}
VARY: dict[str | tuple[str, ...], list[Any]] = {
    "profile.ridge_height": ["2.6 m", "2.8 m", "3 m", "1 m"],
    ("bays.count", "bays.spacing"): [(2, "1.2 m"), (3, "1 m")],
}
"""The lowest is refused: its legs are higher."""
ASK = ["ridge_height_mm", "hoops", "clear_ridge_height_mm", "headroom_mm"]
GOALS = ["ridge_height_mm up", "hoops down"]
