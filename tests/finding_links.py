"""What a finding is about, as data, held against its own words and the frame."""

from __future__ import annotations

import re
from collections.abc import Iterable

from frame3d.checks.findings.finding import Finding, Severity
from frame3d.design.values.field_info import sections
from frame3d.frame.model.members import Frame

WITHOUT_MEMBERS = frozenset({
    # About an opening, a machine on its way, the tunnel as a whole, or what stands round it.
    "door-width", "door-height", "door-ground", "door-neighbour", "machine-door", "machine-way",
    "machine-wall", "side-vents", "length-to-width", "door-facing", "way-round", "tree-distance",
    "building-distance", "line-distance", "accept-unknown", "accept-unused", "boundary",
    "boundary-unfinished", "setback", "service-under", "north", "levels-short",
})  # fmt: skip
"""Rules whose findings name no member."""
MAY_LACK = frozenset({"brace-sets", "wall-braces", "wall-unbraced"})
"""Rules whose findings are about members of which there may be none."""
_WORD = re.compile(r"\b[A-Za-z]+\d+\w*")
_PLACE = re.compile(r"hoops? (\d+)(?: to (\d+))?, (left|right|middle)")
_FIELD = re.compile(r"([a-z_]+)(?:\[(\d+)\])?(?:\.([a-z_]+))?")


def unlinked(frame: Frame, findings: Iterable[Finding]) -> list[str]:
    """What is wrong with the members and fields that ``findings`` name, in words."""
    own = {id(member) for member in frame.members}
    marks = {member.mark for member in frame.members}
    wrong = []
    for finding in findings:
        name = f"{finding.rule.name} at {finding.where}"
        if not all(id(member) in own for member in finding.members):
            wrong.append(f"{name}: a member is not of the frame")
        if len({id(member) for member in finding.members}) != len(finding.members):
            wrong.append(f"{name}: a member twice")
        if set(finding.marks) != {member.mark for member in finding.members} or (
            set(finding.marks) - marks
        ):
            wrong.append(f"{name}: marks {finding.marks}")
        # Messages and places quote marks alone: no name in the designs of the tests is one.
        named = set(_WORD.findall(f"{finding.where} {finding.message}")) & marks
        if named - set(finding.marks):
            wrong.append(f"{name}: names {named - set(finding.marks)} and is not about them")
        if not finding.members and finding.rule.name not in WITHOUT_MEMBERS | MAY_LACK:
            wrong.append(f"{name}: about no member")
        wrong += [f"{name}: nothing at {place}" for place in _empty_places(finding)]
        wrong += [
            f"{name}: no field {field}" for field in finding.fields if not _is_there(frame, field)
        ]
    return wrong


def of_one_value(findings: Iterable[Finding]) -> list[str]:
    """Errors that do not name the two values that bring them about: nobody could mend them."""
    return [
        f"{one.rule.name} at {one.where}: {', '.join(one.fields) or 'no field'}: {one.message}"
        for one in findings
        if one.severity is Severity.ERROR and len(one.fields) < 2
    ]


def _empty_places(finding: Finding) -> list[str]:
    """The places in the words of a finding at which none of its members is."""
    spots = [member.spot for member in finding.members]
    empty = []
    for match in _PLACE.finditer(finding.where):
        low, high, side = int(match[1]), int(match[2] or match[1]), match[3]
        if not any(
            spot.side.value == side
            and sorted((spot.hoop, spot.to_hoop or spot.hoop)) == [low, high]
            for spot in spots
        ):
            empty.append(match[0])
    return empty


def _is_there(frame: Frame, field: str) -> bool:
    """Whether the form has such a field; a table by its number, if the design has it."""
    match = _FIELD.fullmatch(field)
    section = match and sections().get(match[1])
    if not section or (match[3] and match[3] not in section.fields):
        return False
    return match[2] is None or int(match[2]) <= len(getattr(frame.design, match[1]))


__all__ = ["MAY_LACK", "WITHOUT_MEMBERS", "of_one_value", "unlinked"]
