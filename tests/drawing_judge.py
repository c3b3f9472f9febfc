"""A judge of finished drawings, which reads the DXF and knows nothing of how it was laid out.

It sees what a person with the sheet in hand sees: the paper-space layouts with what
their viewports show. Sizes of text come from MuPDF, values from a parser of its own.

Rules
-----
text on text, text on line, off the sheet, outside its view, wrong value, fixed text,
stale text, broken chain, unknown mark, missing mark, missing size; and those of ``drawing_habits``,
``drawing_leaders`` and ``drawing_shop``
"""

from __future__ import annotations

import bisect
import functools
import math
import re
from dataclasses import dataclass, field
from fractions import Fraction
from operator import itemgetter
from pathlib import Path

import ezdxf
import pymupdf
import shapely
from drawing_habits import bad_habits
from drawing_leaders import bad_leaders
from drawing_shop import shop_faults
from ezdxf.math import Vec2
from live_text import live_text
from shapely import LineString, Polygon, STRtree, box

_FONT = pymupdf.Font(fontfile=str(Path(__file__).parents[1] / "frame3d/fonts/DejaVuSans.ttf"))
_CAPITAL = 1493 / 2048  # height of H in this font, from its glyph table
_SHRINK_MM = 0.15
_HEAVY = {"outline", "ground", "hidden", "border", "title block", "call-outs"}


@dataclass(frozen=True)
class Finding:
    """What is wrong: rule, sheet, and a sentence."""

    rule: str
    sheet: str
    message: str


@dataclass
class Text:
    """A text on a sheet, with the ground that it covers, mm on the paper."""

    text: str
    layer: str
    ground: Polygon
    owner: str = ""
    height_mm: float = 0.0
    angle_deg: float = 0.0


@dataclass
class Page:
    """A sheet as it is seen, mm on the paper."""

    name: str
    texts: list[Text] = field(default_factory=list)
    lines: list[tuple[str, str, LineString]] = field(default_factory=list)
    windows: list[Polygon] = field(default_factory=list)
    scales: list[float] = field(default_factory=list)
    outside_view: list[str] = field(default_factory=list)
    border: Polygon | None = None
    paper: Polygon | None = None


def judge(path, *, marks=None, sizes_mm=(), pages=None) -> list[Finding]:
    """Everything that is wrong with the drawing in ``path``.

    Parameters
    ----------
    path : path or ezdxf document
    marks : set of str or None
        All marks that exist; each must stand somewhere, and no other may.
    sizes_mm : sequence of float
        Lengths that some dimension must give.
    pages : list of Page or None
        What :func:`pages_of` has seen in the document, if it was asked before: seeing is slow.
    """
    doc = path if hasattr(path, "modelspace") else ezdxf.readfile(path)
    unit = {1: 25.4, 4: 1.0}[doc.header["$INSUNITS"]]
    pages = pages_of(doc) if pages is None else pages
    found = [finding for page in pages for finding in _on_page(page)]
    found += _dimensions(doc, unit, sizes_mm)
    found += [Finding(*told) for told in bad_habits(doc, pages, unit)]
    found += [Finding(*told) for page in pages for told in dict.fromkeys(bad_leaders(page))]
    found += [Finding(*told) for told in dict.fromkeys(shop_faults(pages))]
    if marks is not None:
        found += _marks(pages, set(marks))
    return found


def pages_of(doc) -> list[Page]:
    """The sheets of a document true to scale seen."""
    unit = {1: 25.4, 4: 1.0}[doc.header["$INSUNITS"]]
    # Along x, the way in which views lie beside each other in model space.
    anchors = sorted(
        ((*tuple(_anchor(entity))[:2], entity) for entity in doc.modelspace()), key=itemgetter(0)
    )
    return [_page(doc, name, unit, anchors) for name in doc.layout_names_in_taborder()[1:]]


# --- what is seen -----------------------------------------------------------------------


def _page(doc, name: str, unit: float, anchors: list) -> Page:
    page = Page(name=name)
    views = []
    layout = doc.layout(name).dxf_layout.dxf
    page.paper = box(0, 0, layout.paper_width, layout.paper_height)  # always mm
    for entity in doc.layout(name):
        if entity.dxftype() == "VIEWPORT":
            if entity.dxf.id != 1:
                views.append(entity)
            continue
        _see(page, entity, lambda p: (p[0] * unit, p[1] * unit), unit)
    edges = [line for layer, _, line in page.lines if layer == "border"]
    sides = [line for line in edges if line.length > 100]
    if sides:
        xs = [x for line in sides for x, _ in line.coords]
        ys = [y for line in sides for _, y in line.coords]
        page.border = box(min(xs), min(ys), max(xs), max(ys))
    for view in views:
        _see_view(page, anchors, view, unit)
    return page


def _see_view(page: Page, anchors: list, view, unit: float) -> None:
    ratio = view.dxf.height / view.dxf.view_height
    centre, middle = view.dxf.center, view.dxf.view_center_point
    half_w, half_h = view.dxf.width / 2, view.dxf.height / 2
    page.windows.append(
        box(
            (centre[0] - half_w) * unit,
            (centre[1] - half_h) * unit,
            (centre[0] + half_w) * unit,
            (centre[1] + half_h) * unit,
        )
    )
    window = page.windows[-1]
    page.scales.append(1 / ratio)

    def to_paper(p):
        return (
            (centre[0] + (p[0] - middle[0]) * ratio) * unit,
            (centre[1] + (p[1] - middle[1]) * ratio) * unit,
        )

    low = middle[0] - half_w / ratio * 1.5, middle[1] - half_h / ratio * 1.5
    high = middle[0] + half_w / ratio * 1.5, middle[1] + half_h / ratio * 1.5
    edge = window.buffer(0.01)
    shapely.prepare([window, edge])
    seen = Page(name=page.name)
    for x, y, entity in anchors[bisect.bisect_left(anchors, low[0], key=itemgetter(0)) :]:
        if x > high[0]:
            break
        if low[1] <= y <= high[1]:
            _see(seen, entity, to_paper, unit * ratio)
    # All at once: one by one takes longer to ask than to answer.
    grounds = [text.ground for text in seen.texts]
    meets, within = shapely.intersects(window, grounds), shapely.contains(window, grounds)
    for text, shown, whole in zip(seen.texts, meets, within, strict=True):
        if shown:
            page.texts.append(text)
            page.outside_view += [text.text] * (not whole)
    lines = [line for _, _, line in seen.lines]
    meets, within = shapely.intersects(window, lines), shapely.contains(edge, lines)
    parts = shapely.intersection(lines, window)
    for (layer, owner, _), shown, whole, part in zip(seen.lines, meets, within, parts, strict=True):
        if shown:
            page.lines.append((layer, owner, part))
            if not whole:
                page.outside_view.append(f"a line of {layer}")


def _anchor(entity):
    kind = entity.dxftype()
    if kind == "LINE":
        return entity.dxf.start
    if kind in ("ARC", "CIRCLE"):
        angle = math.radians(entity.dxf.start_angle if kind == "ARC" else 0.0)
        centre = entity.dxf.center
        return (
            centre[0] + entity.dxf.radius * math.cos(angle),
            centre[1] + entity.dxf.radius * math.sin(angle),
        )
    if kind == "DIMENSION":
        return entity.dxf.text_midpoint
    if kind == "TEXT" and (entity.dxf.halign or entity.dxf.valign):
        return entity.dxf.align_point
    return entity.dxf.insert


def _see(page: Page, entity, to_paper, factor: float, owner: str = "") -> None:
    kind, layer = entity.dxftype(), entity.dxf.layer
    if kind == "DIMENSION":
        for part in entity.virtual_entities():
            _see(page, part, to_paper, factor, owner=entity.dxf.handle)
    elif kind == "INSERT":
        for part in entity.virtual_entities():
            _see(page, part, to_paper, factor, owner=entity.dxf.handle)
        for part in entity.attribs:
            _see(page, part, to_paper, factor, owner=entity.dxf.handle)
    elif kind in ("TEXT", "ATTRIB", "MTEXT"):
        page.texts.append(_text(entity, to_paper, factor, owner))
    elif kind == "LINE":
        ends = [to_paper(entity.dxf.start), to_paper(entity.dxf.end)]
        page.lines.append((layer, owner, shapely.linestrings(ends)))
    elif kind in ("ARC", "CIRCLE", "LWPOLYLINE"):
        path = ezdxf.path.make_path(entity)
        points = [to_paper(p) for p in path.flattening(0.2 / factor)]
        page.lines.append((layer, owner, shapely.linestrings(points)))


@functools.lru_cache(maxsize=20_000)
def _length(text: str) -> float:
    """Width of a text at a size of 1."""
    return _FONT.text_length(text, fontsize=1.0)


def _text(entity, to_paper, factor: float, owner: str) -> Text:
    if entity.dxftype() == "MTEXT":
        text, height = entity.plain_text(), entity.dxf.char_height
        where, angle, narrow = entity.dxf.insert, entity.get_rotation(), 0.85
        across, lift = 0.5, 0.0
        assert entity.dxf.attachment_point == 5
    else:
        text, height = entity.dxf.text, entity.dxf.height
        angle, narrow = entity.dxf.rotation, entity.dxf.width
        across = {0: 0.0, 1: 0.5, 2: 1.0, 4: 0.5}[entity.dxf.halign]
        lift = {0: 0.5, 2: 0.0, 1: 0.5, 3: -0.5}[entity.dxf.valign]
        aligned = entity.dxf.halign or entity.dxf.valign
        where = entity.dxf.align_point if aligned else entity.dxf.insert
    height *= factor
    width = _length(text) / _CAPITAL * height * narrow
    turn, (x, y) = math.radians(angle), to_paper(where)
    cos, sin = math.cos(turn), math.sin(turn)
    low, high = -across * width, (1 - across) * width
    under, over = (lift - 0.5) * height, (lift + 0.5) * height
    # By the call for many, here and above: a class's own takes twice as long.
    ground = shapely.polygons([
        (x + u * cos - v * sin, y + u * sin + v * cos)
        for u, v in ((low, under), (high, under), (high, over), (low, over))
    ])  # fmt: skip
    return Text(text, entity.dxf.layer, ground, owner, height, angle)


# --- rules ------------------------------------------------------------------------------


def _on_page(page: Page) -> list[Finding]:
    found = [
        Finding("outside its view", page.name, f"{what} is cut off by the edge of its view")
        for what in page.outside_view
    ]
    if page.border is None:
        return [*found, Finding("off the sheet", page.name, "the sheet has no border")]
    for window in page.windows:
        if not page.border.contains(window):
            found.append(Finding("off the sheet", page.name, "a view leaves the border"))
    grounds = shapely.buffer([text.ground for text in page.texts], -_SHRINK_MM)
    tree = STRtree(grounds)
    margin = page.paper.buffer(-5.0)
    for i, ground in enumerate(grounds):
        # The names of zones stand in the margin; a printer's own margin is 5 mm at most.
        room = margin if page.texts[i].layer == "border" else page.border
        if not room.contains(ground):
            message = f"{page.texts[i].text!r} is not inside the border"
            found.append(Finding("off the sheet", page.name, message))
        for j in tree.query(ground, predicate="intersects"):
            if i < j:
                message = f"{page.texts[i].text!r} on {page.texts[j].text!r}"
                found.append(Finding("text on text", page.name, message))
    return found + _text_on_lines(page, grounds, tree)


def _text_on_lines(page: Page, grounds, tree) -> list[Finding]:
    found = []
    for layer, owner, line in page.lines:
        for i in tree.query(line, predicate="intersects"):
            text = page.texts[i]
            same = owner and owner == text.owner
            if layer in _HEAVY or (text.layer == layer == "dimensions") or same:
                shared = line.intersection(grounds[i]).length
                if shared > 0.05:
                    message = f"{text.text!r} is crossed by a line of {layer}"
                    found.append(Finding("text on line", page.name, message))
    return found


_FEET = re.compile(r"(?:(\d+)'-)?(?:(\d+)(?= |\"))?(?: ?(\d+)/(\d+))?\"")
_PLAIN = re.compile(r"R?(\d+(?:\.\d+)?)(°?)(?: |$)")


def value_of(text: str) -> float:
    """The number in a dimension's text: mm for lengths, degrees for angles."""
    body = text.lstrip("(R").replace(")", " ")
    feet = _FEET.match(body)
    if not feet:
        plain = _PLAIN.match(body)
        if not plain:
            raise ValueError(f"no value in {text!r}")
        return float(plain[1])
    inches = Fraction(int(feet[1] or 0) * 12 + int(feet[2] or 0))
    if feet[3]:
        inches += Fraction(int(feet[3]), int(feet[4]))
    return float(inches * Fraction(254, 10))


def measured(dimension, unit: float) -> float:
    """What a dimension spans by its own definition points: mm or degrees."""
    dxf, kind = dimension.dxf, dimension.dxf.dimtype & 7
    if kind in (0, 1):
        between = Vec2(dxf.defpoint3) - Vec2(dxf.defpoint2)
        if kind == 1:
            return between.magnitude * unit
        return abs(between.dot(Vec2.from_deg_angle(dxf.angle))) * unit
    if kind == 4:
        return (Vec2(dxf.defpoint4) - Vec2(dxf.defpoint)).magnitude * unit
    if kind == 6:
        axis = 0 if dxf.dimtype & 64 else 1
        return abs(dxf.defpoint2[axis] - dxf.defpoint[axis]) * unit
    vertex = Vec2(dxf.defpoint4)
    first = (Vec2(dxf.defpoint2) - vertex).angle_deg
    second = (Vec2(dxf.defpoint3) - vertex).angle_deg
    return (second - first) % 360


def drawn_text(dimension) -> str:
    """The text that stands in a dimension's own block."""
    return next(e for e in dimension.virtual_entities() if e.dxftype() == "MTEXT").plain_text()


def _dimensions(doc, unit: float, sizes_mm) -> list[Finding]:
    found, spans, given = [], [], []
    for dimension in doc.modelspace().query("DIMENSION"):
        text, span = drawn_text(dimension), measured(dimension, unit)
        angular = dimension.dxf.dimtype & 7 == 5
        style = dimension.override()
        step = 0.1 if angular else max(style.get("dimrnd") * unit, 1e-9)
        if dimension.dxf.text not in ("", "<>"):
            found.append(Finding("fixed text", "", f"{text!r} would not follow its geometry"))
        if text != live_text(dimension):
            message = f"{text!r} is written {live_text(dimension)!r} when it is drawn again"
            found.append(Finding("stale text", "", message))
        if abs(value_of(text) - span) > step / 2 + 1e-4:
            found.append(Finding("wrong value", "", f"{text!r} spans {span:.3f}"))
        if not angular:
            given.append(span)
        if dimension.dxf.dimtype & 7 == 0:
            spans.append((dimension, text, step))
    for size in sizes_mm:
        if not any(abs(size - span) < 0.01 for span in given):
            found.append(Finding("missing size", "", f"nothing gives {size:.2f} mm"))
    return found + _chains(spans, unit, _view_middles(doc))


def _view_middles(doc) -> list[tuple[float, float]]:
    """Middle in x and half the width of what each viewport shows, drawing units."""
    views = [
        view
        for name in doc.layout_names_in_taborder()[1:]
        for view in doc.layout(name).query("VIEWPORT")
        if view.dxf.id != 1
    ]
    return [
        (v.dxf.view_center_point[0], v.dxf.width / v.dxf.height * v.dxf.view_height / 2)
        for v in views
    ]


def _chains(spans, unit: float, views) -> list[Finding]:
    """Dimensions end to end on one line: what they say must add up to what spans them all."""
    lines: dict[tuple, list] = {}
    for dimension, text, step in spans:
        along = Vec2.from_deg_angle(dimension.dxf.angle)
        across = along.orthogonal()
        ends = sorted(
            Vec2(p).dot(along) * unit for p in (dimension.dxf.defpoint2, dimension.dxf.defpoint3)
        )
        place = Vec2(dimension.dxf.defpoint).dot(across) * unit
        x = dimension.dxf.text_midpoint[0]
        view = next((i for i, (at, half) in enumerate(views) if abs(x - at) <= half), -1)
        key = (view, round(dimension.dxf.angle, 3), round(place, 2))
        lines.setdefault(key, []).append((ends[0], ends[1], text, step))
    found = []
    for key, group in lines.items():
        overall = [
            other[0] for name, other in lines.items() if name[:2] == key[:2] and len(other) == 1
        ]
        group.sort()
        for a, b in zip(group, group[1:], strict=False):
            if abs(a[1] - b[0]) > 0.01:
                message = f"{a[2]!r} and {b[2]!r} stand on one line and do not meet"
                found.append(Finding("broken chain", "", message))
        total = math.fsum(value_of(item[2]) for item in group)
        slack = (len(group) + 1) * group[0][3] / 2 + 1e-3
        for low, high, text, _ in overall:
            same = abs(low - group[0][0]) < 0.01 and abs(high - group[-1][1]) < 0.01
            if same and len(group) > 1 and abs(value_of(text) - total) > slack:
                message = f"a chain adds up to {total:.2f} mm under {text!r}"
                found.append(Finding("broken chain", "", message))
    return found


def _marks(pages: list[Page], marks: set[str]) -> list[Finding]:
    seen = {text.text for page in pages for text in page.texts if text.layer == "marks"}
    seen = {text.split(" × ")[0] for text in seen if not text.startswith("see part ")}
    found = [Finding("unknown mark", "", f"{mark} is no part") for mark in sorted(seen - marks)]
    missing = sorted(marks - seen)
    return found + [Finding("missing mark", "", f"{mark} is on no sheet") for mark in missing]


__all__ = ["Finding", "Page", "drawn_text", "judge", "measured", "pages_of", "value_of"]
