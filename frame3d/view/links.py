"""Which members a finding is about, read from the words of its place.

Findings name marks, hoops and sides; a test holds that over findings of every kind.
"""

from __future__ import annotations

import re

from frame3d.frame.members import Frame, Member, Side

_WORD = re.compile(r"[A-Za-z]+\d+")
_HOOPS = re.compile(r"hoops? (\d+)(?: to (\d+))?(?:, (left|right|middle))?")
_SIDE_FIRST = re.compile(r"(left|right|middle), hoops? (\d+)(?: to (\d+))?")
_MANY = re.compile(r"\((\d+) places in all\)")


def members_at(frame: Frame, where: str) -> list[int]:
    """The members that the place of a finding names, by their numbers in ``frame.members``.

    Those of its marks at its places; all of its marks where it names no place, or not all of
    them; none where it names no mark.
    """
    groups: dict[str, list[int]] = {}
    for number, member in enumerate(frame.members):
        groups.setdefault(member.mark, []).append(number)
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


__all__ = ["members_at"]
