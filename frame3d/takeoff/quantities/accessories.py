"""What doors need that is bought and not drawn: latches, handles, caps of tracks.

All of it is common practice, no source; what a supplier has may differ, and a request says so.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from msgspec import Struct

from frame3d.design.tables.whole_design import DoorKind, End
from frame3d.frame.describe.wording import lengths_of, sold_text
from frame3d.frame.model.members import Frame
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role

__all__ = ["Accessory", "accessories"]


class Accessory(Struct, frozen=True, kw_only=True):
    """A thing by its words, and how many are needed."""

    item: str
    count: int


def accessories(frame: Frame) -> tuple[Accessory, ...]:
    """What the doors of a frame need besides what is drawn."""
    counts = Counter(item for door in frame.doors for item in _of_door(frame, door))
    return tuple(Accessory(item=item, count=count) for item, count in counts.items())


def _of_door(frame: Frame, door: DoorOpening) -> Iterator[str]:
    form = lengths_of(frame)
    for number, leaf in enumerate(door.leaves, start=1):
        thick = sold_text(form, leaf.far_y_mm - leaf.near_y_mm)
        if door.kind is DoorKind.HINGED and number > 1:
            # The second leaf is held to threshold and header; the first one shuts against it.
            yield from [f"barrel bolt for a door leaf {thick} thick"] * 2
        elif door.kind is DoorKind.HINGED:
            yield f"latch with a handle on each side, for a door leaf {thick} thick"
        else:
            yield from [f"pull handle for a door leaf {thick} thick"] * 2
    if door.kind is DoorKind.SLIDING:
        hoop = 1 if door.end is End.FRONT else len(frame.grid.hoop_y_mm)
        tracks = (m for m in frame.of_kind(Tube, Role.DOOR_TRACK) if m.spot.hoop == hoop)
        od_mm = next(tracks).part.section.od_mm
        yield from [f"end cap for {sold_text(form, od_mm)} tube"] * 2
        yield "hasp and staple for a sliding door"
