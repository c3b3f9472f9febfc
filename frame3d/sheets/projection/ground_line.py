"""The ground in an elevation, and what stands in it."""

from __future__ import annotations

from msgspec.structs import replace

from frame3d.sheets.primitives.primitives import Layer, Stroke
from frame3d.sheets.projection.silhouettes import Lines


def ground_line(left: float, right: float) -> tuple[Stroke, list[Stroke]]:
    """The line of the ground from ``left`` to ``right``, mm, and strokes of soil below it.

    The soil stands a quarter of the way in from either end, clear of what is
    written beside the view.
    """
    line = Stroke(start=(left, 0.0), end=(right, 0.0), layer=Layer.GROUND)
    width = right - left
    size = min(0.01 * width, 100.0)
    soil = [
        Stroke(
            start=(left + share * width + (i + 1) * size, 0.0),
            end=(left + share * width + i * size, -size),
            layer=Layer.FINE,
        )
        for share in (0.28, 0.72)
        for i in range(-2, 2)
    ]
    return line, soil


def sink(lines: list[Lines]) -> list[Lines]:
    """``lines`` with all that lies under the ground drawn as hidden."""
    result: list[Lines] = []
    for line in lines:
        if not isinstance(line, Stroke) or line.layer is not Layer.OUTLINE:
            result.append(line)
            continue
        (u0, v0), (u1, v1) = line.start, line.end
        if v0 >= 0 and v1 >= 0:
            result.append(line)
        elif v0 <= 0 and v1 <= 0:
            result.append(replace(line, layer=Layer.HIDDEN))
        else:
            share = v0 / (v0 - v1)
            middle = (u0 + share * (u1 - u0), 0.0)
            for part in (replace(line, end=middle), replace(line, start=middle)):
                under = part.start[1] + part.end[1] < 0
                result.append(replace(part, layer=Layer.HIDDEN) if under else part)
    return result
