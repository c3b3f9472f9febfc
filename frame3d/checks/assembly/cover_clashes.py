"""What parts of the cover hit besides what they lie on, and whether channel has a face to lie on.

Channel lies over boards, hoops, bolts and hinges: it is notched there, or stops either side, as
the guide says. What is looked for here is what nobody expects to find in its way.
"""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.checks.findings.causes import fields_of
from frame3d.checks.findings.equal_findings import Found, place_of, told_once
from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.checks.findings.sentences import name_of, numbers
from frame3d.checks.measured.measuring import PairToMeasure, gaps
from frame3d.checks.measured.neighbours import near_pairs, scene_of
from frame3d.frame.model.channel import Channel
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.model.roles import SKIN, Role
from frame3d.frame.skin.channel_runs import door_edge_mm, jamb_face

CLASH = Rule(
    name="cover-clash",
    severity=Severity.WARNING,
    meaning="A part of the cover lies in something that it is not meant to lie on.",
    source="geometry of the frame",
)
BEARING = Rule(
    name="channel-bearing",
    severity=Severity.WARNING,
    meaning="Channel beside a door has too little of the jamb under it to be screwed to.",
    source=COMMON_PRACTICE,
)
RULES = (CLASH, BEARING)

_DEEP_MM = 1.5
"""Overlaps up to this are none: bent channel is drawn in chords within 1 mm."""
_BEARING_MM = 12.0
"""Least width of a jamb under channel, for a screw in the middle of it (common practice)."""
_HARDWARE = (Role.BOLT, Role.NUT, Role.WASHER, Role.SCREW, Role.CLAMP)
_BOARDS = (Role.SILL_BOARD, Role.SKIRT_BOARD)
_LIES_ON = {
    # Notched, or stopped either side, where it crosses.
    Role.CHANNEL: frozenset({
        Role.SOCKET, Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT, Role.RAIL, *_BOARDS,
        Role.HIP_BOARD, Role.HIP_RAIL, Role.END_STOP, Role.JOINT_BLOCK, Role.DOOR_JAMB,
        Role.DOOR_HEADER, Role.STUD, Role.GIRT, Role.WALL_SILL, Role.THRESHOLD, Role.HINGE,
        Role.BRACKET,
        Role.CHANNEL, Role.CHANNEL_SCREW, *_HARDWARE,
    }),
    # Into whatever lies under its channel, but no bolt, screw or clamp.
    Role.CHANNEL_SCREW: frozenset({
        Role.SOCKET, Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT, Role.RAIL, *_BOARDS,
        Role.HIP_BOARD, Role.HIP_RAIL, Role.END_STOP, Role.JOINT_BLOCK, Role.DOOR_JAMB,
        Role.DOOR_HEADER, Role.STUD, Role.GIRT, Role.WALL_SILL, Role.CHANNEL,
    }),
    # Film, and so its tube, lies on boards and the heads of their bolts.
    Role.CURTAIN_TUBE: frozenset({
        *_BOARDS, Role.CURTAIN_TUBE, Role.CURTAIN_SCREW, Role.CURTAIN_CLIP, Role.WINDER,
        *_HARDWARE,
    }),
    Role.CURTAIN_CLIP: frozenset({
        *_BOARDS, Role.ROLL_TUBE, Role.CURTAIN_TUBE, Role.CURTAIN_SCREW, *_HARDWARE,
    }),
    Role.CURTAIN_SCREW: frozenset({*_BOARDS, *_HARDWARE}),
    Role.CORD_EYE: frozenset({*_BOARDS, Role.HIP_BOARD, Role.HIP_RAIL}),
    Role.WINDER: frozenset({Role.GUIDE_POST}),
    Role.GUIDE_POST: frozenset(),
}  # fmt: skip
"""What each part of the cover lies on, is put round or goes into."""


def find_cover_clashes(frame: Frame) -> list[Finding]:
    """Findings of :data:`RULES`; none of a frame whose cover is no parts."""
    found = list(_bearings(frame))
    if any(True for _ in frame.of(*SKIN)):
        found += told_once(_clashes(frame))
    return found


def _clashes(frame: Frame) -> Iterator[Found]:
    scene = scene_of(frame, frame.members)
    members = scene.members
    near = [
        one for one in near_pairs(scene, 0.0)
        if not _is_meant(members[one.first[0]], members[one.second[0]])
    ]  # fmt: skip
    jobs = [
        PairToMeasure(
            first=int(one.first[0]), second=int(one.second[0]), primitives=tuple(one.primitives)
        )
        for one in near
    ]
    for one, gap in zip(near, gaps(scene, jobs, 1.0), strict=True):
        if gap > -_DEEP_MM:
            continue
        for first, second in zip(one.first, one.second, strict=True):
            yield _found(frame, members[first], members[second], -float(gap))


def _is_meant(one: Member, other: Member) -> bool:
    """Whether one lies on the other, or neither is of the cover."""
    if one.role not in SKIN and other.role not in SKIN:
        return True
    return other.role in _LIES_ON.get(one.role, ()) or one.role in _LIES_ON.get(other.role, ())


def _found(frame: Frame, one: Member, other: Member, deep_mm: float) -> Found:
    skin, hit = (one, other) if one.role in SKIN else (other, one)
    if hit.role in SKIN and skin.role is Role.CHANNEL:
        skin, hit = hit, skin
    said = numbers(frame, 0.0, deep_mm, is_most=True, fine=True)
    return Found(
        finding=Finding(
            rule=CLASH, where=f"{skin.mark} and {hit.mark}", members=(skin, hit),
            message=f"The {skin.role.value} reaches {said.provided} into the {hit.role.value}.",
            advice="Stop it either side, or move one of them.", required=0.0,
            provided=deep_mm, unit="mm", is_most=True, fine=True, **fields_of(frame, skin, hit),
        ),
        place=place_of(skin, hit),
    )  # fmt: skip


def _bearings(frame: Frame) -> Iterator[Finding]:
    """Each side of each door: the width of its jamb that lies under the channel."""
    pieces = [m for m in frame.of_kind(Channel, Role.CHANNEL) if abs(m.placement.x[2]) > 0.9]
    for door in frame.doors:
        beside = tuple(m for m in pieces if _is_beside(m, door))
        if not beside:
            continue
        low, high = jamb_face(frame.design, door)
        edge = door_edge_mm(frame.design, door)
        under = min(high, edge + frame.design.cover.channel_width) - max(low, edge)
        if under < _BEARING_MM - 1e-6:
            said = numbers(frame, _BEARING_MM, max(0.0, under))
            yield Finding(
                rule=BEARING, where=f"{name_of(frame, door)}, jambs", field=door.where,
                members=beside, required=_BEARING_MM, provided=max(0.0, under), unit="mm",
                message=f"Channel beside the door lies on {said.provided} of the jamb; a screw "
                f"wants {said.required}.",
                advice="Set a second upright beside each jamb, use wider lumber, or narrower "
                "channel.",
            )  # fmt: skip


def _is_beside(member: Member, door: DoorOpening) -> bool:
    x, y, _ = member.placement.origin
    near = min(abs(x - door.left_x_mm), abs(x - door.right_x_mm))
    return near < 200.0 and abs(y - door.wall_y_mm) < 1.0
