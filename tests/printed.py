"""Numbers as people read them in messages and tables: exact, by a grammar of its own."""

from __future__ import annotations

import re
from fractions import Fraction

_FEET = re.compile(r"(?:(\d+)'-)?(?:(\d+)(?: (\d+)/(\d+))?|(\d+)/(\d+))\"")
_PLAIN = re.compile(r"(\d+(?:\.\d+)?)(?: ?(mm|in|deg|°|%|m|ft))?")
_INCH = Fraction(254, 10)
_WORTH = {"in": _INCH, "m": Fraction(1000), "ft": 12 * _INCH}


def value_of(text: str) -> Fraction:
    """A printed length in mm, or another number as it stands; ValueError for anything else."""
    sign, body = (-1, text[1:]) if text.startswith("-") else (1, text)
    feet = _FEET.fullmatch(body)
    if feet:
        ft, inches, *fractions = feet.groups()
        top, under = fractions[:2] if fractions[0] else fractions[2:]
        part = Fraction(int(top), int(under)) if top else Fraction(0)
        return sign * _INCH * (12 * int(ft or 0) + int(inches or 0) + part)
    plain = _PLAIN.fullmatch(body)
    if not plain:
        raise ValueError(f"not a number: {text!r}")
    return sign * Fraction(plain[1]) * _WORTH.get(plain[2] or "", Fraction(1))


__all__ = ["value_of"]
