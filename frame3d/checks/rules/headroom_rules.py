"""Headroom: along the walking lines, under ties, and over the edges of the beds."""

from __future__ import annotations

from collections.abc import Iterable

from frame3d.checks.findings.causes import field_of
from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.checks.findings.sentences import lengths, numbers, place_of
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.roles import Role
from frame3d.frame.space.headroom import Headroom, Over, headroom_of

WALK = Rule(
    name="walk-headroom",
    severity=Severity.ERROR,
    meaning="Hoops, rails, braces or their hardware are too low over a walking line.",
    source="ADA 404.2.3 for the default of 80 in; the design's head_height",
)
TIE = Rule(
    name="tie-headroom",
    severity=Severity.ERROR,
    meaning="A tie, or a post, web or clamp on it, is below head height.",
    source="ADA 404.2.3 for the default of 80 in; the design's head_height",
)
BED = Rule(
    name="bed-headroom",
    severity=Severity.WARNING,
    meaning="There is too little height above the edge of a bed to work there.",
    source=COMMON_PRACTICE,
)
RULES = (WALK, TIE, BED)


def check_headroom(frame: Frame) -> list[Finding]:
    """Findings of :data:`RULES`."""
    rooms = headroom_of(frame)
    return [*_walks(frame, rooms), *_ties(frame, rooms), *_beds(frame, rooms)]


def _lowest(frame: Frame, over: Over) -> tuple[Member, ...]:
    """What bounds the height: a member and all that stand in line with it, or the hoops."""
    return _in_line(frame, [over.member]) if over.member else tuple(frame.of(Role.HOOP))


def _in_line(frame: Frame, found: Iterable[Member]) -> tuple[Member, ...]:
    """All members that look the same along the tunnel as one of ``found``."""
    wanted = {_seen_along(member) for member in found}
    marks = {mark for mark, *_ in wanted}
    return tuple(m for m in frame.members if m.mark in marks and _seen_along(m) in wanted)


def _seen_along(member: Member) -> tuple[str | float, ...]:
    place = member.placement
    across, _, up = place.origin
    return member.mark, *(
        round(value, 3) + 0.0 for axis in (place.x, place.z, (across, up)) for value in axis
    )


def _walks(frame: Frame, rooms: Headroom) -> Iterable[Finding]:
    say, clearance = lengths(frame), frame.design.clearance
    needed = clearance.head_height
    for x in dict.fromkeys(clearance.walking_lines):
        found = rooms.over(x, width_mm=clearance.walking_width, with_ties=False)
        if found.height_mm < needed:
            what = place_of(found.member) if found.member else "the hoops"
            said = numbers(frame, needed, found.height_mm)
            yield Finding(
                rule=WALK,
                where=f"clearance.walking_lines, {say(x)} from the centreline",
                members=_lowest(frame, found),
                field="clearance.walking_lines",
                against=(found.member and field_of(frame, found.member)) or "profile",
                required=needed,
                provided=found.height_mm,
                unit="mm",
                message=f"Headroom under {what} is {said.provided}; {said.required} is needed.",
                advice="Raise the ridge or the legs, move what hangs there, or move the "
                "walking line.",
            )


def _ties(frame: Frame, rooms: Headroom) -> Iterable[Finding]:
    needed = frame.design.clearance.head_height
    low = [shadow for shadow in rooms.ties if shadow.bottom_mm < needed]
    if low:
        lowest = min(low, key=lambda shadow: shadow.bottom_mm)
        said = numbers(frame, needed, lowest.bottom_mm)
        yield Finding(
            rule=TIE,
            where=place_of(lowest.member),
            members=_in_line(frame, (shadow.member for shadow in low)),
            field=field_of(frame, lowest.member) or "tie",
            against="clearance.head_height",
            required=needed,
            provided=lowest.bottom_mm,
            unit="mm",
            message=f"Headroom under the {lowest.member.role.value} is {said.provided}; "
            f"{said.required} is needed.",
            advice="Raise the tie.",
        )


def _beds(frame: Frame, rooms: Headroom) -> Iterable[Finding]:
    say, clearance = lengths(frame), frame.design.clearance
    for distance in dict.fromkeys(clearance.bed_edges):
        x = rooms.inside.wall_x_mm() - distance
        if x <= 0:
            continue
        sides = [rooms.over(sign * x) for sign in (-1.0, 1.0)]
        found = min(sides, key=lambda over: over.height_mm)
        if found.height_mm < clearance.bed_headroom:
            what = place_of(found.member) if found.member else "the hoops"
            said = numbers(frame, clearance.bed_headroom, found.height_mm)
            yield Finding(
                rule=BED,
                where=f"clearance.bed_edges, {say(distance)} from the wall",
                members=_lowest(frame, found),
                field="clearance.bed_edges",
                required=clearance.bed_headroom,
                provided=found.height_mm,
                unit="mm",
                message=f"Height under {what} at the edge of the bed is {said.provided}; "
                f"{said.required} is needed.",
                advice="Raise the legs, move the bed farther in, or move what hangs there.",
            )
