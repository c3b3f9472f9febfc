"""Doors as wholes: what a schedule of doors lists, made up of the members that move.

References
----------
ISO 16739-1:2018, IfcDoor and IfcDoorTypeOperationEnum. Hands are left out: they are told from a
side that the frame's axes do not give.
"""

from __future__ import annotations

from collections.abc import Mapping

from frame3d.design.tables.ends import DoorKind, End
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.model.roles import Role
from frame3d.ifc.global_ids import GlobalIds
from frame3d.ifc.part21 import Enum, Lines, Ref

_MOVES = (Role.DOOR_LEAF, Role.ROLL_TUBE)
_OPERATIONS = {
    (DoorKind.HINGED, 2): "DOUBLE_DOOR_SINGLE_SWING",
    (DoorKind.SLIDING, 2): "DOUBLE_DOOR_SLIDING",
    (DoorKind.ROLL_UP, 0): "ROLLINGUP",
}


def moving_of(frame: Frame, door: DoorOpening) -> list[Member]:
    """The members of a door that move with it."""
    hoop = 1 if door.end is End.FRONT else len(frame.grid.hoop_y_mm)
    return [m for m in frame.of(*_MOVES) if m.source == door.where and m.spot.hoop == hoop]


def add_doors(
    lines: Lines, ids: GlobalIds, frame: Frame, refs: Mapping[int, Ref], place: Ref
) -> tuple[list[Ref], set[int]]:
    """Add the doors of ``frame``; them, and the identities of members that are parts of them.

    Parameters
    ----------
    refs : mapping of identity to Ref
        The elements of members.
    place : Ref
        The placement that doors and their parts share.
    """
    doors: list[Ref] = []
    parts: set[int] = set()
    for door in frame.doors:
        end, moving = door.end.value, moving_of(frame, door)
        operation = _OPERATIONS.get((door.kind, len(door.leaves)), "NOTDEFINED")
        made = lines.add(
            "IFCDOOR", ids.of("door", door.where, end), None, f"Door, {end} end",
            f"{door.kind.value}; overall width and height are clear", door.kind.value, place,
            None, door.where, door.height_mm, door.width_mm, Enum("DOOR"), Enum(operation), None,
        )  # fmt: skip
        doors.append(made)
        if moving:
            parts.update(id(member) for member in moving)
            lines.add(
                "IFCRELAGGREGATES", ids.of("parts of door", door.where, end), None, None, None,
                made, [refs[id(member)] for member in moving],
            )  # fmt: skip
    return doors, parts
