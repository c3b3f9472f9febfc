"""The ground that was measured: levels that do not cover the plan, sockets that it does not suit.

Every figure is that of the driving plan, from which sheets, guide and stake list have theirs.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.checks.findings.sentences import lengths, numbers
from frame3d.design.tables.staking import StringLine
from frame3d.design.values.field_info import limits_of
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.roles import Role
from frame3d.frame.sides.ground_answers import LEAST_DEPTH_MM
from frame3d.site.driving.driving_plan import Driven, plan_driving
from frame3d.site.staking.setting_out import set_out
from frame3d.site.staking.socket_names import socket_name
from frame3d.site.survey import Site, site_of

OUTSIDE = Rule(
    name="levels-short",
    severity=Severity.WARNING,
    meaning="The levels of the ground do not reach some of the sockets.",
    source=COMMON_PRACTICE,
)
DIG = Rule(
    name="hole-under",
    severity=Severity.WARNING,
    meaning="Ground has to be dug away so that the lower hole of a socket is clear of it.",
    source=COMMON_PRACTICE,
)
SHORT = Rule(
    name="socket-short",
    severity=Severity.WARNING,
    meaning="A socket stands out of the ground too far to keep its embedment.",
    source=COMMON_PRACTICE,
)
UNMET = Rule(
    name="string-unmet",
    severity=Severity.ERROR,
    meaning="No socket is long enough for the string over the ground that was measured.",
    source=COMMON_PRACTICE,
)
ROCK = Rule(
    name="rock-everywhere",
    severity=Severity.WARNING,
    meaning="Rock lies above the lower ends of all sockets where its depth is known.",
    source=COMMON_PRACTICE,
)
UNBUILT = Rule(
    name="not-as-built",
    severity=Severity.WARNING,
    meaning="The design cannot be laid out on the sockets as they were driven.",
    source=COMMON_PRACTICE,
)
SILL = Rule(
    name="sill-hangs",
    severity=Severity.WARNING,
    meaning="The ground that was measured lies below the sill of an end wall, and nothing closes "
    "the gap.",
    source=COMMON_PRACTICE,
)
RULES = (OUTSIDE, DIG, SHORT, UNMET, ROCK, SILL, UNBUILT)
_MOST_NAMED = 8
_STEEPEST_PERCENT = 20.0
_WORTH = 0.9
"""A slope is offered that leaves less than this share of the digging and filling."""


def check_survey(frame: Frame) -> list[Finding]:
    """Findings of :data:`RULES`; none of a frame on level ground."""
    unbuilt = list(_unbuilt(frame))
    if frame.survey is None or not frame.survey.levels:
        return unbuilt
    site = site_of(frame)
    return [
        *unbuilt,
        *_outside(frame, site),
        *_dug(frame, site),
        *_filled(frame, site),
        *_rock(frame, site),
        *_hanging(site),
    ]


def _unbuilt(frame: Frame) -> Iterator[Finding]:
    if frame.unbuilt:
        yield Finding(
            rule=UNBUILT, where="the whole frame", field="staking.built",
            message="The frame is drawn as designed, since it cannot be laid out on the sockets "
            f"as they were driven: {frame.unbuilt}.",
            advice="Drive again the sockets that the list names, or change the design.",
        )  # fmt: skip


def _outside(frame: Frame, site: Site) -> Iterator[Finding]:
    out = [one for one in site.sockets if one.outside_mm > site.frame.grid.spacing_mm]
    if out:
        say, farthest = lengths(site.frame), max(out, key=lambda one: one.outside_mm)
        yield Finding(
            rule=OUTSIDE, where=_named(out), field="staking.levels",
            members=_members(frame, out),
            message=f"The levels cover a part of the plan: {_count(out)} are outside of the "
            f"points, {farthest.place.name} by {say(farthest.outside_mm)}.",
            advice="Take levels at the four corners or beyond them, and add them to the list.",
        )  # fmt: skip


def _dug(frame: Frame, site: Site) -> Iterator[Finding]:
    dug = [one for one in site.sockets if one.dig_mm]
    if dug:
        say, worst = lengths(site.frame), max(dug, key=lambda one: one.dig_mm)
        yield Finding(
            rule=DIG, where=_named(dug), field="staking.string",
            members=_members(frame, dug),
            message=f"{_count(dug)} need ground dug away for their lower holes, "
            f"{worst.place.name} the most: {say(worst.dig_mm)}.",
            advice=f"Dig there down to the driving marks{_steeper(site)}.",
        )  # fmt: skip


def _filled(frame: Frame, site: Site) -> Iterator[Finding]:
    short = [one for one in site.sockets if one.longer_mm]
    if not short:
        return
    say, worst = lengths(site.frame), max(short, key=lambda one: one.longer_mm or 0.0)
    longest, limit = worst.longer_mm or 0.0, limits_of("socket")["length"][1]
    if longest > limit:
        low, high = (f(site.sockets, key=lambda one: one.ground_mm) for f in (min, max))
        yield Finding(
            rule=UNMET, where=_named(short), field="socket.length", against="staking.levels",
            members=_members(frame, short),
            message=f"{worst.place.name} would have to be {say(longest)} long, and a socket is at "
            f"most {say(limit)}; the ground is {say(high.ground_mm - low.ground_mm)} higher at "
            f"{high.place.name} than at {low.place.name}.",
            advice=f"Grade the ground before staking{_steeper(site)}.",
        )  # fmt: skip
        return
    yield Finding(
        rule=SHORT, where=_named(short), field="socket.length",
        members=_members(frame, short),
        message=f"{_count(short)} would have less than {say(site.frame.design.practice.embedment)} "
        f"in the ground; {worst.place.name} is short of it by {say(worst.fill_mm)}.",
        advice=f"Make the sockets at least {say.least(longest)} long, or fill{_steeper(site)}.",
    )  # fmt: skip


def _rock(frame: Frame, site: Site) -> Iterator[Finding]:
    known = [one for one in site.sockets if one.drill_mm is not None]
    drilled = [one for one in known if one.drill_mm]
    if drilled and len(drilled) == len(site.sockets):
        say, worst = lengths(site.frame), max(drilled, key=lambda one: one.drill_mm or 0.0)
        yield Finding(
            rule=ROCK, where=_named(drilled), field="staking.levels",
            members=_members(frame, drilled),
            message=f"Every socket meets rock; {worst.place.name} is drilled the deepest, "
            f"{say(worst.drill_mm or 0.0)}.",
            advice="Plan a rock drill for all of them, and do not cut a socket short; ask a "
            "licensed professional about another footing.",
        )  # fmt: skip


def _hanging(site: Site) -> Iterator[Finding]:
    for wall in site.walls:
        if wall.open_mm <= LEAST_DEPTH_MM + 0.01:
            continue
        said = numbers(site.frame, LEAST_DEPTH_MM, wall.open_mm, is_most=True)
        yield Finding(
            rule=SILL, where=f"{wall.end.value} end", field="staking.boards",
            members=tuple(o.member for o in wall.pieces if o.member.role is Role.WALL_SILL),
            required=LEAST_DEPTH_MM, provided=wall.open_mm, unit="mm", is_most=True,
            message=f"A gap of up to {said.provided} is left under the sill; up to {said.required} "
            "can stay.",
            advice="Fill up under it, make a pad, or choose a place that is less steep across.",
        )  # fmt: skip


def _steeper(site: Site) -> str:
    """The string that would need less, where its slope is what holds it; else nothing."""
    staking, driving = site.frame.design.staking, site.driving
    if driving is None:
        return ""
    sloped = _on_a_slope(site.frame)
    other = plan_driving(sloped, set_out(sloped), driving.ground)
    if other.string.moved_mm >= _WORTH * driving.string.moved_mm:
        return ""
    # The slope as it has to be written: never less than what was found.
    slope = math.ceil(abs(other.slope_percent) * 100 - 1e-6) / 100
    now = "" if staking.string is StringLine.SLOPE else 'string = "slope" and '
    left = lengths(site.frame)(other.string.moved_mm)
    return (
        f", or let the string run with the ground: with {now}most_slope = {slope:g} in [staking] "
        f"{left} of digging and filling is left of {lengths(site.frame)(driving.string.moved_mm)}"
    )


def _on_a_slope(frame: Frame) -> Frame:
    """``frame`` with a string that may be as steep as a design may ask for."""
    staking = frame.design.staking.model_copy(
        update={"string": StringLine.SLOPE, "most_slope": _STEEPEST_PERCENT}
    )
    return replace(frame, design=frame.design.model_copy(update={"staking": staking}))


def _count(sockets: Sequence[Driven]) -> str:
    return f"{len(sockets)} socket{'' if len(sockets) == 1 else 's'}"


def _named(sockets: Sequence[Driven]) -> str:
    names = [one.place.name for one in sockets]
    more = f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
    return f"socket{'' if len(names) == 1 else 's'} {', '.join(names[:_MOST_NAMED])}{more}"


def _members(frame: Frame, sockets: Sequence[Driven]) -> tuple[Member, ...]:
    names = {one.place.name for one in sockets}
    return tuple(
        member
        for member in frame.of(Role.SOCKET)
        if socket_name(member.spot.hoop, member.spot.side) in names
    )
