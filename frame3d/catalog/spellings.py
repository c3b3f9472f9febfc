"""One spelling of a size for the many that people write, and the nearest known names."""

from __future__ import annotations

import difflib
import functools
import re
from collections.abc import Iterable

_WORDS = (
    (r"\bschedule\b", "sch"),
    (r"\b(?:gauge|gage)\b", "ga"),
    (r"\b(?:inches|inch)\b", "in"),
    (r"\bstandard\b", "std"),
)
_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_MARKS = str.maketrans(
    {
        **dict.fromkeys("×✕*", "x"),
        **dict.fromkeys("″”“", '"'),
        **dict.fromkeys("‐‑‒–—−", "-"),
        **dict.fromkeys("⁄∕", "/"),
    }
)


def tidy(name: str) -> str:
    """Return the name in lower case with plain marks, short words and single spaces."""
    text = name.casefold().translate(_MARKS)
    for glyph, fraction in _VULGAR.items():
        text = text.replace(glyph, f" {fraction}")
    text = re.sub(r"(?<=[a-z])\.", "", text.replace('"', " in "))
    for pattern, word in _WORDS:
        text = re.sub(pattern, word, text)
    return " ".join(text.split())


@functools.lru_cache(maxsize=2048)  # the same few names are looked up for every bolt and screw
def key(name: str) -> str:
    """Return what two spellings of one name have in common.

    Case, spaces, ``×`` for ``x``, ``1 1/2`` for ``1-1/2``, zeros at the end of a
    decimal and full stops after abbreviations make no difference.
    """
    text = re.sub(r"([0-9])[ -]+([0-9]+/[0-9]+)", r"\1-\2", tidy(name))
    text = text.replace(" ", "")
    text = re.sub(r"(?<!\w)\.(?=[0-9])", "0.", text)
    return re.sub(r"\.(?![0-9])", "", re.sub(r"(\.[0-9]*?)0+(?![0-9])", r"\1", text))


def nearest(name: str, known: Iterable[str], count: int = 3) -> list[str]:
    """Return up to `count` known names that look most like the name."""
    by_key = {key(one): one for one in known}
    return [by_key[one] for one in difflib.get_close_matches(key(name), by_key, count, 0.4)]
