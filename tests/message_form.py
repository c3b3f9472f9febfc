"""How lengths and numbers stand in messages: in the units of the design, no longer than they are
typed, and no zero below zero."""

from __future__ import annotations

import re

from frame3d.units import UnitSystem

_NAME = re.compile(
    r"(?<![\d/])\"[^\"]+\"|(?<![\w/])'[^']+'"  # what is typed, in quotation marks
    r"|\b[\d.]+ x [\d.]+ mm\b|\b[\d.]+ in x [\d.]+ (?:in|ga BWG)\b"  # sections by their sizes
    r"|\bEN \d+(?: DN\d+)?|\bDIN \d+|\bISO \d+"
)
"""What is not a length of the message's own."""
_FAULTS = {
    "more than three decimals": re.compile(r"\d\.\d{4,}"),
    "a zero below zero": re.compile(r"(?<![\w.'\-/])[-−]0(?:\.0+)?(?![.\d'/])"),
    "a power of ten": re.compile(r"\d[eE][-+]\d"),
    "no number": re.compile(r"\b(?:nan|inf)\b"),
}
_FOREIGN = {
    UnitSystem.IMPERIAL: re.compile(r"\d mm\b(?!²)"),
    UnitSystem.METRIC: re.compile(r"\d(?:\"| in\b(?! x)|'-\d)"),
}


def misprinted(text: str, units: UnitSystem) -> list[str]:
    """What is wrong with the numbers of a message, in words."""
    plain = _NAME.sub("…", text)
    found = [f"{what}: {m[0]}" for what, kind in _FAULTS.items() for m in kind.finditer(plain)]
    return found + [f"not in {units.value} units: {m[0]}" for m in _FOREIGN[units].finditer(plain)]


__all__ = ["misprinted"]
