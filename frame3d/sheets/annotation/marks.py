"""Marks of members and symbols of welds, each where it is free."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import shapely
from shapely import LineString, Polygon, box, union

from frame3d.sheets.annotation.annotations import Mark, MarkRow, View, Way, Weld
from frame3d.sheets.primitives.lettering import TEXT_MM
from frame3d.sheets.primitives.occupancy import Grounds, Occupied, text_box, text_boxes
from frame3d.sheets.primitives.primitives import Align, Label, Layer, Point, Primitive, Stroke

_CLEAR_MM = 0.5
_OWN_CLEAR_MM = 0.3
_LEADER_MM = 0.1
"""Half of how thick a leader counts."""
_DISTANCES_MM = (4.0, 6.0, 8.0, 10.0, 13.0, 16.0, 20.0, 25.0, 30.0)
_DIRECTIONS = 16
_WELD_MM, _WELD_HALF_MM = 13.0, 3.5
_HEAD_RAD = math.radians(12.0)
"""Length of the line that the symbol of a weld stands on with its tail, and half its height."""
_FILLET_MM, _TAIL_MM, _ARROW_MM = 2.5, 1.8, 2.5


def place_marks(
    view: View, scale: int, primitives: list[Primitive], *, last: bool = False
) -> list[str]:
    """Add every mark of ``view`` to ``primitives`` where it is free; return what found no place.

    At ``last``, where no larger scale and no other sheet helps, marks may stand farther away, and
    one that would stand on another text is left out.
    """
    board = _Board(primitives, scale, last)
    for annotation in view.annotations:
        if isinstance(annotation, MarkRow):
            if not all(board.is_clean(mark, mark.ways) for mark in annotation.marks) or _crowds(
                annotation, scale
            ):
                board.place_all(annotation.runs())
            else:
                board.place_all(annotation.marks)
        elif isinstance(annotation, Mark):
            board.place_all((annotation,))
    return board.problems


def _crowds(row: MarkRow, scale: int) -> bool:
    """Whether neighbours of the row overlap when each stands in its first place."""
    grounds = [_ground(_label(mark, mark.ways[0], scale), scale) for mark in row.marks]
    return any(a.intersects(b) for a, b in itertools.pairwise(grounds))


def _label(annotation: Mark, way: Way, scale: int) -> Label:
    right, up, distance = way
    if isinstance(annotation, Weld):
        distance = distance + _WELD_MM / abs(right)
        up *= (distance - _WELD_MM / abs(right)) / distance
    align = Align.CENTRE if right == 0 else Align.LEFT if right > 0 else Align.RIGHT
    lift = distance + (TEXT_MM / 2 if right == 0 else 0.0)
    return Label(
        text=annotation.text,
        at=(
            annotation.at[0] + right * distance * scale + _sign(right) * annotation.half[0],
            annotation.at[1] + up * lift * scale + _sign(up) * annotation.half[1],
        ),
        height=TEXT_MM,
        align=align,
        layer=annotation.layer,
    )


def _sign(value: float) -> int:
    return (value > 0) - (value < 0)


def _ground(label: Label, scale: int) -> Polygon:
    return text_box(
        label.text, label.at, label.height, 0.0, scale, align=label.align, clear=_OWN_CLEAR_MM
    )


def _weld_ground(label: Label, scale: int) -> Polygon:
    """What the symbol of a weld covers, its text with it."""
    x, y = label.at
    start, half = x - _out(label) * _WELD_MM * scale, _WELD_HALF_MM * scale
    symbol = box(min(x, start), y - half, max(x, start), y + half)
    return union(symbol, _ground(label, scale)).convex_hull


def _out(label: Label) -> int:
    return 1 if label.align is Align.LEFT else -1


def _weld_lines(at: Point, label: Label, scale: int) -> list[Stroke]:
    """Head of the arrow, reference line, a triangle on both sides of it, and tail."""
    out, (x, y) = _out(label), label.at
    near, far = x - out * _WELD_MM * scale, x - out * (_TAIL_MM + 0.6) * scale
    size, tail = _FILLET_MM * scale, _TAIL_MM * scale
    left = (near + far) / 2 - size / 2
    lines = [((near, y), (far, y))]
    for side in (1, -1):
        lines += [((left, y), (left, y + side * size)), ((left, y + side * size), (left + size, y))]
        lines.append(((far, y), (far + out * tail, y + side * tail)))
    way = math.atan2(y - at[1], near - at[0])
    for turn in (way + _HEAD_RAD, way - _HEAD_RAD):
        reach = _ARROW_MM * scale
        lines.append((at, (at[0] + reach * math.cos(turn), at[1] + reach * math.sin(turn))))
    return [Stroke(start=start, end=end, layer=Layer.TEXT) for start, end in lines]


def _rings(distances: tuple[float, ...], directions: int) -> tuple[tuple[Way, ...], ...]:
    """Places round about a member, in rings, the near ones first."""
    angles = [2 * math.pi * (i + 0.5) / directions for i in range(directions)]
    return tuple(tuple((math.cos(a), math.sin(a), far) for a in angles) for far in distances)


_ROUND_ABOUT = _rings(_DISTANCES_MM, _DIRECTIONS)
_FAR_OFF_MM = 40.0
"""A mark farther from its member than this is told as a finding."""
_FAR_MM = (4.0, 6.0, 10.0, 16.0, 25.0, 36.0, 43.0, 52.0, 62.0, 75.0)
_FAR_ABOUT = (*_ROUND_ABOUT, *_rings(_FAR_MM, 40))


_WELD_WAYS: tuple[Way, ...] = tuple(
    (math.copysign(math.cos(angle), side), math.sin(angle), distance)
    for distance in (6.0, 8.0, 10.0, 13.0, 16.0, 20.0, 25.0, 30.0)
    for angle in map(math.radians, (60.0, -60.0, 40.0, -40.0, 70.0, -70.0, 20.0, -20.0))
    for side in (1, -1)
)
"""Where the line of a weld's symbol may begin."""


class _Option(NamedTuple):
    """A place for a mark: whether it touches a text, and how many lines cross it."""

    fault: tuple[bool, int]
    label: Label
    leader: Stroke | None


class _Board:
    """The view while marks are put on it."""

    def __init__(self, primitives: list[Primitive], scale: int, last: bool) -> None:
        self.primitives = primitives
        self.scale = scale
        self.last = last
        self.taken = Occupied(primitives, scale, _CLEAR_MM)
        self.leaders = Grounds()
        self.problems: list[str] = []

    def is_clean(self, mark: Mark, ways: tuple[Way, ...]) -> bool:
        """Whether one of the places is free of texts and lines."""
        return any(self._faults(_label(mark, way, self.scale)) == (False, 0) for way in ways)

    def _faults(self, label: Label, leader: Stroke | None = None) -> tuple[bool, int]:
        ground = _ground(label, self.scale)
        touches = self.taken.touches_text(ground) or self.leaders.meet(ground)
        if leader is not None and not touches:
            touches = self._touches(leader)
        return touches, self.taken.lines_hit(ground)

    def place_all(self, marks: tuple[Mark, ...]) -> None:
        """Put every one of ``marks`` on the view."""
        for mark in marks:
            self._place(mark)

    def _place(self, mark: Mark) -> None:
        """In the first place that is free; where none is, in that with the fewest faults."""
        best: _Option | None = None
        weld = isinstance(mark, Weld)
        options = itertools.chain(self._own_places(mark), self._places_round_about(mark))
        for option in self._weld_places(mark) if weld else options:
            if best is None or option.fault < best.fault:
                best = option
            if not any(option.fault):
                break
        if best is None:
            return
        if any(best.fault):
            self.problems.append(f"no room for the mark {mark.text}")
        elif self._is_far_off(best):
            self.problems.append(f"no room for the mark {mark.text} near what it names")
        if self.last and best.fault[0]:
            return
        self.primitives.append(best.label)
        if weld:
            self.primitives += _weld_lines(mark.at, best.label, self.scale)
        self.taken.add((_weld_ground if weld else _ground)(best.label, self.scale))
        if best.leader is not None:
            self.primitives.append(best.leader)
            self.leaders.add(LineString([best.leader.start, best.leader.end]))

    def _is_far_off(self, option: _Option) -> bool:
        line = option.leader
        return line is not None and math.dist(line.start, line.end) > _FAR_OFF_MM * self.scale

    def _weld_places(self, mark: Mark) -> Iterator[_Option]:
        for way in _WELD_WAYS:
            label = _label(mark, way, self.scale)
            start = (label.at[0] - _out(label) * _WELD_MM * self.scale, label.at[1])
            leader = Stroke(start=mark.at, end=start, layer=mark.layer)
            ground = _weld_ground(label, self.scale)
            touches = self.taken.touches_text(ground) or self.leaders.meet(ground)
            touches = touches or self._touches(leader)
            yield _Option((touches, self.taken.lines_hit(ground)), label, leader)

    def _own_places(self, mark: Mark) -> Iterator[_Option]:
        for way in mark.ways:
            label = _label(mark, way, self.scale)
            leader = _leader(mark, way, label, self.scale) if mark.leader else None
            yield _Option(self._faults(label, leader), label, leader)

    def _places_round_about(self, mark: Mark) -> Iterator[_Option]:
        for ring in _FAR_ABOUT if self.last else _ROUND_ABOUT:
            labels = [_label(mark, way, self.scale) for way in ring]
            # A ring at once: one by one they take most of the time of a crowded view.
            grounds = np.array(text_boxes(labels, self.scale, _OWN_CLEAR_MM))
            touched = self.taken.each_touches_text(grounds) | self.leaders.each_meet(grounds)
            leaders = [
                _leader(mark, way, label, self.scale)
                for way, label in zip(ring, labels, strict=True)
            ]
            lines = shapely.linestrings([(leader.start, leader.end) for leader in leaders])
            free = ~touched
            touched[free] = self.taken.texts.each_meet_leader(lines[free], _LEADER_MM * self.scale)
            hits = self.taken.each_lines_hit(grounds)
            for label, leader, touches, hit in zip(labels, leaders, touched, hits, strict=True):
                yield _Option((bool(touches), int(hit)), label, leader)

    def _touches(self, leader: Stroke) -> bool:
        line = LineString([leader.start, leader.end])
        return self.taken.texts.meet_leader(line, _LEADER_MM * self.scale)


def _leader(mark: Mark, way: Way, label: Label, scale: int) -> Stroke:
    """From the middle of the member to just short of the text."""
    right, up, _ = way
    size = math.hypot(right, up)
    short = 0.8 * scale
    end = (label.at[0] - right / size * short, label.at[1] - up / size * short)
    if right == 0:
        end = (end[0], label.at[1] - _sign(up) * (TEXT_MM / 2 + 0.8) * scale)
    return Stroke(start=mark.at, end=end, layer=mark.layer)
