"""Texts in which letters run from right to left, as a name in Hebrew, among English ones.

A sheet is set letter by letter, so it needs them in the order in which they are seen; a page is
told where such a text begins and ends, and sets it itself.

References
----------
Unicode Standard Annex 9, The Bidirectional Algorithm: P2 and P3 (direction of a paragraph), W4
and W7 (figures), N1 and N2 (what lies between), L2 (order) and L4 (brackets). Marks that turn
the direction by command are refused by :mod:`frame3d.design.tables.letters`, so X1 to X8 never
apply.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from itertools import groupby

from msgspec import Struct
from pydantic import BaseModel

_MIRRORED = dict(zip("()[]{}<>«»‹›", ")(][}{><»«›‹", strict=True))
_BEGIN, _END, _RIGHT_MARK, _LEFT_MARK = "\u2068", "\u2069", "\u200f", "\u200e"
UNSEEN = str.maketrans("", "", _BEGIN + _END + _RIGHT_MARK + _LEFT_MARK)
"""For ``str.translate``: leaves out what marks off a text."""


def runs_left(text: str) -> bool:
    """Whether any letter of ``text`` runs from right to left."""
    return not text.isascii() and any(unicodedata.bidirectional(c) == "R" for c in text)


def isolated(text: str) -> str:
    """``text`` marked off for a page, if it needs that, so that nothing round it is turned.

    The mark before its end keeps a bracket there with it, also where marking off is not known.
    """
    if not runs_left(text):
        return text
    return f"{_BEGIN}{text}{_RIGHT_MARK if _begins_left(text) else _LEFT_MARK}{_END}"


def names_running_left(value: object) -> tuple[str, ...]:
    """Every text in ``value``, as a design, in which letters run from right to left; long first."""
    found: set[str] = set()
    waiting = [value]
    while waiting:
        item = waiting.pop()
        if isinstance(item, str):
            found |= {item} if runs_left(item) else set()
        elif isinstance(item, list | tuple):
            waiting += item
        elif isinstance(item, Struct):
            waiting += [getattr(item, name) for name in item.__struct_fields__]
        elif isinstance(item, BaseModel):
            waiting += [getattr(item, name) for name in type(item).model_fields]
    return tuple(sorted(found, key=lambda text: (-len(text), text)))


def as_seen(text: str, names: Sequence[str] = ()) -> str:
    """The letters of one line of ``text`` from left to right, as they are seen.

    Parameters
    ----------
    text : str
        A name alone, which begins at its own side; or English in which ``names`` stand.
    names : sequence of str
        Each turns nothing but itself, as if it were marked off.

    Examples
    --------
    >>> as_seen("Door 3")
    'Door 3'
    >>> as_seen("\u05d0\u05d1 3") == "3 \u05d1\u05d0"
    True
    >>> as_seen("4 m \u05d0\u05d1 3, 5 m", ["\u05d0\u05d1 3"]) == "4 m 3 \u05d1\u05d0, 5 m"
    True
    """
    if not runs_left(text):
        return text
    if text not in names:
        for name in names:
            before, found, after = text.partition(name)
            if found:
                return f"{as_seen(before, names)}{as_seen(name)}{as_seen(after, names)}"
    base = 1 if _begins_left(text) else 0
    levels = _levels(text, base)
    letters = [
        _MIRRORED.get(letter, letter) if level % 2 else letter
        for letter, level in zip(text, levels, strict=True)
    ]
    for lowest in range(max(levels), 0, -1):
        letters, levels = _turned(letters, levels, lowest)
    return "".join(letters)


def _begins_left(text: str) -> bool:
    """Whether the first letter of ``text`` that has a direction runs from right to left."""
    return next((k == "R" for k in map(unicodedata.bidirectional, text) if k in "LR"), False)


def _levels(text: str, base: int) -> list[int]:
    """How deep each letter is embedded: odd ones run from right to left."""
    kinds = _with_figures([unicodedata.bidirectional(letter) for letter in text], base)
    levels, before = [], "LR"[base]
    place = 0
    for is_between, group in groupby(kinds, key=lambda kind: kind not in ("L", "R", "EN")):
        run = list(group)
        place += len(run)
        if is_between:
            after = kinds[place] if place < len(kinds) else "LR"[base]
            sides = {"L" if side == "L" else "R" for side in (before, after)}
            side = sides.pop() if len(sides) == 1 else "LR"[base]
            run = [side] * len(run)
        levels += [_level(kind, base) for kind in run]
        before = run[-1]
    return levels


def _with_figures(kinds: list[str], base: int) -> list[str]:
    """``kinds`` with marks inside of figures made figures, and figures after Latin made Latin."""
    found: list[str] = []
    strong = "LR"[base]
    for place, kind in enumerate(kinds):
        between = kinds[place - 1 : place] == kinds[place + 1 : place + 2] == ["EN"]
        if kind in ("ES", "CS") and between:
            kind = "EN"
        if kind == "NSM":  # a mark goes with its letter
            kind = found[-1] if found else strong
        if kind in ("L", "R"):
            strong = kind
        found.append("L" if kind == "EN" and strong == "L" else kind)
    return found


def _level(kind: str, base: int) -> int:
    if kind == "R":
        return 1
    return 2 if base or kind == "EN" else 0


def _turned(letters: list[str], levels: list[int], lowest: int) -> tuple[list[str], list[int]]:
    """Every run of at least level ``lowest`` turned round."""
    pairs: list[tuple[str, int]] = []
    for is_deep, group in groupby(zip(letters, levels, strict=True), key=lambda p: p[1] >= lowest):
        run = list(group)
        pairs += reversed(run) if is_deep else run
    return [letter for letter, _ in pairs], [level for _, level in pairs]
