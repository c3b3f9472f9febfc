"""The lettering of the sheets: which fonts, and how wide a text is in them.

Both fonts come with dependencies of this package, so the same text has the same width on
every machine, whatever fonts are installed there: DejaVu Sans (a free licence of its own)
and, for the letters that it lacks, Droid Sans Fallback (Apache 2.0), which has Chinese,
Japanese and Korean.

Glossary
--------
height : of a capital letter, which is what a drawing standard and DXF mean by it.

References
----------
ISO 3098-1: heights 1.8, 2.5, 3.5, 5, 7 and 10 mm.
"""

from __future__ import annotations

import functools
import importlib.util
import io
from collections.abc import Iterator
from pathlib import Path

from fontTools.ttLib import TTFont

from frame3d.errors import OutputError

FONT_FILE = "DejaVuSans.ttf"
WIDTH_FACTOR = 0.85
"""Letters are drawn this much narrower than the font has them, as lettering is."""

SMALL_MM, TEXT_MM, TITLE_MM, LARGE_MM = 1.8, 2.5, 3.5, 5.0
LINE_STEP = 1.6
"""From one line of a text to the next, in heights."""


@functools.cache
def font_path() -> Path:
    """The font file, as it is installed with a dependency.

    Raises
    ------
    OutputError
        If the dependency that carries it is not installed.
    """
    spec = importlib.util.find_spec("matplotlib")  # found, not imported: that costs a second
    places = spec.submodule_search_locations if spec else None
    for place in places or ():
        path = Path(place) / "mpl-data" / "fonts" / "ttf" / FONT_FILE
        if path.is_file():
            return path
    raise OutputError(
        f"the font {FONT_FILE} that drawings are lettered with was not found; "
        "it comes with matplotlib: install that"
    )


@functools.cache
def second_font() -> bytes:
    """The font file for letters that the first one lacks."""
    import pymupdf  # only here: most texts need no second font

    return bytes(pymupdf.Font("cjk").buffer)


@functools.cache
def _second_widths() -> dict[int, float]:
    """Advance width of every character of the second font, in units of the first."""
    with (
        TTFont(font_path(), lazy=True) as first,
        TTFont(io.BytesIO(second_font()), lazy=True) as font,
    ):
        factor = first["head"].unitsPerEm / font["head"].unitsPerEm
        advances = font["hmtx"].metrics
        return {code: factor * advances[name][0] for code, name in font.getBestCmap().items()}


@functools.cache
def _metrics() -> tuple[dict[int, int], float]:
    """Advance width of every character, and the height of a capital, in font units."""
    with TTFont(font_path(), lazy=True) as font:
        advances = font["hmtx"].metrics
        widths = {code: advances[name][0] for code, name in font.getBestCmap().items()}
        return widths, _capital(font)


def _capital(font: TTFont) -> float:
    """Height of a capital H, font units; this font's header does not tell it."""
    return float(font["glyf"][font.getBestCmap()[ord("H")]].yMax)


@functools.cache
def capital_share() -> float:
    """Height of a capital in units of the font's size."""
    with TTFont(font_path(), lazy=True) as font:
        return _capital(font) / int(font["head"].unitsPerEm)


@functools.lru_cache(maxsize=8192)
def text_width_mm(text: str, height_mm: float) -> float:
    """Width of one line of ``text`` whose capitals are ``height_mm`` high."""
    return _heights_wide(text) * height_mm * WIDTH_FACTOR


@functools.lru_cache(maxsize=1 << 14)
def _heights_wide(text: str) -> float:
    """Width of ``text`` in heights of a capital."""
    widths, capital = _metrics()
    codes = [ord(letter) for letter in text]
    if all(code in widths for code in codes):
        return sum(widths[code] for code in codes) / capital
    second, missing = _second_widths(), widths[ord("M")]
    return sum(widths.get(code) or second.get(code, missing) for code in codes) / capital


def wrapped(text: str, width_mm: float, height_mm: float) -> list[str]:
    """``text`` broken at spaces into lines no wider than ``width_mm``.

    A single word that is wider, as a name can be, is broken where the line ends.
    """
    lines, line = [], ""
    pieces = (piece for word in text.split() for piece in _pieces(word, width_mm, height_mm))
    for word in pieces:
        longer = f"{line} {word}" if line else word
        if line and text_width_mm(longer, height_mm) > width_mm:
            lines.append(line)
            line = word
        else:
            line = longer
    return [*lines, line] if line else lines


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
