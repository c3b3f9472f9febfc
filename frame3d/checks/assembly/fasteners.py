"""Screws and bolts that hold one part alone: they are in nothing else, and join nothing."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec.structs import replace

from frame3d.checks.assembly.held_joints import struck_bolts
from frame3d.checks.findings.equal_findings import Found, place_of
from frame3d.checks.findings.finding import Finding, Rule, Severity
from frame3d.checks.measured.bores import od_at_mm
from frame3d.checks.measured.contacts import ContactKind
from frame3d.checks.measured.near_pairs import Survey
from frame3d.frame.model.end_forms import Flat
from frame3d.frame.model.members import Member, with_part
from frame3d.frame.model.parts import Board, Bolt, ClampHalf, Plate, Screw, Tube
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
    meaning="A screw goes into fewer than two parts.",
    source=_GEOMETRY,
)
LONE_BOLT = Rule(
    name="bolt-holds-one",
    severity=Severity.ERROR,
    meaning="A bolt goes through one part alone, and is no stop for what runs on it.",
    source=_GEOMETRY,
)
RULES = (LONE_SCREW, LONE_BOLT)


def driven_in(seen: Survey) -> frozenset[tuple[int, int]]:
    """The contacts in which a screw is in the other part: number of the meeting, and in it.

    Pairs of a meeting stand to each other alike, so one tells for all.
    """
    members, found = seen.scene.members, set()
    for number, meeting in enumerate(seen.meetings):
        for order, contact in enumerate(meeting.contacts):
            if contact.kind is ContactKind.DRIVEN:
                first, second = (members[int(side[0])] for side in meeting.sides(contact))
                if _is_in(with_part(first, Screw), second):
                    found.add((number, order))
    return frozenset(found)


def lone_fasteners(seen: Survey, driven: frozenset[tuple[int, int]]) -> Iterator[Found]:
    """Every screw and bolt of a frame that holds one part alone, or none."""
    known: dict[tuple[int, tuple[tuple[int, int], ...]], Finding | None] = {}
    struck = struck_bolts(seen)
    for number, member in enumerate(seen.scene.members):
        if not isinstance(member.part, (Screw, Bolt)) or number in struck:
            continue
        links = seen.links.of(number)
        key = (int(seen.scene.part[number]), tuple(sorted(link[:2] for link in links)))
        if key not in known:
            known[key] = _judged(seen, number, member, driven)
        finding = known[key]
        if finding is not None:
            near = {o: seen.scene.members[o] for _, _, o in links}
            there = (m for m in near.values() if m.mark in finding.marks[1:])
            here = replace(finding, members=(member, *there))
            yield Found(finding=here, place=place_of(member))


def _judged(
    seen: Survey, number: int, member: Member, driven: frozenset[tuple[int, int]]
) -> Finding | None:
    """What is wrong with one fastener."""
    screw = isinstance(member.part, Screw)
    kind = ContactKind.DRIVEN if screw else ContactKind.THROUGH
    others: dict[int, Member] = {}
    for meeting, order, number_of_other in seen.links.of(number):
        if seen.meetings[meeting].contacts[order].kind is not kind:
            continue
        if not screw or (meeting, order) in driven:
            others[number_of_other] = seen.scene.members[number_of_other]
    held = list(others.values())
    if len(held) > 1:
        return None
    if screw:
        return _finding(
            LONE_SCREW, member, held, "Move it to where both parts are, or use a longer one."
        )
    if not held or isinstance(held[0].part, ClampHalf) or held[0].role in _STOPS:
        return None  # a bolt in no hole is another rule's
    return _finding(LONE_BOLT, member, held, "Bring the other part to its hole, or leave it out.")


def _finding(rule: Rule, member: Member, held: list[Member], advice: str) -> Finding:
    into = f"only into the {held[0].role.value} {held[0].mark}" if held else "into nothing"
    return Finding(
        rule=rule, where=member.mark, members=(member, *held[:1]), message=f"It goes {into}.",
        advice=advice,
    )  # fmt: skip


def _is_in(screw: Member[Screw], other: Member) -> bool:
    """Whether enough of the shank of ``screw`` lies in the material of ``other``."""
    place, part, long = other.placement, other.part, screw.part.length_mm
    apart = add(screw.placement.origin, place.origin, -1.0)
    z = screw.placement.z
    start = (dot(apart, place.x), dot(apart, place.y), dot(apart, place.z))
    way = (dot(z, place.x), dot(z, place.y), dot(z, place.z))
    if isinstance(part, Tube):
        inside, thick = _in_tube(part, start, way, long), part.section.wall_mm
    else:
        low, high = _box_of(other)
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


def _box_of(member: Member) -> tuple[Vector, Vector]:
    """The lowest and the highest corner of a board, or of what a plate's outline takes up, mm."""
    if isinstance(member.part, Board):
        size = member.part.section
        return (0.0, 0.0, 0.0), (member.part.length_mm, size.depth_mm, size.thickness_mm)
    plate = with_part(member, Plate).part
    xs, ys = zip(*plate.outline, strict=True)
    return (min(xs), min(ys), 0.0), (max(xs), max(ys), plate.thickness_mm)


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


__all__ = ["RULES", "driven_in", "lone_fasteners"]
