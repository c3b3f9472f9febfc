"""Signs of a plan: north, the bar of its scale, and what its lines mean.

All have the size that they have on paper, so they are made for one scale.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from frame3d.sheets.primitives.lettering import SMALL_MM
from frame3d.sheets.primitives.primitives import (
    Align,
    Label,
    Layer,
    Point,
    Primitive,
    Stroke,
    polyline,
)
from frame3d.units import LengthFormat, UnitSystem

BAND_MM = 16.0
"""Height on paper of the band that bar and legend stand in."""
_ARROW_MM, _HEAD_MM, _WIDE_MM = 16.0, 5.0, 1.6
_BAR_MM, _TICK_MM, _TEXT_UP_MM = 45.0, 1.6, 3.6
_SAMPLE_MM, _ROW_MM = 12.0, 4.4
_STEPS_MM = {
    UnitSystem.IMPERIAL: tuple(304.8 * feet for feet in (1, 2, 5, 10, 20, 50, 100, 200, 500)),
    UnitSystem.METRIC: tuple(1000.0 * m for m in (0.5, 1, 2, 5, 10, 20, 50, 100, 200)),
}


def north_arrow(at: Point, north: Point, scale: int) -> list[Primitive]:
    """An arrow about ``at`` that points along ``north``, of length 1, with its letter."""
    long, head, wide = (size * scale for size in (_ARROW_MM, _HEAD_MM, _WIDE_MM))

    def place(along: float, aside: float) -> Point:
        return (at[0] + along * north[0] - aside * north[1],
                at[1] + along * north[1] + aside * north[0])  # fmt: skip

    tip = place(long / 2, 0.0)
    lines = polyline([place(-long / 2, 0.0), tip, place(long / 2 - head, wide)], Layer.DIMENSIONS)
    lines += polyline([tip, place(long / 2 - head, -wide)], Layer.DIMENSIONS)
    return [*lines, Label(text="N", at=place(long / 2 + 2.6 * scale, 0.0), height=3.5)]


def scale_bar(at: Point, scale: int, lengths: LengthFormat) -> list[Primitive]:
    """A bar of four parts that begins at ``at``, with figures at its ends and middle."""
    steps = _STEPS_MM[lengths.system]
    part = max((one for one in steps if 4 * one <= _BAR_MM * scale), default=steps[0])
    x, y = at
    high = _TICK_MM * scale
    made: list[Primitive] = []
    for level in (0.0, high):
        made.append(Stroke(start=(x, y + level), end=(x + 4 * part, y + level),
                           layer=Layer.DIMENSIONS))  # fmt: skip
    for index in range(5):
        place = x + index * part
        made.append(Stroke(start=(place, y), end=(place, y + high), layer=Layer.DIMENSIONS))
        if index in (1, 3):  # every second part has a line through it
            made.append(Stroke(start=(place, y + high / 2), end=(place + part, y + high / 2),
                               layer=Layer.DIMENSIONS))  # fmt: skip
    for count in (0, 2, 4):
        text = lengths.text(count * part, unit=count == 4)
        made.append(Label(text=text, at=(x + count * part, y + _TEXT_UP_MM * scale),
                          height=SMALL_MM))  # fmt: skip
    return made


def legend(at: Point, rows: Sequence[tuple[Layer, str]], scale: int) -> list[Primitive]:
    """Samples of lines with what they mean, from ``at`` down, in columns of three."""
    made: list[Primitive] = []
    x, y = at
    for index, (layer, text) in enumerate(rows):
        column, row = divmod(index, 3)
        left, level = x + column * 62.0 * scale, y - row * _ROW_MM * scale
        made.append(Stroke(start=(left, level), end=(left + _SAMPLE_MM * scale, level),
                           layer=layer))  # fmt: skip
        made.append(Label(text=text, at=(left + (_SAMPLE_MM + 2.0) * scale, level),
                          height=SMALL_MM, align=Align.LEFT))  # fmt: skip
    return made


def size_of(rings: Sequence[Sequence[Point]]) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of all points."""
    xs, ys = zip(*(point for ring in rings for point in ring), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def middle_of(points: Sequence[Point]) -> Point:
    """The place halfway along a chain of points."""
    lengths = [math.dist(a, b) for a, b in zip(points, points[1:], strict=False)]
    left = math.fsum(lengths) / 2
    for (ax, ay), (bx, by), length in zip(points, points[1:], lengths, strict=False):
        if left <= length and length > 0.0:
            share = left / length
            return ax + share * (bx - ax), ay + share * (by - ay)
        left -= length
    return points[0]
