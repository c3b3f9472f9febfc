"""Where on a frame something is, in words."""

from __future__ import annotations

import numpy as np

from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.roles import Role, Side
from frame3d.loads.model.space_frame import SpaceFrame
from frame3d.loads.solver.structure import Array

_WAYS = ("across the tunnel", "along the tunnel", "up and down")
_BETWEEN = (Role.RAIL, Role.HIP_RAIL, Role.BRACE)
_MIDDLE_MM = 100.0
"""So near to the centreline is in the middle."""
_NAMES = {Role.RIDGE_JOINT: "ridge sleeve", Role.SPLICE: "splice sleeve"}


def place_words(space: SpaceFrame, bar: int, point: Array) -> str:
    """The part that a bar is of and where, as ``hoop 3, left, 9 ft 6 in above the ground``."""
    member = space.member(bar)
    if member is None:
        return "a joint"
    form, grid = lengths_of(space.frame), space.frame.grid.hoop_y_mm
    name = _NAMES.get(member.role, member.role.value)
    if member.role is Role.HOOP:
        name = f"hoop {member.spot.hoop}"
    elif member.role in _BETWEEN:
        name = f"{name} {member.mark} near hoop {_nearest(grid, float(point[1]))}"
    else:
        name = f"{name} of hoop {member.spot.hoop}"
    side = member.spot.side
    if abs(point[0]) > _MIDDLE_MM:
        side = Side.LEFT if point[0] < 0 else Side.RIGHT
    height = form.text(abs(float(point[2])), unit=True)
    where = "above" if point[2] >= 0 else "below"
    at = "in the middle" if side is Side.MIDDLE or abs(point[0]) <= _MIDDLE_MM else side.value
    return f"{name}, {at}, {height} {where} the ground"


def _nearest(grid: tuple[float, ...], y_mm: float) -> int:
    return 1 + min(range(len(grid)), key=lambda k: abs(grid[k] - y_mm))


def way_words(shift: Array) -> str:
    """The direction in which something moves most."""
    return _WAYS[int(np.abs(shift[:3]).argmax())]


def node_words(space: SpaceFrame, node: int) -> str:
    """The part that a node lies on, and where."""
    for bar, piece in enumerate(space.mesh.pieces):
        if node in (piece.start, piece.end):
            return place_words(space, bar, space.mesh.nodes[node])
    return "a board" if any(node in bar[:2] for bar in space.mesh.timbers) else "a plate"
