"""The plot plan: boundary, setbacks, what stands nearby, services, paths, north and levels.

The tunnel runs to the right, its left side on top, as on the other plans.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from frame3d.design.tables.whole_design import Laid, Neighbour
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.geometry.plane import nearest_on, sides
from frame3d.sheets.annotation.annotations import (
    Aligned,
    Annotation,
    Mark,
    View,
)
from frame3d.sheets.plot.paths import MachinePath, machine_paths
from frame3d.sheets.plot.signs import (
    BAND_MM,
    legend,
    middle_of,
    north_arrow,
    scale_bar,
    size_of,
)
from frame3d.sheets.primitives.primitives import (
    CircleStroke,
    Layer,
    Point,
    Primitive,
    Stroke,
    polyline,
)
from frame3d.site.plot.plot import Neighbour as Thing
from frame3d.site.plot.plot import Plot, Run, north_of, plot_of

Spot = tuple[float, float, float]
"""A level: across and along in the axes of the frame, and its height, mm."""
_ROUND = tuple(
    (right, up, away) for away in (1.2, 3.0, 5.0, 8.0) for right, up in
    ((0, 1), (0, -1), (1, 0), (-1, 0), (1, 1), (-1, 1), (1, -1), (-1, -1))
)  # fmt: skip
_LAYERS = {Laid.BURIED: Layer.BURIED, Laid.OVERHEAD: Layer.OVERHEAD}
_CROSS_MM, _TRUNK_MM = 1.0, 1.2
"""Half of the cross of a level, and radius of a trunk, on paper."""
_MOST_SPOTS = 60


def plot_plan(frame: Frame, scale: int, spots: Sequence[Spot] = ()) -> View:
    """The plan for a scale of 1 to ``scale``, as its signs have the size that they have on paper.

    Parameters
    ----------
    frame : Frame
    scale : int
    spots : sequence of Spot
        Levels that were taken, of which every second or third is told where there are many.
    """
    plot, form = plot_of(frame), lengths_of(frame)
    shown = tuple(one for one in machine_paths(frame))
    rings = [*_rings(plot), *(_strip(path) for path in shown)]
    rings += [[(x, y)] for x, y, _ in spots]
    left, bottom, right, top = size_of([[_flat(p) for p in ring] for ring in rings])
    primitives: list[Primitive] = []
    annotations: list[Annotation] = []
    for lines, told in (
        _boundary(plot), _frame(plot), _things(plot, scale), _runs(plot), _paths(shown),
        _levels(frame, spots, scale),
    ):  # fmt: skip
        primitives += lines
        annotations += told
    low = bottom - 6.0 * scale
    primitives += scale_bar((left, low - 8.0 * scale), scale, form)
    primitives += legend((left + 62.0 * scale, low), _meanings(plot, shown), scale)
    north = north_of(frame)
    if north is not None:
        primitives += north_arrow((right + 10.0 * scale, top - 12.0 * scale),
                                  _flat(north), scale)  # fmt: skip
        right += 20.0 * scale
    return View(
        title="Plot plan",
        primitives=tuple(primitives),
        bounds=(left, low - BAND_MM * scale, right, top),
        annotations=tuple(annotations),
    )


def _flat(place: Point) -> Point:
    x, y = place
    return y, -x


def _rings(plot: Plot) -> list[Sequence[Point]]:
    """Everything that must be on the plan."""
    return [
        plot.outline, *([plot.corners] if plot.corners else []),
        *(line.ends for line in plot.lines), *(one.ring for one in plot.neighbours),
        *(run.points for run in plot.runs),
    ]  # fmt: skip


def _chain(points: Sequence[Point], layer: Layer, *, closed: bool = False) -> list[Primitive]:
    flat = [_flat(point) for point in points]
    return list(polyline([*flat, flat[0]] if closed else flat, layer))


Drawn = tuple[list[Primitive], list[Annotation]]


def _boundary(plot: Plot) -> Drawn:
    """Its lines with their numbers, the setback lines, and the distance of the frame from each."""
    primitives: list[Primitive] = []
    annotations: list[Annotation] = []
    told: set[tuple[float, ...]] = set()
    for line in plot.lines:
        primitives += _chain(line.ends, Layer.BOUNDARY)
        key = tuple(round(value) for point in line.apart for value in point)
        if line.distance_mm > 0.0 and key not in told:  # a corner that juts in is near to two lines
            told.add(key)
            first, second = (_flat(point) for point in line.apart)
            annotations.append(Aligned(first=first, second=second, share=0.5))
    for line in plot.lines:
        text = f"B{line.number} {line.name}"
        annotations.append(Mark(text=text, at=_flat(middle_of(line.ends)), ways=_ROUND,
                                layer=Layer.TEXT))  # fmt: skip
    if plot.setbacks:
        primitives += _chain(plot.setbacks, Layer.SETBACK, closed=True)
    return primitives, annotations


def _frame(plot: Plot) -> Drawn:
    """The outline; where the front is."""
    primitives = _chain(plot.outline, Layer.OUTLINE, closed=True)
    (left, front), _, (right, back), _ = plot.outline
    middle = _flat(((left + right) / 2, (front + back) / 2))
    ways = ((0, 1, 1.0), (0, -1, 1.0), (0, 1, 5.0), (0, -1, 5.0))
    return primitives, [
        Mark(text="Tunnel", at=middle, ways=ways, layer=Layer.TEXT),
        Mark(text="front", at=_flat(((left + right) / 2, front)), ways=((1, 0, 1.0), (1, 1, 1.0)),
             layer=Layer.TEXT),
    ]  # fmt: skip


def _things(plot: Plot, scale: int) -> Drawn:
    """What stands nearby, as far as its place is known."""
    primitives: list[Primitive] = []
    annotations: list[Annotation] = []
    for one in plot.neighbours:
        at = _flat(middle_of(one.ring[:2]))
        if one.thing.kind is Neighbour.TREE:
            primitives += _tree(one, scale)
        elif one.thing.kind is Neighbour.OVERHEAD_LINE:
            primitives += _chain(one.ring[:2], Layer.OVERHEAD)
        else:
            primitives += _chain(one.ring, Layer.OUTLINE, closed=len(one.ring) > 2)
        text = f"N{one.number} {one.thing.name}"
        annotations.append(Mark(text=text, at=at, ways=_ROUND, layer=Layer.TEXT))
    return primitives, annotations


def _tree(one: Thing, scale: int) -> list[Primitive]:
    """Trunk and, where its width was given, crown."""
    (ax, ay), (bx, by) = one.ring[:2]
    along = one.thing.starts is not None
    at = _flat((ax, ay) if along else ((ax + bx) / 2, (ay + by) / 2))
    made: list[Primitive] = [CircleStroke(centre=at, radius=_TRUNK_MM * scale)]
    if one.thing.length:
        made.append(CircleStroke(centre=at, radius=one.thing.length / 2, layer=Layer.FINE))
    return made


def _runs(plot: Plot) -> Drawn:
    """The services, named by what they are."""
    primitives: list[Primitive] = []
    annotations: list[Annotation] = []
    for run in plot.runs:
        primitives += _chain(run.points, _LAYERS[run.service.laid])
        annotations.append(
            Mark(text=_run_name(run), at=_flat(_clearest(plot, run.points)), ways=_ROUND,
                 layer=Layer.TEXT)
        )  # fmt: skip
    return primitives, annotations


def _clearest(plot: Plot, points: Sequence[Point]) -> Point:
    """The place on a run that lies farthest from the frame, the boundary and what is nearby."""
    others = [*sides(plot.outline), *(line.ends for line in plot.lines),
              *((one.ring[0], one.ring[1]) for one in plot.neighbours)]  # fmt: skip
    places = [
        (a[0] + step / 8 * (b[0] - a[0]), a[1] + step / 8 * (b[1] - a[1]))
        for a, b in zip(points, points[1:], strict=False) for step in range(1, 8)
    ]  # fmt: skip
    return max(places, key=lambda at: min(math.dist(at, nearest_on(o, at)) for o in others))


def _run_name(run: Run) -> str:
    return f"S{run.number} {run.service.name}, {run.service.laid.value}"


def _strip(path: MachinePath) -> list[Point]:
    left, right = path.left_mm, path.right_mm
    return [(left, path.from_mm), (right, path.from_mm), (right, path.to_mm), (left, path.to_mm)]


def _paths(paths: Sequence[MachinePath]) -> Drawn:
    primitives: list[Primitive] = []
    annotations: list[Annotation] = []
    for path in paths:
        a, b, c, d = _strip(path)
        primitives += [*_chain([a, d], Layer.PATHS), *_chain([b, c], Layer.PATHS)]
        outside = path.from_mm if path.from_mm < 0.0 else path.to_mm
        at = _flat(((path.left_mm + path.right_mm) / 2, outside))
        ways = ((-1, 0, 1.0), (1, 0, 1.0), *_ROUND)
        annotations.append(Mark(text=", ".join(path.names), at=at, ways=ways, layer=Layer.TEXT))
    return primitives, annotations


def _levels(frame: Frame, spots: Sequence[Spot], scale: int) -> Drawn:
    """Crosses where levels were taken, with their heights."""
    form, half = lengths_of(frame), _CROSS_MM * scale
    primitives: list[Primitive] = []
    annotations: list[Annotation] = []
    every = -(-len(spots) // _MOST_SPOTS) or 1
    for index, (x, y, z) in enumerate(spots):
        u, v = _flat((x, y))
        for du, dv in ((half, 0.0), (0.0, half)):
            primitives.append(Stroke(start=(u - du, v - dv), end=(u + du, v + dv),
                                     layer=Layer.DIMENSIONS))  # fmt: skip
        if index % every == 0:
            annotations.append(Mark(text=form.text(z), at=(u, v), ways=_ROUND, layer=Layer.TEXT))
    return primitives, annotations


def _meanings(plot: Plot, paths: Sequence[MachinePath]) -> list[tuple[Layer, str]]:
    """The lines that are on this plan."""
    laid = {run.service.laid for run in plot.runs}
    if any(one.thing.kind is Neighbour.OVERHEAD_LINE for one in plot.neighbours):
        laid.add(Laid.OVERHEAD)
    rows = [
        (bool(plot.lines), Layer.BOUNDARY, "boundary"),
        (bool(plot.setbacks), Layer.SETBACK, "setback"),
        (Laid.BURIED in laid, Layer.BURIED, "buried service, not proven"),
        (Laid.OVERHEAD in laid, Layer.OVERHEAD, "overhead line"),
        (bool(paths), Layer.PATHS, "path of a machine with its margin"),
    ]
    return [(layer, text) for there, layer, text in rows if there]
