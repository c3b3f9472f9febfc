"""What goes through each hole of a drilled tube, in words for its drawing."""

from __future__ import annotations

from collections import defaultdict

from frame3d.frame.describe.wording import describe
from frame3d.frame.joining.crossings import BoltPath, passages
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Tube
from frame3d.units import LengthFormat

Uses = dict[str, tuple[str, ...]]
"""For each mark of a tube, what goes through its holes, in the order of the holes."""


def hole_uses(frame: Frame, form: LengthFormat) -> Uses:
    """What goes through the holes of every tube of ``frame``.

    A bolt with what it holds besides, ``hexagon bolt 3/8-16 x 4", to rail``; empty where
    nothing in the frame goes through. Equal tubes can be held in different places by
    different things: what is told is that of the first in which most holes are used.
    """
    of_member: dict[int, dict[int, BoltPath]] = defaultdict(dict)
    for passage in passages(frame):
        for layer in passage.crossings:
            of_member[id(layer.member)].setdefault(layer.hole, passage)
    found: Uses = {}
    for group in frame.parts():
        part = group.part
        if not isinstance(part, Tube) or not part.holes:
            continue
        best = max(group.members, key=lambda member: len(of_member[id(member)]))
        found[group.mark] = tuple(
            _use(best, of_member[id(best)].get(number), form) for number in range(len(part.holes))
        )
    return found


def _use(member: Member, passage: BoltPath | None, form: LengthFormat) -> str:
    if passage is None:
        return ""
    others = dict.fromkeys(c.member.role.value for c in passage.crossings if c.member is not member)
    held = f", to {_listed(list(others))}" if others else ""
    return f"{describe(passage.bolt.part, form)}{held}"


def _listed(words: list[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else words[0]
