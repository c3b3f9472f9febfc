"""The ground in an elevation, and what stands in it."""

from __future__ import annotations

import itertools

from msgspec.structs import replace

from frame3d.design.tables.whole_design import End
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Side
from frame3d.frame.model.surveyed import GroundLine, height_on, stretch_of
from frame3d.sheets.primitives.primitives import Layer, Stroke, polyline
from frame3d.sheets.projection.projection import Projection
from frame3d.sheets.projection.silhouettes import Lines

LEVEL: GroundLine = ((0.0, 0.0),)
"""Level ground: as high everywhere as at one place."""


def ground_before(frame: Frame, where: Side | End, projection: Projection) -> GroundLine:
    """The ground along a side or an end as it was measured and is seen, to the right; or level."""
    ground = frame.ground
    if ground is None:
        return LEVEL
    if isinstance(where, Side):
        seen = [projection.flat((0.0, y, z)) for y, z in ground.along(where)]
    else:
        line = ground.front if where is End.FRONT else ground.back
        seen = [projection.flat((x, 0.0, z)) for x, z in line]
    return tuple(sorted(seen))


def ground_line(
    left: float, right: float, ground: GroundLine = LEVEL
) -> tuple[list[Stroke], list[Stroke]]:
    """The line of the ground from ``left`` to ``right``, mm, and strokes of soil below it.

    The soil stands a quarter of the way in from either end, clear of what is
    written beside the view.
    """
    line = polyline(stretch_of(ground, left, right), Layer.GROUND)
    width = right - left
    size = min(0.01 * width, 100.0)
    soil = []
    for share in (0.28, 0.72):
        for i in range(-2, 2):
            u = left + share * width + (i + 1) * size
            z = height_on(ground, u)
            soil.append(Stroke(start=(u, z), end=(u - size, z - size), layer=Layer.FINE))
    return line, soil


def sink(lines: list[Lines], ground: GroundLine = LEVEL) -> list[Lines]:
    """``lines`` with all that lies under the ground drawn as hidden."""
    result: list[Lines] = []
    for line in lines:
        if isinstance(line, Stroke) and line.layer is Layer.OUTLINE:
            result += _sunk(line, ground)
        else:
            result.append(line)
    return result


def _sunk(line: Stroke, ground: GroundLine) -> list[Stroke]:
    """The parts of a line above the ground as they are, those under it hidden."""
    (u0, v0), (u1, v1) = line.start, line.end
    bends = [(u - u0) / (u1 - u0) for u, _ in ground if min(u0, u1) < u < max(u0, u1)]
    shares = [0.0, *sorted(bends), 1.0]
    places = [(u0 + s * (u1 - u0), v0 + s * (v1 - v0)) for s in shares]
    over = [v - height_on(ground, u) for u, v in places]
    stops = [(places[0], over[0])]
    for (a, low), (b, high) in itertools.pairwise(zip(places, over, strict=True)):
        if low * high < 0:
            share = low / (low - high)
            stops.append(((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])), 0.0))
        stops.append((b, high))
    parts: list[Stroke] = []
    for (a, low), (b, high) in itertools.pairwise(stops):
        layer = Layer.HIDDEN if low < 0 or high < 0 else line.layer
        if parts and parts[-1].layer is layer:
            parts[-1] = replace(parts[-1], end=b)
        else:
            parts.append(replace(line, start=a, end=b, layer=layer))
    return parts
