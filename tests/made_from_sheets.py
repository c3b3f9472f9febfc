"""A part made on paper from the sheet that draws it, and from nothing else.

It opens the DXF of a set, finds the view that is titled with a part's mark, and reads what a person
reads there: figures, words below the view, tables on the same sheet. Lines only tell which hole a
figure belongs to; no length is taken from them. It imports nothing of the package.
``python tests/made_from_sheets.py SHEETS.dxf MARK...`` makes some parts of a set.
"""

from __future__ import annotations

import bisect
import functools
import math
import re
import sys
from dataclasses import dataclass, field
from operator import itemgetter

import ezdxf
from drawing_judge import drawn_text, value_of
from made_from_drawings import _bore, sizes_mm

_LEVEL_MM, _SAME_MM = 0.4, 0.05
_WORDS_MM = 4.6
"""From one line of words below a view to the next, at most."""
_HOLE = re.compile(r"(\d+) holes? Ø ([^.,]*?(?:\"|mm))( from edge to edge)?")


@dataclass
class Figure:
    """A dimension: kind (0 along, 4 radius, 5 angle, 6 running), value, name, what it points at."""

    kind: int
    value: float
    name: str
    at: tuple[float, float]
    is_upright: bool
    """Of a running or plain size: whether it counts upward."""


@dataclass
class Seen:
    """A view with its words: all lengths in mm, places in those of the view."""

    title: str
    words: str
    figures: list[Figure] = field(default_factory=list)
    circles: list[tuple[float, float]] = field(default_factory=list)
    letters: list[tuple[float, str]] = field(default_factory=list)


@dataclass
class Made:
    """What was made: volume, holes, length, chord; ``slack`` is what the rounding may come to.

    Holes of plates and boards: x, y, diameter; of tubes: distance, rotation in rad, diameter.
    """

    kind: str
    volume_mm3: float
    holes: list[tuple[float, ...]]
    length_mm: float
    slack: float
    chord_mm: float = 0.0
    edge_holes: list[tuple[float, ...]] = field(default_factory=list)


class SheetOf:
    """The sheet of a set that draws the part of one mark."""

    def __init__(self, doc, mark: str) -> None:
        self.doc, self.mark = doc, mark
        self.unit = {1: 25.4, 4: 1.0}[doc.header["$INSUNITS"]]
        self.step = 25.4 / 16 if self.unit == 25.4 else 1.0
        named = re.compile(rf"{mark}(?:, \d+ needed| × \d+)")
        for name in doc.layout_names_in_taborder()[1:]:
            self.name, self.texts = name, self._paper_texts(name)
            self.windows = self._windows(name)
            self.titles = [t for t in self.texts if named.match(t[2])]
            if self.titles:
                return
        raise LookupError(f"no sheet draws {mark}")

    def _windows(self, name: str) -> list:
        return [v for v in self.doc.layout(name).query("VIEWPORT") if v.dxf.id != 1]

    def _paper_texts(self, name: str) -> list[tuple[float, float, str]]:
        found = []
        for text in self.doc.layout(name).query("TEXT"):
            x, y, _ = text.dxf.align_point if text.dxf.hasattr("align_point") else text.dxf.insert
            found.append((x * self.unit, y * self.unit, text.dxf.text))
        return found

    def view(self, which: int = 0) -> Seen:
        """The view over a title, with the words below it."""
        x, y, title = self.titles[which]
        over = [
            v for v in self.windows
            if abs(v.dxf.center[0] * self.unit - x) < 1.0 and self._foot(v) > y
        ]  # fmt: skip
        window = min(over, key=self._foot)
        words, level = [], y
        for u, v, text in sorted(self.texts, key=lambda t: -t[1]):
            if abs(u - x) < 1.0 and 0.0 < level - v < _WORDS_MM:
                words.append(text)
                level = v
        seen = Seen(title, " ".join(words))
        for entity in self._in(window):
            self._see(seen, entity)
        return seen

    def _foot(self, window) -> float:
        return (window.dxf.center[1] - window.dxf.height / 2) * self.unit

    def _in(self, window):
        half = window.dxf.view_height / 2 * window.dxf.width / window.dxf.height
        middle = window.dxf.view_center_point[0]
        entities = _placed(self.doc)
        for x, entity in entities[bisect.bisect_left(entities, middle - half, key=itemgetter(0)) :]:
            if x > middle + half:
                return
            yield entity

    def _see(self, seen: Seen, entity) -> None:
        kind = entity.dxftype()
        if kind == "DIMENSION":
            seen.figures.append(self._figure(entity))
        elif kind == "CIRCLE" and entity.dxf.layer == "outline":
            x, y, _ = entity.dxf.center
            seen.circles.append((x * self.unit, y * self.unit))
        elif kind == "TEXT" and re.fullmatch("[a-z]{1,2}", entity.dxf.text):
            seen.letters.append((_place(entity)[0] * self.unit, entity.dxf.text))

    def _figure(self, entity) -> Figure:
        dxf, text = entity.dxf, drawn_text(entity)
        kind = dxf.dimtype & 7
        point = {0: "defpoint3", 6: "defpoint2"}.get(kind, "defpoint4")
        x, y, _ = getattr(dxf, point)
        is_upright = kind == 6 and not dxf.dimtype & 64 or kind == 0 and dxf.angle % 180 == 90
        name = re.sub(r"^.*?[\"°\d)] ?(?=[a-z]|$)", "", text)
        value = value_of(text)
        return Figure(kind, value, name, (x * self.unit, y * self.unit), is_upright)

    def table(self, title: str) -> list[list[str]]:
        """The rows of the table of that title, its heads first, each from the left.

        Of sheets of one title, ``1 of 3`` and so on, the tables may stand on another one.
        """
        stem = _stem(self.name)
        together = [n for n in self.doc.layout_names_in_taborder()[1:] if _stem(n) == stem]
        more = [w for name in together if name != self.name for w in self._windows(name)]
        for window in (*self.windows, *more):
            texts = [
                (*_place(e)[:2], e.dxf.text) for e in self._in(window) if e.dxftype() == "TEXT"
            ]
            if not any(text.startswith(title) for *_, text in texts):
                continue
            rows: list[tuple[float, list]] = []
            for x, y, text in sorted(texts, key=lambda t: (-t[1], t[0])):
                if not rows or abs(rows[-1][0] - y) * self.unit > _LEVEL_MM:
                    rows.append((y, []))
                rows[-1][1].append((x, text))
            return [[text for _, text in sorted(row)] for _, row in rows[1:]]
        raise LookupError(f"no table {title!r} beside {self.mark}")


def _stem(name: str) -> str:
    """The name of a sheet without its number and without which of several it is."""
    return re.sub(r" \d+ of \d+$", "", name.partition(" ")[2])


@functools.lru_cache(maxsize=2)
def _placed(doc) -> list[tuple[float, object]]:
    """All that is drawn in model space, where views lie beside each other, from the left."""
    return sorted(((_place(e)[0], e) for e in doc.modelspace()), key=itemgetter(0))


def _place(entity) -> tuple[float, float]:
    kind = entity.dxftype()
    if kind == "DIMENSION":
        return entity.dxf.text_midpoint[0], entity.dxf.text_midpoint[1]
    if kind == "TEXT" and (entity.dxf.halign or entity.dxf.valign):
        return entity.dxf.align_point[0], entity.dxf.align_point[1]
    for name in ("insert", "center", "start"):
        if entity.dxf.hasattr(name):
            return getattr(entity.dxf, name)[0], getattr(entity.dxf, name)[1]
    return -1e9, 0.0


# --- tubes ------------------------------------------------------------------------------


def _hollow(od: float, wall: float, length: float) -> float:
    return math.pi * (od - wall) * wall * length


def _swaged(words: str, od: float, wall: float, over: float, taper: float) -> float:
    """How much less metal a swaged end has; 0 of one that is cut square."""
    if "swaged to" not in words:
        return 0.0
    small = sizes_mm(words.split("swaged to")[1])[0]
    return _hollow(od, wall, over + taper / 2) - _hollow(small, wall, over + taper / 2)


def bent_tube(sheet: SheetOf) -> Made:
    """From its table of the piece, of holes and of bends."""
    piece: dict[str, str] = {}
    for row in sheet.table("Piece"):
        if len(row) > 1:
            piece[row[0]] = " ".join(row[1:])
        else:  # what goes on from the line before
            piece[list(piece)[-1]] += f" {row[0]}"
    od, wall = sizes_mm(piece["Size"])
    length = value_of(piece["Finished length"])
    volume, short = _hollow(od, wall, length), []
    for end in ("Start", "End"):
        over = sizes_mm(piece[end].partition("over")[2]) or [0.0, 0.0]
        volume -= _swaged(piece[end], od, wall, *over)
        small = sizes_mm(piece[end])[0] if over[0] else od
        short.append((small, over[0] if end == "Start" else length - over[0]))
    holes = []
    for row in sheet.table("Holes, through both walls")[1:]:
        at, turn, across = value_of(row[1]), float(row[2].strip("°")), value_of(row[3])
        outside = short[0][0] if at < short[0][1] else short[1][0] if at > short[1][1] else od
        holes.append((at, math.radians(turn), across))
        volume -= _bore(outside / 2, wall, across / 2)
    chord = _chord(sheet.table("Bends"))
    return Made("tube", volume, holes, length, sheet.step / length, chord)


def _chord(rows: list[list[str]]) -> float:
    """From end to end of an axis, by its straights and arcs one after the other."""
    x = y = heading = 0.0
    for row in rows[1:]:
        if row[0] == "all":
            break
        long = value_of(row[2]) - value_of(row[1])
        turn = 0.0 if row[0] == "straight" else long / value_of(row[4])
        straight = long if turn == 0.0 else 2 * long / turn * math.sin(turn / 2)
        x += straight * math.cos(heading + turn / 2)
        y += straight * math.sin(heading + turn / 2)
        heading += turn
    return math.hypot(x, y)


def straight_tube(sheet: SheetOf) -> Made:
    """From its view, the letters of its holes, and the tables that they share with others."""
    seen = sheet.view()
    od, wall = sizes_mm(re.sub(r"\d+ needed", "", seen.title.partition("needed, ")[2]))[:2]
    figures = {figure.name: figure.value for figure in seen.figures if figure.name}
    length = figures["overall"]
    ends = next(r for r in sheet.table("Pieces drawn on these sheets") if r[0] == sheet.mark)
    volume = _hollow(od, wall, length)
    swage = [word for word in ends[2:4] if "swaged" in word]
    over, taper = (figures["swage"], figures["taper"]) if swage else (0.0, 0.0)
    for word in swage:
        volume -= _swaged(word, od, wall, over, taper)
    kinds = {row[0]: row for row in sheet.table("Holes, through both walls")[1:]}
    holes = []
    for figure in seen.figures:
        if figure.kind != 6 or figure.is_upright:
            continue
        letter = min(seen.letters, key=lambda one: abs(one[0] - figure.at[0]))[1]
        across, turn = value_of(kinds[letter][1]), float(kinds[letter][2].strip("°"))
        small = swage and (
            figure.value < over if "swaged" in ends[2] else figure.value > length - over
        )
        outside = sizes_mm(swage[0])[0] if small else od
        holes.append((figure.value, math.radians(turn), across))
        volume -= _bore(outside / 2, wall, across / 2)
    return Made("tube", volume, sorted(holes), length, sheet.step / length)


# --- plates and boards ------------------------------------------------------------------


def _at(seen: Seen, place: float, *, up: bool) -> float:
    """The running figure of a hole at that place."""
    axis = 1 if up else 0
    fits = [
        f for f in seen.figures
        if f.kind == 6 and f.is_upright is up and abs(f.at[axis] - place) < _SAME_MM
    ]  # fmt: skip
    if not fits:
        raise LookupError(f"no figure for a hole of {seen.title}")
    return fits[0].value


def _drills(words: str) -> tuple[list[float], list[float]]:
    """Diameters of the holes through the thickness, and from edge to edge, each once a hole."""
    through: list[float] = []
    edge: list[float] = []
    for count, size, from_edge in _HOLE.findall(words):
        (edge if from_edge else through).extend(sizes_mm(size) * int(count))
    return through, edge


def _whole(seen: Seen, *, up: bool) -> float:
    """The size over all in one direction: the largest that is no place of a hole or a foot."""
    return max(
        f.value for f in seen.figures if f.kind == 0 and f.is_upright is up and not f.name
    )  # fmt: skip


def plate(sheet: SheetOf) -> Made:
    """A rectangle, or one with a round end, by its figures."""
    seen = sheet.view()
    thick = sizes_mm(seen.words.partition(" thick")[0])[-1]
    drills, _ = _drills(seen.words)
    holes = [
        (_at(seen, x, up=False), _at(seen, y, up=True), across)
        for (x, y), across in zip(sorted(seen.circles), drills, strict=True)
    ]
    wide, high = _whole(seen, up=False), _whole(seen, up=True)
    area = wide * high
    if any(f.kind == 4 for f in seen.figures):  # a round end as wide as the plate
        area -= (2 - math.pi / 2) * (wide / 2) ** 2
    area -= sum(math.pi * across**2 / 4 for *_, across in holes)
    slack = sheet.step / 2 * (1 / wide + 1 / high) + 2e-3
    return Made("plate", area * thick, sorted(holes), wide, slack)


def board(sheet: SheetOf) -> Made:
    """Cut square, mitred, or bevelled with or without a notch, by its figures and words."""
    seen = sheet.view()
    inside = re.search(r"\(([^)]*) x ([^)]*)\)", seen.words)
    (thick,), (deep,) = sizes_mm(_united(inside[1], inside[2])), sizes_mm(inside[2])
    length = _whole(seen, up=False)
    angles = [math.radians(f.value) for f in seen.figures if f.kind in (2, 5)]
    across = thick if "bevelled" in seen.words else deep
    volume = thick * deep * length
    volume -= sum(across**2 * math.tan(a) / 2 for a in angles) * thick * deep / across
    notches = [f.value for f in seen.figures if f.name == "notch"]
    tongue = deep
    through, edge = _drills(seen.words)
    circles = sorted(seen.circles)
    heights = [f for f in seen.figures if f.kind == 6 and f.is_upright]
    face = [c for c in circles if any(abs(f.at[1] - c[1]) < _SAME_MM for f in heights)]
    if notches:
        level = next(
            f.value for f in heights if not any(abs(f.at[1] - y) < _SAME_MM for _, y in circles)
        )
        tongue = max(level, deep - level)
        volume -= notches[0] * (deep - tongue) * thick
    holes = [
        (_at(seen, x, up=False), _at(seen, y, up=True), wide)
        for (x, y), wide in zip(face, through, strict=True)
    ]
    beside = [
        (_at(seen, x, up=False), wide)
        for (x, _), wide in zip([c for c in circles if c not in face], edge, strict=True)
    ]
    volume -= sum(math.pi * wide**2 / 4 for *_, wide in holes) * thick
    for at, wide in beside:
        in_notch = notches and at > length - notches[0]
        volume -= math.pi * wide**2 / 4 * (tongue if in_notch else deep)
    slack = sheet.step / 2 * (1 / length + (1 / deep if notches else 0.0)) + 1e-3
    return Made("board", volume, sorted(holes), length, slack, edge_holes=beside)


def _united(first: str, second: str) -> str:
    """The first of two sizes with the unit of the second, where it has none of its own."""
    return first if '"' in first or "mm" in first else f"{first} mm"


def made(path_or_doc, mark: str, kind: str) -> Made:
    """The part of that mark, of a ``kind``: bent tube, straight tube, plate or board."""
    doc = path_or_doc if hasattr(path_or_doc, "modelspace") else ezdxf.readfile(path_or_doc)
    makers = {"bent tube": bent_tube, "straight tube": straight_tube, "plate": plate,
              "board": board}  # fmt: skip
    return makers[kind](SheetOf(doc, mark))


def main(path: str, marks: list[str]) -> None:
    """Make the parts of some marks, whichever kind they turn out to be, and tell of them."""
    doc = ezdxf.readfile(path)
    for mark in marks:
        for kind in ("bent tube", "straight tube", "board", "plate"):
            try:
                part = made(doc, mark, kind)
            except (LookupError, ValueError, TypeError, StopIteration):
                continue
            print(f"{mark}: {kind}, {part.volume_mm3:.0f} mm³, {len(part.holes)} holes")
            break


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2:])
