"""What a finding is about: members of the frame and fields of the design.

Read from the words of its place, in which findings name marks, hoops, sides and fields; a test
holds that over findings of every kind.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from frame3d.frame.members import Frame, Member, Side
from frame3d.spec.facts import sections

_WORD = re.compile(r"[A-Za-z]+\d+")
_HOOPS = re.compile(r"hoops? (\d+)(?: to (\d+))?(?:, (left|right|middle))?")
_SIDE_FIRST = re.compile(r"(left|right|middle), hoops? (\d+)(?: to (\d+))?")
_MANY = re.compile(r"\((\d+) places in all\)")
_FIELD = re.compile(r"\b([a-z_]+)(\[\d+\])?(?:\.([a-z_]+))?")

__all__ = ["field_of", "members_at"]


def members_at(frame: Frame, where: str) -> list[int]:
    """The members that the place of a finding names, by their numbers in ``frame.members``.

    Those of its marks at its places; all of its marks where it names no place, or not all of
    them; none where it names no mark.
    """
    groups = _by_mark(frame)
    marks = dict.fromkeys(word for word in _WORD.findall(where) if word in groups)
    every = [number for mark in marks for number in groups[mark]]
    spots = _spots(where)
    many = _MANY.search(where)
    if not spots or (many and int(many[1]) > len(spots)):
        return every
    found = [n for n in every if any(_stands(frame.members[n], *spot) for spot in spots)]
    # The place is that of the member that spans the fewest hoops; the others pass by there.
    seen = {frame.members[number].mark for number in found}
    return found if seen == set(marks) else every


def _by_mark(frame: Frame) -> dict[str, list[int]]:
    groups: dict[str, list[int]] = {}
    for number, member in enumerate(frame.members):
        groups.setdefault(member.mark, []).append(number)
    return groups


def _spots(where: str) -> list[tuple[int, int, str | None]]:
    """First and last hoop and side of every place that is named."""
    places = [(m[2], m[3], m[1]) for m in _SIDE_FIRST.finditer(where)]
    if not places:
        places = [(m[1], m[2], m[3]) for m in _HOOPS.finditer(where)]
    return [(int(low), int(high or low), side) for low, high, side in places]


def _stands(member: Member, low: int, high: int, side: str | None) -> bool:
    spot = member.spot
    first, last = sorted((spot.hoop, spot.to_hoop or spot.hoop))
    across = side is None or spot.side.value == side or spot.side is Side.MIDDLE
    return across and first <= high and low <= last


def field_of(where: str) -> str:
    """The field or section of the design that the place of a finding names; empty for none."""
    known = sections()
    for name, index, field in _fields(where):
        # "hoop 3" is a place and "hoop" a role: a section alone counts where nothing else stands.
        if name in known and (index or field or name == where):
            text = f"{name}{index}" if known[name].several else name
            return f"{text}.{field}" if field in known[name].fields else text
    return ""


def _fields(where: str) -> Iterable[tuple[Any, ...]]:
    for match in _FIELD.finditer(where):
        yield match[1], match[2] or "", match[3]
