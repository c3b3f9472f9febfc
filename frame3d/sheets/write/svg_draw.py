"""Pictures as the guide makes them, which are SVG, drawn on a page of a PDF.

They hold straight lines, areas, rectangles, dots and lines of text; more is not read.

References
----------
SVG 1.1, 8.3 (paths), 9 (shapes), 10.9 (where a text is anchored).
"""

from __future__ import annotations

import math
import re
from xml.etree.ElementTree import Element, fromstring

from reportlab.lib.colors import HexColor
from reportlab.pdfgen.canvas import Canvas

from frame3d.frame.describe.direction import as_seen
from frame3d.sheets.primitives.lettering import WIDTH_FACTOR
from frame3d.sheets.write.pdf_file import BOLD, PdfFile

_STEP = re.compile(r"([Mlz])(?:(-?[\d.]+) ?(-?[\d.]+))?")
_TURN = re.compile(r"rotate\((-?[\d.]+)")


def draw_svg(file: PdfFile, svg: str, left: float, top: float, scale: float) -> None:
    """Draw a picture, ``scale`` points for each of its units, from a corner down."""
    root, canvas = fromstring(svg.replace('"#fff"', '"#ffffff"')), file.canvas
    _, above, *_ = map(float, root.get("viewBox", "").split())
    canvas.saveState()
    canvas.transform(scale, 0, 0, -scale, left, top + scale * above)
    canvas.setLineJoin(1)
    for element in root:
        tag = element.tag.rpartition("}")[2]
        numbers = {name: float(text) for name, text in element.items() if name in _NUMBERS}
        if tag == "text":
            _text(file, element, numbers)
            continue
        _pen(canvas, element)
        stroke, fill = (element.get(name, "none") != "none" for name in _PAINTS)
        paints = (stroke, fill)
        if tag == "path":
            canvas.addLiteral(_path(element.get("d", "")) + _ENDS[paints])
        elif tag == "rect":
            canvas.rect(*(numbers[n] for n in ("x", "y", "width", "height")), *paints)
        else:
            canvas.circle(*(numbers[n] for n in ("cx", "cy", "r")), *paints)
    canvas.restoreState()


_NUMBERS = {"x", "y", "width", "height", "cx", "cy", "r", "font-size"}
_PAINTS = "stroke", "fill"
_ENDS = {(True, False): "S", (False, True): "f", (True, True): "B", (False, False): "n"}


def _pen(canvas: Canvas, element: Element) -> None:
    stroke, fill = (element.get(name, "none") for name in _PAINTS)
    if stroke != "none":
        canvas.setStrokeColor(HexColor(stroke))
        canvas.setLineWidth(float(element.get("stroke-width", "1")))
        canvas.setDash([float(part) for part in element.get("stroke-dasharray", "").split()])
    if fill != "none":
        canvas.setFillColor(HexColor(fill))
        canvas.setFillAlpha(float(element.get("fill-opacity", "1")))


def _path(steps: str) -> str:
    """As operators of a PDF; each place after the first is told from the last."""
    x = y = 0.0
    found = []
    for kind, across, down in _STEP.findall(steps):
        if kind == "z":
            found.append("h ")
            continue
        begins = kind == "M"
        x, y = float(across) + (0 if begins else x), float(down) + (0 if begins else y)
        found.append(f"{x:.1f} {y:.1f} {'m' if begins else 'l'} ")
    return "".join(found)


def _text(file: PdfFile, element: Element, at: dict[str, float]) -> None:
    """A line of bold letters about its middle, narrow as lettering is; its picture runs down."""
    text, size = as_seen(element.text or ""), at["font-size"]
    turn = _TURN.match(element.get("transform", ""))
    angle = math.radians(float(turn[1])) if turn else 0.0
    across, down = math.cos(angle), math.sin(angle)
    half = file.width_of(text, size, BOLD) / 2 * WIDTH_FACTOR
    file.canvas.setFillColor(HexColor(element.get("fill", "#000000")))
    file.canvas.setFillAlpha(1)
    file.set_text(text, size, (
        WIDTH_FACTOR * across, WIDTH_FACTOR * down, down, -across,
        at["x"] - half * across, at["y"] - half * down,
    ), BOLD)  # fmt: skip
