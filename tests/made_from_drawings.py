"""A part made on paper from the drawing file that its shop gets, and from nothing else.

It opens the DXF with ezdxf, reads lines, arcs, circles and the words on the layer of the text, and
gives back how large the solid is, where its holes are and where its ends lie. It imports nothing of
the package. ``python tests/made_from_drawings.py FOLDER...`` makes every part of some folders.
"""

from __future__ import annotations

import math
import re
import sys
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

import ezdxf
import numpy as np

_LENGTH = re.compile(
    r"(?:(\d+)'-)?(?:(\d+)(?=[ \"]))?(?: ?(\d+)/(\d+))?\"|(\d+(?:\.\d+)?) (mm|in)\b"
)  # fmt: skip


@dataclass
class MadePart:
    """What was made: kind, volume, holes and ends, mm."""

    kind: str
    volume_mm3: float
    holes: list[tuple[float, ...]]
    """Plates and boards: x, y, diameter. Tubes: distance, rotation in rad, diameter."""
    length_mm: float = 0.0
    chord_mm: float = 0.0
    words: list[str] = field(default_factory=list)


def sizes_mm(text: str) -> list[float]:
    """Every length that a text has, mm."""
    found = []
    for feet, inches, top, under, plain, unit in _LENGTH.findall(text):
        if plain:
            found.append(float(plain) * (25.4 if unit == "in" else 1.0))
        else:
            whole = Fraction(int(feet or 0) * 12 + int(inches or 0))
            whole += Fraction(int(top), int(under)) if top else 0
            found.append(float(whole * Fraction(254, 10)))
    return found


def made(path: Path) -> MadePart:
    """The part of the drawing file ``path``, made."""
    doc = ezdxf.readfile(path)
    unit = {1: 25.4, 4: 1.0}[doc.header["$INSUNITS"]]
    layers: dict[str, list] = {}
    for entity in doc.modelspace():
        layers.setdefault(entity.dxf.layer, []).append(entity)
    words = [text.dxf.text for text in reversed(layers["text"])]
    material = next(w for w in words if w.startswith("material: "))
    if any(" tube, " in word for word in words):
        return _tube(layers, unit, words, material)
    if "steel plate" in material:
        return _plate(layers, unit, words, sizes_mm(material)[0])
    thick = sizes_mm(material.split(", ")[1])[0]
    return _board(layers, unit, words, thick)


def _area(polyline, unit: float) -> float:
    """Of a closed polyline with arcs: the shoelace and each arc's segment of a circle."""
    points = [(x * unit, y * unit, bulge) for x, y, bulge in polyline.get_points("xyb")]
    area = 0.0
    for (x0, y0, bulge), (x1, y1, _) in zip(points, [*points[1:], points[0]], strict=True):
        area += (x0 * y1 - x1 * y0) / 2
        if bulge:
            turn = 4 * math.atan(bulge)
            radius = math.dist((x0, y0), (x1, y1)) / 2 / math.sin(turn / 2)
            area += radius**2 / 2 * (turn - math.sin(turn))
    return abs(area)


def _circles(entities, unit: float) -> list[tuple[float, float, float]]:
    return sorted(
        (e.dxf.center[0] * unit, e.dxf.center[1] * unit, 2 * e.dxf.radius * unit)
        for e in entities
        if e.dxftype() == "CIRCLE"
    )


def _plate(layers, unit: float, words: list[str], thick: float) -> MadePart:
    (outline,) = layers["cut"]
    holes = _circles(layers.get("cut holes", ()), unit)
    bored = sum(math.pi * across**2 / 4 for *_, across in holes)
    volume = (_area(outline, unit) - bored) * thick
    return MadePart("plate", volume, list(holes), words=words)


def _board(layers, unit: float, words: list[str], thick: float) -> MadePart:
    """The face times the thickness, less bevels, holes through it and from edge to edge.

    Where an end is bevelled the outline is that of the longer face, and a line of its own is the
    end of the other; notches lean as their ends do.
    """
    face = max(layers["cut"], key=lambda e: _area(e, unit))
    xs = [x * unit for x, *_ in face.get_points("xyb")]
    ys = [y * unit for _, y, *_ in face.get_points("xyb")]
    holes = _circles(layers.get("cut holes", ()), unit)
    edge = _circles(layers.get("edge holes", ()), unit)
    corners = list(zip(xs, ys, strict=True))
    bevels = 0.0
    for line in layers.get("far edge", ()):
        (x, low), (_, high) = ((p[0] * unit, p[1] * unit) for p in (line.dxf.start, line.dxf.end))
        ends = _across([(v, u) for u, v in corners], (low + high) / 2)
        bevels += min(x - min(ends), max(ends) - x) / 2 * abs(high - low)
    volume = (_area(face, unit) - bevels) * thick
    volume -= sum(math.pi * across**2 / 4 for *_, across in holes) * thick
    volume -= sum(
        math.pi * across**2 / 4 * (max(at) - min(at))
        for at, across in ((_across(corners, x), across) for x, _, across in edge)
    )
    length = max(xs) - min(xs)
    return MadePart("board", volume, list(holes), length_mm=length, words=words)


def _across(corners: list[tuple[float, float]], x: float) -> list[float]:
    """Where the outline of a board lies at ``x``."""
    at = []
    for (x0, y0), (x1, y1) in zip(corners, [*corners[1:], corners[0]], strict=True):
        if min(x0, x1) <= x < max(x0, x1):
            at.append(y0 + (y1 - y0) * (x - x0) / (x1 - x0))
    return at


def _tube(layers, unit: float, words: list[str], material: str) -> MadePart:
    od, wall = sizes_mm(material.split(" OD")[0])[-1], sizes_mm(material.split("OD")[1])[0]
    axis = [e for e in layers["centre line"]]
    straight = next(
        e for e in axis if e.dxftype() == "LINE" and not e.dxf.start[1] and not e.dxf.end[1]
    )
    length = straight.dxf.end[0] * unit
    chord = length
    bent = [e for e in axis if e is not straight]
    if bent:
        ends = [p for e in bent for p in _ends(e)]
        # An end of the whole is an end of one piece alone.
        alone = [p for p in ends if sum(math.dist(p, q) < 1e-6 for q in ends) == 1]
        assert len(alone) == 2
        chord = math.dist(*alone) * unit
        whole = sum(_long(e) for e in bent) * unit
        assert abs(whole - length) < 1e-3, "the bent axis is as long as the straight tube"
    volume = math.pi * (od - wall) * wall * length
    radii = [(0.0, length, od / 2, od / 2)]
    marks = sorted(e.dxf.start[0] * unit for e in layers.get("end forms", ()))
    for name, at_start in (("start: ", True), ("end: ", False)):
        word = next(w for w in words if w.startswith(name))
        if "swaged to" not in word:
            continue
        small = sizes_mm(word)[0]
        here = sorted(marks, reverse=not at_start)[:2]
        reach = [m if at_start else length - m for m in here]
        volume += math.pi * wall * (small - od) * reach[0]
        volume += math.pi * wall * (small - od) / 2 * (reach[1] - reach[0])
        low, high = (0.0, reach[0]) if at_start else (length - reach[0], length)
        radii.insert(0, (low, high, small / 2, small / 2))
    (seam,) = {e.dxf.start[1] for e in layers["inside of bends"]}
    holes = []
    for x, y, across in _circles(layers.get("cut holes", ()), unit):
        turn = (seam * unit - y) / (od / 2) % (2 * math.pi)
        holes.append((x, turn, across))
        radius = next(r for low, high, r, _ in radii if low <= x <= high)
        volume -= _bore(radius, wall, across / 2) / 2  # each hole of two walls is drawn twice
    return MadePart("tube", volume, holes, length, chord, words)


def _bore(radius: float, wall: float, hole: float) -> float:
    """What a drill takes out of both walls of a straight tube: an integral over the hole."""
    turns = (np.arange(2000) + 0.5) * math.pi / 2000 - math.pi / 2
    y, half = hole * np.sin(turns), hole * np.cos(turns)
    inner = radius - wall
    chord = np.sqrt(radius**2 - y**2) - np.sqrt(np.maximum(inner**2 - y**2, 0.0))
    return float((2 * chord * 2 * half * hole * np.cos(turns)).sum() * math.pi / 2000)


def _ends(entity) -> list[tuple[float, float]]:
    if entity.dxftype() == "LINE":
        points = [entity.dxf.start, entity.dxf.end]
    else:
        points = [entity.start_point, entity.end_point]
    return [(p[0], p[1]) for p in points]


def _long(entity) -> float:
    if entity.dxftype() == "LINE":
        return math.dist(*_ends(entity))
    turn = (entity.dxf.end_angle - entity.dxf.start_angle) % 360
    return entity.dxf.radius * math.radians(turn)


def main(folders: list[str]) -> None:
    """Make every part of the folders, and tell what came of it."""
    for folder in folders:
        for path in sorted(Path(folder).glob("*.dxf")):
            if "-flat" not in path.stem:
                part = made(path)
                print(
                    f"{path.stem}: {part.kind}, {part.volume_mm3:.1f} mm³, {len(part.holes)} holes"
                )


if __name__ == "__main__":
    main(sys.argv[1:])
