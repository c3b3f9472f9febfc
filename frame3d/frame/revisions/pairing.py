"""Which parts of two frames are the same, and which take the place of which.

It goes by the records alone, so a build that only has the older one's summary says the same as a
comparison of the two designs.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from frame3d.frame.model.part_records import Change, PartChange, PartRecord
from frame3d.frame.revisions.records import same_shape

_Nearness = tuple[bool, bool, float, float, tuple[tuple[str, tuple[float, ...]], ...]]


def changes_between(old: Sequence[PartRecord], new: Sequence[PartRecord]) -> tuple[PartChange, ...]:
    """What became of each part: those of ``new`` in their order, then those that are gone.

    Parts of one use and one shape are the same; of the others of one use the nearest in shape
    are changed, pair by pair. Turned round, old for new, it says the same.
    """
    same = matched(old, new)
    left = [record for i, record in enumerate(old) if i not in same.values()]
    fresh = [record for i, record in enumerate(new) if i not in same]
    pairs = _pairs(left, fresh)
    changes = []
    for number, record in enumerate(new):
        if number in same:
            was = old[same[number]]
            changes.append(PartChange(change=Change.SAME, old=was, new=record))
        elif record.mark in pairs:
            was = pairs[record.mark]
            changes.append(PartChange(change=Change.CHANGED, old=was, new=record))
        else:
            changes.append(PartChange(change=Change.NEW, old=None, new=record))
    replaced = {record.mark for record in pairs.values()}
    changes += [
        PartChange(change=Change.GONE, old=record, new=None)
        for record in left
        if record.mark not in replaced
    ]
    return tuple(changes)


def matched(old: Sequence[PartRecord], new: Sequence[PartRecord]) -> dict[int, int]:
    """For each of ``new`` that is among ``old`` in use and shape, which of these it is."""
    by_kind: dict[tuple[str, str], list[int]] = {}
    for number, record in enumerate(old):
        by_kind.setdefault((record.role, record.shape.kind), []).append(number)
    found: dict[int, int] = {}
    for number, record in enumerate(new):
        there = by_kind.get((record.role, record.shape.kind), [])
        for other in there:
            if same_shape(old[other].shape, record.shape):
                found[number] = other
                there.remove(other)
                break
    return found


def _pairs(old: Iterable[PartRecord], new: Sequence[PartRecord]) -> dict[str, PartRecord]:
    """For each mark of ``new`` the part of ``old`` whose place it takes: nearest in shape first."""
    options = sorted(
        ((_nearness(was, now), was, now) for was in old for now in new if was.role == now.role),
        key=lambda option: option[0],
    )
    pairs: dict[str, PartRecord] = {}
    taken: set[str] = set()
    for _, was, now in options:
        if now.mark not in pairs and was.mark not in taken:
            pairs[now.mark] = was
            taken.add(was.mark)
    return pairs


def _nearness(one: PartRecord, other: PartRecord) -> _Nearness:
    """How far two parts are apart, less being nearer; the same whichever is named first."""
    keys = tuple(sorted((record.shape.kind, record.shape.sizes) for record in (one, other)))
    alike = one.shape.kind == other.shape.kind
    apart = math.inf
    if alike:
        apart = sum(abs(a - b) for a, b in zip(one.shape.sizes, other.shape.sizes, strict=True))
    lengths = (one.length_mm or 0.0, other.length_mm or 0.0)
    return (not alike, one.bought != other.bought, abs(lengths[0] - lengths[1]), apart, keys)
