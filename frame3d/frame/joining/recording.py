"""The joints of a frame, from what the families say of their fasteners.

A place that names no member is left out, as that of a screw where no sill is: what is recorded
is what is there, and the checks hold it against what they measure.
"""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Iterator, Sequence

from msgspec import Struct

from frame3d.frame.model.joints import Joint, JointKind, Place, RunName, Stretch, UnmarkedJoint
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


def joints_of(drafts: Sequence[UnmarkedMember], members: Sequence[Member]) -> tuple[Joint, ...]:
    """The joints of ``members``, which are the ``drafts`` with their marks: nestings last."""
    runs: dict[RunName, list[_Covering]] = defaultdict(list)
    fasteners: dict[int, tuple[UnmarkedJoint, list[Member]]] = {}
    for draft, member in zip(drafts, members, strict=True):
        for stretch in draft.stretches:
            runs[stretch.run].append(_Covering(stretch, draft, member))
        joint = draft.joint
        if joint is not None:
            if id(joint) in fasteners:
                fasteners[id(joint)][1].append(member)
            else:
                fasteners[id(joint)] = joint, [member]
    found = [
        Joint(
            kind=joint.kind,
            members=tuple([member for place in joint.places for member in _at(runs, place)]),
            fasteners=tuple(held),
            source=held[0].source,
        )
        for joint, held in fasteners.values()
    ]
    return (*found, *_nestings(runs))


def _at(runs: dict[RunName, list[_Covering]], place: Place) -> Sequence[Member]:
    """What is at a place, an outer tube before the one in it."""
    at_mm = place.at_mm
    there = [p for p in runs.get(place.run, ()) if p.stretch.from_mm < at_mm < p.stretch.to_mm]
    if len(there) > 1:
        there.sort(key=lambda piece: -piece.radius_mm(at_mm))
    return [piece.member for piece in there]


def _nestings(runs: dict[RunName, list[_Covering]]) -> Iterator[Joint]:
    """Tubes that cover the same stretch of a run lie in each other."""
    for pieces in runs.values():
        tubes = [piece for piece in pieces if isinstance(piece.draft.part, Tube)]
        for first, second in itertools.combinations(tubes, 2):
            low = max(first.stretch.from_mm, second.stretch.from_mm)
            high = min(first.stretch.to_mm, second.stretch.to_mm)
            if high - low > _TOUCHING_MM:
                middle = (low + high) / 2
                pair = sorted((first, second), key=lambda piece: -piece.radius_mm(middle))
                yield Joint(
                    kind=JointKind.NESTED,
                    members=tuple(piece.member for piece in pair),
                    fasteners=(),
                    source=pair[1].member.source,
                )


__all__ = ["joints_of"]
