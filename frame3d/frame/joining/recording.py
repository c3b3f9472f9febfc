"""The joints of a frame, from what the families say of their fasteners.

A place that names no member is left out, as that of a screw where no sill is: what is recorded
is what is there, and the checks hold it against what they measure.
"""

from __future__ import annotations

import bisect
import itertools
from collections import defaultdict
from collections.abc import Iterator, Sequence

from msgspec import Struct

from frame3d.frame.model.joints import Joint, JointKind, RunName, Stretch, UnmarkedJoint
from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import Swage, Tube

_TOUCHING_MM = 1.0
"""Tubes that overlap by less end at each other."""


class _Covering(Struct, frozen=True, gc=False):
    """A member with what it covers of a run, and the part as it was laid out along that."""

    stretch: Stretch
    draft: UnmarkedMember
    member: Member

    def radius_mm(self, at_mm: float) -> float:
        """Outside radius there of a tube; 0 of anything else, which lies in nothing."""
        part, low, high = self.draft.part, self.stretch.from_mm, self.stretch.to_mm
        if not isinstance(part, Tube):
            return 0.0
        for end, away in ((part.start, at_mm - low), (part.end, high - at_mm)):
            if isinstance(end, Swage) and away < end.length_mm:
                return end.od_mm / 2
        return part.section.od_mm / 2


class _Pieces:
    """What covers a run, in the order in which it begins: a long tunnel has hundreds in one."""

    def __init__(self, pieces: list[_Covering]) -> None:
        self.rising = sorted(pieces, key=lambda piece: piece.stretch.from_mm)
        self._starts = [piece.stretch.from_mm for piece in self.rising]
        self._reach = list(itertools.accumulate((p.stretch.to_mm for p in self.rising), max))

    def at(self, at_mm: float) -> list[_Covering]:
        """What is at a place, an outer tube before the one in it."""
        there, number = [], bisect.bisect_left(self._starts, at_mm)
        while number and self._reach[number - 1] > at_mm:
            number -= 1
            if self.rising[number].stretch.to_mm > at_mm:
                there.append(self.rising[number])
        if len(there) > 1:
            there.sort(key=lambda piece: -piece.radius_mm(at_mm))
        return there


def joints_of(drafts: Sequence[UnmarkedMember], members: Sequence[Member]) -> tuple[Joint, ...]:
    """The joints of ``members``, which are the ``drafts`` with their marks: nestings last."""
    covered: dict[RunName, list[_Covering]] = defaultdict(list)
    fasteners: dict[int, tuple[UnmarkedJoint, list[Member]]] = {}
    for draft, member in zip(drafts, members, strict=True):
        for stretch in draft.stretches:
            covered[stretch.run].append(_Covering(stretch, draft, member))
        joint = draft.joint
        if joint is not None:
            if id(joint) in fasteners:
                fasteners[id(joint)][1].append(member)
            else:
                fasteners[id(joint)] = joint, [member]
    runs = {name: _Pieces(pieces) for name, pieces in covered.items()}
    found = [
        Joint(
            kind=joint.kind,
            members=tuple(
                [
                    piece.member
                    for place in joint.places
                    if place.run in runs
                    for piece in runs[place.run].at(place.at_mm)
                ]
            ),
            fasteners=tuple(held),
            source=held[0].source,
        )
        for joint, held in fasteners.values()
    ]
    return (*found, *(joint for pieces in runs.values() for joint in _nestings(pieces)))


def _nestings(pieces: _Pieces) -> Iterator[Joint]:
    """Tubes that cover the same stretch of a run lie in each other."""
    tubes = [piece for piece in pieces.rising if isinstance(piece.draft.part, Tube)]
    for number, first in enumerate(tubes):
        for second in tubes[number + 1 :]:
            low, high = second.stretch.from_mm, min(first.stretch.to_mm, second.stretch.to_mm)
            if high < low:
                break
            if high - low > _TOUCHING_MM:
                middle = (low + high) / 2
                pair = sorted((first, second), key=lambda piece: -piece.radius_mm(middle))
                yield Joint(
                    kind=JointKind.NESTED,
                    members=tuple(piece.member for piece in pair),
                    fasteners=(),
                    source=pair[1].member.source,
                )
