"""A bent tube by itself: laid on its chord with ordinates, and the tables of bends and holes."""

from __future__ import annotations

import math
import string
from collections.abc import Sequence

from frame3d.frame.model.parts import Tube
from frame3d.geometry.full_size import full_size, ordinate_mm, steps_mm
from frame3d.geometry.paths import Arc
from frame3d.geometry.placement import add
from frame3d.sheets.annotation.annotations import (
    Aligned,
    AngleCell,
    Annotation,
    Cell,
    Chain,
    LengthCell,
    Mark,
    Radius,
    Table,
    View,
    ViewEdge,
    Way,
)
from frame3d.sheets.primitives.primitives import Layer, Point, Primitive, Stroke
from frame3d.sheets.projection.projection import Projection
from frame3d.sheets.shop.tube_views import bounds_of, place_of, tangent_mark, tube_primitives
from frame3d.units import UnitSystem

_STEPS_MM = {
    UnitSystem.METRIC: (10.0, 25.0, 50.0, 100.0, 200.0, 250.0, 500.0, 1000.0, 2000.0),
    UnitSystem.IMPERIAL: tuple(25.4 * n for n in (0.5, 1, 2, 3, 6, 12, 24, 36, 48, 96)),
}
_MOST_STEPS = 12
_ON_ARC = (0.35, 0.65, 0.25, 0.75, 0.45, 0.55, 0.15, 0.85)
_ABOVE: tuple[Way, ...] = ((0, 1, 1.5), (0, 1, 3.0), (0, 1, 6.0), (0, -1, 1.5), (0, -1, 3.0))
_BELOW: tuple[Way, ...] = ((0, -1, 1.0), (0, -1, 2.5), (0.5, -1, 2.5), (-0.5, -1, 2.5))
_BESIDE: tuple[Way, ...] = ((0.5, -1, 2.5), (1, -0.6, 2.5), (1, 0.4, 2.5), (0, -1, 1.0))
_TINY_MM = 1e-6
_FLAT_MM = 40.0
"""Ordinates of curves flatter than this are told more finely than the rest of the sheet."""


def letters(count: int) -> list[str]:
    """Names for holes: a to z, then aa, ab; without l and o, which look like figures."""
    plain = [letter for letter in string.ascii_lowercase if letter not in "lo"]
    return [*plain, *(a + b for a in plain for b in plain)][:count]


def is_bent(tube: Tube) -> bool:
    """Whether ``tube`` has a bend."""
    return not tube.axis.is_straight


def bend_stops_mm(tube: Tube) -> list[float]:
    """Where bends start and end, distances along the tube, but for its own two ends."""
    stops: set[float] = set()
    for (along, _), segment in zip(tube.axis.starts, tube.axis.segments, strict=True):
        if isinstance(segment, Arc):
            stops |= {round(along, 6), round(along + segment.length_mm, 6)}
    return sorted(s for s in stops if _TINY_MM < s < tube.length_mm - _TINY_MM)


def steps_of(tube: Tube, system: UnitSystem) -> list[float]:
    """The even steps along the chord at which the curve is given."""
    return steps_mm(full_size(tube.axis).chord_mm, _STEPS_MM[system], _MOST_STEPS)


def bent_view(tube: Tube, title: str, mark: str, system: UnitSystem) -> View:
    """``tube`` on its chord, the start at the left and the outside of the bend above."""
    laid = full_size(tube.axis)
    cos, sin = math.cos(laid.start_rad), math.sin(laid.start_rad)
    projection = Projection(right=(cos, sin, 0.0), up=(sin, -cos, 0.0))
    left, bottom, right, top = bounds_of(tube, projection)
    bottom = min(bottom, 0.0)
    primitives: list[Primitive] = [
        *tube_primitives(tube, projection),
        *(tangent_mark(tube, s, projection) for s in bend_stops_mm(tube)),
    ]
    primitives.append(Stroke(start=(0.0, 0.0), end=(laid.chord_mm, 0.0), layer=Layer.CENTRE))
    annotations: list[Annotation] = [
        Chain(
            points=((0.0, 0.0), (laid.chord_mm, 0.0)),
            edge=ViewEdge.BOTTOM,
            names=("chord",),
            rank=3,
        ),
        Aligned(
            first=(laid.sagitta_at_mm, 0.0),
            second=(laid.sagitta_at_mm, laid.sagitta_mm),
            name="sagitta",
        ),
        *_radii(tube, projection),
    ]
    steps = steps_of(tube, system)
    for number, along in enumerate(steps):
        high = ordinate_mm(tube.axis, along)
        if high > _TINY_MM and abs(along - laid.sagitta_at_mm) > 1.0:
            primitives.append(Stroke(start=(along, 0.0), end=(along, high), layer=Layer.DIMENSIONS))
        ways = _BELOW if number < len(steps) - 1 else _BESIDE
        annotations.append(Mark(text=str(number), at=(along, bottom), ways=ways, layer=Layer.TEXT))
    return View(
        title=title,
        primitives=tuple(primitives),
        bounds=(left, bottom, right, top),
        annotations=(*annotations, _own_mark(tube, mark, projection)),
    )


def _own_mark(tube: Tube, mark: str, projection: Projection) -> Mark:
    point, normal = place_of(tube, 0.42 * tube.length_mm)
    u, v = projection.flat(add(point, normal, -tube.section.od_mm / 2))
    return Mark(text=mark, at=(u, v), ways=((0.5, 1, 2.5), (-0.5, 1, 2.5), *_ABOVE))


def _radii(tube: Tube, projection: Projection) -> list[Annotation]:
    """The radius of every bend, with its number where there are several."""
    found: list[Annotation] = []
    arcs = [s for s in tube.axis.segments if isinstance(s, Arc)]
    number = 0
    for (along, here), segment in zip(tube.axis.starts, tube.axis.segments, strict=True):
        if not isinstance(segment, Arc):
            continue
        number += 1
        left = math.copysign(segment.radius_mm, segment.angle_rad)
        x, y = here.normal
        centre = projection.flat((here.x_mm + left * x, here.y_mm + left * y, 0.0))
        on_arc = tuple(
            _on_axis(tube, along + share * segment.length_mm, projection) for share in _ON_ARC
        )
        name = f"bend {number}" if len(arcs) > 1 else ""
        found.append(Radius(centre=centre, on_arc=on_arc, name=name, outside_first=True))
    return found


def _on_axis(tube: Tube, at_mm: float, projection: Projection) -> Point:
    return projection.flat(place_of(tube, at_mm)[0])


def bend_table(tube: Tube) -> Table:
    """Start, end, length, radius, angle and direction of every bend, and their sum."""
    rows: list[tuple[Cell, ...]] = []
    arcs = [s for s in tube.axis.segments if isinstance(s, Arc)]
    for (along, _), segment in zip(tube.axis.starts, tube.axis.segments, strict=True):
        if isinstance(segment, Arc):
            rows.append(
                (
                    str(len(rows) + 1),
                    LengthCell(along, reference=True),
                    LengthCell(along + segment.length_mm, reference=True),
                    LengthCell(segment.length_mm, reference=True),
                    LengthCell(segment.radius_mm, reference=True),
                    AngleCell(abs(segment.angle_rad), decimals=2),
                    AngleCell(0.0 if segment.angle_rad > 0 else math.pi),
                )
            )
    if len(rows) > 1:
        turn = abs(math.fsum(segment.angle_rad for segment in arcs))
        rows.append(("all", "", "", "", "", AngleCell(turn, decimals=2), ""))
    return Table(
        title="Bends, from the start along the centreline",
        head=("Bend", "Starts", "Ends", "Length", "Radius", "Angle", "Toward"),
        rows=tuple(rows),
    )


def hole_table(tube: Tube, uses: Sequence[str]) -> Table:
    """Letter, distance, clock angle and diameter of every hole, and what goes through it."""
    rows = tuple(
        (
            letter,
            LengthCell(hole.at_mm, reference=True),
            AngleCell(hole.clock_rad),
            LengthCell(hole.diameter_mm, fine=True),
            use or "-",
        )
        for letter, hole, use in zip(letters(len(tube.holes)), tube.holes, uses, strict=True)
    )
    return Table(
        title="Holes, through both walls, from the start",
        head=("Hole", "Distance", "Rotation", "Drill", "For"),
        rows=rows,
        words=(4,),
    )


def layout_table(tube: Tube, system: UnitSystem) -> Table:
    """The curve of the centreline at even steps along its chord."""
    fine = full_size(tube.axis).sagitta_mm < _FLAT_MM
    rows = tuple(
        (str(n), LengthCell(along), LengthCell(ordinate_mm(tube.axis, along), fine=fine))
        for n, along in enumerate(steps_of(tube, system))
    )
    return Table(title="Full-size layout", head=("Step", "Along chord", "Ordinate"), rows=rows)


__all__ = [
    "bend_stops_mm",
    "bend_table",
    "bent_view",
    "hole_table",
    "is_bent",
    "layout_table",
    "letters",
    "steps_of",
]
