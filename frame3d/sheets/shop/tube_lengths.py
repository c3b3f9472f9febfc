"""A straight tube with its sizes: over all, holes, places of bends, how the ends are made."""

from __future__ import annotations

import math
from collections.abc import Sequence

from frame3d.frame.model.end_forms import Flat, Swage, flat_width_mm, overhang_mm
from frame3d.frame.model.parts import Tube
from frame3d.sheets.annotation.annotations import (
    Angle,
    Annotation,
    Chain,
    Mark,
    Running,
    View,
    ViewEdge,
    Way,
)
from frame3d.sheets.annotation.end_cuts import off_square
from frame3d.sheets.primitives.lettering import TEXT_MM
from frame3d.sheets.primitives.primitives import (
    Align,
    CircleStroke,
    Label,
    Layer,
    Primitive,
    Stroke,
)
from frame3d.sheets.projection.projection import Projection
from frame3d.sheets.shop.tube_views import FROM_ZERO, outline, tangent_mark, tube_primitives

_TINY_RAD = 1e-6
_KEY_MM = 11.0
"""Diameter of the tube in the key of clock angles, paper mm."""
_BY_HOLE: tuple[Way, ...] = (
    (0, -1, 0.9),
    (0.5, -1, 2.3),
    (-0.5, -1, 2.3),
    (0.5, 1, 2.3),
    (-0.5, 1, 2.3),
    (0, -1, 3.5),
)
_BY_TUBE: tuple[Way, ...] = ((0, -1, 0.9), (0, 1, 0.9), (0, -1, 2.5), (0, 1, 2.5))


def straight_view(
    tube: Tube,
    title: str,
    projection: Projection,
    *,
    mark: str,
    letters: Sequence[str],
    bends_mm: Sequence[float] = (),
    overall: str = "overall",
) -> View:
    """A straight tube, its start at the left.

    Parameters
    ----------
    tube : Tube
    title : str
    projection : Projection
    mark : str
        Of the part, written at the tube.
    letters : sequence of str
        What names each hole, in their order.
    bends_mm : sequence of float
        Where bends will start and end, from the start of the tube.
    overall : str
        What the length over all is called.
    """
    first, last = (overhang_mm(tube.section, end) for end in (tube.start, tube.end))
    length = tube.length_mm
    _, low, _, high = outline(tube, projection).area.bounds
    primitives: list[Primitive] = [*tube_primitives(tube, projection)]
    primitives += [tangent_mark(tube, at, projection) for at in bends_mm]
    annotations: list[Annotation] = [
        Chain(
            points=((-first, low), (length + last, low)),
            edge=ViewEdge.BOTTOM,
            names=(overall,),
            rank=5,
            governs=True,
        )
    ]
    if tube.holes:
        points = tuple((hole.at_mm, high) for hole in tube.holes)
        annotations.append(Running(datum=(0.0, high), points=points, edge=ViewEdge.TOP))
    if bends_mm:
        points = tuple((at, low) for at in bends_mm)
        annotations.append(Running(datum=(0.0, low), points=points, edge=ViewEdge.BOTTOM))
    annotations += _ends(tube, low)
    annotations += _cuts(tube, projection)
    half = (0.0, (high - low) / 2)
    for hole, letter in zip(tube.holes, letters, strict=True):
        annotations.append(
            Mark(text=letter, at=(hole.at_mm, 0.0), half=half, ways=_BY_HOLE, layer=Layer.TEXT)
        )
    annotations.append(
        Mark(text=mark, at=(_free_place(tube, bends_mm), 0.0), half=half, ways=_BY_TUBE)
    )
    return View(
        title=title,
        primitives=tuple(primitives),
        bounds=(-first, low, length + last, high),
        annotations=tuple(annotations),
    )


def _free_place(tube: Tube, bends_mm: Sequence[float]) -> float:
    """The middle of the longest stretch without a hole or a bend's end."""
    stops = sorted({0.0, tube.length_mm, *bends_mm, *(hole.at_mm for hole in tube.holes)})
    spans = list(zip(stops, stops[1:], strict=False))
    low, high = max(spans, key=lambda span: round(span[1] - span[0], 3))
    return (low + high) / 2


def _ends(tube: Tube, low: float) -> list[Annotation]:
    """Swages with their tapers, flats with what joins them to the round tube."""
    annotations: list[Annotation] = []
    for end, at, inward in ((tube.start, 0.0, 1.0), (tube.end, tube.length_mm, -1.0)):
        if isinstance(end, Swage):
            annotations.append(
                _made(at, inward, low, (end.length_mm, end.taper_mm), ("swage", "taper"))
            )
        elif isinstance(end, Flat):
            sizes = (end.length_mm, end.transition_mm)
            annotations.append(_made(at, inward, low, sizes, ("flat", "to round")))
    return annotations


def _cuts(tube: Tube, projection: Projection) -> list[Angle]:
    """How far the cuts of flats that are seen from their face are off square."""
    half, found = flat_width_mm(tube.section) / 2, []
    for end, at, way in ((tube.start, 0.0, -1.0), (tube.end, tube.length_mm, 1.0)):
        if isinstance(end, Flat) and projection is FROM_ZERO and shows_cut(end):
            more = way * half * math.tan(end.slant_rad)
            found.append(off_square((at + more, -half), (at - more, half), up=True))
    return found


def shows_cut(end: Flat) -> bool:
    """Whether the view from clock angle 0 shows the slant of the cut of ``end``."""
    return abs(end.slant_rad) > _TINY_RAD and abs(end.clock_rad) < _TINY_RAD


def _made(
    at: float, inward: float, low: float, sizes: tuple[float, float], names: tuple[str, str]
) -> Chain:
    """The length of an end form and that of what joins it to the full tube."""
    stops = (0.0, sizes[0], sizes[0] + sizes[1])
    points = tuple((at + inward * stop, low) for stop in stops)
    ordered = names if inward > 0 else names[::-1]
    return Chain(points=points, edge=ViewEdge.BOTTOM, rank=2, names=ordered)


def clock_key(tube_od_mm: float, wall_mm: float, zero: str) -> View:
    """A tube seen from its start with the clock angles round it; not to scale.

    Parameters
    ----------
    tube_od_mm, wall_mm : float
        Whose proportions are shown.
    zero : str
        What angle 0 points to.
    """
    outer, inner = _KEY_MM / 2, _KEY_MM / 2 * max(0.3, 1 - 2 * wall_mm / tube_od_mm)
    primitives: list[Primitive] = [
        CircleStroke(centre=(0.0, 0.0), radius=outer, layer=Layer.FINE),
        CircleStroke(centre=(0.0, 0.0), radius=inner, layer=Layer.FINE),
    ]
    for quarter in range(4):
        u, v = math.sin(quarter * math.pi / 2), math.cos(quarter * math.pi / 2)
        near, far = outer + 0.8, outer + 3.2
        primitives.append(
            Stroke(start=(near * u, near * v), end=(far * u, far * v), layer=Layer.FINE)
        )
        side = {1: Align.LEFT, 3: Align.RIGHT}.get(quarter, Align.CENTRE)
        text = f"{90 * quarter}°" + (f" {zero}" if quarter == 0 and zero else "")
        away = far + (1.0 if quarter % 2 else 2.2)
        primitives.append(Label(text=text, at=(away * u, away * v), height=TEXT_MM, align=side))
    title = Label(text="Rotation, from the start", at=(0.0, outer + 10.0), height=TEXT_MM)
    return View(
        title="",
        primitives=(*primitives, title),
        bounds=(-outer, -outer, outer, outer),
        to_scale=False,
    )
