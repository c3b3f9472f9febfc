"""Earthwork and water in plan: what is dug and filled, how the sides fall, the low corner."""

from __future__ import annotations

import math

import numpy as np
from msgspec.structs import replace

from frame3d.errors import present
from frame3d.frame.describe.wording import lengths_of
from frame3d.sheets.annotation.annotations import (
    Annotation,
    Cell,
    LengthCell,
    Mark,
    Note,
    Table,
    View,
    ViewEdge,
)
from frame3d.sheets.primitives.primitives import (
    CircleStroke,
    Layer,
    Point,
    Primitive,
    Stroke,
    polyline,
)
from frame3d.sheets.views.profile import driving_of
from frame3d.site.earthwork.volumes import Pad, plot_of
from frame3d.site.earthwork.water import SideWater
from frame3d.site.ground.facets import Facets, Rectangle, ground_over
from frame3d.site.ground.surface import contour
from frame3d.site.staking.setting_out import PlaceKind
from frame3d.site.survey import Site
from frame3d.site.write.earth_words import percent

_ARROW = 0.05
"""Length of an arrow as a share of the plan's."""


def notes(site: Site) -> tuple[str, ...]:
    """What is to be said of the plan."""
    pad = present(site.earthwork, "levels").pads[0]
    say = lengths_of(site.frame).text
    margin = site.frame.design.staking.pad_margin
    return (
        f"The outer rectangle is the pad, {say(margin, unit=True)} outside the corner sockets; the "
        f"inner one joins these. On the wide line the ground is as high as the pad {pad.name}; "
        "where it says cut is dug, where it says fill is filled.",
        "Arrows point down the ground along each side. Volumes are of earth as it lies in the "
        "ground, with upright edges; dug earth takes more room, and fill settles.",
    )


def earth_plan(site: Site) -> View:
    """The plan with the line between cut and fill, and arrows along the sides."""
    driving, earth = driving_of(site), present(site.earthwork, "levels")
    water, plot, over = present(site.water, "levels"), plot_of(driving), earth.over
    pad = earth.pads[0]
    primitives: list[Primitive] = []
    for shape, layer in ((over, Layer.OUTLINE), (plot, Layer.GRID)):
        primitives += polyline(_ring(shape), layer)
    ground = driving.ground
    off = replace(ground, heights=ground.heights - pad.start_mm - pad.slope * ground.points[:, 1])
    for line in contour(off, 0.0):
        for piece in _inside(line, over):
            primitives += polyline([(y, -x) for x, y in piece], Layer.GROUND)
    radius = site.frame.design.socket.tube.od_mm / 2
    places = {point.name: (point.y_mm, -point.x_mm)
              for point in site.setting_out.of(PlaceKind.SOCKET)}  # fmt: skip
    primitives += [CircleStroke(centre=place, radius=radius) for place in places.values()]
    annotations: list[Annotation] = []
    long = over.back_mm - over.front_mm
    annotations += _where(ground_over(ground, plot), pad)
    for side in water.sides:
        drawn, mark = _arrow(side, plot, _ARROW * long)
        primitives += drawn
        annotations.append(mark)
    for name, height in water.corners_mm.items():
        text = f"{name}, {lengths_of(site.frame).text(height, unit=True)}"
        if name == water.low_corner:
            annotations.append(Note(text=f"Lowest corner: {text}", at=places[name]))
        else:
            annotations.append(
                Mark(text=text, at=places[name],
                     ways=tuple((right, up, 1.5) for up in (1, -1) for right in (1, -1)))
            )  # fmt: skip
    return View(
        title="Earthwork and water",
        primitives=tuple(primitives),
        bounds=(over.front_mm, -over.right_mm, over.back_mm, -over.left_mm),
        annotations=tuple(annotations),
    )


def earthwork_rows(site: Site, edge: ViewEdge) -> Table:
    """Volumes of each pad."""
    form = lengths_of(site.frame)
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (
            f"Pad {pad.name}", LengthCell(pad.start_mm), percent(100 * pad.slope),
            form.volume(pad.moved.cut_mm3), form.volume(pad.moved.fill_mm3),
            LengthCell(pad.moved.deepest_mm), LengthCell(pad.moved.highest_mm),
        )
        for pad in present(site.earthwork, "levels").pads
    )  # fmt: skip
    corner = site.setting_out.axes.name
    return Table(
        title="Earthwork",
        head=("Pad", f"At {corner}", "Rise", "Cut", "Fill", "Deepest", "Highest"),
        rows=rows, edge=edge, blocks=1,
    )  # fmt: skip


def water_rows(site: Site, edge: ViewEdge) -> Table:
    """How the ground falls along the sides and away from them."""
    form = lengths_of(site.frame)
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (
            side.name.capitalize(),
            percent(side.fall_percent),
            side.toward if side.fall_percent else "",
            LengthCell(side.hollow_mm) if form.rounded_mm(side.hollow_mm) else "none",
            "not measured" if side.away_percent is None else percent(side.away_percent),
        )
        for side in present(site.water, "levels").sides
    )
    return Table(
        title="Fall of the ground", words=(2,),
        head=("Side", "Along it", "Toward", "Hollow", "Least fall away"),
        rows=rows, edge=edge, blocks=1,
    )  # fmt: skip


def _where(facets: Facets, pad: Pad) -> list[Annotation]:
    """In which part is dug and in which filled, at the facet where it is most."""
    middles = facets.corners.mean(axis=1)
    off = (middles[:, 2] - pad.start_mm - pad.slope * middles[:, 1]) * facets.areas
    marks: list[Annotation] = []
    for word, sign in (("cut", 1), ("fill", -1)):
        most = int(np.argmax(sign * off))
        if sign * off[most] > 0:
            x, y, _ = middles[most]
            ways = tuple((r, u, d) for d in (0.0, 2.0) for r, u in ((1, 0), (-1, 0), (0, 1)))
            marks.append(Mark(text=word, at=(float(y), -float(x)), ways=ways))
    return marks


def _ring(shape: Rectangle) -> list[Point]:
    corners = [
        (shape.front_mm, -shape.left_mm), (shape.back_mm, -shape.left_mm),
        (shape.back_mm, -shape.right_mm), (shape.front_mm, -shape.right_mm),
    ]  # fmt: skip
    return [*corners, corners[0]]


def _inside(line: list[tuple[float, float]], over: Rectangle) -> list[list[tuple[float, float]]]:
    """The parts of a line in the rectangle."""
    low, high = (over.left_mm, over.front_mm), (over.right_mm, over.back_mm)
    parts: list[list[tuple[float, float]]] = []
    for start, end in zip(line, line[1:], strict=False):
        first, last = 0.0, 1.0
        for axis in (0, 1):
            run = end[axis] - start[axis]
            ways = ((low[axis] - start[axis], run), (start[axis] - high[axis], -run))
            for short, rate in ways:
                if rate > 0:
                    first = max(first, short / rate)
                elif rate < 0:
                    last = min(last, short / rate)
                elif short > 0:
                    first, last = 1.0, 0.0
        if first < last:
            a, b = (
                (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
                for share in (first, last)
            )
            if parts and math.dist(parts[-1][-1], a) < 1e-6:
                parts[-1].append(b)
            else:
                parts.append([a, b])
    return parts


def _arrow(side: SideWater, plot: Rectangle, long: float) -> tuple[list[Stroke], Mark]:
    """An arrow inside the middle of a side, down its fall, with the figure."""
    across = side.name.endswith("end")
    middle = ((plot.front_mm + plot.back_mm) / 2, -(plot.left_mm + plot.right_mm) / 2)
    inset = 0.6 * long
    at = {
        "left side": (middle[0], -plot.left_mm - inset),
        "right side": (middle[0], -plot.right_mm + inset),
        "front end": (plot.front_mm + inset, middle[1]),
        "back end": (plot.back_mm - inset, middle[1]),
    }[side.name]
    sign = 1.0 if side.toward in ("last hoop", "left") else -1.0
    way = (0.0, sign) if across else (sign, 0.0)
    tip = (at[0] + way[0] * long / 2, at[1] + way[1] * long / 2)
    tail = (at[0] - way[0] * long / 2, at[1] - way[1] * long / 2)
    barbs = [
        (tip[0] - 0.25 * long * way[0] + s * 0.1 * long * way[1],
         tip[1] - 0.25 * long * way[1] + s * 0.1 * long * way[0])
        for s in (-1, 1)
    ]  # fmt: skip
    drawn = [
        *polyline([tail, tip], Layer.OUTLINE),
        *polyline([barbs[0], tip, barbs[1]], Layer.OUTLINE),
    ]
    ways = tuple((r, u, 1.0) for r, u in ((0, 1), (0, -1), (1, 0), (-1, 0)))
    if not side.fall_percent:
        drawn = []
    return drawn, Mark(text=f"{percent(side.fall_percent)}", at=at, ways=ways)
