"""The ground in plan: contours through the points that were taken, and the sockets on it."""

from __future__ import annotations

import math

from frame3d.frame.describe.wording import lengths_of
from frame3d.sheets.annotation.annotations import Annotation, GridBubbles, Mark, View, ViewEdge
from frame3d.sheets.primitives.primitives import (
    CircleStroke,
    Layer,
    Point,
    Primitive,
    Stroke,
    polyline,
)
from frame3d.sheets.views.profile import driving_of, nice_step
from frame3d.site.ground.surface import contour
from frame3d.site.staking.setting_out import PlaceKind, StakedPoint
from frame3d.site.survey import Site

_MOST = 12
_INDEX = 5
"""Every so manieth contour is drawn wide."""
_SPOT_MM = 90.0


def contour_step(site: Site) -> float:
    """Height between neighbouring contours, mm."""
    heights = driving_of(site).ground.heights
    system = lengths_of(site.frame).system
    return nice_step(float(heights.max() - heights.min()), system, _MOST)


def notes(site: Site) -> tuple[str, ...]:
    """What is to be said of the contours."""
    say = lengths_of(site.frame).text
    return (
        f"Contours every {say(contour_step(site), unit=True)}, straight between the "
        "measured points, which are shown as crosses; nothing is drawn outside them.",
        "Heights are above the benchmark's zero.",
    )


def contour_plan(site: Site) -> View:
    """The contours with the points, the sockets and the lines between the corners."""
    ground, out = driving_of(site).ground, site.setting_out
    step = contour_step(site)
    form = lengths_of(site.frame)
    primitives: list[Primitive] = []
    annotations: list[Annotation] = []
    low, high = float(ground.heights.min()), float(ground.heights.max())
    for i in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1):
        layer = Layer.OUTLINE if i % _INDEX == 0 else Layer.FINE
        for line in contour(ground, i * step):
            points = [(y, -x) for x, y in line]
            primitives += polyline(points, layer)
            annotations.append(_height(points, form.text(i * step, unit=True)))
    for x, y in ground.points:
        for du, dv in ((_SPOT_MM, 0.0), (0.0, _SPOT_MM)):
            primitives.append(
                Stroke(start=(y - du, -x - dv), end=(y + du, -x + dv), layer=Layer.DIMENSIONS)
            )
    sockets = out.of(PlaceKind.SOCKET)
    radius = site.frame.design.socket.tube.od_mm / 2
    primitives += [CircleStroke(centre=_flat(point), radius=radius) for point in sockets]
    corners = [_flat(point) for point in (sockets[0], sockets[1], sockets[-1], sockets[-2])]
    primitives += polyline([*corners, corners[0]], Layer.GRID)
    us = [*(float(y) for _, y in ground.points), *(point[0] for point in corners)]
    vs = [*(-float(x) for x, _ in ground.points), *(point[1] for point in corners)]
    top = max(vs)
    ends = (sockets[0], sockets[-1])
    annotations.append(
        GridBubbles(
            places=tuple(
                (name, (_flat(point)[0], top)) for name, point in
                zip(("1", str(len(sockets) // 2)), ends, strict=True)
            ),
            edge=ViewEdge.TOP,
        )
    )  # fmt: skip
    return View(
        title="Ground plan",
        primitives=tuple(primitives),
        bounds=(min(us), min(vs), max(us), top),
        annotations=tuple(annotations),
    )


def _flat(point: StakedPoint) -> Point:
    """A point as it is seen from above: on a slope nearer than a tape along the string has it."""
    return (point.y_mm, -point.x_mm)


def _height(points: list[Point], text: str) -> Mark:
    """The height of a contour beside the middle of it."""
    lengths = [math.dist(a, b) for a, b in zip(points, points[1:], strict=False)]
    half, run = sum(lengths) / 2, 0.0
    for (a, b), length in zip(zip(points, points[1:], strict=False), lengths, strict=True):
        if run + length >= half and length > 0:
            share = (half - run) / length
            middle = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
            break
        run += length
    else:
        middle = points[0]
    ways = tuple((way, up, d) for d in (1.0, 2.5) for way in (1, -1) for up in (0, 0.6, -0.6))
    return Mark(text=text, at=middle, ways=ways)
