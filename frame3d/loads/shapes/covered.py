"""What of the cover lies on which bar, and where on the arch that is."""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np
from msgspec import Struct

from frame3d.frame.model.roles import Role
from frame3d.geometry.arch.arch import Arch
from frame3d.loads.model.space_frame import SpaceFrame
from frame3d.loads.solver.structure import Array

_STEEP_RAD = math.radians(60)
_POINTS = 8


class Covered(Struct, frozen=True, kw_only=True, dict=True):
    """The bars that the cover lies on, c of them, looked at along the tunnel.

    Parameters
    ----------
    space : SpaceFrame
    bars : (c,) int
    width_mm : (c,) float
        How much of the tunnel's length lies on the hoop: half of each bay beside it.
    points : (c, 8, 3) float, mm
        On each bar, even from end to end: where zones end within a bar its share is counted.
    outward : (c, 3) float
        Unit vector square to the bar, across the tunnel, away from the inside.
    across_mm : (c,) float
        Length of the bar on plan, across the tunnel.
    """

    space: SpaceFrame
    bars: Array
    width_mm: Array
    points: Array
    outward: Array
    across_mm: Array

    @property
    def arch(self) -> Arch:
        """The arch of the hoops."""
        return self.space.frame.arch

    @cached_property
    def lengths(self) -> Array:
        """Of the bars, (c,) float, mm."""
        ends = np.array([(p.start, p.end) for p in self.space.mesh.pieces])[self.bars]
        nodes = self.space.mesh.nodes
        lengths: Array = np.linalg.norm(nodes[ends[:, 1]] - nodes[ends[:, 0]], axis=1)
        return lengths

    @cached_property
    def middle(self) -> Array:
        """The middles of the bars, (c, 3) float, mm."""
        middle: Array = self.points.mean(axis=1)
        return middle

    @cached_property
    def is_wall(self) -> Array:
        """Which points are on the straight legs, below the arch, (c, 8) bool."""
        wall: Array = self.points[:, :, 2] < self.arch.leg_height_mm
        return wall

    @cached_property
    def share(self) -> Array:
        """How far along the arch from its left springing a point is, 0 to 1; (c, 8) float."""
        arch = self.arch
        start, whole = arch.springing_distance_mm, arch.half.length_mm
        known = np.linspace(0.0, whole, 2001)
        rising = np.maximum.accumulate([arch.point_at(float(d)).z_mm for d in known])
        along = np.interp(self.points[:, :, 2], rising, known)
        half = np.clip((along - start) / (whole - start), 0.0, 1.0) / 2
        return np.where(self.points[:, :, 0] < 0, half, 1 - half)

    @cached_property
    def steep_x_mm(self) -> float:
        """From the centreline to where the arch is steeper than 60°, mm."""
        half = self.arch.half_curve
        heading, at = half.point_at(0.0).heading_rad, 0.0
        low, high = 0.0, self.arch.half.length_mm
        if heading <= _STEEP_RAD:
            return self.arch.width_mm / 2
        for _ in range(60):
            at = (low + high) / 2
            if half.point_at(at).heading_rad > _STEEP_RAD:
                low = at
            else:
                high = at
        return -half.point_at(at).x_mm

    @property
    def hoop(self) -> Array:
        """The number of the hoop that each is of, (c,) int."""
        pieces, axes = self.space.mesh.pieces, self.space.found.axes
        return np.array([axes[pieces[bar].axis].member.spot.hoop for bar in self.bars])


def covered_bars(space: SpaceFrame) -> Covered:
    """The bars of ``space`` that the cover lies on."""
    grid = space.frame.grid.hoop_y_mm
    widths = {
        number: (grid[min(number, len(grid) - 1)] - grid[max(number - 2, 0)]) / 2
        for number in range(1, len(grid) + 1)
    }
    pieces, axes, nodes = space.mesh.pieces, space.found.axes, space.mesh.nodes
    bars = np.array([k for k, piece in enumerate(pieces) if piece.bears_cover], dtype=int)
    ends = np.array([(pieces[k].start, pieces[k].end) for k in bars])
    along = nodes[ends[:, 1]] - nodes[ends[:, 0]]
    steps = (np.arange(_POINTS) + 0.5) / _POINTS
    points = nodes[ends[:, 0]][:, None] + along[:, None] * steps[:, None]
    outward = np.column_stack([along[:, 2], np.zeros(len(bars)), -along[:, 0]])
    outward /= np.linalg.norm(outward, axis=1)[:, None]
    inside = np.array([0.0, 0.0, 0.4 * space.frame.arch.ridge_height_mm])
    away = points.mean(axis=1) - inside
    away[:, 1] = 0.0
    # On a leg below that height, outward is away from the centreline.
    away[np.abs(outward[:, 2]) < 0.3, 2] = 0.0
    outward *= np.sign((outward * away).sum(axis=1))[:, None]
    hoops = [axes[pieces[k].axis].member.spot.hoop for k in bars]
    return Covered(
        space=space,
        bars=bars,
        width_mm=np.array([widths[number] for number in hoops]),
        points=points,
        outward=outward,
        across_mm=np.abs(along[:, 0]),
    )


def ties_by_hoop(space: SpaceFrame) -> dict[int, list[int]]:
    """The bars of the ties of each hoop that has one."""
    found: dict[int, list[int]] = {}
    for bar, piece in enumerate(space.mesh.pieces):
        member = space.found.axes[piece.axis].member
        if member.role is Role.TIE:
            found.setdefault(member.spot.hoop, []).append(bar)
    return found
