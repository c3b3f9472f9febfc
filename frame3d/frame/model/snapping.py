"""Lengths and angles on a fine grid, so that parts made the same way are equal.

Every length of a part is snapped to 1e-6 mm and every angle to 1e-10 rad.
"""

from __future__ import annotations

import math

from msgspec import Struct
from msgspec.structs import force_setattr

from frame3d.geometry.paths import Arc, Line, PlanePath

_GRID_MM = 1e-6
_GRID_RAD = 1e-10
# Off the half, so that values which are round in any usual unit never lie on the
# border between two steps of the grid.
_BIAS = 0.637


def snap_mm(value: float) -> float:
    """``value`` on the 1e-6 mm grid; snapping twice changes nothing."""
    return math.floor(value / _GRID_MM + _BIAS) / 1_000_000


def snap_rad(value: float) -> float:
    """``value`` on the 1e-10 rad grid; snapping twice changes nothing."""
    return math.floor(value / _GRID_RAD + _BIAS) / 10_000_000_000


def snap_clock(angle_rad: float) -> float:
    """A direction without front or back, in [0, π), on the grid."""
    clock = snap_rad(angle_rad % math.pi)
    return 0.0 if clock >= math.pi - 1e-9 else clock


def snap_path(path: PlanePath) -> PlanePath:
    """``path`` with every length, radius and angle on its grid."""
    return PlanePath(
        tuple(
            Line(snap_mm(s.length_mm))
            if isinstance(s, Line)
            else Arc(snap_mm(s.radius_mm), snap_rad(s.angle_rad))
            for s in path.segments
        )
    )


def put(instance: Struct, **values: object) -> None:
    """Set fields of a frozen instance while it is being made."""
    for name, value in values.items():
        force_setattr(instance, name, value)
