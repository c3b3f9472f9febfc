"""Joints: what should touch does, every hole has its bolt, every bolt its nut and its length.

The other way round from clashes: the meant contacts (:mod:`frame3d.checks.measured.contacts`)
must be there. Distances along a bolt are counted from under its head.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from frame3d.catalog.bolting import thread_length_mm
from frame3d.catalog.sections import Head
from frame3d.checks.findings.causes import Fields, field_of
from frame3d.checks.findings.equal_findings import Found, place_of
from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.checks.measured.contacts import Contact, ContactKind
from frame3d.checks.measured.measuring import TOUCH_MM
from frame3d.checks.measured.near_pairs import Survey
from frame3d.frame.describe.wording import fine_lengths, gap_text, lengths_of
from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.parts import Board, Bolt, ClampHalf, Nut, Plate
from frame3d.frame.model.roles import Role
from frame3d.units import LengthFormat, compared

_GEOMETRY = "geometry of the frame"
_THREADS_PAST_NUT = 2
_OPEN_MM = 0.3
_Stretch = tuple[float, float]
"""Where along a bolt something begins and ends, mm from under its head."""

EMPTY = Rule(
    name="hole-without-bolt",
    severity=Severity.ERROR,
    meaning="No bolt goes through a hole.",
    source=_GEOMETRY,
)
IDLE = Rule(
    name="bolt-holds-nothing",
    severity=Severity.ERROR,
    meaning="A hole has no bolt.",
    source=_GEOMETRY,
)
NO_NUT = Rule(
    name="bolt-without-nut",
    severity=Severity.ERROR,
    meaning="A bolt has no nut.",
    source=_GEOMETRY,
)
SHORT = Rule(
    name="bolt-too-short",
    severity=Severity.ERROR,
    meaning="A bolt does not reach two threads past its nut.",
    source=COMMON_PRACTICE,
)
SHANK = Rule(
    name="nut-on-shank",
    severity=Severity.ERROR,
    meaning="A bolt runs out of thread before its nut is tight.",
    source="thread lengths of ASME B18.2.1 and ISO 4014",
)
UNSTOCKED = Rule(
    name="bolt-not-stocked",
    severity=Severity.WARNING,
    meaning="A bolt length is not stocked.",
    source="bolt lengths of the catalogue",
)
OPEN = Rule(
    name="joint-open",
    severity=Severity.ERROR,
    meaning="There is a gap between the head and the nut of a bolt.",
    source=_GEOMETRY,
)
LOOSE_CLAMP = Rule(
    name="clamp-off-tube",
    severity=Severity.ERROR,
    meaning="A clamp does not grip a tube of its size over at least two thirds of its width.",
    source=_GEOMETRY,
)
SPLIT_CLAMP = Rule(
    name="clamp-apart",
    severity=Severity.ERROR,
    meaning="A clamp half is not joined to another half, a plate or a board.",
    source=_GEOMETRY,
)
RULES = (EMPTY, IDLE, NO_NUT, SHORT, SHANK, UNSTOCKED, OPEN, LOOSE_CLAMP, SPLIT_CLAMP)


class _Stack(Struct, frozen=True, kw_only=True):
    """What is on a bolt: stretches of members, of washers, and the nut's."""

    held: tuple[_Stretch, ...]
    rings: tuple[_Stretch, ...]
    nut: _Stretch | None
    is_sound: bool


def joint_findings(seen: Survey, struck: set[int]) -> Iterator[Found]:
    """Everything that is wrong with bolts, holes and clamps.

    ``struck`` are those of :func:`struck_bolts`.
    """
    form = fine_lengths(lengths_of(seen.frame))
    known: dict[tuple[int, bool, tuple[tuple[int, int], ...]], list[Finding]] = {}
    for number, member in enumerate(seen.scene.members):
        if isinstance(member.part, Bolt):
            links = seen.links.of(number)
            key = (int(seen.scene.part[number]), number in struck,
                   tuple(sorted(link[:2] for link in links)))  # fmt: skip
            if key not in known:
                stack = _stack(seen, number, struck)
                known[key] = list(_on_bolt(with_part(member, Bolt), stack, form))
            for finding in known[key]:
                here = replace(finding, members=(member,), **_fields(seen.frame, member))
                yield Found(finding=here, place=place_of(member))
    yield from _holes(seen)
    yield from _clamps(seen)


def _fields(frame: Frame, bolt: Member) -> Fields:
    """What brings a bolt where it is, and the size of it that the design asks for."""
    one, section = field_of(frame, bolt), bolt.source.partition(".")[0]
    for number, wall in enumerate(frame.design.end_wall, start=1):
        if section == f"end_wall[{number}]":
            one = f"{section}.{wall.studs.value}"  # however its stud came to its place
    head = with_part(bolt, Bolt).part.size.head
    size = "hardware.frame_bolt" if head is Head.HEX else "hardware.board_bolt"
    return {"field": one, "against": size if one else ""}


def struck_bolts(seen: Survey) -> set[int]:
    """Bolts that lie in something or miss a hole: told as clashes, and not judged here."""
    found: set[int] = set()
    for meeting in seen.meetings:
        misfit = any(c.kind is ContactKind.THROUGH and not c.fits for c in meeting.contacts)
        if meeting.gap_mm < -TOUCH_MM or misfit:
            found.update(meeting.pairs.first.tolist())
            found.update(meeting.pairs.second.tolist())
    return found


def _stack(seen: Survey, bolt: int, struck: set[int]) -> _Stack:
    held: list[_Stretch] = []
    rings: list[_Stretch] = []
    nut: _Stretch | None = None
    for number, order, other in seen.links.of(bolt):
        contact = seen.meetings[number].contacts[order]
        stretch = (contact.from_mm, contact.to_mm)
        if contact.kind is ContactKind.THROUGH:
            held.append(stretch)
        elif contact.kind is ContactKind.STACKED:
            if isinstance(seen.scene.members[other].part, Nut):
                nut = stretch if nut is None or stretch[0] < nut[0] else nut
            else:
                rings.append(stretch)
    return _Stack(
        held=tuple(sorted(held)), rings=tuple(sorted(rings)), nut=nut, is_sound=bolt not in struck
    )


def _on_bolt(member: Member[Bolt], stack: _Stack, form: LengthFormat) -> Iterator[Finding]:
    bolt = member.part
    size = bolt.size
    if not any(abs(bolt.length_mm - length) < 0.01 for length in size.lengths_mm):
        nearest = min(size.lengths_mm, key=lambda length: abs(length - bolt.length_mm))
        yield _finding(
            UNSTOCKED, member,
            f"{form.text(bolt.length_mm, unit=True)} is not a stocked length of {size.name}.",
            f"Use the nearest that is: {form.text(nearest, unit=True)}.",
        )  # fmt: skip
    if not stack.held:
        if stack.is_sound:
            yield _finding(
                IDLE,
                member,
                "It does not go through any hole.",
                "Drill the holes, or move the bolt.",
            )
        return
    nut = stack.nut
    if nut is None:
        yield _finding(NO_NUT, member, "It has no nut.", "Add a nut, or move it onto its bolt.")
        return
    need = nut[1] + _THREADS_PAST_NUT * size.pitch_mm
    if bolt.length_mm < need - 0.01:
        said = compared(need, bolt.length_mm, form=form, fine=True)
        yield _finding(
            SHORT, member, f"It is {said.provided} long under the head.",
            f"Use a bolt of at least {said.required}.", need, bolt.length_mm, fine=True,
        )  # fmt: skip
    plain = bolt.length_mm - thread_length_mm(size, bolt.length_mm)
    if nut[0] < plain - 0.01:
        said = compared(plain, nut[0], form=form, fine=True)
        yield _finding(
            SHANK, member,
            f"Its thread starts {said.required} below the head, but the nut tightens at "
            f"{said.provided}.",
            "Use a shorter or fully threaded bolt, or more washers.", plain, nut[0],
            fine=True,
        )  # fmt: skip
    if stack.is_sound:
        yield from _open(member, stack, nut, form)


def _open(member: Member, stack: _Stack, nut: _Stretch, form: LengthFormat) -> Iterator[Finding]:
    """Gaps between what the bolt holds, from under its head to its nut."""
    reached, widest, at = 0.0, 0.0, 0.0
    for low, high in sorted((*stack.held, *stack.rings, nut)):
        if low - reached > widest:
            widest, at = low - reached, reached
        reached = max(reached, high)
        if low >= nut[0] - 1e-6:
            break
    if widest > _OPEN_MM:
        yield _finding(
            OPEN, member,
            f"There is a gap of {gap_text(form, widest)}, {gap_text(form, at)} below its head.",
            "Move the parts together, or add a spacer.", 0.0, -widest,
            fine=True,
        )  # fmt: skip


def _finding(
    rule: Rule,
    member: Member,
    message: str,
    advice: str,
    required: float | None = None,
    provided: float | None = None,
    *,
    fine: bool = False,
) -> Finding:
    return Finding(
        rule=rule, where=member.mark, members=(member,), message=message, advice=advice,
        required=required, provided=provided, unit="" if required is None else "mm",
        fine=fine,
    )  # fmt: skip


def _holes(seen: Survey) -> Iterator[Found]:
    """Holes that no bolt goes through."""
    members, form = seen.scene.members, lengths_of(seen.frame)
    counts: dict[int, int] = {}
    numbers = seen.scene.part.tolist()
    for number, member in zip(numbers, members, strict=True):
        if number not in counts:
            drilled = () if member.part.is_bought else seen.fittings.bores(member.part)
            counts[number] = len(drilled)
    for index, member in enumerate(members):
        count = counts[numbers[index]]
        if not count:
            continue
        used = set()
        for number, order, _ in seen.links.of(index):
            contact = seen.meetings[number].contacts[order]
            if contact.kind in (ContactKind.THROUGH, ContactKind.DRIVEN):
                used.add(contact.bore)
        for bore in sorted(set(range(count)) - used):
            along_mm = seen.fittings.bores(member.part)[bore].along_mm
            yield Found(finding=_empty(member, form.text(along_mm, unit=True)),
                        place=place_of(member))  # fmt: skip


def _empty(member: Member, along: str) -> Finding:
    return _finding(
        EMPTY, member,
        f"The hole {along} along the {member.role.value} has no bolt.",
        "Add a bolt, or remove the hole.",
    )  # fmt: skip


def _clamps(seen: Survey) -> Iterator[Found]:
    members = seen.scene.members
    clamps = {
        number: with_part(member, ClampHalf)
        for number, member in enumerate(members)
        if member.role is Role.CLAMP and isinstance(member.part, ClampHalf)
    }
    if not clamps:
        return
    faces = np.array(
        [member.placement.point((0.0, 0.0, member.part.face_mm)) for member in clamps.values()]
    )
    near, seated = _nearest(faces), _seated(seen)
    for place, (number, member) in enumerate(clamps.items()):
        grips = [
            contact
            for meeting, order, _ in seen.links.of(number)
            if (contact := seen.meetings[meeting].contacts[order]).kind is ContactKind.GRIPPED
        ]
        if not any(grip.fits for grip in grips):
            found = _loose(member, grips, lengths_of(seen.frame))
            yield Found(finding=found, place=place_of(member))
        if near[place] > TOUCH_MM and number not in seated:
            apart = min(near[place], 999.0)
            yield Found(
                finding=_finding(SPLIT_CLAMP, member,
                                 "It is not joined to another half.",
                                 "Move the halves together.", 0.0, -apart),
                place=place_of(member),
            )  # fmt: skip


def _nearest(points: np.ndarray) -> list[float]:
    """How far the nearest other point is from each, mm; infinite where there is one alone."""
    order = np.argsort(points[:, 1], kind="stable")
    along = points[order, 1]
    # Most have one that touches: of those beside it along the tunnel, which are few.
    low = np.searchsorted(along, points[:, 1] - TOUCH_MM, side="left").tolist()
    high = np.searchsorted(along, points[:, 1] + TOUCH_MM, side="right").tolist()
    ranked, places, found = order.tolist(), points.tolist(), []
    for number, here in enumerate(places):
        beside = (other for other in ranked[low[number] : high[number]] if other != number)
        near = min((math.dist(here, places[other]) for other in beside), default=math.inf)
        if near > TOUCH_MM:
            away = np.linalg.norm(points - points[number], axis=1)
            away[number] = np.inf
            near = float(away.min())
        found.append(near)
    return found


def _loose(member: Member[ClampHalf], grips: list[Contact], form: LengthFormat) -> Finding:
    if not grips:
        return _finding(
            LOOSE_CLAMP, member,
            f"It fits {gap_text(form, member.part.tube_od_mm)} tube and there is none in it.",
            "Move it onto its tube, or use one of the right size.",
        )  # fmt: skip
    wide = member.part.width_mm
    held = wide - grips[0].offset_mm
    said = compared(wide - grips[0].allowed_mm, held, form=form)
    return _finding(
        LOOSE_CLAMP, member,
        f"It grips the tube over only {said.provided} of its {said.say(wide)}, because the "
        "tube ends there.",
        "Make the tube longer, or move the clamp away from its end.",
        wide - grips[0].allowed_mm, held,
    )  # fmt: skip


def _seated(seen: Survey) -> set[int]:
    """Clamps that touch a plate or a board."""
    found: set[int] = set()
    members = seen.scene.members
    for meeting in seen.meetings:
        if abs(meeting.gap_mm) > TOUCH_MM:
            continue
        sides = (meeting.pairs.first, meeting.pairs.second)
        for own, other in (sides, sides[::-1]):
            parts = [members[int(side[0])].part for side in (own, other)]
            if isinstance(parts[0], ClampHalf) and isinstance(parts[1], (Board, Plate)):
                found.update(own.tolist())
    return found
