"""How much room things take: the ground under texts, the lines of what is drawn."""

from __future__ import annotations

import functools
import math
from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from shapely import LineString, Polygon, STRtree
from shapely import Point as Spot

from frame3d.sheets.primitives.lettering import TEXT_MM, text_width_mm
from frame3d.sheets.primitives.primitives import (
    Align,
    AngleDimension,
    ArcStroke,
    Bubble,
    CircleStroke,
    Dimension,
    Label,
    Layer,
    LinearDimension,
    Point,
    Primitive,
    RadiusDimension,
    RunningDimension,
    Stroke,
    around,
)

ARROW_MM = 2.5
EXTENSION_GAP_MM, EXTENSION_BEYOND_MM = 1.0, 1.5
"""From the feature to its extension line, and from the dimension line to its end."""


def text_box(
    text: str,
    at: Point,
    height: float,
    angle_rad: float,
    scale: float,
    *,
    align: Align = Align.CENTRE,
    clear: float = 0.0,
) -> Polygon:
    """The ground that a text covers, with ``clear`` paper mm around it, in the view's mm."""
    # By the call for many, which takes two thirds of the time of a Polygon's own.
    box: Polygon = shapely.polygons(_corners(text, at, height, angle_rad, scale, align, clear))
    return box


def _corners(
    text: str, at: Point, height: float, angle: float, scale: float, align: Align, clear: float
) -> list[Point]:
    half = text_width_mm(text, height) / 2
    shift = 0.0 if align is Align.CENTRE else half * scale * (1 if align is Align.LEFT else -1)
    w, h = (half + clear) * scale, (height / 2 + clear) * scale
    u, v = at
    if not angle:  # as most stand
        left, right = u + (shift - w), u + (shift + w)
        return [(left, v - h), (right, v - h), (right, v + h), (left, v + h)]
    cos, sin = math.cos(angle), math.sin(angle)
    return [
        (u + (shift + x) * cos - y * sin, v + (shift + x) * sin + y * cos)
        for x, y in ((-w, -h), (w, -h), (w, h), (-w, h))
    ]


def text_boxes(primitives: Iterable[Primitive], scale: float, clear: float = 0.0) -> list[Polygon]:
    """The ground that every text and bubble in ``primitives`` covers."""
    boxes: list[Polygon | None] = []
    corners = []
    for item in primitives:
        if isinstance(item, Label):
            corners.append(
                _corners(item.text, item.at, item.height, item.angle_rad, scale, item.align, clear)
            )
        elif isinstance(item, Dimension):
            corners.append(
                _corners(
                    item.text, item.text_at, TEXT_MM, item.text_angle_rad, scale,
                    Align.CENTRE, clear,
                )
            )  # fmt: skip
        elif not isinstance(item, Bubble):
            continue
        boxes.append(
            Spot(item.at).buffer(item.diameter / 2 * scale) if isinstance(item, Bubble) else None
        )
    # All at once: one by one they take most of the time of a crowded view.
    made = iter(shapely.polygons(corners)) if corners else iter(())
    return [next(made) if box is None else box for box in boxes]


def traces(item: Primitive, scale: float) -> list[LineString]:
    """The lines of ``item`` as line strings, arcs by chords; for finding free ground."""
    if isinstance(item, Stroke):
        return [_straight(item.start, item.end)]
    if isinstance(item, ArcStroke):
        return [_chords(item.centre, item.radius, item.start_rad, item.end_rad)]
    if isinstance(item, CircleStroke):
        return [_chords(item.centre, item.radius, 0.0, 2 * math.pi)]
    if isinstance(item, LinearDimension):
        return [LineString(part) for part in dimension_lines(item, scale)]
    if isinstance(item, RunningDimension):
        return [LineString([item.knee, item.foot, item.end])]
    if isinstance(item, RadiusDimension):
        return [LineString([item.on_arc, item.tail, item.shelf_end])]
    if isinstance(item, AngleDimension):
        lines, arc = angle_lines(item, scale)
        return [*map(LineString, lines), *traces(arc, scale)]
    return []


# A view is tried at several scales, and its lines are the same in each.
@functools.lru_cache(maxsize=1 << 15)
def _straight(start: Point, end: Point) -> LineString:
    line: LineString = shapely.linestrings([start, end])
    return line


@functools.lru_cache(maxsize=1 << 12)
def _chords(centre: Point, radius: float, start: float, end: float) -> LineString:
    angles = [start + (end - start) * i / 24 for i in range(25)]
    return LineString(
        [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles]
    )


def angle_lines(item: AngleDimension, scale: float) -> tuple[list[list[Point]], ArcStroke]:
    """The extension lines along the sides of an angle, and the arc of the dimension.

    On an arc too short for two arrows these stand outside and point in, on an arc
    that goes on to either side.
    """
    (u, v), r = item.vertex, item.radius
    lines = []
    for way, begin in item.extended:
        start = begin + (EXTENSION_GAP_MM * scale if way == item.drawn_rad else 0.0)
        lines.append(
            [
                (u + reach * math.cos(way), v + reach * math.sin(way))
                for reach in (start, r + EXTENSION_BEYOND_MM * scale)
            ]
        )
    sweep = item.second_rad - item.first_rad
    lap = 0.0 if sweep * r > 3 * ARROW_MM * scale else 2 * ARROW_MM * scale / r
    arc = ArcStroke(
        centre=item.vertex, radius=r, start_rad=item.first_rad - lap, end_rad=item.second_rad + lap
    )
    return lines, arc


def dimension_lines(item: LinearDimension, scale: float) -> list[list[Point]]:
    """The dimension line and the two extension lines of a linear dimension."""
    cos, sin = math.cos(item.angle_rad), math.sin(item.angle_rad)
    feet = []
    lines = []
    for feature in (item.first, item.second):
        along = (feature[0] - item.line_at[0]) * cos + (feature[1] - item.line_at[1]) * sin
        foot = (item.line_at[0] + along * cos, item.line_at[1] + along * sin)
        feet.append(foot)
        length = math.dist(feature, foot)
        if item.witness and length > EXTENSION_BEYOND_MM * scale:
            way = ((foot[0] - feature[0]) / length, (foot[1] - feature[1]) / length)
            lines.append(
                [
                    _moved(feature, way, EXTENSION_GAP_MM * scale),
                    _moved(foot, way, EXTENSION_BEYOND_MM * scale),
                ]
            )
    if (end := item.extended_to) is not None:
        nearest = min(range(2), key=lambda i: math.dist(feet[i], end))
        feet[nearest] = end
    if item.leader is not None:
        half = text_width_mm(item.text, TEXT_MM) / 2 * scale
        u, v = item.text_at
        below = v - (TEXT_MM / 2 + 0.7) * scale
        lines.append([(u - half, below), (u + half, below)])
        lines.append([(u - half, below), item.leader])
    return [feet, *lines]


def _moved(point: Point, way: Point, distance: float) -> Point:
    return (point[0] + way[0] * distance, point[1] + way[1] * distance)


def extent(primitives: Iterable[Primitive], scale: float) -> tuple[float, float, float, float]:
    """The bounds of everything in ``primitives``: left, bottom, right, top; mm."""
    items = list(primitives)
    strokes = [item for item in items if isinstance(item, Stroke)]
    others = [item for item in items if not isinstance(item, Stroke)]
    shapes = [trace for item in others for trace in traces(item, scale)]
    shapes += text_boxes(others, scale)
    bounds = [shape.bounds for shape in shapes]
    bounds += [(*s.start, *s.start) for s in strokes] + [(*s.end, *s.end) for s in strokes]
    return around(bounds)


class Grounds:
    """Shapes that are added one by one, and asked again and again whether another meets one."""

    def __init__(self, shapes: Sequence[Polygon | LineString] = ()) -> None:
        self.shapes = list(shapes)
        self._tree: STRtree | None = None
        self._bounds = np.empty((max(64, 2 * len(self.shapes)), 4))
        if self.shapes:
            self._bounds[: len(self.shapes)] = shapely.bounds(self.shapes)

    def add(self, shape: Polygon | LineString) -> None:
        """Put in one more."""
        count = len(self.shapes)
        if count == len(self._bounds):
            self._bounds = np.concatenate([self._bounds, np.empty_like(self._bounds)])
        self._bounds[count] = shape.bounds
        self.shapes.append(shape)
        self._tree = None

    def near(self, bounds: tuple[float, float, float, float]) -> list[Polygon | LineString]:
        """Those whose bounds meet ``bounds``: only they can touch what lies in these."""
        left, bottom, right, top = bounds
        b = self._bounds[: len(self.shapes)]
        close = (b[:, 0] <= right) & (b[:, 2] >= left) & (b[:, 1] <= top) & (b[:, 3] >= bottom)
        return [self.shapes[i] for i in close.nonzero()[0]]

    def meet(self, shape: Polygon | LineString) -> bool:
        """Whether one of them meets ``shape``."""
        return any(shape.intersects(other) for other in self.near(shape.bounds))

    def each_meet(self, grounds: np.ndarray) -> np.ndarray:
        """Of many shapes at once, whether one of them meets each."""
        found = np.zeros(len(grounds), dtype=bool)
        found[self._kept().query(grounds, predicate="intersects")[0]] = True
        return found

    def meet_leader(self, line: LineString, half: float) -> bool:
        """Whether one of them meets ``line`` drawn so thick, ``half`` to either side."""
        left, bottom, right, top = line.bounds
        near = self.near((left - half, bottom - half, right + half, top + half))
        return any(
            _is_met(line, other, away, half)
            for other, away in zip(near, shapely.distance(line, near), strict=True)
        )

    def each_meet_leader(self, lines: np.ndarray, half: float) -> np.ndarray:
        """Of many lines at once, whether one of them meets each, drawn so thick."""
        found = np.zeros(len(lines), dtype=bool)
        tree = self._kept()
        which, others = tree.query(lines, predicate="dwithin", distance=half)
        away = shapely.distance(lines[which], tree.geometries[others])
        for i, other, distance in zip(which, others, away, strict=True):
            found[i] = found[i] or _is_met(lines[i], tree.geometries[other], distance, half)
        return found

    def _kept(self) -> STRtree:
        if self._tree is None:
            self._tree = STRtree(self.shapes)
        return self._tree


def _is_met(line: LineString, other: Polygon | LineString, away: float, half: float) -> bool:
    """Whether ``other``, so far away, meets a line drawn so thick.

    Its round ends are drawn by chords, so only what is a hundredth nearer is met for certain.
    """
    if away > half:
        return False
    return bool(away < 0.99 * half or line.buffer(half).intersects(other))


class Occupied:
    """What is taken on a view: texts and match lines, which nothing may touch, and other lines."""

    def __init__(self, primitives: Sequence[Primitive], scale: float, clear: float) -> None:
        matches = [
            LineString([item.start, item.end]).buffer(0.3 * scale)
            for item in primitives
            if isinstance(item, Stroke) and item.layer is Layer.MATCH
        ]
        self.texts = Grounds([*text_boxes(primitives, scale, clear), *matches])
        self._lines = STRtree([line for item in primitives for line in traces(item, scale)])
        self._later: list[LineString] = []

    def add_lines(self, lines: Sequence[LineString]) -> None:
        """Texts keep clear of ``lines`` too from now on, as far as they can."""
        self._later += lines

    def add(self, ground: Polygon) -> None:
        """Nothing else may touch ``ground`` from now on."""
        self.texts.add(ground)

    def touches_text(self, ground: Polygon) -> bool:
        """Whether ``ground`` meets a text or a match line."""
        return self.texts.meet(ground)

    def lines_hit(self, ground: Polygon) -> int:
        """How many lines cross ``ground``."""
        later = sum(line.intersects(ground) for line in self._later)
        return int(later) + len(self._lines.query(ground, predicate="intersects"))

    def each_touches_text(self, grounds: np.ndarray) -> np.ndarray:
        """Of many places at once, whether each meets a text or a match line."""
        return self.texts.each_meet(grounds)

    def each_lines_hit(self, grounds: np.ndarray) -> np.ndarray:
        """Of many places at once, how many lines cross each."""
        hit = self._lines.query(grounds, predicate="intersects")[0]
        found = np.bincount(hit, minlength=len(grounds))
        for line in self._later:
            found += shapely.intersects(grounds, line)
        return found


_HEAVY = (
    Layer.OUTLINE, Layer.HIDDEN, Layer.GROUND, Layer.MATCH, Layer.CALL_OUTS, Layer.BOUNDARY,
    Layer.BURIED, Layer.OVERHEAD,
)  # fmt: skip


def crowding(primitives: Sequence[Primitive], scale: float) -> list[str]:
    """What a reader would stumble over: texts on texts, and texts crossed by lines."""
    texts = [item for item in primitives if isinstance(item, Label | Bubble | Dimension)]
    grounds = text_boxes(texts, scale, -0.1)
    tree = STRtree(grounds)
    found: list[str] = []
    if not texts:
        return found
    for i, j in zip(*tree.query(grounds, predicate="intersects"), strict=True):
        if i < j:
            found.append(f"{texts[i].text} stands on {texts[j].text}")
    # A line along the foot of a text is as bad to read as one through its middle.
    tree = STRtree(text_boxes(texts, scale, 0.2))
    found += _led_through(primitives, texts, grounds, scale)
    owned = [
        (item, line)
        for item in primitives
        if not isinstance(item, Stroke | ArcStroke | CircleStroke) or item.layer in _HEAVY
        for line in traces(item, scale)
    ]
    if not owned:
        return found
    for k, i in zip(*tree.query([line for _, line in owned], predicate="intersects"), strict=True):
        item, crossed = owned[k][0], texts[i]
        light = isinstance(item, Dimension) and not isinstance(crossed, Dimension)
        if not light:
            found.append(f"a line runs through {crossed.text}")
    return list(dict.fromkeys(found))


def _led_through(
    primitives: Sequence[Primitive],
    texts: Sequence[Primitive],
    grounds: Sequence[Polygon],
    scale: float,
) -> list[str]:
    """Figures and words that the lines of marks and notes run through."""
    leaders = [
        line
        for item in primitives
        if isinstance(item, Stroke) and item.layer is Layer.MARKS
        for line in traces(item, scale)
    ]
    if not leaders:
        return []
    _, hit = STRtree(grounds).query(leaders, predicate="intersects")
    return [f"a line runs through {texts[i].text}" for i in hit]
