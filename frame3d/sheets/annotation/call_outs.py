"""Call-outs of details: a circle round the place, and words with a line to it.

References
----------
ISO 128-3: what is shown at a larger scale elsewhere is framed or encircled by a narrow
continuous line and named (from memory). Naming the sheet too is common practice, no source.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator

import numpy as np
import shapely
from shapely import LineString
from shapely import Point as Spot
from shapely.geometry.base import BaseGeometry

from frame3d.sheets.annotation.annotations import CallOut, View
from frame3d.sheets.primitives.lettering import TEXT_MM, text_width_mm
from frame3d.sheets.primitives.occupancy import Occupied, extent, text_boxes, traces
from frame3d.sheets.primitives.primitives import (
    Align,
    CircleStroke,
    Label,
    Layer,
    Primitive,
    RunningDimension,
    Stroke,
)

_LEAST_MM, _MOST_MM = 2.5, 9.0
"""Radius of a circle, paper mm."""
_LARGER_MM = (0.7, 1.5, 2.5, 3.5, 4.5)
_DOT_MM = 0.5
_TRIED = 2
"""Circles for which a place for the words is looked for."""
_ROW_MM = 8.0
"""Running figures nearer to each other than this are read as one row."""
_PARTED = 100
"""What it counts, in lines that are crossed, to part a row of figures."""
_FEW = 1
"""Lines that a call-out's own may cross before places farther away are looked at."""
_BEYOND_MM = (0.0, 8.0)
"""How far a call-out may reach over what else is in the view."""
_CLEAR_MM = 0.5
_RING_CLEAR_MM = 0.4
_DISTANCES_MM = (4, 6, 8, 10, 13, 16, 20, 25, 30, 36, 43, 50, 60, 70)
_DIRECTIONS = 36
_REACHES_MM, _ANGLES = (
    grid.ravel()
    for grid in np.meshgrid(
        _DISTANCES_MM, 2 * np.pi * (np.arange(_DIRECTIONS) + 0.5) / _DIRECTIONS, indexing="ij"
    )
)
"""Where the words may stand as seen from the circle, the near places first."""
_END_MM = 0.8
"""From the end of the line to the words."""

Area = tuple[float, float, float, float]
_Made = tuple[CircleStroke, Stroke, Label]


def place_call_outs(view: View, scale: int, primitives: list[Primitive]) -> list[str]:
    """Add the call-outs of ``view`` where there is room; return those that have none."""
    wanted = [annotation for annotation in view.annotations if isinstance(annotation, CallOut)]
    if not wanted:
        return []
    ground = _Ground(primitives, scale)
    problems = []
    for annotation in wanted:
        made = ground.placed(annotation)
        if made is None and not annotation.name:
            continue
        if made is None:
            problems.append(f"no room for the call-out of {annotation.name}")
        else:
            primitives += made
            ground.add(made)
    return problems


class _Ground:
    """The view while call-outs are put on it."""

    def __init__(self, primitives: list[Primitive], scale: int) -> None:
        self.scale = scale
        self.area = extent(primitives, scale)
        # The extension lines of running figures, which other texts may stand on.
        running = [
            Stroke(start=item.feature, end=item.knee)
            for item in primitives
            if isinstance(item, RunningDimension)
        ]
        self.taken = Occupied([*primitives, *running], scale, _CLEAR_MM)
        self.rows = rows_of_figures(primitives, scale)
        self.lines: list[LineString] = []
        """Of the call-outs placed so far."""

    def add(self, made: _Made) -> None:
        """Nothing else may touch a call-out that has its place."""
        ring, leader, label = made
        self.lines += [*traces(ring, self.scale), *traces(leader, self.scale)]
        self.taken.add(text_boxes([label], self.scale, _CLEAR_MM)[0])
        self.taken.add(Spot(ring.centre).buffer(ring.radius))

    def placed(self, annotation: CallOut) -> _Made | None:
        """Circle, line and words where nothing is touched; None if there is no such place.

        Where no circle has room, a dot at the place stands for it.
        """
        for more in _BEYOND_MM:
            left, bottom, right, top = self.area
            grown = more * self.scale
            area = (left - grown, bottom - grown, right + grown, top + grown)
            free = [ring for ring in _rings(annotation, self.scale) if self._is_free(ring, area)]
            dot = CircleStroke(
                centre=annotation.at, radius=_DOT_MM * self.scale, layer=Layer.CALL_OUTS
            )
            for ring in (*free[:_TRIED], dot):
                made = self._led(annotation, ring, area)
                if made:
                    return made
        return None

    def _is_free(self, ring: CircleStroke, area: Area) -> bool:
        edge = Spot(ring.centre).buffer(ring.radius).exterior.buffer(_RING_CLEAR_MM * self.scale)
        return (
            _is_within(edge.bounds, area)
            and not self.taken.touches_text(edge)
            and not any(edge.intersects(line) for line in self.lines)
        )

    def _led(self, annotation: CallOut, ring: CircleStroke, area: Area) -> _Made | None:
        """With words as near as may be, their line crossing few others."""
        scale = self.scale
        out = np.column_stack([np.cos(_ANGLES), np.sin(_ANGLES)])
        starts = np.array(ring.centre) + ring.radius * out
        ends = starts + _REACHES_MM[:, None] * scale * out
        words = _words(ends, np.sign(out[:, 0]), annotation.text, scale)
        inside = (words[:, :2] >= area[:2]).all(axis=1) & (words[:, 2:] <= area[2:]).all(axis=1)
        [left] = np.nonzero(inside)
        left = left[self._is_clear(shapely.box(*words[left].T), lines=True)]
        ways = shapely.linestrings(np.stack([starts[left], ends[left]], axis=1))
        clear = self._is_clear(shapely.buffer(ways, 0.2 * scale, quad_segs=1))
        left, ways = left[clear], ways[clear]
        if not len(left):
            return None
        crossed = np.maximum(self.taken.each_lines_hit(ways), _FEW)
        crossed += _PARTED * shapely.intersects(ways, self.rows)
        best = left[np.argmin(crossed)]
        start, end = ((float(p[best, 0]), float(p[best, 1])) for p in (starts, ends))
        side = 1 if out[best, 0] > 0 else -1
        label = Label(
            text=annotation.text,
            at=(end[0] + side * _END_MM * scale, end[1]),
            height=TEXT_MM,
            align=Align.LEFT if side > 0 else Align.RIGHT,
            layer=Layer.CALL_OUTS,
        )
        return ring, Stroke(start=start, end=end, layer=Layer.CALL_OUTS), label

    def _is_clear(self, grounds: np.ndarray, *, lines: bool = False) -> np.ndarray:
        """Which of ``grounds`` meet no text, no call-out, and if asked for no line."""
        clear = ~self.taken.each_touches_text(grounds)
        if lines:
            clear &= self.taken.each_lines_hit(grounds) == 0
        if self.lines:
            clear &= ~shapely.intersects(grounds, shapely.union_all(self.lines))
        return clear


def rows_of_figures(primitives: Iterable[Primitive], scale: int) -> BaseGeometry:
    """The ground of the rows that running figures make, with what is between them.

    Between two equal figures lies what they run from: there one row ends and another begins.
    """
    running = [item for item in primitives if isinstance(item, RunningDimension)]
    boxes = text_boxes(running, scale)
    near = [
        (a, b) for (one, a), (two, b) in itertools.pairwise(zip(running, boxes, strict=True))
        if one.text_angle_rad == two.text_angle_rad and one.text != two.text
        and a.distance(b) < _ROW_MM * scale
    ]  # fmt: skip
    return shapely.union_all([shapely.union(a, b).convex_hull for a, b in near])


def _words(ends: np.ndarray, sides: np.ndarray, text: str, scale: int) -> np.ndarray:
    """Left, bottom, right, top of the words beyond each of ``ends`` with free space round."""
    near = ends[:, 0] + sides * (_END_MM - _CLEAR_MM) * scale
    far = near + sides * (text_width_mm(text, TEXT_MM) + 2 * _CLEAR_MM) * scale
    half = (TEXT_MM / 2 + _CLEAR_MM) * scale
    return np.column_stack(
        [np.minimum(near, far), ends[:, 1] - half, np.maximum(near, far), ends[:, 1] + half]
    )


def _rings(annotation: CallOut, scale: int) -> Iterator[CircleStroke]:
    """The circle that is wanted, then others of about its size, then larger ones."""
    wanted = min(max(annotation.radius_mm / scale, _LEAST_MM), _MOST_MM)
    for radius in (wanted, 0.8 * wanted, *(wanted + more for more in _LARGER_MM)):
        if _LEAST_MM <= radius <= _MOST_MM:
            yield CircleStroke(centre=annotation.at, radius=radius * scale, layer=Layer.CALL_OUTS)


def _is_within(bounds: Area, area: Area) -> bool:
    return (
        bounds[0] >= area[0]
        and bounds[1] >= area[1]
        and bounds[2] <= area[2]
        and bounds[3] <= area[3]
    )
