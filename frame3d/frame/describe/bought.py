"""What is bought for a frame: hardware by its words."""

from __future__ import annotations

from msgspec import Struct

from frame3d.frame.describe.wording import describe, lengths_of
from frame3d.frame.model.members import Frame, Member, PartCount
from frame3d.frame.model.parts import Part

__all__ = ["Bought", "bought"]


class Bought(Struct, frozen=True, kw_only=True):
    """One thing that is bought: its words, one such part, its marks, and where it goes."""

    item: str
    part: Part
    marks: tuple[str, ...]
    members: tuple[Member, ...]


def bought(frame: Frame) -> tuple[Bought, ...]:
    """Every thing that is bought, once: equal words are equal things."""
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
        )
        for item, groups in found.items()
    )
