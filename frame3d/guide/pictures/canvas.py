"""A drawing as it grows: strokes, areas and labels in millimetres, written as SVG.

Labels find their own places: beside what they name, off the primitives and off each other.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from html import escape

from msgspec import Struct, field

from frame3d.guide.steps.step_content import Picture

Point = tuple[float, float]

NEW, NEW_FILL = "#0b4f8a", "#c5dcf1"
"""What a step adds: dark enough to stand out in black and white too."""
OLD, OLD_FILL = "#9aa3ab", "#eef1f3"
BOUGHT, BOUGHT_FILL = "#7a4a00", "#f6d48a"
INK = "#1b1f23"
LETTER, LARGE = 12.0, 15.0
"""Height of the text in a small and a wide picture, in its units: it can be read on a phone."""
_MARGIN = 34.0
_WIDE = 0.62
"""Mean width of a letter in heights (DejaVu Sans and Helvetica are both narrower)."""
_CELL = 6.0
_DISTANCES = (16, 24, 34, 46, 62, 80, 104)
"""How far from what it names a label may stand."""


_Item = tuple[str, list[Point], dict[str, str]]
"""Line or area, the points, mm, and the style."""


class _Mark(Struct, kw_only=True):
    text: str
    at: Point
    colour: str


class Canvas(Struct, kw_only=True):
    """A drawing in millimetres, up to be scaled into a picture.

    Parameters
    ----------
    width : float
        Of the picture, in its own units.
    tallest : float
        Height that the picture is kept below.
    letter : float
        Height of the text.
    """

    width: float = 560.0
    tallest: float = 340.0
    letter: float = LARGE
    _items: list[_Item] = field(default_factory=list)
    _marks: list[_Mark] = field(default_factory=list)
    _texts: list[tuple[str, Point, str, float]] = field(default_factory=list)

    def line(self, points: Iterable[Point], colour: str, wide: float, dash: str = "") -> None:
        """A line through ``points``, mm, ``wide`` in the units of the picture."""
        style = {"fill": "none", "stroke": colour, "stroke-width": f"{wide:g}"}
        if dash:
            style["stroke-dasharray"] = dash
        self._items.append(("line", list(points), style))

    def area(
        self,
        points: Iterable[Point],
        fill: str,
        edge: str = "",
        wide: float = 0.6,
        opacity: float = 1.0,
    ) -> None:
        """A closed area with its edge."""
        style = {"fill": fill, "stroke": edge or "none", "stroke-width": f"{wide:g}"}
        if opacity < 1.0:
            style["fill-opacity"] = f"{opacity:g}"
        self._items.append(("area", list(points), style))

    def mark(self, text: str, at: Point, colour: str = NEW) -> None:
        """A label for what lies at ``at``, mm; it finds its own place."""
        self._marks.append(_Mark(text=text, at=at, colour=colour))

    def text(self, text: str, at: Point, turn_deg: float = 0.0, colour: str = INK) -> None:
        """A text centred on a place, mm, where it must be."""
        self._texts.append((text, at, colour, turn_deg))

    def picture(self, caption: str) -> Picture:
        """The drawing as SVG, as large as width and height allow."""
        fit = _Fit.of(self._points(), self.width, self.tallest)
        primitives = _Primitive(fit.width, fit.height)
        body = []
        for kind, style, group in _gathered(self._items):
            path = "".join(_path([fit.at(p) for p in points], kind == "area") for points in group)
            for points in group:
                primitives.cover([fit.at(p) for p in points], kind == "area")
            attributes = " ".join(f'{name}="{value}"' for name, value in style.items())
            body.append(f'<path {attributes} stroke-linejoin="round" d="{path}"/>')
        for text, at, colour, turn in self._texts:
            x, y = fit.at(at)
            wide = len(text) * self.letter * _WIDE
            primitives.box(x, y, *((self.letter, wide) if turn else (wide, self.letter)))
            body.append(_text(text, (x, y), colour, turn, self.letter))
        body += _placed_marks(self._marks, fit, primitives, self.letter)
        top, bottom = primitives.extent()
        svg = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 {top:g} {fit.width:g} '
            f'{bottom - top:g}" role="img" aria-label="{escape(caption)}">{"".join(body)}</svg>'
        )
        return Picture(svg=svg, width=fit.width, height=bottom - top, caption=caption)

    def _points(self) -> list[Point]:
        found = [point for _, points, _ in self._items for point in points]
        return found + [at for _, at, _, _ in self._texts] + [mark.at for mark in self._marks]


class _Fit(Struct, kw_only=True):
    """From millimetres, up, to the units of the picture, down."""

    scale: float
    left: float
    top: float
    width: float
    height: float

    @classmethod
    def of(cls, points: Sequence[Point], width: float, tallest: float) -> _Fit:
        xs, ys = [x for x, _ in points], [y for _, y in points]
        wide, high = max(xs) - min(xs) or 1.0, max(ys) - min(ys) or 1.0
        scale = min((width - 2 * _MARGIN) / wide, (tallest - 2 * _MARGIN) / high)
        return cls(
            scale=scale, left=min(xs) - (width / scale - wide) / 2, top=max(ys) + _MARGIN / scale,
            width=width, height=round(high * scale + 2 * _MARGIN, 1),
        )  # fmt: skip

    def at(self, point: Point) -> Point:
        return ((point[0] - self.left) * self.scale, (self.top - point[1]) * self.scale)


class _Primitive:
    """Which cells of the picture have something drawn in them."""

    def __init__(self, width: float, height: float) -> None:
        self.width, self.height = width, height
        self.taken: dict[tuple[int, int], float] = {}
        self.boxes: list[tuple[float, float, float, float]] = []

    def cover(self, points: list[Point], closed: bool) -> None:
        ends = [*points[1:], points[0]] if closed else points[1:]
        for (x0, y0), (x1, y1) in zip(points, ends, strict=False):
            count = max(1, math.ceil(math.hypot(x1 - x0, y1 - y0) / _CELL))
            for k in range(count + 1):
                x, y = x0 + (x1 - x0) * k / count, y0 + (y1 - y0) * k / count
                self.taken[int(x // _CELL), int(y // _CELL)] = 1.0

    def box(self, x: float, y: float, wide: float, high: float) -> None:
        self.boxes.append((x - wide / 2, y - high / 2, x + wide / 2, y + high / 2))

    def extent(self) -> tuple[float, float]:
        """Top and bottom of what is drawn, with a little room."""
        tops = [row * _CELL for _, row in self.taken] + [box[1] for box in self.boxes]
        ends = [(row + 1) * _CELL for _, row in self.taken] + [box[3] for box in self.boxes]
        return round(max(min(tops) - 4, 0.0), 1), round(min(max(ends) + 4, self.height), 1)

    def cost(self, x: float, y: float, wide: float, high: float) -> float:
        """How badly a label about (x, y) would lie; infinite off the picture."""
        low_x, low_y, high_x, high_y = (
            x - wide / 2 - 2, y - high / 2 - 1, x + wide / 2 + 2, y + high / 2 + 1
        )  # fmt: skip
        if low_x < 1 or low_y < 1 or high_x > self.width - 1 or high_y > self.height - 1:
            return math.inf
        cost = sum(
            200.0
            for a, b, c, d in self.boxes
            if a < high_x and low_x < c and b < high_y and low_y < d
        )
        for i in range(int(low_x // _CELL), int(high_x // _CELL) + 1):
            for j in range(int(low_y // _CELL), int(high_y // _CELL) + 1):
                cost += self.taken.get((i, j), 0.0)
        return cost


def _placed_marks(
    marks: list[_Mark], fit: _Fit, primitives: _Primitive, letter: float
) -> list[str]:
    body, leaders = [], []
    for mark in marks:
        x, y = fit.at(mark.at)
        wide = len(mark.text) * letter * _WIDE
        u, v = _free_place((x, y), wide, letter, primitives)
        primitives.box(u, v, wide + 2, letter + 2)
        end = _toward((u, v), (x, y), wide, letter)
        primitives.cover([end, (x, y)], closed=False)
        leaders.append(
            f'<path fill="none" stroke="{INK}" stroke-width="0.6" d="{_path([end, (x, y)], False)}"'
            f'/><circle cx="{x:.1f}" cy="{y:.1f}" r="1.6" fill="{INK}"/>'
        )
        body.append(
            _halo((u, v), wide, letter) + _text(mark.text, (u, v), mark.colour, 0.0, letter)
        )
    return leaders + body


def _free_place(at: Point, wide: float, letter: float, primitives: _Primitive) -> Point:
    """Where a label for what lies at ``at`` covers least, the nearer the better."""
    best, place = math.inf, at
    for far in _DISTANCES:
        for k in range(16):
            angle = 2 * math.pi * k / 16
            u = at[0] + (far + wide / 2 * abs(math.cos(angle))) * math.cos(angle)
            v = at[1] + far * math.sin(angle)
            cost = primitives.cost(u, v, wide, letter) + far / 14
            if cost < best - 1e-9:
                best, place = cost, (u, v)
    return place


def _toward(place: Point, at: Point, wide: float, letter: float) -> Point:
    """Where the leader leaves the box of a label."""
    dx, dy = at[0] - place[0], at[1] - place[1]
    share = min(
        (wide / 2 + 1) / abs(dx) if dx else math.inf,
        (letter / 2 + 1) / abs(dy) if dy else math.inf, 1.0,
    )  # fmt: skip
    return (place[0] + share * dx, place[1] + share * dy)


def _halo(at: Point, wide: float, letter: float) -> str:
    return (
        f'<rect x="{at[0] - wide / 2 - 1:.1f}" y="{at[1] - letter / 2 - 1:.1f}" '
        f'width="{wide + 2:.1f}" height="{letter + 2:.1f}" fill="#fff" fill-opacity="0.85"/>'
    )


def _text(text: str, at: Point, colour: str, turn_deg: float, letter: float) -> str:
    """A text about its middle."""
    x, y = at
    turn = f' transform="rotate({turn_deg:g} {x:.1f} {y:.1f})"' if turn_deg else ""
    return (
        f'<text x="{x:.1f}" y="{y + letter * 0.36:.1f}" font-size="{letter:g}" '
        f'font-family="sans-serif" font-weight="bold" text-anchor="middle" fill="{colour}"{turn}>'
        f"{escape(text)}</text>"
    )


def _gathered(items: list[_Item]) -> Iterable[tuple[str, dict[str, str], list[list[Point]]]]:
    """Lines of one style that follow each other, as one; areas hide each other, so stay apart."""
    kind = ""
    style: dict[str, str] = {}
    group: list[list[Point]] = []
    for next_kind, points, next_style in items:
        if group and kind == next_kind == "line" and style == next_style:
            group.append(points)
            continue
        if group:
            yield kind, style, group
        kind, style, group = next_kind, next_style, [points]
    if group:
        yield kind, style, group


def _path(points: list[Point], closed: bool) -> str:
    """A path through points, to a tenth of the picture's units, each from the last."""
    steps = [(round(10 * x), round(10 * y)) for x, y in points]
    text = f"M{_tenth(steps[0][0])} {_tenth(steps[0][1])}"
    here = steps[0]
    for x, y in steps[1:]:
        if (x, y) != here:
            text += f"l{_tenth(x - here[0])} {_tenth(y - here[1])}"
            here = (x, y)
    return text + ("z" if closed else "")


def _tenth(value: int) -> str:
    return f"{value / 10:g}"
