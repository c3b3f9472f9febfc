"""Screws and bolts that hold one part alone: they are in nothing else, and join nothing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import numpy as np

from frame3d.checks.findings.equal_findings import Found, place_of
from frame3d.checks.findings.finding import Finding, Rule, Severity
from frame3d.checks.measured.contacts import ContactKind
from frame3d.checks.measured.near_pairs import Survey
from frame3d.checks.measured.rods_and_hulls import RodsAndHulls
from frame3d.frame.measure.bores import od_at_mm
from frame3d.frame.model.end_forms import Flat
from frame3d.frame.model.members import Member, with_part
from frame3d.frame.model.parts import Bolt, ClampHalf, Screw, Tube
from frame3d.frame.model.roles import Role
from frame3d.geometry.curves import curves_of, nearest_on
from frame3d.geometry.placement import Vector, add, dot

_STEP_MM = 0.25
_LEVEL = 1e-12
"""A direction with less than this along an axis is square to it."""
_LEAST_MM, _LEAST_SHARE = 3.0, 0.4
"""A part is held by so much of a shank, or by that share of what is thinner."""
_STOPS = (Role.DOOR_TRACK, Role.ROLL_TUBE)
"""What runs on these is stopped by a bolt that goes through nothing else."""
_GEOMETRY = "geometry of the frame"

LONE_SCREW = Rule(
    name="screw-holds-one",
    severity=Severity.ERROR,
    meaning="A screw holds fewer than two parts.",
    source=_GEOMETRY,
)
LONE_BOLT = Rule(
    name="bolt-holds-one",
    severity=Severity.ERROR,
    meaning="A bolt goes through only one part and is not a stop.",
    source=_GEOMETRY,
)
RULES = (LONE_SCREW, LONE_BOLT)


def held_pairs(seen: Survey) -> set[int]:
    """What holds what, as it is measured.

    Returns
    -------
    set of int
        For each pair the number of a bolt, nut, washer, screw, clamp half or tube in a tube, times
        how many members there are, and that of what it goes through, sits on, is in or grips.
    """
    members = seen.scene.members
    found: set[int] = set()
    for meeting in seen.meetings:
        for contact in meeting.contacts:
            first, second = meeting.sides(contact)
            one, other = members[int(first[0])], members[int(second[0])]
            # Pairs of a meeting stand to each other alike, so one tells for all.
            is_driven = contact.kind is ContactKind.DRIVEN
            shape = seen.scene.shape(int(second[0]))
            if not is_driven or _is_in(with_part(one, Screw), other, shape):
                found.update((first * len(members) + second).tolist())
    return found


def lone_fasteners(seen: Survey, struck: set[int], pairs: set[int]) -> Iterator[Found]:
    """Every screw and bolt of a frame that holds one part alone, or none.

    ``pairs`` are those of :func:`held_pairs`.
    """
    members = seen.scene.members
    counts = Counter(code // len(members) for code in pairs)
    alone = {
        number
        for number, member in enumerate(members)
        if counts[number] < 2 and isinstance(member.part, Screw | Bolt) and number not in struck
    }
    holders = ((*divmod(code, len(members)),) for code in pairs)
    held = {number: members[other] for number, other in holders if number in alone}
    for number in sorted(alone):
        finding = _judged(members[number], held.get(number))
        if finding is not None:
            yield Found(finding=finding, place=place_of(members[number]))


def _judged(member: Member, held: Member | None) -> Finding | None:
    """What is wrong with a screw or bolt that holds no more than this."""
    if isinstance(member.part, Screw):
        advice = "Move it to where both parts are, or use a longer one."
        return _finding(LONE_SCREW, member, held, advice)
    if held is None or isinstance(held.part, ClampHalf) or held.role in _STOPS:
        return None  # a bolt in no hole is another rule's
    return _finding(LONE_BOLT, member, held, "Move the other part to its hole, or remove the bolt.")


def _finding(rule: Rule, member: Member, held: Member | None, advice: str) -> Finding:
    what = f"only the {held.role.value} {held.mark}" if held else "nothing"
    return Finding(
        rule=rule, where=member.mark, members=(member, held) if held else (member,),
        message=f"It holds {what}.", advice=advice,
    )  # fmt: skip


def _is_in(screw: Member[Screw], other: Member, shape: RodsAndHulls) -> bool:
    """Whether enough of the shank of ``screw`` lies in the material of ``other``."""
    place, part, long = other.placement, other.part, screw.part.length_mm
    apart = add(screw.placement.origin, place.origin, -1.0)
    z = screw.placement.z
    start = (dot(apart, place.x), dot(apart, place.y), dot(apart, place.z))
    way = (dot(z, place.x), dot(z, place.y), dot(z, place.z))
    if isinstance(part, Tube):
        inside, thick = _in_tube(part, start, way, long), part.section.wall_mm
    else:
        low, high = shape.bounds
        inside, thick = _in_box(low, high, start, way, long), high[2] - low[2]
    return inside >= min(_LEAST_MM, _LEAST_SHARE * thick)


def _in_tube(tube: Tube, start: Vector, way: Vector, long_mm: float) -> float:
    """How much of a line from ``start`` lies in the wall of a tube, mm, by steps along it."""
    along = np.arange(_STEP_MM / 2, long_mm, _STEP_MM)
    far, at = nearest_on(curves_of(tube.axis), np.array(start) + along[:, None] * np.array(way))
    outer = np.full(len(at), tube.section.od_mm / 2)
    if tube.start is not None or tube.end is not None:
        outer = np.array([od_at_mm(tube, place) / 2 for place in at.tolist()])
    inner = outer - tube.section.wall_mm
    for form, away in ((tube.start, at), (tube.end, tube.length_mm - at)):
        if isinstance(form, Flat):
            inner = np.where(away < form.length_mm, 0.0, inner)
    return float(((far >= inner) & (far <= outer)).sum()) * _STEP_MM


def _in_box(low: Vector, high: Vector, start: Vector, way: Vector, long_mm: float) -> float:
    """How much of a line from ``start`` lies between two corners, mm."""
    first, last = 0.0, long_mm
    for below, above, at, step in zip(low, high, start, way, strict=True):
        if abs(step) < _LEVEL:
            if not below <= at <= above:
                return 0.0
            continue
        enters, leaves = sorted(((below - at) / step, (above - at) / step))
        first, last = max(first, enters), min(last, leaves)
    return max(0.0, last - first)
