"""Marks of members, each where it is free."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from shapely import LineString, Polygon

from frame3d.sheets.annotation.annotations import Mark, MarkRow, View, Way
from frame3d.sheets.primitives.lettering import TEXT_MM
from frame3d.sheets.primitives.occupancy import Grounds, Occupied, text_box
from frame3d.sheets.primitives.primitives import Align, Label, Primitive, Stroke

_CLEAR_MM = 0.5
_OWN_CLEAR_MM = 0.3
_DISTANCES_MM = (4.0, 6.0, 8.0, 10.0, 13.0, 16.0, 20.0, 25.0, 30.0)
_DIRECTIONS = 16


def place_marks(view: View, scale: int, primitives: list[Primitive]) -> list[str]:
    """Add every mark of ``view`` to ``primitives`` where it is free; return what found no place."""
    board = _Board(primitives, scale)
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


def _round_about() -> Iterator[Way]:
    """Places round about a member, the near ones first."""
    for distance in _DISTANCES_MM:
        for i in range(_DIRECTIONS):
            angle = 2 * math.pi * (i + 0.5) / _DIRECTIONS
            yield (math.cos(angle), math.sin(angle), distance)


class _Board:
    """The view while marks are put on it."""

    def __init__(self, primitives: list[Primitive], scale: int) -> None:
        self.primitives = primitives
        self.scale = scale
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
            line = LineString([leader.start, leader.end])
            touches = self.taken.texts.meet_leader(line, 0.1 * self.scale)
        return touches, self.taken.lines_hit(ground)

    def place_all(self, marks: tuple[Mark, ...]) -> None:
        """Put every one of ``marks`` on the view."""
        for mark in marks:
            self._place(mark)

    def _place(self, mark: Mark) -> None:
        options = []
        for index, way in enumerate(itertools.chain(mark.ways, _round_about())):
            label = _label(mark, way, self.scale)
            led = mark.leader or index >= len(mark.ways)
            leader = _leader(mark, way, label, self.scale) if led else None
            fault = (*self._faults(label, leader), index)
            options.append((fault, label, leader))
            if fault[:2] == (False, 0):
                break
        (touches, hits, _), label, leader = min(options, key=lambda option: option[0])
        if touches or hits:
            self.problems.append(f"no room for the mark {mark.text}")
        self.primitives.append(label)
        self.taken.add(_ground(label, self.scale))
        if leader is not None:
            self.primitives.append(leader)
            self.leaders.add(LineString([leader.start, leader.end]))


def _leader(mark: Mark, way: Way, label: Label, scale: int) -> Stroke:
    """From the middle of the member to just short of the text."""
    right, up, _ = way
    size = math.hypot(right, up)
    short = 0.8 * scale
    end = (label.at[0] - right / size * short, label.at[1] - up / size * short)
    if right == 0:
        end = (end[0], label.at[1] - _sign(up) * (TEXT_MM / 2 + 0.8) * scale)
    return Stroke(start=mark.at, end=end, layer=mark.layer)
