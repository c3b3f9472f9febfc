"""The ground in an elevation, and what stands in it."""

from __future__ import annotations

from dataclasses import replace

from frame3d.sheets.ink import Layer, Stroke
from frame3d.sheets.silhouettes import Lines


def ground_line(left: float, right: float) -> tuple[Stroke, list[Stroke]]:
    """The line of the ground from ``left`` to ``right``, mm, and strokes of soil at its ends."""
    line = Stroke(start=(left, 0.0), end=(right, 0.0), layer=Layer.GROUND)
    size = min(0.012 * (right - left), 120.0)
    soil = []
    for start in (left, right - 3 * size):
        soil += [
            Stroke(
                start=(start + (i + 1) * size, 0.0),
                end=(start + i * size, -size),
                layer=Layer.FINE,
            )
            for i in range(3)
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
