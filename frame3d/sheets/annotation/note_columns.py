"""Words beside a view, in a column, each with a line to what it speaks of.

A line ends in a dot on the part (ISO 128-2: leader lines; from memory). Lines of one column
don't cross: notes stand in the order in which their lines leave the view. They keep off figures,
and so do their dots, if the column can be moved or the part has another point.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from msgspec.structs import replace
from shapely import LineString
from shapely import Point as Spot

from frame3d.sheets.annotation.annotations import Note, View, ViewEdge
from frame3d.sheets.primitives.lettering import LINE_STEP, TEXT_MM, wrapped
from frame3d.sheets.primitives.occupancy import Occupied, extent
from frame3d.sheets.primitives.primitives import (
    Align,
    CircleStroke,
    Label,
    Layer,
    Point,
    Primitive,
    Stroke,
)
from frame3d.sheets.primitives.spacing import spread

_WIDTH_MM = 50.0
_AWAY_MM, _BETWEEN_MM, _SHELF_MM = 7.0, 3.0, 2.0
"""From the view to the column, between notes, and from a line to its words; paper mm."""
_DOT_MM = 0.5
_STEP_MM = LINE_STEP * TEXT_MM
_SHIFTS_MM = (0.0, 3.0, -3.0, 6.0, -6.0, 10.0, -10.0, 15.0, -15.0, 20.0, -20.0, 27.0, -27.0,
              35.0, -35.0)  # fmt: skip
"""By how much a column may stand higher than it would by itself."""
_OFF_MM = 0.4
"""From a line to figures beside it."""
DOT_CLEAR_MM = 1.5
"""Round a dot, in which no figure stands."""

_Led = tuple[float, list[Note], list[float]]
"""Faults of a column, its notes from below, and their middles."""


def place_notes(view: View, scale: int, primitives: Sequence[Primitive]) -> list[Primitive]:
    """The notes of ``view`` beside everything in ``primitives``."""
    made: list[Primitive] = []
    for edge in (ViewEdge.LEFT, ViewEdge.RIGHT):
        notes = [w for w in view.annotations if isinstance(w, Note) and w.edge is edge]
        if notes:
            made += _column(notes, edge, scale, primitives)
    return made


def _column(
    notes: list[Note], edge: ViewEdge, scale: int, primitives: Sequence[Primitive]
) -> list[Primitive]:
    """The column with the fewest faults: of the notes as given, or with another point of one."""
    left, bottom, right, top = extent(primitives, scale)
    side = 1 if edge is ViewEdge.RIGHT else -1
    x = (right if side > 0 else left) + side * _AWAY_MM * scale
    taken = Occupied(primitives, scale, _OFF_MM)
    best: _Led = (math.inf, [], [])
    for chosen in _choices(notes):
        order, places = _ordered(chosen, x, scale, (bottom, top))
        led = _off_figures(order, places, x - side * _SHELF_MM * scale, scale, taken)
        best = min(best, led, key=lambda one: one[0])
        if not best[0]:
            break
    made: list[Primitive] = []
    for note, v in zip(*best[1:], strict=True):
        made += _written(note, _lines(note), (x, v), side, scale)
    return made


def _choices(notes: Sequence[Note]) -> Iterator[list[Note]]:
    """The notes as given, then with another point of one of them in place of its own."""
    yield list(notes)
    for i, note in enumerate(notes):
        for at in note.others:
            others = (note.at, *(one for one in note.others if one is not at))
            yield [*notes[:i], replace(note, at=at, others=others), *notes[i + 1 :]]


def _ordered(
    notes: Sequence[Note], x: float, scale: int, span: tuple[float, float]
) -> tuple[list[Note], list[float]]:
    """The notes from below, so that as few of their lines cross as may be, and their middles."""
    order = sorted(notes, key=lambda note: (note.at[1], note.at[0]))
    for _ in range(len(order)):
        crossing = _first_crossing(order, _places(order, scale, span), x)
        if crossing is None:
            break
        i, j = crossing
        order[i], order[j] = order[j], order[i]
    return order, _places(order, scale, span)


def _lines(note: Note) -> list[str]:
    return wrapped(note.text, _WIDTH_MM, TEXT_MM)


def _off_figures(
    order: Sequence[Note], places: Sequence[float], start: float, scale: int, taken: Occupied
) -> _Led:
    """The column moved, and with such points of the notes, that their lines keep off figures."""
    best: _Led = (math.inf, [], [])
    for shift in _SHIFTS_MM:
        moved = [place + shift * scale for place in places]
        led = [_led(note, (start, v), scale, taken) for note, v in zip(order, moved, strict=True)]
        faults = sum(count for count, _ in led)
        notes = [note for _, note in led]
        faults += _first_crossing(notes, moved, start) is not None
        if faults < best[0]:
            best = faults, notes, moved
        if not faults:
            break
    return best


def _led(note: Note, start: Point, scale: int, taken: Occupied) -> tuple[int, Note]:
    """How many faults the line of a note has, and the note with the point where it has fewest."""
    options = []
    for number, at in enumerate((note.at, *note.others)):
        line = taken.texts.meet_leader(LineString([start, at]), 0.1 * scale)
        dot = taken.touches_text(Spot(at).buffer((DOT_CLEAR_MM - _OFF_MM) * scale))
        options.append((line + dot, number, replace(note, at=at)))
    faults, _, found = min(options, key=lambda option: option[:2])
    return faults, found


def _places(order: Sequence[Note], scale: int, span: tuple[float, float]) -> list[float]:
    """Middles of the notes, from below, near to the heights of what they speak of."""
    sizes = [len(_lines(note)) * _STEP_MM for note in order]
    wanted = sorted(note.at[1] / scale for note in order)
    places = spread(wanted, sizes, _BETWEEN_MM)
    low, high = (value / scale for value in span)
    over = places[-1] + sizes[-1] / 2 - high
    under = low - (places[0] - sizes[0] / 2)
    shift = -max(0.0, over) if under <= 0.0 else min(under, max(0.0, -over))
    return [(place + shift) * scale for place in places]


def _first_crossing(
    order: Sequence[Note], places: Sequence[float], x: float
) -> tuple[int, int] | None:
    leaders = [LineString([note.at, (x, v)]) for note, v in zip(order, places, strict=True)]
    for i, j in itertools.combinations(range(len(order)), 2):
        if leaders[i].crosses(leaders[j]):
            return i, j
    return None


def _written(note: Note, lines: list[str], at: Point, side: int, scale: int) -> list[Primitive]:
    x, v = at
    step = _STEP_MM * scale
    first = v + (len(lines) - 1) / 2 * step
    align = Align.LEFT if side > 0 else Align.RIGHT
    start = (x - side * _SHELF_MM * scale, v)
    made: list[Primitive] = [
        Label(text=text, at=(x, first - k * step), height=TEXT_MM, align=align)
        for k, text in enumerate(lines)
    ]
    made.append(Stroke(start=(x - side * 0.8 * scale, v), end=start, layer=Layer.MARKS))
    made.append(Stroke(start=start, end=note.at, layer=Layer.MARKS))
    made.append(CircleStroke(centre=note.at, radius=_DOT_MM * scale / 2, layer=Layer.MARKS))
    return made
