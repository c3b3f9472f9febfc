"""Clashes: members that lie in each other, bolts through what has no hole, tubes that touch.

What is meant to touch is known (:mod:`frame3d.checks.measured.contacts`) and checked the other
way round in :mod:`frame3d.checks.assembly.held_joints`.
"""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.catalog.sliding import PLAY_MM
from frame3d.checks.findings.causes import Rank, fields_of, told_by_cause
from frame3d.checks.findings.equal_findings import Found, place_of
from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.checks.measured.contacts import Contact, ContactKind
from frame3d.checks.measured.measuring import TOUCH_MM
from frame3d.checks.measured.near_pairs import Meeting, Survey, survey
from frame3d.frame.describe.wording import gap_text, lengths_of
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Bolt, ClampHalf, Nut, Screw, Tube, Washer
from frame3d.frame.model.roles import Role
from frame3d.units import Numbers, compared

_GEOMETRY = "geometry of the frame"

CLASH = Rule(
    name="clash",
    severity=Severity.ERROR,
    meaning="Two members overlap.",
    source=_GEOMETRY,
)
SOLID = Rule(
    name="bolt-through-solid",
    severity=Severity.ERROR,
    meaning="A bolt or screw hits a member that has no hole for it.",
    source=_GEOMETRY,
)
CROWDED = Rule(
    name="hardware-clash",
    severity=Severity.ERROR,
    meaning="Bolts, nuts, washers, screws or clamps overlap.",
    source=_GEOMETRY,
)
COVERED = Rule(
    name="splice-over-hole",
    severity=Severity.ERROR,
    meaning="A bolt goes through one of two nested tubes and the other has no hole there.",
    source=_GEOMETRY,
)
OFF_LINE = Rule(
    name="hole-off-line",
    severity=Severity.ERROR,
    meaning="A hole is too far off its bolt for the bolt to go through.",
    source=_GEOMETRY,
)
TOO_TIGHT = Rule(
    name="tube-too-wide",
    severity=Severity.ERROR,
    meaning="A tube does not fit into the tube it should slide into.",
    source=_GEOMETRY,
)
NEAR = Rule(
    name="narrow-gap",
    severity=Severity.WARNING,
    meaning="Two tubes that should not touch are closer than tolerances.gap.",
    source=COMMON_PRACTICE,
)
RULES = (CLASH, SOLID, CROWDED, COVERED, OFF_LINE, TOO_TIGHT, NEAR)

_SMALL = (Bolt, Nut, Washer, Screw)
_FREE = frozenset({
    Role.RAIL, Role.BRACE, Role.TIE, Role.KING_POST, Role.WEB, Role.HIP_RAIL, Role.WALL_BRACE,
    Role.ROLL_TUBE, Role.GIRT,
})  # fmt: skip
"""Tubes that pass others on their way."""
_ADVICE = {
    "clash": "Move or remove one of them.",
    "bolt-through-solid": "Drill a hole, or move the bolt or the member it hits.",
    "hardware-clash": "Move one of the joints along its tube, or use smaller hardware.",
    "splice-over-hole": "Move the splice or the hole, or drill both tubes.",
    "hole-off-line": "Move the hole to the bolt, or the bolt's other holes to it.",
    "tube-too-wide": "Choose a tube that slides in with {} to {} of play.",
    "narrow-gap": "Move them apart, or accept it where touching does no harm.",
}


def find_clashes(frame: Frame, known: Survey | None = None) -> list[Finding]:
    """Every clash of ``frame``; equal ones once with their count.

    Parameters
    ----------
    frame : Frame
    known : Survey or None
        Of the frame, where it has been made already.
    """
    return told_by_cause(each_clash(known or survey(frame, reach_of(frame))), _weight)


def _weight(finding: Finding) -> Rank:
    """What sorts the finding first that says most about its cause: bodies before hardware."""
    small = sum(member.part.is_bought for member in finding.members)
    return (small, RULES.index(finding.rule), round(finding.provided or 0.0, 1), finding.where)


def each_clash(seen: Survey) -> Iterator[Found]:
    """Every clash at every place."""
    for meeting in seen.meetings:
        yield from _judged(seen, meeting)


def reach_of(frame: Frame) -> float:
    """Up to which gap members are looked at, mm."""
    return max(1.0, _least_gap(frame))


def _least_gap(frame: Frame) -> float:
    tolerances = getattr(frame.design, "tolerances", None)
    return 0.0 if tolerances is None else tolerances.gap


def _judged(seen: Survey, meeting: Meeting) -> Iterator[Found]:
    members = seen.scene.members
    first, second = members[meeting.pairs.first[0]], members[meeting.pairs.second[0]]
    if meeting.gap_mm < -TOUCH_MM:
        rule, text = _named(first, second, meeting.contacts)
        if rule is SOLID and _is_spliced(seen, meeting):
            rule, text = COVERED, "The bolt goes through only one of two nested tubes."
        yield from _each(seen, meeting, rule, 0.0, meeting.gap_mm, text)
    elif TOUCH_MM < meeting.gap_mm < _least_gap(seen.frame) and _passes(seen, meeting):
        least = _least_gap(seen.frame)
        said = _compared(seen, least, meeting.gap_mm)
        text = f"They are {said.provided} apart."
        yield from _each(seen, meeting, NEAR, least, meeting.gap_mm, text)
    for contact in meeting.contacts:
        if contact.kind in (ContactKind.THROUGH, ContactKind.NESTED) and not contact.fits:
            yield from _misfit(seen, meeting, contact)


def _named(first: Member, second: Member, contacts: tuple[Contact, ...]) -> tuple[Rule, str]:
    """The rule that an overlap breaks, and what to say about it."""
    small = [one.part.is_bought for one in (first, second)]
    if all(small):
        return CROWDED, "They overlap."
    for one, other in ((first, second), (second, first)):
        if isinstance(one.part, (Bolt, Screw)) and not contacts:
            what = "bolt" if isinstance(one.part, Bolt) else "screw"
            return SOLID, f"The {what} hits the {other.role.value}, which has no hole for it."
    return CLASH, f"The {first.role.value} and the {second.role.value} overlap."


def _is_spliced(seen: Survey, meeting: Meeting) -> bool:
    """Whether one of the two lies in a tube that the other, a bolt, does go through."""
    bolt, tube = int(meeting.pairs.first[0]), int(meeting.pairs.second[0])
    if not isinstance(seen.scene.members[bolt].part, Bolt):
        bolt, tube = tube, bolt
    held = {other for _, _, other in seen.links.of(bolt)}
    around = {
        other
        for number, order, other in seen.links.of(tube)
        if seen.meetings[number].contacts[order].kind is ContactKind.NESTED
    }
    return bool(held & around)


def _passes(seen: Survey, meeting: Meeting) -> bool:
    """Whether two tubes pass each other that nothing holds together."""
    numbers = int(meeting.pairs.first[0]), int(meeting.pairs.second[0])
    first, second = (seen.scene.members[number] for number in numbers)
    if meeting.contacts or not (isinstance(first.part, Tube) and isinstance(second.part, Tube)):
        return False
    if first.role not in _FREE and second.role not in _FREE:
        return False
    held = [{other for _, _, other in seen.links.of(number)} for number in numbers]
    return not held[0] & held[1]


def _misfit(seen: Survey, meeting: Meeting, contact: Contact) -> Iterator[Found]:
    if contact.kind is ContactKind.NESTED:
        if contact.allowed_mm < 0:
            wider = _gap(seen, -2 * contact.allowed_mm)
            text = f"The inner tube is {wider} wider than the bore."
            yield from _each(seen, meeting, TOO_TIGHT, 0.0, 2 * contact.allowed_mm, text)
        else:
            text = "The inner tube cuts into the wall of the outer one."
            margin = contact.allowed_mm - contact.offset_mm
            yield from _each(seen, meeting, CLASH, 0.0, margin, text)
        return
    said = _compared(seen, contact.allowed_mm, contact.offset_mm)
    text = f"The hole is {said.provided} off the bolt; the bolt has {said.required} of play in it."
    margin = contact.allowed_mm - contact.offset_mm
    yield from _each(seen, meeting, OFF_LINE, 0.0, margin, text)


def _gap(seen: Survey, length_mm: float) -> str:
    """A gap as text: as fine as it takes to be more than nothing."""
    return _compared(seen, 0.0, length_mm).provided


def _compared(seen: Survey, required_mm: float, provided_mm: float) -> Numbers:
    return compared(required_mm, provided_mm, form=lengths_of(seen.frame), fine=True)


def _each(
    seen: Survey, meeting: Meeting, rule: Rule, required: float, provided: float, text: str
) -> Iterator[Found]:
    """The finding at every pair of the meeting."""
    form = lengths_of(seen.frame)
    advice = _ADVICE[rule.name].format(*(gap_text(form, play) for play in PLAY_MM))
    for one, two in zip(meeting.pairs.first, meeting.pairs.second, strict=True):
        pair = sorted((seen.scene.members[one], seen.scene.members[two]), key=_rank)
        yield Found(
            finding=Finding(
                rule=rule, where=f"{pair[0].mark} and {pair[1].mark}", message=text,
                members=tuple(pair), advice=advice, required=required,
                provided=provided, unit="mm", fine=True, **fields_of(seen.frame, *pair),
            ),
            place=place_of(*reversed(pair)),
        )  # fmt: skip


def _rank(member: Member) -> tuple[int, str]:
    """Frame before hardware, then by mark."""
    kinds = (ClampHalf, *_SMALL)
    return (1 + kinds.index(type(member.part)) if isinstance(member.part, kinds) else 0,
            member.mark)  # fmt: skip
