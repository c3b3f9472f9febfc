"""What doors need that is bought and not drawn so: latches, handles, caps of tracks, sets.

All of it is common practice, no source; what a supplier has may differ, and a request says so.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from msgspec import Struct

from frame3d.design.tables.whole_design import DoorKind, End
from frame3d.frame.describe.bought import FITTINGS, is_bought_fitting
from frame3d.frame.describe.wording import lengths_of, sold_text
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.model.parts import Plate, Tube
from frame3d.frame.model.roles import Role


class Accessory(Struct, frozen=True, kw_only=True):
    """A thing by its words, and how many are needed."""

    item: str
    count: int


def accessories(frame: Frame) -> tuple[Accessory, ...]:
    """What the doors of a frame need besides what is drawn."""
    counts = Counter(item for door in frame.doors for item in _of_door(frame, door))
    counts.update(_fittings(frame))
    return tuple(Accessory(item=item, count=count) for item, count in counts.items())


def _fittings(frame: Frame) -> Iterator[str]:
    """Hinges, hangers and brackets that are bought complete, each by the plate that it has once."""
    form = lengths_of(frame)
    for member in frame.of_kind(Plate, *FITTINGS):
        if not is_bought_fitting(frame, member.part, member.role):
            return
        xs, ys = ([point[axis] for point in member.part.outline] for axis in (0, 1))
        long = form.text(max(max(xs) - min(xs), max(ys) - min(ys)), unit=True)
        match member.part.name:
            case "hinge band":
                yield f"hinge with hook and pin, band {long} long"
            case "hanger strap":
                tube = _tube_near(frame, member, Role.DOOR_TRACK)
                yield f"door hanger with roller for a track of {tube}, strap {long} long"
            case "track bracket, shelf":
                yield f"bracket for a track of {_tube_near(frame, member, Role.DOOR_TRACK)}"
            case "roll tube bearing, arm":
                tube = _tube_near(frame, member, Role.ROLL_TUBE)
                yield f"bearing with keeper for a roll of {tube}"
            case "curtain guide, arm":
                tube = _tube_near(frame, member, Role.CURTAIN_GUIDE)
                yield f"bracket for a curtain guide of {tube}"
            case "floor guide, back":
                yield "floor guide for a sliding door"


def _tube_near(frame: Frame, member: Member[Plate], role: Role) -> str:
    """The diameter of the tube of that role at the end where a plate is."""
    tubes = [m for m in frame.of_kind(Tube, role) if m.spot.hoop == member.spot.hoop]
    return f"{sold_text(lengths_of(frame), tubes[0].part.section.od_mm)} tube"


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
