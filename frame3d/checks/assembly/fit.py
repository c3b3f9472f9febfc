"""Fit: legs in sockets, swages and sleeves, holes and edges, bolts and what they hold."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np
from msgspec.structs import replace

from frame3d.checks.assembly import fasteners, recorded_joints
from frame3d.checks.assembly import held_joints as joints
from frame3d.checks.assembly.clashes import reach_of
from frame3d.checks.findings.causes import Rank, edge_fields, told_by_cause
from frame3d.checks.findings.equal_findings import Found, place_of
from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.checks.measured.contacts import Contact, ContactKind
from frame3d.checks.measured.near_pairs import Survey, survey
from frame3d.frame.describe.wording import gap_text, lengths_of
from frame3d.frame.measure.bores import Bore
from frame3d.frame.model.end_forms import Flat
from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.parts import Board, Part, Tube
from frame3d.frame.model.roles import Role
from frame3d.units import LengthFormat, compared

_PLAY_MM = (0.5, 3.0)
_MOST_PAIRS = 4
_OVERLAP = 2.5
_EDGE = 1.5
_FLAT_EDGE = 1.2
"""At a flat end of a tube: the least end distance of EN 1993-1-8, table 3.3 (from memory)."""
_PITCH = 2.2
_BLOCK_MM = 25.0

PLAY = Rule(
    name="sliding-fit",
    severity=Severity.WARNING,
    meaning="Tubes that slide together have less than 0.5 mm (0.02 in) or more than 3 mm (0.12 in) "
    "of play on the diameter.",
    source=COMMON_PRACTICE,
)
LEG = Rule(
    name="leg-in-socket",
    severity=Severity.ERROR,
    meaning="A socket has no hoop leg, or one that does not reach 1.5 hole diameters past both its "
    "holes.",
    source=COMMON_PRACTICE,
)
OVERLAP = Rule(
    name="splice-overlap",
    severity=Severity.WARNING,
    meaning="Tubes overlap by less than 2.5 outside diameters at a joint.",
    source=COMMON_PRACTICE,
)
EDGE = Rule(
    name="hole-near-edge",
    severity=Severity.ERROR,
    meaning="A hole centre is less than 1.5 hole diameters from the nearest end or edge (1.2 at "
    "the flat end of a tube).",
    source=COMMON_PRACTICE,
)
PITCH = Rule(
    name="holes-too-near",
    severity=Severity.WARNING,
    meaning="Holes in one tube are less than 2.2 hole diameters apart along it.",
    source="EN 1993-1-8, table 3.3, p1 (from memory)",
)
GROUND = Rule(
    name="hole-in-ground",
    severity=Severity.ERROR,
    meaning="A socket hole is less than 1.5 diameters above the driving mark or the ground.",
    source=COMMON_PRACTICE,
)
BLOCK = Rule(
    name="block-near-socket",
    severity=Severity.WARNING,
    meaning="The block behind a board joint is less than 25 mm (1 in) from a socket beside it.",
    source=COMMON_PRACTICE,
)
RULES = (
    PLAY,
    LEG,
    OVERLAP,
    EDGE,
    PITCH,
    GROUND,
    BLOCK,
    *joints.RULES,
    *fasteners.RULES,
    *recorded_joints.RULES,
)


def find_misfits(frame: Frame, known: Survey | None = None) -> list[Finding]:
    """Everything in ``frame`` that does not fit; equal findings once with their count.

    Parameters
    ----------
    frame : Frame
    known : Survey or None
        Of the frame, where it has been made already.
    """
    seen = known or survey(frame, reach_of(frame))
    struck, pairs = joints.struck_bolts(seen), fasteners.held_pairs(seen)
    found = (
        *_together(_nested(seen)), *_sockets(seen), *_edges(seen), *_blocks(seen),
        *joints.joint_findings(seen, struck), *fasteners.lone_fasteners(seen, struck, pairs),
        *recorded_joints.misjoined(seen, struck, pairs),
    )  # fmt: skip
    return told_by_cause(found, _weight, "The same goes for {} more part{s}.")


def _weight(finding: Finding) -> Rank:
    """What sorts the finding first that is farthest from what it should be."""
    return (finding.margin if finding.margin is not None else 0.0, finding.where)


def _found(
    rule: Rule,
    where: str,
    members: Sequence[Member],
    message: str,
    advice: str,
    required: float | None = None,
    provided: float | None = None,
    count: int = 1,
    *,
    is_most: bool = False,
    fine: bool = False,
) -> Found:
    """A finding about ``members``, at the place of the first."""
    finding = Finding(
        rule=rule, where=where, members=tuple(members), message=message, advice=advice,
        required=required, provided=provided, unit="" if required is None else "mm",
        is_most=is_most, fine=fine,
    )  # fmt: skip
    return Found(finding=finding, place=place_of(members[0]), count=count)


def _nested(seen: Survey) -> Iterator[Found]:
    """Play and overlap of tubes in each other."""
    members, form = seen.scene.members, lengths_of(seen.frame)
    for meeting in seen.meetings:
        for contact in meeting.contacts:
            if contact.kind is not ContactKind.NESTED or contact.allowed_mm < 0:
                continue
            for one, two in zip(meeting.pairs.first, meeting.pairs.second, strict=True):
                inner, outer = (two, one) if contact.swapped else (one, two)
                slid, over = with_part(members[inner], Tube), with_part(members[outer], Tube)
                yield from _fitting(slid, over, contact, form)


def _together(found: Iterable[Found]) -> Iterator[Found]:
    """Findings in the same words as of all their pairs of tubes, so that they are told once."""
    groups: dict[tuple[str, str], list[Found]] = {}
    for one in found:
        groups.setdefault((one.finding.rule.name, one.finding.message), []).append(one)
    for group in groups.values():
        pairs = sorted({one.finding.where for one in group}, key=lambda where: (len(where), where))
        where = ", ".join(pairs[:_MOST_PAIRS])
        if len(pairs) > _MOST_PAIRS:
            where += f" and {len(pairs) - _MOST_PAIRS} more pairs"
        yield from (replace(one, finding=replace(one.finding, where=where)) for one in group)


def _fitting(
    inner: Member[Tube], outer: Member[Tube], contact: Contact, form: LengthFormat
) -> Iterator[Found]:
    where, members = f"{inner.mark} in {outer.mark}", (inner, outer)
    play, (low, high) = 2 * contact.allowed_mm, _PLAY_MM
    if not low - 0.005 <= play <= high + 0.005:
        limit = low if play < low else high
        said = compared(limit, play, form=form, is_most=play > high, fine=True)
        word = "is too tight" if play < low else "rattles"
        yield _found(
            PLAY, where, members, f"The fit has {said.provided} of play: it {word}.",
            f"Choose tubes with {gap_text(form, low)} to {gap_text(form, high)} of play.",
            limit, play,
            is_most=play > high, fine=True,
        )  # fmt: skip
    if Role.SOCKET in (inner.role, outer.role):
        return
    overlap = contact.to_mm - contact.from_mm
    body = min(inner.part.section.od_mm, outer.part.section.od_mm)
    if inner.role is Role.SPLICE:
        body = outer.part.section.od_mm
    need = _OVERLAP * body
    if overlap < need - 0.01:
        said = compared(need, overlap, form=form)
        yield _found(
            OVERLAP, where, members, f"They overlap by {said.provided}.",
            "Make the overlap longer.", need, overlap,
        )  # fmt: skip


def _sockets(seen: Survey) -> Iterator[Found]:
    members, form = seen.scene.members, lengths_of(seen.frame)
    exposed = getattr(getattr(seen.frame.design, "socket", None), "exposed", None)
    for number, member in enumerate(members):
        if member.role is not Role.SOCKET:
            continue
        bores = seen.fittings.bores(member.part)
        yield from _above_ground(member, bores, exposed, form)
        legs = [
            contact
            for meeting, order, _ in seen.links.of(number)
            if (contact := seen.meetings[meeting].contacts[order]).kind is ContactKind.NESTED
        ]
        if not legs:
            yield _found(
                LEG, member.mark, (member,), "There is no hoop leg in it.",
                "Move the hoop or the socket.",
            )  # fmt: skip
            continue
        yield from _past_holes(with_part(member, Tube), bores, legs[0], form)


def _past_holes(
    member: Member[Tube], bores: tuple[Bore, ...], leg: Contact, form: LengthFormat
) -> Iterator[Found]:
    for bore in bores:
        reached = bore.along_mm - leg.outer_from_mm
        if leg.outer_to_mm < member.part.length_mm - 0.01:
            reached = leg.outer_to_mm - bore.along_mm
        need = _EDGE * bore.diameter_mm
        if reached < need - 0.01:
            said = compared(need, reached, form=form)
            yield _found(
                LEG, member.mark, (member,),
                f"The leg reaches only {said.provided} past the hole "
                f"{form.text(bore.along_mm, unit=True)} from the top.",
                "Set the leg deeper in the socket, or the hole higher.", need, reached,
            )  # fmt: skip


def _above_ground(
    member: Member, bores: tuple[Bore, ...], exposed_mm: float | None, form: LengthFormat
) -> Iterator[Found]:
    for bore in bores:
        height = member.placement.point(bore.middle)[2]
        if exposed_mm is not None:
            height = min(height, exposed_mm - bore.along_mm)
        need = _EDGE * bore.diameter_mm
        if height < need - 0.01:
            said = compared(need, height, form=form)
            yield _found(
                GROUND, member.mark, (member,),
                f"The hole {form.text(bore.along_mm, unit=True)} from the top is "
                f"{said.provided} above the driving mark or the ground.",
                "Leave more of the socket above ground, or drill the hole higher.",
                need, height,
            )  # fmt: skip


def _edges(seen: Survey) -> Iterator[Found]:
    """Holes too near to an edge or to each other: once for each distinct part."""
    form = lengths_of(seen.frame)
    for number, _ in enumerate(seen.scene.shapes):
        which = np.flatnonzero(seen.scene.part == number)
        members = [seen.scene.members[index] for index in which.tolist()]
        part = members[0].part
        if part.is_bought:
            continue
        bores = seen.fittings.bores(part)
        in_socket = _in_socket(seen, int(which[0]))
        for bore in bores:
            if not any(low <= bore.along_mm <= high for low, high in in_socket):
                for found in _edge(members, bore, form):
                    fields = edge_fields(seen.frame, members[0], bore.end_mm)
                    yield replace(found, finding=replace(found.finding, **fields))
        if isinstance(part, Tube):
            yield from _pitches(members, bores, form)


def _in_socket(seen: Survey, number: int) -> list[tuple[float, float]]:
    """Stretches of a leg in its socket: the holes there are judged with the socket's."""
    return [
        (contact.from_mm, contact.to_mm)
        for meeting, order, other in seen.links.of(number)
        if (contact := seen.meetings[meeting].contacts[order]).kind is ContactKind.NESTED
        and seen.scene.members[other].role is Role.SOCKET
        and seen.scene.members[number].role is not Role.SOCKET
    ]


def _edge(members: Sequence[Member], bore: Bore, form: LengthFormat) -> Iterator[Found]:
    need = (_FLAT_EDGE if _in_flat(members[0].part, bore) else _EDGE) * bore.diameter_mm
    if bore.end_mm < need - 0.01:
        said = compared(need, bore.end_mm, form=form, fine=True)
        yield _found(
            EDGE, members[0].mark, members,
            f"The hole {form.text(bore.along_mm, unit=True)} along it is "
            f"{said.provided} from its nearest edge.",
            "Move the hole inward, or use a longer or deeper piece.", need, bore.end_mm,
            len(members), fine=True,
        )  # fmt: skip


def _in_flat(part: Part, bore: Bore) -> bool:
    """True for a hole in the flat of a tube's end."""
    if not isinstance(part, Tube):
        return False
    ends = ((part.start, bore.along_mm), (part.end, part.length_mm - bore.along_mm))
    return any(isinstance(end, Flat) and at <= end.length_mm for end, at in ends)


def _pitches(
    members: Sequence[Member], bores: tuple[Bore, ...], form: LengthFormat
) -> Iterator[Found]:
    ordered = sorted(bores, key=lambda bore: bore.along_mm)
    for one, two in zip(ordered, ordered[1:], strict=False):
        apart = two.along_mm - one.along_mm
        need = _PITCH * max(one.diameter_mm, two.diameter_mm)
        if apart < need - 0.01:
            said = compared(need, apart, form=form, fine=True)
            yield _found(
                PITCH, members[0].mark, members,
                f"The holes {form.text(one.along_mm, unit=True)} and "
                f"{form.text(two.along_mm, unit=True)} along it are {said.provided} apart.",
                "Move one of the joints along the tube.", need, apart, len(members),
                fine=True,
            )  # fmt: skip


def _blocks(seen: Survey) -> Iterator[Found]:
    """Blocks of sill boards, which lie on the inside between the sockets."""
    sockets = list(seen.frame.of_kind(Tube, Role.SOCKET))
    blocks = list(seen.frame.of_kind(Board, Role.JOINT_BLOCK))
    if not sockets or not blocks:
        return
    places = np.array([m.placement.origin for m in sockets])
    radius = sockets[0].part.section.od_mm / 2
    for block in blocks:
        ends = [block.placement.point((x, 0.0, 0.0)) for x in (0.0, block.part.length_mm)]
        low, high = sorted(end[1] for end in ends)
        # Blocks of a hip board lie higher and have hoops beside them, not sockets.
        near = (places[:, 0] * ends[0][0] > 0) & (ends[0][2] < places[:, 2].max())
        if not near.any():
            continue
        free = np.maximum(low - places[near, 1], places[near, 1] - high) - radius
        room = float(free.min())
        if 0 <= room < _BLOCK_MM - 0.01:
            said = compared(_BLOCK_MM, room, form=lengths_of(seen.frame))
            yield _found(
                BLOCK, block.mark, (block,),
                f"Its end is {said.provided} from a socket.",
                "Make the block shorter.", _BLOCK_MM, room,
            )  # fmt: skip
