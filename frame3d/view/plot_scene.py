"""The plot round a frame as its pictures draw it: boundary, what stands nearby, services."""

from __future__ import annotations

from collections.abc import Sequence

from frame3d.frame.model.members import Frame
from frame3d.geometry.plane import Point
from frame3d.site.plot.plot import plot_of
from frame3d.units.data_tables import Json

_BOUNDARY_MM, _SERVICE_MM = 400.0, 60.0
"""How high boundary and services are drawn: as strips that can be seen from afar."""


def plot_scene(frame: Frame) -> list[Json]:
    """Each thing of the plot: kind, name, corners in the axes of the frame, and how high.

    Lengths are in mm. ``closed`` where the corners go round; a line of two or more is a strip. Of
    what stands nearby and is known by its near edge alone that is drawn.
    """
    plot = plot_of(frame)
    found: list[Json] = []
    if plot.corners:
        found.append(_thing("boundary", "boundary", plot.corners, _BOUNDARY_MM, closed=True))
    else:
        found += [_thing("boundary", line.name, line.ends, _BOUNDARY_MM) for line in plot.lines]
    found += [
        _thing("nearby", one.thing.name, one.ring, one.thing.height, closed=len(one.ring) > 2)
        for one in plot.neighbours
    ]
    found += [_thing("service", run.service.name, run.points, _SERVICE_MM) for run in plot.runs]
    return found


def _thing(
    kind: str, name: str, corners: Sequence[Point], high_mm: float, *, closed: bool = False
) -> Json:
    return {
        "kind": kind, "name": name, "closed": closed, "high": round(high_mm, 1),
        "corners": [[round(x, 1), round(y, 1)] for x, y in corners],
    }  # fmt: skip
