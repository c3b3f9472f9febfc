"""The ground along the sides and the ends, as the layout of the frame takes it."""

from __future__ import annotations

from frame3d.frame.model.members import Frame
from frame3d.frame.model.surveyed import GroundLine, GroundUnder
from frame3d.site.driving.driving_plan import DrivingPlan
from frame3d.site.ground.facets import ground_line
from frame3d.site.staking.setting_out import PlaceKind
from frame3d.site.staking.socket_names import axes_of

_BEYOND_MM = 1000.0
"""How far past the corner sockets it is taken: boards go no farther."""


def ground_under(frame: Frame, driving: DrivingPlan) -> GroundUnder:
    """Heights above the ground that the frame is drawn on, which lies under the string.

    Along the tunnel places are as a tape along the string gives them.
    """
    axes, sockets = axes_of(frame), driving.setting_out.of(PlaceKind.SOCKET)
    xs, ys = [p.x_mm for p in sockets], [p.y_mm for p in sockets]
    start = driving.string.start_mm - driving.exposure.wanted_mm
    rise = driving.rise_toward_last
    stretch = frame.grid.length_mm / (max(ys) - min(ys))

    def relative(y: float, z: float) -> float:
        return z - start - rise * y

    def along(x: float) -> GroundLine:
        low = min(ys) - _BEYOND_MM
        line = ground_line(driving.ground, (x, low), (x, max(ys) + _BEYOND_MM))
        return tuple((axes.y_mm + (low + at) * stretch, relative(low + at, z)) for at, z in line)

    def across(y: float) -> GroundLine:
        low = min(xs) - _BEYOND_MM
        line = ground_line(driving.ground, (low, y), (max(xs) + _BEYOND_MM, y))
        return tuple((axes.x_mm + low + at, relative(y, z)) for at, z in line)

    return GroundUnder(
        left=along(min(xs)), right=along(max(xs)), front=across(min(ys)), back=across(max(ys))
    )
