"""Screws and bolts that hold one part alone: they are in nothing else, and join nothing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from frame3d.checks.bores import od_at_mm
from frame3d.checks.contacts import Kind
from frame3d.checks.finding import Finding, Rule, Severity
from frame3d.checks.joints import struck_bolts
from frame3d.checks.places import Found, place_of
from frame3d.checks.survey import Survey
from frame3d.frame.end_forms import Flat
from frame3d.frame.members import Member, Role
from frame3d.frame.parts import Board, Bolt, ClampHalf, Plate, Screw, Tube
from frame3d.geometry.curves import curves_of, nearest_on

_STEP_MM = 0.25
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


def lone_fasteners(seen: Survey) -> Iterator[Found]:
    """Every screw and bolt of a frame that holds one part alone, or none."""
    known: dict[tuple, Finding | None] = {}
    struck = struck_bolts(seen)
    for number, member in enumerate(seen.scene.members):
        if not isinstance(member.part, (Screw, Bolt)) or number in struck:
            continue
        links = seen.links.of(number)
        key = (int(seen.scene.part[number]), tuple(sorted(link[:2] for link in links)))
        if key not in known:
            known[key] = _judged(seen, number, member)
        finding = known[key]
        if finding is not None:
            held = {o: seen.scene.members[o] for _, _, o in links}
            there = (m for m in held.values() if m.mark in finding.marks[1:])
            here = replace(finding, members=(member, *there))
            yield Found(finding=here, place=place_of(member))


def _judged(seen: Survey, number: int, member: Member) -> Finding | None:
    screwed = isinstance(member.part, Screw)
    kind = Kind.DRIVEN if screwed else Kind.THROUGH
    others = {
        other: seen.scene.members[other]
        for meeting, order, other in seen.links.of(number)
        if seen.meetings[meeting].contacts[order].kind is kind
    }
    held = [other for other in others.values() if not screwed or _is_in(member, other)]
    if len(held) > 1:
        return None
    if screwed:
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


def _is_in(screw: Member, other: Member) -> bool:
    """Whether enough of the shank of ``screw`` lies in the material of ``other``."""
    along = np.arange(_STEP_MM / 2, screw.part.length_mm, _STEP_MM)
    points = np.array(screw.placement.origin) + along[:, None] * np.array(screw.placement.z)
    place, part = other.placement, other.part
    own = (points - np.array(place.origin)) @ np.array([place.x, place.y, place.z]).T
    inside, thick = _in_tube(part, own) if isinstance(part, Tube) else _in_box(part, own)
    least = min(_LEAST_MM, _LEAST_SHARE * thick)
    return float(inside.sum()) * _STEP_MM >= least


def _in_tube(tube: Tube, points: np.ndarray) -> tuple[np.ndarray, float]:
    """Which points lie in the wall of a tube, and how thick that is, mm."""
    far, along = nearest_on(curves_of(tube.axis), points)
    outer = np.array([od_at_mm(tube, at) / 2 for at in along.tolist()])
    inner = outer - tube.section.wall_mm
    for form, away in ((tube.start, along), (tube.end, tube.length_mm - along)):
        if isinstance(form, Flat):
            inner = np.where(away < form.length_mm, 0.0, inner)
    return (far >= inner) & (far <= outer), tube.section.wall_mm


def _in_box(part: Board | Plate, points: np.ndarray) -> tuple[np.ndarray, float]:
    """Which points lie in a board, or in the outline of a plate, and its thickness, mm."""
    if isinstance(part, Board):
        low = np.zeros(3)
        high = np.array([part.length_mm, part.section.depth_mm, part.section.thickness_mm])
    else:
        outline = np.array(part.outline)
        low = np.array([*outline.min(axis=0), 0.0])
        high = np.array([*outline.max(axis=0), part.thickness_mm])
    return ((points >= low) & (points <= high)).all(axis=1), float(high[2] - low[2])


__all__ = ["RULES", "lone_fasteners"]
