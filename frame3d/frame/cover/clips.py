"""Clips that hold film on a tube: one at each end of it, and others between."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from frame3d.frame.joining.bolts import facing
from frame3d.frame.model.fittings import Ring
from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.roles import Role, Spot
from frame3d.geometry.placement import Vector, add

_CLIP_MM, _CLIP_WALL_MM = 40.0, 2.0


def clips(
    od_mm: float,
    span_mm: tuple[float, float],
    spacing_mm: float,
    start: Vector,
    along: Vector,
    spot: Spot,
    hoop_y_mm: Sequence[float] = (),
) -> Iterator[UnmarkedMember]:
    """The clips of a film over a span of its tube, no farther apart than they may be.

    Parameters
    ----------
    od_mm : float
        Of the tube.
    span_mm : (float, float)
        Where the film begins and ends, on the axis that ``along`` points along.
    start, along : (3,) float
        The point of the tube's axis where the film begins, mm, and a unit vector.
    spot : Spot
        Of the first one; each has its number.
    hoop_y_mm : sequence of float
        Hoops that a film along the tunnel passes, which each clip counts from.
    """
    part = Ring(
        name="film clip for a tube", outside_mm=od_mm + 2 * _CLIP_WALL_MM, bore_mm=od_mm,
        length_mm=_CLIP_MM,
    )  # fmt: skip
    long = span_mm[1] - span_mm[0] - _CLIP_MM
    count = max(1, math.ceil(long / spacing_mm - 1e-9))
    for k in range(count + 1):
        at = long * k / count
        passed = sum(1 for y in hoop_y_mm if y <= span_mm[0] + at)
        yield UnmarkedMember(
            role=Role.CURTAIN_CLIP, part=part, placement=facing(add(start, along, at), along),
            spot=replace(spot, order=k + 1, hoop=max(1, passed) if hoop_y_mm else spot.hoop),
        )  # fmt: skip
