"""Long profiles: ground, string and sockets of a side, heights exaggerated."""

from __future__ import annotations

import math
from collections.abc import Callable

from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.roles import Side
from frame3d.sheets.annotation.annotations import (
    Annotation,
    GridBubbles,
    LengthCell,
    Mark,
    Running,
    Table,
    View,
    ViewEdge,
)
from frame3d.sheets.primitives.primitives import Layer, Point, Primitive, Stroke, polyline
from frame3d.sheets.projection.stretch import HoopRange
from frame3d.site.driving.driving_plan import Driven, DrivingPlan
from frame3d.site.ground.facets import ground_line
from frame3d.site.survey import Site
from frame3d.units import UnitSystem

_FACTORS = (1, 2, 5, 10, 20, 50)
_HIGHEST = 0.26
"""Share of its length that a profile may be high, so that there is room for its table."""
_LINES = 6
_STEPS_MM = {
    UnitSystem.IMPERIAL: tuple(25.4 * i for i in (1, 2, 3, 6, 12, 24, 60, 120, 240, 600)),
    UnitSystem.METRIC: (20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0, 10000.0),
}

Placing = Callable[[float, float], Point]
"""Where on the view a place along the tunnel and a height stand."""


def driving_of(site: Site) -> DrivingPlan:
    """How the sockets are driven on the ground of ``site``; ``ValueError`` without levels."""
    if site.driving is None:
        raise ValueError("the site has no levels, so no sockets to draw on its ground")
    return site.driving


def notes(site: Site, times: int) -> tuple[str, ...]:
    """What is to be said of the profiles."""
    driving, say = driving_of(site), lengths_of(site.frame).text
    slope = driving.slope_percent
    run = (
        "level"
        if not driving.string.rise
        else (
            f"on a slope of {abs(slope):.2f} %, {'rising' if slope > 0 else 'falling'} from "
            f"{site.setting_out.axes.name}"
        )
    )
    drawn = "true to scale" if times == 1 else f"{times} times full height"
    return (
        f"Heights are drawn {drawn} and given above the benchmark's zero. The string over "
        f"the tops is {run}.",
        "Mark: from the top of a socket down to its driving mark, at finished ground. At "
        f"least {say(driving.embedment_mm, unit=True)} is in the ground, after filling "
        "where filling is needed. Short level lines are the ground once dug or filled.",
        "Between the measured points the ground is taken as flat triangles; outside them, "
        "as high as at the nearest point between them. Look at the ground before driving.",
    )


def exaggeration(site: Site, parts: int) -> int:
    """How many times as high as they are heights are drawn, with a profile in ``parts``."""
    driving = driving_of(site)
    length = site.setting_out.length_mm / parts
    low, high = _range(site, driving.sockets)
    fit = [times for times in _FACTORS if (high - low) * times <= _HIGHEST * length]
    return max(fit, default=1)


def profile(site: Site, side: Side, times: int, stretch: HoopRange) -> View:
    """The profile of a side over a stretch, the first hoop at the left.

    Parameters
    ----------
    site : Site
        With levels.
    side : Side
        LEFT or RIGHT.
    times : int
        By which heights are exaggerated.
    stretch : HoopRange
    """
    driving = driving_of(site)
    sockets = _of(site, side, stretch)
    places = {point.name: point for point in site.setting_out.points}
    low, high = _range(site, driving.sockets)
    radius = site.frame.design.socket.tube.od_mm / 2

    def at(u: float, z: float) -> Point:
        return (u, (z - low) * times)

    us = [places[driven.place.name].y_mm for driven in sockets]
    primitives: list[Primitive] = []
    for driven, u in zip(sockets, us, strict=True):
        primitives += _socket(driven, u, radius, site, at)
    margin = min(0.02 * (us[-1] - us[0]) or 100.0, 0.45 * site.frame.grid.spacing_mm)
    x = places[sockets[0].place.name].x_mm
    start = us[0] - margin
    ground = ground_line(driving.ground, (x, start), (x, us[-1] + margin))
    primitives += polyline((at(start + u, z) for u, z in ground), Layer.GROUND)
    tops = [at(u, driven.top_mm) for driven, u in zip(sockets, us, strict=True)]
    primitives.append(Stroke(start=tops[0], end=tops[-1], layer=Layer.CENTRE))
    left, right = us[0] - 2 * margin, us[-1] + 2 * margin
    lines, texts = _heights(site, low, high, left, right, at)
    top = max(v for _, v in tops)
    numbered = tuple(
        (str(driven.place.hoop), (u, top)) for driven, u in zip(sockets, us, strict=True)
    )
    datum = (0.0, top)
    annotations: list[Annotation] = (
        [Running(datum=datum, points=tuple(point for _, point in numbered), edge=ViewEdge.TOP)]
        if not driving.string.rise
        else []
    )  # a slope is taped along the string, not as drawn
    annotations += [GridBubbles(places=numbered, edge=ViewEdge.TOP), *texts]
    title = f"Profile of the {side.value} side{stretch.title}"
    return View(
        title=title if times == 1 else f"{title}, heights × {times}",
        primitives=(*lines, *primitives),
        bounds=(left, at(0.0, low)[1], right, max(top, at(0.0, high)[1])),
        annotations=tuple(annotations),
    )


def _of(site: Site, side: Side, stretch: HoopRange) -> list[Driven]:
    """The sockets of a side that are shown."""
    return [
        driven
        for driven in driving_of(site).sockets
        if driven.place.side is side and stretch.first <= driven.place.hoop <= stretch.last
    ]


def driving_table(site: Site, side: Side, stretch: HoopRange) -> Table:
    """The figures by which the sockets of a side are driven."""
    sockets = _of(site, side, stretch)
    head = ("Socket", "Ground", "Top", "Mark", "In ground", "Dig", "Fill", "or length", "Drill")
    rows = [
        (
            driven.place.name, LengthCell(driven.ground_mm), LengthCell(driven.top_mm),
            LengthCell(driven.mark_mm), LengthCell(driven.embedded_mm),
            *(LengthCell(size) if size else ""
              for size in (driven.dig_mm, driven.fill_mm, driven.longer_mm, driven.drill_mm)),
        )
        for driven in sockets
    ]  # fmt: skip
    kept = [i for i in range(len(head)) if i < 5 or any(row[i] != "" for row in rows)]
    return Table(
        title=f"Sockets of the {side.value} side",
        head=tuple(head[i] for i in kept),
        rows=tuple(tuple(row[i] for i in kept) for row in rows),
        edge=ViewEdge.BOTTOM,
    )


def nice_step(range_mm: float, system: UnitSystem, most: int) -> float:
    """The smallest round step that makes no more than ``most`` steps of a range, mm."""
    steps = _STEPS_MM[system]
    return next((step for step in steps if range_mm / step <= most), steps[-1])


def _range(site: Site, sockets: tuple[Driven, ...]) -> tuple[float, float]:
    """Lowest and highest height that the profiles show, mm."""
    length = site.frame.design.socket.length
    low = min(d.top_mm - max(length, d.longer_mm or 0.0) * d.place.plumb_share for d in sockets)
    low = min(low, min(d.ground_mm for d in sockets))
    return low, max(max(d.top_mm, d.ground_mm) for d in sockets)


def _socket(driven: Driven, u: float, radius: float, site: Site, at: Placing) -> list[Primitive]:
    """Its two sides and ends, hidden under the ground; the lower hole; what is dug or filled."""
    share, length = driven.place.plumb_share, site.frame.design.socket.length
    foot = driven.top_mm - length * share
    ground = driven.top_mm - driven.mark_mm * share
    made: list[Primitive] = []
    for side in (-radius, radius):
        made.append(Stroke(start=at(u + side, driven.top_mm), end=at(u + side, ground)))
        made.append(Stroke(start=at(u + side, ground), end=at(u + side, foot), layer=Layer.HIDDEN))
    for z, layer in ((driven.top_mm, Layer.OUTLINE), (foot, Layer.HIDDEN)):
        made.append(Stroke(start=at(u - radius, z), end=at(u + radius, z), layer=layer))
    hole = driven.top_mm - site.frame.design.socket.lower_hole * share
    made.append(Stroke(start=at(u - radius, hole), end=at(u + radius, hole), layer=Layer.FINE))
    changed = ground if driven.dig_mm else driven.ground_mm + driven.fill_mm
    if driven.dig_mm or driven.fill_mm:
        wide = 0.3 * site.frame.grid.spacing_mm
        made.append(
            Stroke(start=at(u - wide, changed), end=at(u + wide, changed), layer=Layer.FINE)
        )
    return made


def _heights(
    site: Site, low: float, high: float, left: float, right: float, at: Placing
) -> tuple[list[Primitive], list[Annotation]]:
    """Level lines at round heights, each with its height at the left end."""
    form = lengths_of(site.frame)
    step = nice_step(high - low, form.system, _LINES)
    primitives: list[Primitive] = []
    texts: list[Annotation] = []
    for i in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1):
        u, v = at(left, i * step)
        primitives.append(Stroke(start=(u, v), end=(right, v), layer=Layer.FINE))
        texts.append(Mark(text=form.text(i * step, unit=True), at=(u, v), ways=((-1, 0, 1.0),)))
    return primitives, texts
