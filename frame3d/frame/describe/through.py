"""What goes through each hole of a drilled tube, in words for its drawing."""

from __future__ import annotations

import math
from collections import defaultdict

from frame3d.frame.describe.wording import describe
from frame3d.frame.joining.crossings import BoltPath, passages
from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.parts import Hole, Tube
from frame3d.geometry.placement import add, dot
from frame3d.units import LengthFormat

_ON_AXIS_MM = 0.05

__all__ = ["Uses", "hole_uses"]

Uses = dict[str, tuple[str, ...]]
"""For each mark of a tube, what goes through its holes, in the order of the holes."""


def hole_uses(frame: Frame, form: LengthFormat) -> Uses:
    """What goes through the holes of every tube of ``frame``.

    A bolt with what it holds besides, ``hexagon bolt 3/8-16 x 4", to rail``; empty where
    nothing in the frame goes through. Equal tubes can be held in different places by
    different things: what is told is that of the first in which most holes are used.
    """
    of_member: dict[int, list[BoltPath]] = defaultdict(list)
    for passage in passages(frame):
        for member in {id(c.member): c.member for c in passage.crossings}.values():
            of_member[id(member)].append(passage)
    found: Uses = {}
    for group in frame.parts():
        part = group.part
        if not isinstance(part, Tube) or not part.holes:
            continue
        best = max(group.members, key=lambda member: len(of_member[id(member)]))
        found[group.mark] = tuple(
            _use(with_part(best, Tube), hole, of_member[id(best)], form) for hole in part.holes
        )
    return found


def _use(member: Member[Tube], hole: Hole, bolts: list[BoltPath], form: LengthFormat) -> str:
    station = member.part.axis.at(hole.at_mm)
    point = member.placement.point((station.x_mm, station.y_mm, 0.0))
    for passage in bolts:
        place = passage.bolt.placement
        away = add(point, place.origin, -1.0)
        on = dot(away, place.z)
        if math.dist(away, tuple(on * c for c in place.z)) <= _ON_AXIS_MM:
            others = dict.fromkeys(
                c.member.role.value for c in passage.crossings if c.member is not member
            )
            held = f", to {_listed(list(others))}" if others else ""
            return f"{describe(passage.bolt.part, form)}{held}"
    return ""


def _listed(words: list[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else words[0]
