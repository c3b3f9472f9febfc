"""Joints as they are recorded, against what is measured: each holds what it is made for.

What is wrong with a fastener by itself, or with what it strikes, other rules tell.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator

from frame3d.checks.findings.equal_findings import Found, place_of
from frame3d.checks.findings.finding import Finding, Rule, Severity
from frame3d.checks.measured.near_pairs import Survey
from frame3d.frame.model.joints import Joint, JointKind
from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import Bolt, ClampHalf, Nut, Screw, Washer

OTHERS = Rule(
    name="joint-holds-others",
    severity=Severity.ERROR,
    meaning="A bolt, screw, clamp or splice joins the wrong parts.",
    source="geometry of the frame",
)
RULES = (OTHERS,)


def misjoined(seen: Survey, struck: set[int], measured: set[int]) -> Iterator[Found]:
    """Every fastener, and every tube in a tube, that holds more or less than is recorded.

    ``measured`` are the pairs of ``held_pairs``.
    """
    members, size = seen.scene.members, len(seen.scene.members)
    recorded = _recorded(seen)
    wrong = sorted(recorded ^ measured)
    if not wrong:
        return
    holding = Counter(code // size for code in measured)
    for number, codes in itertools.groupby(wrong, lambda code: code // size):
        less: list[int] = []
        more: list[int] = []
        for code in codes:
            (less if code in recorded else more).append(code % size)
        # Other rules tell of what is struck, and of what holds nothing or one part alone.
        alone = isinstance(members[number].part, Bolt | Screw) and not more
        if holding[number] > alone and struck.isdisjoint((number, *less, *more)):
            yield _told(members[number], [members[n] for n in more], [members[n] for n in less])


def _recorded(seen: Survey) -> set[int]:
    """What holds what by the joints, as ``held_pairs`` has it."""
    size = len(seen.scene.members)
    numbers = {id(member): number for number, member in enumerate(seen.scene.members)}
    return {
        numbers[id(one)] * size + numbers[id(other)]
        for joint in seen.frame.joints
        for one, other in _pairs(joint)
        if id(one) in numbers and id(other) in numbers
    }


def _pairs(joint: Joint) -> Iterator[tuple[Member, Member]]:
    """What is recorded, as pairs that can be measured."""
    if joint.kind is JointKind.NESTED:
        outer, inner = joint.members
        yield inner, outer
        return
    tubes = iter(joint.members)
    bolt: Member | None = None
    through = joint.members
    for fastener in joint.fasteners:
        match fastener.part:
            case ClampHalf():
                yield fastener, next(tubes)
                through = (fastener,)
            case Nut() | Washer():
                if bolt is not None:
                    yield fastener, bolt
            case _:
                bolt = fastener
                yield from ((bolt, member) for member in through)


def _told(one: Member, more: list[Member], less: list[Member]) -> Found:
    if more and less:
        message = f"It holds {_named(more)} instead of {_named(less)}."
    elif more:
        message = f"It also holds {_named(more)}, which it should not."
    else:
        message = f"It does not hold {_named(less)}."
    finding = Finding(
        rule=OTHERS,
        where=one.mark,
        members=(one, *more, *less),
        message=message,
        advice="Move it or the parts, so that they meet.",
    )
    return Found(finding=finding, place=place_of(one))


def _named(members: list[Member]) -> str:
    return " and ".join(f"the {member.role.value} {member.mark}" for member in members)
