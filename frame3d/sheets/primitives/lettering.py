"""The lettering of the sheets: which fonts, and how wide a text is in them.

The fonts come with this package, so the same text has the same width on every machine,
whatever fonts are installed there: DejaVu Sans (a free licence of its own) and, for the
letters that it lacks, Droid Sans Fallback (Apache 2.0), which has Chinese, Japanese and
Korean. Their licences lie beside them in ``frame3d/fonts/``.

Glossary
--------
height : of a capital letter, which is what a drawing standard and DXF mean by it.

References
----------
ISO 3098-1: heights 1.8, 2.5, 3.5, 5, 7 and 10 mm.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator
from pathlib import Path

from fontTools.ttLib import TTFont

from frame3d.frame.describe.wording import TIE, tied

FONT_FILE, BOLD_FILE, SECOND_FILE = "DejaVuSans.ttf", "DejaVuSans-Bold.ttf", "DroidSansFallback.ttf"
_UNITS, _CAPITAL = 2048, 1493
CAPITAL_SHARE = _CAPITAL / _UNITS
"""Height of a capital H in units of the first font's size; its header does not tell it."""
WIDTH_FACTOR = 0.85
"""Letters are drawn this much narrower than the font has them, as lettering is."""

SMALL_MM, TEXT_MM, TITLE_MM, LARGE_MM = 1.8, 2.5, 3.5, 5.0
LINE_STEP = 1.6
"""From one line of a text to the next, in heights."""


def font_path(name: str = FONT_FILE) -> Path:
    """A font file of the package."""
    return Path(__file__).parents[2] / "fonts" / name


@functools.cache
def _widths(name: str) -> dict[int, float]:
    """Advance width of every character of a font, in units of the first one."""
    with TTFont(font_path(name), lazy=True) as font:
        factor, advances = _UNITS / font["head"].unitsPerEm, font["hmtx"].metrics
        return {code: factor * advances[glyph][0] for code, glyph in font.getBestCmap().items()}


@functools.lru_cache(maxsize=8192)
def text_width_mm(text: str, height_mm: float) -> float:
    """Width of one line of ``text`` whose capitals are ``height_mm`` high."""
    return _heights_wide(text) * height_mm * WIDTH_FACTOR


@functools.lru_cache(maxsize=1 << 14)
def _heights_wide(text: str) -> float:
    """Width of ``text`` in heights of a capital."""
    widths, codes = _widths(FONT_FILE), [ord(letter) for letter in text]
    if all(code in widths for code in codes):
        return sum(widths[code] for code in codes) / _CAPITAL
    second, missing = _widths(SECOND_FILE), widths[ord("M")]
    return sum(widths.get(code) or second.get(code, missing) for code in codes) / _CAPITAL


def wrapped(text: str, width_mm: float, height_mm: float) -> list[str]:
    """``text`` broken at spaces into lines no wider than ``width_mm``.

    A number stays on one line with its fraction and its unit, where the line has room for them. A
    single word that is wider, as a name can be, is broken where the line ends.
    """
    lines, line = [], ""
    words = (
        word
        for whole in tied(" ".join(text.split())).split(" ")
        for word in _words(whole.replace(TIE, " "), width_mm, height_mm)
    )
    pieces = (piece for word in words for piece in _pieces(word, width_mm, height_mm))
    for word in pieces:
        longer = f"{line} {word}" if line else word
        if line and text_width_mm(longer, height_mm) > width_mm:
            lines.append(line)
            line = word
        else:
            line = longer
    return [*lines, line] if line else lines


def _words(whole: str, width_mm: float, height_mm: float) -> list[str]:
    """What is kept on one line, or its words where it is wider than a line."""
    return whole.split() if text_width_mm(whole, height_mm) > width_mm else [whole]


def _pieces(word: str, width_mm: float, height_mm: float) -> Iterator[str]:
    """``word``, in pieces where it is wider than a line; each has at least one letter."""
    while text_width_mm(word, height_mm) > width_mm and len(word) > 1:
        count = next(
            (n for n in range(len(word) - 1, 1, -1)
             if text_width_mm(word[:n], height_mm) <= width_mm), 1,
        )  # fmt: skip
        yield word[:count]
        word = word[count:]
    yield word
