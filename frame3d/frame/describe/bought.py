"""What is bought for a frame: hardware by its words, as it lies in the frame and as it is sold.

Clamps are sold complete: two halves on their rivet for two diameters of tube, with their bolts or
without them (common practice, no source). Nobody sells halves.
"""

from __future__ import annotations

from msgspec import Struct, structs

from frame3d.design.tables.general import ClampBolts, DoorFittings
from frame3d.frame.describe.wording import describe, lengths_of, sold_text
from frame3d.frame.model.joints import Joint
from frame3d.frame.model.members import Frame, Member, PartCount
from frame3d.frame.model.parts import ClampHalf, Part, Plate
from frame3d.frame.model.roles import Role
from frame3d.geometry.placement import dot
from frame3d.units import LengthFormat

FITTINGS = frozenset({Role.HINGE, Role.BRACKET, Role.FLOOR_GUIDE})
"""Roles of the plates of door hardware."""

_SQUARE = 0.01
"""Cosine of the angle between tubes below which they cross square."""


class Bought(Struct, frozen=True, kw_only=True):
    """One thing that is bought: its words, one such part, its marks, and where it goes.

    ``count`` is how many of it there are, and ``members`` all pieces that come with them.
    """

    item: str
    part: Part
    marks: tuple[str, ...]
    members: tuple[Member, ...]
    count: int


def _pieces(frame: Frame) -> tuple[Bought, ...]:
    """Every piece that is bought, once: equal words are equal things."""
    form = lengths_of(frame)
    found: dict[str, list[PartCount]] = {}
    for group in frame.parts():
        if group.part.is_bought:
            found.setdefault(describe(group.part, form), []).append(group)
    return tuple(
        Bought(
            item=item,
            part=groups[0].part,
            marks=tuple(dict.fromkeys(group.mark for group in groups)),
            members=tuple(member for group in groups for member in group.members),
            count=sum(group.count for group in groups),
        )
        for item, groups in found.items()
    )


def bought(frame: Frame) -> tuple[Bought, ...]:
    """Every thing that is bought, as it is sold: clamps complete, the rest piece by piece."""
    clamps = _clamps(frame)
    own = {id(member) for clamp in clamps for member in clamp.members} | in_sets(frame)
    loose = []
    for thing in _pieces(frame):
        members = tuple(member for member in thing.members if id(member) not in own)
        if members:
            marks = tuple(dict.fromkeys(member.mark for member in members))
            loose.append(structs.replace(thing, members=members, marks=marks, count=len(members)))
    return (*loose, *clamps)


def is_bought_fitting(frame: Frame, part: Part, role: Role) -> bool:
    """Whether a plate of a door is of something that is bought complete."""
    bought_so = frame.design.hardware.door_fittings is DoorFittings.BOUGHT
    return bought_so and isinstance(part, Plate) and role in FITTINGS


def in_sets(frame: Frame) -> set[int]:
    """What comes with bought hinges, hangers and brackets: pins, and bolts between their plates."""
    return {
        id(piece)
        for joint in frame.joints
        if joint.members
        and all(is_bought_fitting(frame, one.part, one.role) for one in joint.members)
        for piece in joint.fasteners
    }


def _clamps(frame: Frame) -> tuple[Bought, ...]:
    form, found = lengths_of(frame), dict[str, list[tuple[Member, ...]]]()
    for joint in frame.joints:
        halves = tuple(m for m in joint.fasteners if isinstance(m.part, ClampHalf))
        if halves:
            with_bolts = frame.design.hardware.clamp_bolts is ClampBolts.INCLUDED
            pieces = joint.fasteners if with_bolts else halves
            found.setdefault(_clamp_words(joint, form, with_bolts), []).append(pieces)
    return tuple(
        Bought(
            item=item,
            part=clamps[0][0].part,
            marks=tuple(dict.fromkeys(member.mark for clamp in clamps for member in clamp)),
            members=tuple(member for clamp in clamps for member in clamp),
            count=len(clamps),
        )
        for item, clamps in found.items()
    )


def _clamp_words(joint: Joint, form: LengthFormat, with_bolts: bool) -> str:
    """A clamp by the tubes that it joins; one half alone carries a hinge, riveted to it."""
    halves = [
        (member, part) for member in joint.fasteners if isinstance(part := member.part, ClampHalf)
    ]
    sizes = [sold_text(form, size) for size in sorted(part.tube_od_mm for _, part in halves)]
    if len(halves) == 1:
        rivet = "with rivet and bolt" if with_bolts else "with rivet, without bolt"
        return f"hinge clamp for {sizes[0]} tube, {rivet}"
    first, second = (member.placement.x for member, _ in halves[:2])
    kind = "cross" if abs(dot(first, second)) < _SQUARE else "swivel"
    bolts = "with bolts" if with_bolts else "without bolts"
    return f"{kind} clamp for {sizes[0]} and {sizes[1]} tube, {bolts}"
