"""Where details are taken, and the call-outs that send a reader of other views to them."""

from __future__ import annotations

import enum
import math
from collections.abc import Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace
from shapely import Point as Spot

from frame3d.geometry.placement import Vector
from frame3d.sheets.annotation.annotated_view import PlacedView
from frame3d.sheets.annotation.annotations import CallOut, View
from frame3d.sheets.primitives.occupancy import traces
from frame3d.sheets.primitives.primitives import ArcStroke, CircleStroke, Label, Layer, Stroke
from frame3d.sheets.projection.projection import Projection

_SHEET = "000"
"""Stands for the number of a sheet until all sheets have theirs; digits are equally wide."""
CIRCLE_SHARE = 0.35
"""Radius of the circle, of the diagonal of what the detail shows."""


class Home(enum.Enum):
    """In which views a detail is called out."""

    SECTION = "section"
    SIDE = "side"
    WALL = "wall"


class DetailPlace(Struct, frozen=True, kw_only=True):
    """A detail that has its number: its middle in the axes of the frame, and its page.

    ``page`` is that of the sheets of details, from 0.
    """

    number: int
    at: Vector
    radius_mm: float
    home: Home
    page: int
    on_plan: bool = False
    """Whether the socket plan calls it out too."""


Rows = list[list[PlacedView]]


class DetailPages(Struct, frozen=True, kw_only=True):
    """The sheets of details as they will be, and where the details are taken."""

    pages: tuple[tuple[str, Rows], ...]
    places: tuple[DetailPlace, ...]
    missing: tuple[str, ...]
    """Titles of details that fit on no sheet."""


def called_out(
    view: View, projection: Projection, places: Sequence[DetailPlace], *, again: bool = False
) -> View:
    """``view`` with a call-out for each of ``places`` where it shows something.

    ``again`` says that other views have them too, so that none is missed where there is no room.
    """
    annotations = tuple(
        CallOut(
            text=f"Detail {place.number}, sheet {_SHEET}",
            at=projection.flat(place.at),
            radius_mm=place.radius_mm,
            name="" if again else f"detail {place.number}",
        )
        for place in places
        if _shows(view, projection, place)
    )
    return replace(view, annotations=(*view.annotations, *annotations)) if annotations else view


def _shows(view: View, projection: Projection, place: DetailPlace) -> bool:
    u, v = projection.flat(place.at)
    left, bottom, right, top = view.bounds
    if not (left <= u <= right and bottom <= v <= top):
        return False
    area = Spot(u, v).buffer(place.radius_mm)
    return any(
        area.intersects(line)
        for item in view.primitives
        if isinstance(item, Stroke | ArcStroke | CircleStroke)
        and item.layer is Layer.OUTLINE
        and _is_near(item, u, v, place.radius_mm)
        for line in traces(item, 1.0)
    )


def _is_near(item: Stroke | ArcStroke | CircleStroke, u: float, v: float, reach: float) -> bool:
    """Whether it is worth measuring how near a line comes."""
    if not isinstance(item, Stroke):
        return abs(math.dist(item.centre, (u, v)) - item.radius) <= reach
    (a, b), (c, d) = item.start, item.end
    return (
        min(a, c) - reach <= u <= max(a, c) + reach and min(b, d) - reach <= v <= max(b, d) + reach
    )


def numbered(view: PlacedView, sheets: Mapping[int, str]) -> PlacedView:
    """``view`` with the numbers of the sheets in its call-outs, by the number of the detail."""
    if not any(isinstance(i, Label) and i.layer is Layer.CALL_OUTS for i in view.primitives):
        return view
    primitives = tuple(
        replace(item, text=_with_sheet(item.text, sheets))
        if isinstance(item, Label) and item.layer is Layer.CALL_OUTS
        else item
        for item in view.primitives
    )
    return replace(view, primitives=primitives)


def _with_sheet(text: str, sheets: Mapping[int, str]) -> str:
    number = int(text.removeprefix("Detail ").partition(",")[0])
    return text.replace(f"sheet {_SHEET}", f"sheet {sheets[number]}")
