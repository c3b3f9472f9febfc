"""Two designs compared, part by part: what is the same, moved, changed, new or gone."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from frame3d.frame.describe.bought import bought
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.part_records import Change, PartChange, PartRecord
from frame3d.frame.revisions.pairing import changes_between
from frame3d.frame.revisions.records import records_of, same_shape
from frame3d.frame.revisions.revision_index import revision_of
from frame3d.geometry.placement import Placement

NEAR_MM, NEAR_RAD = 0.01, 1e-5
"""A member that is no farther off, and no more turned, stands where it stood."""
_CELL_MM = 10.0
_ORDER = tuple(Change)


class MadePart(Struct, frozen=True, kw_only=True):
    """What becomes of the pieces that are made already of a part of the old design.

    Parameters
    ----------
    old : PartRecord
    fits : tuple of (mark, count)
        The parts of the new design that they can be, and how many are needed.
    over : int
        How many fit nowhere.
    """

    old: PartRecord
    fits: tuple[tuple[str, int], ...]
    over: int


class HardwareChange(Struct, frozen=True, kw_only=True):
    """A thing that is bought, as it is sold: how many of it each design has."""

    item: str
    old: int
    new: int

    @property
    def words(self) -> str:
        """What became of it; empty where as many are needed as before."""
        more = self.new - self.old
        if not self.old or not self.new:
            return "new" if self.new else "gone"
        return f"{abs(more)} {'more' if more > 0 else 'fewer'}" if more else ""


class Comparison(Struct, frozen=True, kw_only=True):
    """What differs between two frames.

    Parameters
    ----------
    old, new : Frame
    revisions : (str, str)
    changes : tuple of PartChange
        What is changed first, what is the same last.
    made : tuple of MadePart
        Of each part of the old design that is made.
    to_make : tuple of (mark, count)
        Pieces of the new design for which none of the old one fits.
    hardware : tuple of HardwareChange
        All that is bought for either, by its words.
    """

    old: Frame
    new: Frame
    revisions: tuple[str, str]
    changes: tuple[PartChange, ...]
    made: tuple[MadePart, ...]
    to_make: tuple[tuple[str, int], ...]
    hardware: tuple[HardwareChange, ...]

    def count(self, change: Change) -> int:
        """How many parts are such."""
        return sum(one.change is change for one in self.changes)


def compared(old: Frame, new: Frame) -> Comparison:
    """What differs between ``old`` and ``new``."""
    before, after = records_of(old), records_of(new)
    members = {group.mark: group.members for group in new.parts()}
    stood = {group.mark: group.members for group in old.parts()}
    changes = [
        _placed(one, stood[one.old.mark], members[one.new.mark])
        if one.old and one.new and one.change is Change.SAME
        else one
        for one in changes_between(before, after)
    ]
    made, to_make = _still_fit(changes)
    changes.sort(key=lambda one: _ORDER.index(one.change))
    return Comparison(
        old=old,
        new=new,
        revisions=(revision_of(old.design), revision_of(new.design)),
        changes=tuple(changes),
        made=made,
        to_make=to_make,
        hardware=_hardware(old, new),
    )


def _hardware(old: Frame, new: Frame) -> tuple[HardwareChange, ...]:
    before, after = ({one.item: one.count for one in bought(frame)} for frame in (old, new))
    return tuple(
        HardwareChange(item=item, old=before.get(item, 0), new=after.get(item, 0))
        for item in sorted(before.keys() | after.keys())
    )


def _placed(one: PartChange, old: Sequence[Member], new: Sequence[Member]) -> PartChange:
    """The same part with how many of it stand where none stood; moved where any do, or are gone."""
    moved = _elsewhere(old, new)
    is_same = not moved and len(old) == len(new)
    return replace(one, change=Change.SAME if is_same else Change.MOVED, moved=moved)


def _elsewhere(old: Sequence[Member], new: Sequence[Member]) -> int:
    """How many of ``new`` stand where none of ``old`` stands."""
    cells: dict[tuple[int, int, int], list[Placement]] = {}
    for member in old:
        cells.setdefault(_cell(member.placement), []).append(member.placement)
    moved = 0
    for member in new:
        for place in (p for cell in _about(member.placement) for p in cells.get(cell, ())):
            if _is_near(place, member.placement):
                cells[_cell(place)].remove(place)
                break
        else:
            moved += 1
    return moved


def _cell(place: Placement) -> tuple[int, int, int]:
    x, y, z = (math.floor(value / _CELL_MM) for value in place.origin)
    return x, y, z


def _about(place: Placement) -> list[tuple[int, int, int]]:
    """The cells within reach of a place: its own, and others where it is near their edge."""
    sides = [
        sorted({math.floor((value + off) / _CELL_MM) for off in (-NEAR_MM, NEAR_MM)})
        for value in place.origin
    ]
    return [(x, y, z) for x in sides[0] for y in sides[1] for z in sides[2]]


def _is_near(one: Placement, other: Placement) -> bool:
    turned = max(math.dist(one.x, other.x), math.dist(one.y, other.y))
    return math.dist(one.origin, other.origin) <= NEAR_MM and turned <= NEAR_RAD


def _still_fit(
    changes: Sequence[PartChange],
) -> tuple[tuple[MadePart, ...], tuple[tuple[str, int], ...]]:
    """What can be used of all that was made, and what is still to be made.

    A piece fits where its shape is wanted, for its own use first.
    """
    wanted = {one.new.mark: one.new for one in changes if one.new and not one.new.bought}
    needed = {mark: record.count for mark, record in wanted.items()}
    there = [one for one in changes if one.old and not one.old.bought]
    have = {one.old.mark: one.old.count for one in there if one.old}
    fits: dict[str, list[tuple[str, int]]] = {mark: [] for mark in have}

    def use(old: PartRecord, new: PartRecord) -> None:
        count = min(have[old.mark], needed[new.mark])
        if count:
            have[old.mark] -= count
            needed[new.mark] -= count
            fits[old.mark].append((new.mark, count))

    for one in there:
        if one.old and one.new and one.change in (Change.SAME, Change.MOVED):
            use(one.old, one.new)
    left = [one.old for one in there if one.old and have[one.old.mark]]
    for old in left:
        for new in wanted.values():
            if needed[new.mark] and same_shape(old.shape, new.shape):
                use(old, new)
    made = tuple(
        MadePart(old=one.old, fits=tuple(fits[one.old.mark]), over=have[one.old.mark])
        for one in there
        if one.old
    )
    return made, tuple((mark, count) for mark, count in needed.items() if count)
