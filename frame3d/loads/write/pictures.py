"""Pictures of a comparison, as SVG: where it comes to its end, and the index with its band.

One hue: the darker a bar, the larger its share of this design's own greatest stress. There are no
thresholds and no other colours, as there is nothing to say of good or bad.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from html import escape

import numpy as np
from msgspec import Struct

from frame3d.loads.compare.indices import Index
from frame3d.loads.compare.measuring import Picture
from frame3d.loads.comparison import Comparison
from frame3d.loads.solver.structure import Array
from frame3d.loads.write.words import cautions

DARKER = (
    "Darker: a larger share of this design's own greatest stress. Out of shape, scaled up; grey as "
    "it is built."
)

SHADES = ("#e3ecf6", "#cddff0", "#b0cde8", "#8eb7dc", "#669dcd", "#3f80b8", "#1f629c", "#083c6e")
"""Lighter to darker, of one hue."""
INK, PALE = "#1b1f23", "#b9c0c7"
_ACROSS, _ALONG = (0.94, -0.20), (0.34, 0.16)
"""How far right and up an across and an along of 1 mm is seen."""
_BOWED = 0.035
"""Of the frame's length on the picture: how large the greatest movement is drawn."""
_LETTER = 12.0


class Svg(Struct, frozen=True, kw_only=True):
    """A picture: its elements and size, in its own units."""

    body: str
    width: float
    height: float

    @property
    def text(self) -> str:
        """The file."""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.width:g} {self.height:g}"'
            f' font-family="DejaVu Sans, Helvetica, sans-serif">'
            f'<rect x="0" y="0" width="{self.width:g}" height="{self.height:g}" fill="#ffffff"/>'
            f"{self.body}</svg>\n"
        )


def _seen(points: Array) -> Array:
    """Points of the frame as seen from the left of its front, above: (n, 2), up positive."""
    x, y, z = points.T
    return np.column_stack([_ACROSS[0] * x + _ALONG[0] * y, _ACROSS[1] * x + _ALONG[1] * y + z])


def frame_picture(
    picture: Picture, weakest: tuple[float, float, float], width: float, height: float
) -> Svg:
    """The frame out of shape, scaled up, over its own shape in grey; a ring at the weakest."""
    flat, moved = _seen(picture.nodes), picture.moved
    extent = np.ptp(flat, axis=0)
    greatest = float(np.linalg.norm(moved, axis=1).max())
    grown = _BOWED * float(extent.max()) / greatest if greatest > 0 else 0.0
    bent = _seen(picture.nodes + grown * moved)
    every = np.vstack([flat, bent])
    low, high = every.min(axis=0), every.max(axis=0)
    scale = min((width - 20) / (high[0] - low[0]), (height - 20) / (high[1] - low[1]))
    left = (width - scale * (high[0] - low[0])) / 2

    def at(points: Array) -> Array:
        return np.column_stack(
            [left + scale * (points[:, 0] - low[0]), 10 + scale * (high[1] - points[:, 1])]
        )

    shape, out = at(flat), at(bent)
    body = _strokes(shape, picture.bars, PALE, 0.6)
    shades = np.minimum((picture.share * len(SHADES)).astype(int), len(SHADES) - 1)
    for number, shade in enumerate(SHADES):
        here = picture.bars[shades == number]
        body += _strokes(out, here, shade, 1.0 + 0.16 * number)
    node = int(np.linalg.norm(picture.nodes - np.array(weakest), axis=1).argmin())
    x, y = out[node]
    body += (
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="7" fill="none" stroke="{INK}" stroke-width="1.4"/>'
    )
    return Svg(body=body, width=width, height=20 + scale * (high[1] - low[1]))


def _strokes(points: Array, bars: Array, colour: str, wide: float) -> str:
    if not len(bars):
        return ""
    steps = []
    for first, second in bars:
        (x0, y0), (x1, y1) = np.round(points[first], 1), np.round(points[second], 1)
        steps.append(f"M{x0:.1f} {y0:.1f}l{x1 - x0:.1f} {y1 - y0:.1f}")
    return f'<path d="{"".join(steps)}" fill="none" stroke="{colour}" stroke-width="{wide:.2f}"/>'


def _words(text: str, x: float, y: float, size: float = _LETTER, colour: str = INK) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" fill="{colour}" '
        f'text-anchor="middle" font-weight="bold">{escape(text)}</text>'
    )


def band_picture(found: Sequence[Index], width: float = 560.0) -> Svg:
    """Each index as a dot on its band, on a scale of ratios about 1, as the other design is."""
    shown = [index for index in found if index.value and index.low and index.high]
    if not shown:
        return Svg(body="", width=width, height=1)
    reach = max(
        2.0, *(1 / index.low for index in shown if index.low),
        *(index.high for index in shown if index.high),
    )  # fmt: skip
    left, right, row, top = 150.0, width - 20.0, 24.0, 30.0

    def at(value: float) -> float:
        share = math.log(value) / math.log(1.05 * reach)
        return left + (right - left) * (1 + share) / 2

    bottom = top + row * len(shown)
    body = _path([(at(1.0), top - 4), (at(1.0), bottom)], INK, 1.2)
    body += _words("sooner than the other", (left + at(1.0)) / 2, 14, 10)
    body += _words("later than the other", (right + at(1.0)) / 2, 14, 10)
    for tick in (0.25, 0.5, 0.75, 1.0, 1.33, 2.0, 4.0):
        if left <= at(tick) <= right:
            body += _path([(at(tick), top - 4), (at(tick), bottom)], PALE, 0.4)
            body += _words(f"{tick:g}", at(tick), bottom + 13, 9)
    for number, index in enumerate(shown):
        y = top + row * (number + 0.5)
        low, value, high = (at(v) for v in (index.low, index.value, index.high) if v)
        body += _path([(low, y), (high, y)], SHADES[4], 6)
        body += f'<circle cx="{value:.1f}" cy="{y:.1f}" r="4.5" fill="{SHADES[7]}"/>'
        body += _words(index.shape.value, left / 2, y + 4, 11)
        if index.verdict == "undecided":
            # On white, as the line at 1 would cross the word.
            body += (
                f'<rect x="{at(1.0) - 25:.1f}" y="{y - 13:.1f}" width="50" height="8.5" '
                'fill="#ffffff"/>'
            )
            body += _words("undecided", at(1.0), y - 6, 8)
    return Svg(body=body, width=width, height=bottom + 20)


def _path(points: Iterable[tuple[float, float]], colour: str, wide: float) -> str:
    (x0, y0), *rest = points
    steps = f"M{x0:.1f} {y0:.1f}"
    for x, y in rest:
        steps += f"l{x - x0:.1f} {y - y0:.1f}"
        x0, y0 = x, y
    return f'<path d="{steps}" fill="none" stroke="{colour}" stroke-width="{wide:g}"/>'


def whole_picture(found: Comparison) -> str:
    """One SVG of all shapes of load, two in a row, under the cautions."""
    width, column, high, body = 1000.0, 500.0, 0.0, ""
    for caution in cautions(found):
        for text in _broken(caution, 115):
            high += 19
            body += _words(text, width / 2, high, 13, "#7a2c00")
    high += 12
    shapes = list(found.own.pictures)
    for start in range(0, len(shapes), 2):
        rows = []
        for number, shape in enumerate(shapes[start : start + 2]):
            weakest = found.own.weakest[shape]
            drawn = frame_picture(found.own.pictures[shape], weakest.point_mm, column, 300)
            x = column * (number + 0.5)
            body += _words(f"under {shape.value}", x, high + 14, 13)
            for line, text in enumerate(_broken(f"{weakest.words}: {weakest.how}", 70)):
                body += _words(text, x, high + 31 + 14 * line, 10.5)
            body += f'<g transform="translate({column * number:g} {high + 55:g})">{drawn.body}</g>'
            rows.append(drawn.height + 70)
        high += max(rows)
    body += _words(DARKER, width / 2, high + 6, 11)
    return Svg(body=body, width=width, height=high + 24).text


def _broken(text: str, most: int) -> list[str]:
    lines = [""]
    for word in text.split():
        if len(lines[-1]) + len(word) + 1 > most and lines[-1]:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines
