"""What a shop would ring up for: the judge's rules for sheets of parts.

Rules
-----
no make note, no tube size, no general notes, loose bracket, radius of a straight

References
----------
ISO 129-1:2018: reference sizes stand in brackets. ISO 2768-1, 4: general tolerances are indicated
on the drawing. ISO 13715: edges of undefined shape are indicated. EN 10219 names hollow sections
by outside diameter and wall. All from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

_PART = "Part drawing"
_NOTE = re.compile(r"general notes of make on sheet (\d+)")
_NEEDED = re.compile(r"^[A-Z]+\d+, \d+ needed")
_SIZE = re.compile(r"[\d.]+ (?:in|mm)(?: OD)? × [\d.]+ (?:in|mm)")
_ASKED = ("ISO 2768-1", "ISO 13715", "springback", "Materials", "Bolts and nuts")
"""What the notes of make must speak of."""
_ARCS = "Arcs: chord and sagitta"
_ROW_MM = 1.0

Told = tuple[str, str, str]


def shop_faults(pages) -> Iterator[Told]:
    """Rule, sheet and sentence for each fault; ``pages`` are those of the judge."""
    for page in pages:
        texts = [text.text for text in page.texts]
        whole = " ".join(texts)
        if _PART in texts:
            yield from _part(page.name, texts, whole, pages)
        for text in texts:
            if text.count("(") != text.count(")") and _is_figure(text):
                yield "loose bracket", page.name, f"{text!r} has brackets that do not close"
        yield from _straights(page)


def _is_figure(text: str) -> bool:
    """Whether a text is a size; sentences are broken over lines, brackets and all."""
    return bool(re.fullmatch(r"[()R\d'\"°./ -]+", text))


def _part(name: str, texts: list[str], whole: str, pages) -> Iterator[Told]:
    note = _NOTE.search(whole)
    if not note:
        yield "no make note", name, "nothing refers to the general notes of make"
    elif len(pages) >= int(note[1]) and any("Cover" in page.name for page in pages):
        said = " ".join(text.text for text in pages[int(note[1]) - 1].texts)
        missing = [word for word in _ASKED if word not in said]
        if missing:
            yield "no general notes", name, f"sheet {note[1]} says nothing of {missing}"
    titled = [text for text in texts if _NEEDED.match(text)]
    if titled and not _SIZE.search(whole) and "Plain pieces" not in whole:
        yield "no tube size", name, f"{titled[0]!r} has no outside diameter and wall"


def _straights(page) -> Iterator[Told]:
    """A row of the table of arcs that tells no sagitta tells the radius of a straight."""
    heads = [text for text in page.texts if text.text.startswith(_ARCS)]
    for head in heads:
        left, _, _, top = head.ground.bounds
        for text in page.texts:
            x, y = text.ground.centroid.x, text.ground.centroid.y
            below = left - 5 < x < left + 120 and top - 60 < y < top
            if below and text.text in ("(0)", '(0")'):
                yield "radius of a straight", page.name, "a bend has no sagitta that can be told"


__all__ = ["shop_faults"]
