"""A bent tube by itself, laid on its chord with ordinates."""

from __future__ import annotations

import math

from frame3d.frame.model.parts import Tube
from frame3d.geometry.full_size import full_size, ordinate_mm
from frame3d.geometry.placement import add
from frame3d.sheets.annotation.annotations import (
    Aligned,
    Annotation,
    Chain,
    Mark,
    Radius,
    View,
    ViewEdge,
    Way,
)
from frame3d.sheets.primitives.primitives import Layer, Point, Primitive, Stroke
from frame3d.sheets.projection.projection import Projection
from frame3d.sheets.shop.bend_tables import bend_stops_mm, steps_of, stretches
from frame3d.sheets.shop.tube_views import bounds_of, place_of, tangent_mark, tube_primitives
from frame3d.units import LengthFormat

_ON_ARC = (0.35, 0.65, 0.25, 0.75, 0.45, 0.55, 0.15, 0.85)
_ABOVE: tuple[Way, ...] = ((0, 1, 1.5), (0, 1, 3.0), (0, 1, 6.0), (0, -1, 1.5), (0, -1, 3.0))
_BELOW: tuple[Way, ...] = ((0, -1, 1.0), (0, -1, 2.5), (0.5, -1, 2.5), (-0.5, -1, 2.5))
_BESIDE: tuple[Way, ...] = ((0.5, -1, 2.5), (1, -0.6, 2.5), (1, 0.4, 2.5), (0, -1, 1.0))
_TINY_MM = 1e-6


def is_bent(tube: Tube) -> bool:
    """Whether ``tube`` has a bend."""
    return not tube.axis.is_straight


def bent_view(tube: Tube, title: str, mark: str, lengths: LengthFormat) -> View:
    """``tube`` on its chord, the start at the left and the outside of the bend above."""
    laid = full_size(tube.axis)
    cos, sin = math.cos(laid.start_rad), math.sin(laid.start_rad)
    projection = Projection(right=(cos, sin, 0.0), up=(sin, -cos, 0.0))
    left, bottom, right, top = bounds_of(tube, projection)
    bottom = min(bottom, 0.0)
    primitives: list[Primitive] = [
        *tube_primitives(tube, projection),
        *(tangent_mark(tube, s, projection) for s in bend_stops_mm(tube, lengths)),
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
        *_radii(tube, projection, lengths),
    ]
    steps = steps_of(tube, lengths.system)
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


def _radii(tube: Tube, projection: Projection, lengths: LengthFormat) -> list[Annotation]:
    """The radius of every bend, with its number where there are several."""
    found: list[Annotation] = []
    bends = [one for one in stretches(tube, lengths) if not one.is_straight]
    for number, bend in enumerate(bends, start=1):
        here = tube.axis.at(bend.start_mm)
        left = math.copysign(bend.radius_mm, bend.angle_rad)
        x, y = here.normal
        centre = projection.flat((here.x_mm + left * x, here.y_mm + left * y, 0.0))
        on_arc = tuple(
            _on_axis(tube, bend.start_mm + share * bend.length_mm, projection) for share in _ON_ARC
        )
        name = f"bend {number}" if len(bends) > 1 else ""
        found.append(Radius(centre=centre, on_arc=on_arc, name=name, outside_first=True))
    return found


def _on_axis(tube: Tube, at_mm: float, projection: Projection) -> Point:
    return projection.flat(place_of(tube, at_mm)[0])
