"""Doors: access, what a leaf strikes when it opens, and what stands in the way behind."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations

from msgspec.structs import replace

from frame3d.checks.findings.causes import field_of
from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.checks.findings.sentences import name_of, numbers, place_of
from frame3d.design.tables.whole_design import DoorKind, End
from frame3d.frame.doors.track_studs import FREE_MM
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.model.roles import Role
from frame3d.frame.space.envelopes import bodies_of, reach_of
from frame3d.frame.space.headroom import widest
from frame3d.frame.space.passage import near_door
from frame3d.frame.space.sweeps import (
    Sweep,
    clear_width_mm,
    in_reach,
    on_the_wall_side,
    sweeps_of,
)
from frame3d.geometry.convex import between, separation
from frame3d.geometry.placement import Vector
from frame3d.site.survey import site_of
from frame3d.site.write.door_words import LOW_MM, struck_at

_ADA = "ADA 404.2.3: 32 in (815 mm) wide, 80 in (2030 mm) high; the design's own limits"
WIDTH = Rule(
    name="door-width",
    severity=Severity.WARNING,
    meaning="A door, open 90 degrees, is narrower than access needs.",
    source=_ADA,
)
HEIGHT = Rule(
    name="door-height",
    severity=Severity.WARNING,
    meaning="A door is lower than access needs.",
    source=_ADA,
)
SWING = Rule(
    name="door-swing",
    severity=Severity.ERROR,
    meaning="A hinged leaf hits a member before it is open 90 degrees.",
    source=COMMON_PRACTICE,
)
SLIDE = Rule(
    name="door-slide",
    severity=Severity.ERROR,
    meaning="A sliding leaf hits a member.",
    source=COMMON_PRACTICE,
)
GROUND = Rule(
    name="door-ground",
    severity=Severity.WARNING,
    meaning="A leaf hangs too close to the ground to move freely.",
    source=COMMON_PRACTICE,
)
LOW = Rule(
    name="door-low-ground",
    severity=Severity.WARNING,
    meaning="The ground that was measured under a door lies lower than the door is drawn for.",
    source=COMMON_PRACTICE,
)
NEIGHBOUR = Rule(
    name="door-neighbour",
    severity=Severity.ERROR,
    meaning="A leaf hits another door's leaf or blocks its opening.",
    source=COMMON_PRACTICE,
)
BEHIND = Rule(
    name="door-way",
    severity=Severity.ERROR,
    meaning="A brace or other member is in the way in the bay behind a door.",
    source=COMMON_PRACTICE,
)
TRACK = Rule(
    name="track-free-end",
    severity=Severity.WARNING,
    meaning="A sliding door's track runs too far past the last upright.",
    source=COMMON_PRACTICE,
)
RULES = (WIDTH, HEIGHT, SWING, SLIDE, GROUND, LOW, NEIGHBOUR, BEHIND, TRACK)
_BOUNDING = (Role.DOOR_JAMB, Role.DOOR_HEADER, Role.THRESHOLD, Role.DOOR_TRACK, Role.CLAMP)
_UPRIGHTS = (Role.STUD, Role.DOOR_JAMB)
_TOUCHING_MM = 1.0

_AWAY = {
    SWING: "Swing the door the other way, make it a sliding door, lower it, or move what it hits.",
    SLIDE: "Slide the door the other way, hang it on hinges, lower it, or move what it hits.",
}
"""What to do about a leaf that strikes something."""


def check_doors(frame: Frame) -> list[Finding]:
    """Findings of :data:`RULES`."""
    found: list[Finding] = []
    sweeps = [sweeps_of(door) for door in frame.doors]
    for door, swept in zip(frame.doors, sweeps, strict=True):
        own = (
            *_access(frame, door), *_struck(frame, door, swept), *_ground(frame, door),
            *_behind(frame, door), *_track(frame, door),
        )  # fmt: skip
        found += [
            replace(finding, field=door.where, against=_against(frame, door, finding))
            for finding in own
        ]
    return [*found, *_neighbours(frame, sweeps)]


def _against(frame: Frame, door: DoorOpening, finding: Finding) -> str:
    """The other field that a leaf or a way contradicts; empty for none."""
    if finding.rule not in (SWING, SLIDE, BEHIND):
        return ""
    other = field_of(frame, finding.members[0])
    if other == door.where:
        # Of the door at the other end: there is too little between them.
        other = "bays.spacing" if frame.design.bays.spacing is not None else "bays"
    return other


def _access(frame: Frame, door: DoorOpening) -> Iterable[Finding]:
    clearance = frame.design.clearance
    for rule, provided, required, word in (
        (WIDTH, clear_width_mm(door), clearance.door_width, "wide"),
        (HEIGHT, door.height_mm, clearance.door_height, "high"),
    ):
        if provided < required - 0.01:
            said = numbers(frame, required, provided)
            yield Finding(
                rule=rule,
                where=name_of(frame, door),
                required=required,
                provided=provided,
                unit="mm",
                message=f"The clear opening is {said.provided} {word}; access needs "
                f"{said.required}.",
                advice="Make the door larger.",
            )


def _struck(frame: Frame, door: DoorOpening, sweeps: tuple[Sweep, ...]) -> Iterable[Finding]:
    gap = frame.design.clearance.leaf_gap
    rule = SWING if door.kind is DoorKind.HINGED else SLIDE
    members = in_reach(frame, door) if sweeps else []
    for sweep in sweeps:
        struck: list[tuple[float, Member]] = []
        for member in members:
            # The wall that the leaf lies on is no obstacle to it.
            if on_the_wall_side(member, sweep):
                continue
            distance = sweep.gap_mm(member)
            if distance is not None and distance < gap - 0.01:
                struck.append((distance, member))
        if struck:
            distance, member = min(struck, key=lambda item: item[0])
            said = numbers(frame, gap, distance)
            verb = "swings" if rule is SWING else "slides"
            how = (
                f"{said.provided} past"
                if distance > 0
                else f"into the {member.role.value} by {said.say(-distance)}:"
            )
            yield Finding(
                rule=rule,
                where=f"{name_of(frame, door)}; {place_of(member)}",
                members=(member, *(m for _, m in struck if m is not member)),
                required=gap,
                provided=distance,
                unit="mm",
                message=f"A leaf {verb} {how} {member.mark}"
                + (f", and {len(struck) - 1} more." if len(struck) > 1 else "."),
                advice=_AWAY[rule],
            )


def _ground(frame: Frame, door: DoorOpening) -> Iterable[Finding]:
    """A leaf over the highest ground on its whole way, and over the lowest while it is shut."""
    needed, under = frame.design.clearance.leaf_ground, site_of(frame).under(door)
    struck, where = under.struck, name_of(frame, door)
    hoop = 1 if door.end is End.FRONT else len(frame.grid.hoop_y_mm)
    members = tuple(
        member
        for member in frame.of(Role.DOOR_LEAF, Role.DOOR_JAMB)
        if member.spot.hoop == hoop and field_of(frame, member) == door.where
    )
    if struck is not None and struck.clear_mm < needed - 0.01:
        said = numbers(frame, needed, struck.clear_mm)
        at = struck_at(frame, under)  # nothing on level ground
        yield Finding(
            rule=GROUND, where=where, members=members, required=needed,
            provided=struck.clear_mm, unit="mm",
            message=f"The leaf clears the ground{at} by {said.provided}; it needs {said.required}."
            if struck.clear_mm >= 0
            else f"The leaf strikes the ground{at}, by {said.say(-struck.clear_mm)}; it needs "
            f"{said.required} over it.",
            advice="Dig the ground away where the leaf passes, or hang it higher." if at
            else "Set the leaf higher, or level the ground in front of it.",
        )  # fmt: skip
    if under.low_mm > LOW_MM + 0.01:
        said = numbers(frame, LOW_MM, under.low_mm, is_most=True)
        yield Finding(
            rule=LOW, where=where, members=members, required=LOW_MM,
            provided=under.low_mm, unit="mm", is_most=True,
            message=f"The ground lies up to {said.provided} lower than the door is drawn for; "
            f"up to {said.required} can stay."
            + (f" Under a shut leaf {said.say(under.gap_mm)} stays open." if under.gap_mm else ""),
            advice="Fill up to the door and ramp it for wheels, or choose a place that is less "
            "steep across.",
        )  # fmt: skip


def _behind(frame: Frame, door: DoorOpening) -> Iterable[Finding]:
    left, right = door.left_x_mm, door.right_x_mm
    spans: list[tuple[float, float, Member]] = []
    for member in near_door(frame, door):
        if member.role in _BOUNDING:
            continue
        for body in bodies_of(member):
            points = between(body.points(), door.bottom_mm + _TOUCHING_MM, door.top_mm)
            if not points:
                continue
            low, high = min(p[0] for p in points), max(p[0] for p in points)
            if low < right - _TOUCHING_MM and high > left + _TOUCHING_MM:
                spans.append((low, high, member))
    if spans:
        free = widest(left, right, [(low, high) for low, high, _ in spans])
        member = max(spans, key=lambda s: min(s[1], right) - max(s[0], left))[2]
        said = numbers(frame, door.width_mm, free)
        yield Finding(
            rule=BEHIND,
            where=f"{name_of(frame, door)}; {place_of(member)}",
            members=tuple({id(m): m for m in (member, *(m for *_, m in spans))}.values()),
            required=door.width_mm,
            provided=free,
            unit="mm",
            message=f"The {member.role.value} {member.mark} is in the way; {said.provided} of "
            f"{said.required} is clear.",
            advice="Move the door or the brace, or remove the brace and brace the end another way.",
        )


def _track(frame: Frame, door: DoorOpening) -> Iterable[Finding]:
    """How far the track reaches past the last upright at either end."""
    if door.kind is not DoorKind.SLIDING:
        return
    hoop = 1 if door.end is End.FRONT else len(frame.grid.hoop_y_mm)
    there = [m for m in frame.of(*_UPRIGHTS, Role.DOOR_TRACK) if m.spot.hoop == hoop]
    spans = {id(m): _span(m, (1.0, 0.0, 0.0)) for m in there}
    left = min(leaf.low_x_mm + min(0.0, leaf.slide_mm) for leaf in door.leaves)
    right = max(leaf.high_x_mm + max(0.0, leaf.slide_mm) for leaf in door.leaves)
    # All its pieces: each slips into the next.
    run = [
        m
        for m in there
        if m.role is Role.DOOR_TRACK and spans[id(m)][0] < right and spans[id(m)][1] > left
    ]
    heights = [(m, *_span(m, (0.0, 0.0, 1.0))) for m in there if m.role in _UPRIGHTS]
    top = door.top_mm
    tall = [m for m, foot, head in heights if head > top + _TOUCHING_MM and foot < top]
    if not (run and tall):
        return
    free = max(
        min(spans[id(m)][0] for m in tall) - min(spans[id(m)][0] for m in run),
        max(spans[id(m)][1] for m in run) - max(spans[id(m)][1] for m in tall),
    )
    if free > FREE_MM + 0.01:
        said = numbers(frame, FREE_MM, free, is_most=True)
        yield Finding(
            rule=TRACK,
            where=f"{name_of(frame, door)}; {place_of(run[0])}",
            members=tuple(run),
            required=FREE_MM,
            provided=free,
            unit="mm",
            message=f"The track runs {said.provided} past the last upright; the limit is "
            f"{said.required}.",
            advice="Add a stud under its end, slide the door the other way, or make it narrower.",
            is_most=True,
        )


def _span(member: Member, way: Vector) -> tuple[float, float]:
    """From where to where a tube or board reaches along a unit vector, mm."""
    low, high = reach_of(member, (-way[0], -way[1], -way[2])), reach_of(member, way)
    if low is None or high is None:
        raise TypeError(f"{member.mark} has no body")
    return -low, high


def _neighbours(frame: Frame, sweeps: list[tuple[Sweep, ...]]) -> Iterable[Finding]:
    gap = frame.design.clearance.leaf_gap
    for (door, own), (other, others) in combinations(
        list(zip(frame.doors, sweeps, strict=True)), 2
    ):
        if door.end is not other.end:
            continue
        gaps = [separation(a.plan, b.plan) for a in own for b in others]
        gaps += [_before(sweep, other) for sweep in own]
        gaps += [_before(sweep, door) for sweep in others]
        distance = min(gaps, default=gap)
        if distance < gap - 0.01:
            said = numbers(frame, gap, distance)
            yield Finding(
                rule=NEIGHBOUR,
                where=f"{name_of(frame, door)}; {name_of(frame, other)}",
                field=door.where,
                against=other.where,
                required=gap,
                provided=distance,
                unit="mm",
                message=f"The leaves of the two doors overlap by {said.say(-distance)}."
                if distance < 0
                else f"The leaves of the two doors clear each other by only {said.provided}.",
                advice="Move the doors apart, or hang them on the other side.",
            )


def _before(sweep: Sweep, other: DoorOpening) -> float:
    """How far a leaf stays beside the opening of another door, mm; negative before it."""
    xs = [x for x, _ in sweep.plan]
    return max(other.left_x_mm - max(xs), min(xs) - other.right_x_mm)
