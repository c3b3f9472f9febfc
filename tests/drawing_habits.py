"""What a sheet is held to besides being legible: habits that the drawing standards ask for.

Rules
-----
redundant size, crowded dimensions, small text, upside down, stray layer, view on view,
wrong scale, empty field, no cautions, wrong number, wrong units, pointless leader, empty sheet,
lost call-out

References
----------
ISO 129-1:2018: no size is given twice, and a ring of sizes is not closed but by one in
brackets; parallel dimension lines some 6 mm apart or more; figures are read from below
or from the right. ISO 3098-1: the smallest letters are 1.8 mm high. ISO 5455: the scale
stands on the sheet. ISO 7200: fields of a title block that must be filled in.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterator

from ezdxf.math import Vec2
from shapely import Point, STRtree

_LEAST_TEXT_MM = 1.8
_LEAST_APART_MM = 5.5
_LEADER_REACH_MM = 6.0
_STEP = 100
"""Places are told apart to a hundredth of a millimetre."""
_FILLED = (
    "OWNER",
    "PROJECT",
    "KIND",
    "TITLE",
    "DRAWN_BY",
    "APPROVED_BY",
    "DATE",
    "SCALE",
    "NUMBER",
    "SHEET",
    "PAPER",
    "DIMENSIONS",
    "STATUS",
)
_CAUTIONS = ("brace the frame", "licensed professional", "buried cables")

Told = tuple[str, str, str]


def bad_habits(doc, pages, unit: float) -> Iterator[Told]:
    """Rule, sheet and message of everything that breaks a rule of this module."""
    names = [page.name for page in pages]
    views = _views(doc, names)
    for name, view, dimensions in views:
        yield from _redundant(name, dimensions, unit)
        yield from _crowded(name, view, dimensions)
    for number, page in enumerate(pages, start=1):
        yield from _texts(page)
        yield from _windows(page)
        yield from _cautions(page)
        yield from _leaders(page)
        yield from _call_outs(page, pages)
        yield from _title_block(doc, page, number, len(pages), unit)
    for space in (doc.modelspace(), *(doc.layout(name) for name in names)):
        for entity in space:
            if entity.dxf.layer == "0":
                yield "stray layer", space.name, f"a {entity.dxftype()} lies on layer 0"


def _views(doc, names):
    """Sheet, viewport and the dimensions that it shows."""
    views = [
        (name, view)
        for name in names
        for view in doc.layout(name).query("VIEWPORT")
        if view.dxf.id != 1
    ]
    shown: list[list] = [[] for _ in views]
    for dimension in doc.modelspace().query("DIMENSION"):
        x = dimension.dxf.text_midpoint[0]
        for place, (_, view) in enumerate(views):
            ratio = view.dxf.view_height / view.dxf.height
            if abs(x - view.dxf.view_center_point[0]) <= view.dxf.width * ratio / 2:
                shown[place].append(dimension)
                break
    return [(name, view, found) for (name, view), found in zip(views, shown, strict=True)]


def _in_brackets(dimension) -> bool:
    return "(<>)" in (dimension.override().get("dimpost", "") or "")


def _ends(dimension, unit: float):
    """Direction and the two places along it, or None for radii and angles."""
    kind, dxf = dimension.dxf.dimtype & 7, dimension.dxf
    if kind == 0:
        angle = round(dxf.angle % 180, 3)
        along = Vec2.from_deg_angle(angle)
        places = [Vec2(p).dot(along) * unit for p in (dxf.defpoint2, dxf.defpoint3)]
    elif kind == 6:
        axis = 0 if dxf.dimtype & 64 else 1
        angle = 0.0 if axis == 0 else 90.0
        places = [p[axis] * unit for p in (dxf.defpoint, dxf.defpoint2)]
    else:
        return None
    low, high = sorted(round(place * _STEP) for place in places)
    return angle, low, high


def _redundant(name: str, dimensions, unit: float) -> Iterator[Told]:
    """Sizes that others of the same view and direction give already and that say it not."""
    parent: dict[tuple, tuple] = {}

    def root(place):
        while place in parent:
            place = parent[place]
        return place

    for dimension in dimensions:
        ends = _ends(dimension, unit)
        if ends is None or _in_brackets(dimension) or ends[1] == ends[2]:
            continue
        angle, low, high = ends
        one, two = _near(root, parent, angle, low), _near(root, parent, angle, high)
        if one == two:
            span = (high - low) / _STEP
            yield "redundant size", name, f"{span:.2f} mm follows from other sizes of the view"
        else:
            parent[one] = two


def _near(root, parent, angle, place):
    """The group of a place; a rounding apart is the same place."""
    for other in (place, place - 1, place + 1):
        if (angle, other) in parent or any(v == (angle, other) for v in parent.values()):
            return root((angle, other))
    return root((angle, place))


def _crowded(name: str, view, dimensions) -> Iterator[Told]:
    """Parallel dimension lines beside each other that are too near to be told apart."""
    to_paper = view.dxf.height / view.dxf.view_height
    size = 25.4 if view.doc.header["$INSUNITS"] == 1 else 1.0
    lines = []
    for dimension in dimensions:
        if dimension.dxf.dimtype & 7 == 0:
            along = Vec2.from_deg_angle(dimension.dxf.angle)
            ends = sorted(
                Vec2(p).dot(along) for p in (dimension.dxf.defpoint2, dimension.dxf.defpoint3)
            )
            out = Vec2(dimension.dxf.defpoint).dot(along.orthogonal())
            factor = to_paper * size
            lines.append(
                (
                    round(dimension.dxf.angle % 180, 3),
                    out * factor,
                    ends[0] * factor,
                    ends[1] * factor,
                )
            )
    for (turn, out, a, b), (turn2, out2, c, d) in itertools.combinations(lines, 2):
        apart = abs(out - out2)
        if turn == turn2 and 0.01 < apart < _LEAST_APART_MM and min(b, d) - max(a, c) > 0.5:
            yield "crowded dimensions", name, f"two dimension lines are {apart:.1f} mm apart"


def _texts(page) -> Iterator[Told]:
    for text in page.texts:
        if text.height_mm < _LEAST_TEXT_MM - 0.01:
            yield "small text", page.name, f"{text.text!r} is {text.height_mm:.2f} mm high"
        turn = math.remainder(text.angle_deg, 360)
        if not -90 + 0.01 < turn < 90 + 0.01:
            yield "upside down", page.name, f"{text.text!r} is turned by {turn:.0f} degrees"


def _windows(page) -> Iterator[Told]:
    for one, two in itertools.combinations(page.windows, 2):
        if one.buffer(-0.5).intersects(two.buffer(-0.5)):
            yield "view on view", page.name, "two views overlap"
    told = {
        float(found.replace(" ", ""))
        for text in page.texts
        for found in re.findall(r"\b1:(\d+(?:\.\d+)?)", text.text)
    }
    free = any("not to scale" in text.text.lower() for text in page.texts)
    drawn = [line for layer, owner, line in page.lines if layer == "outline"]
    for window, scale in zip(page.windows, page.scales, strict=True):
        shows = any(window.intersects(line) for line in drawn)
        if shows and not free and not any(abs(scale - one) < 0.01 * one for one in told):
            yield "wrong scale", page.name, f"a view at 1:{scale:.2f}, of which nothing is said"
    if not page.windows and page.border is not None:
        _, low, _, high = page.border.bounds
        middle = (low + high) / 2
        texts = [text for text in page.texts if text.layer != "border"]  # names of zones
        if sum(text.ground.centroid.y > middle for text in texts) < 5:
            yield "empty sheet", page.name, "nothing is shown"


def _cautions(page) -> Iterator[Told]:
    said = " ".join(text.text for text in page.texts).lower()
    for caution in _CAUTIONS:
        if caution not in said:
            yield "no cautions", page.name, f"nothing is said of {caution!r}"


def _leaders(page) -> Iterator[Told]:
    """A line of the marks ends near something that is drawn, or near another of them."""
    leaders = [line for layer, _, line in page.lines if layer == "marks"]
    things = [
        line
        for layer, _, line in page.lines
        if layer not in ("marks", "dimensions", "border", "title block", "text")
    ]
    if not leaders:
        return
    tree = STRtree([*things, *leaders])
    for number, line in enumerate(leaders):
        ends = [Point(line.coords[0]), Point(line.coords[-1])]
        own = len(things) + number
        near = [
            [
                i
                for i in tree.query(end.buffer(_LEADER_REACH_MM))
                if i != own and tree.geometries[i].distance(end) <= _LEADER_REACH_MM
            ]
            for end in ends
        ]
        if not any(near):
            yield "pointless leader", page.name, "a leader ends at nothing"


def _call_outs(page, pages) -> Iterator[Told]:
    """Each names a detail that stands on the sheet it says, and leads to a circle or a dot."""
    lines = [line for layer, _, line in page.lines if layer == "call-outs"]
    # The ends of a circle's chords may differ by a rounding.
    circles = [line for line in lines if math.dist(line.coords[0], line.coords[-1]) < 0.01]
    leaders = [line for line in lines if line not in circles]
    for text in page.texts:
        if text.layer != "call-outs":
            continue
        said = re.fullmatch(r"Detail (\d+), sheet (\d+)", text.text)
        if not said:
            yield "lost call-out", page.name, f"{text.text!r} names no detail and sheet"
            continue
        number, sheet = int(said[1]), int(said[2])
        there = pages[sheet - 1].texts if 0 < sheet <= len(pages) else []
        if not any(one.text.startswith(f"Detail {number}:") for one in there):
            yield "lost call-out", page.name, f"sheet {sheet} has no detail {number}"
        if not any(
            text.ground.distance(leader) < 2.0
            and any(leader.distance(circle) < 0.5 for circle in circles)
            for leader in leaders
        ):
            yield "lost call-out", page.name, f"{text.text!r} leads to no circle"


def _title_block(doc, page, number: int, count: int, unit: float) -> Iterator[Told]:
    blocks = [e for e in doc.layout(page.name).query("INSERT") if e.attribs]
    fields = {a.dxf.tag: a.dxf.text.strip() for block in blocks for a in block.attribs}
    for name in _FILLED:
        if not fields.get(name):
            yield "empty field", page.name, f"{name} of the title block is empty"
    if fields.get("SHEET") not in (f"{number} / {count}", f"{number} of {count}"):
        yield "wrong number", page.name, f"{fields.get('SHEET')!r} is sheet {number} of {count}"
    inches = "inches" in fields.get("DIMENSIONS", "")
    if inches is not (unit == 25.4):
        yield "wrong units", page.name, f"the sheet says {fields.get('DIMENSIONS')!r}"


__all__ = ["bad_habits"]
