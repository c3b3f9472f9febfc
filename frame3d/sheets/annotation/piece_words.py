"""What is written below the drawing of a piece: how many, of what, and where they go."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from frame3d.frame.describe.places import grid_text
from frame3d.frame.model.end_forms import BoardEnd
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Board
from frame3d.frame.model.roles import Role
from frame3d.units import LengthFormat

WALL_ROLES = (
    Role.STUD,
    Role.GIRT,
    Role.WALL_SILL,
    Role.WALL_BRACE,
    Role.WALL_ANCHOR,
    Role.WALL_SKIRT,
    Role.DOOR_JAMB,
    Role.DOOR_HEADER,
    Role.THRESHOLD,
    Role.DOOR_LEAF,
    Role.HINGE,
    Role.DOOR_TRACK,
    Role.ROLL_TUBE,
    Role.TRACK_NAILER,
    Role.BRACKET,
    Role.CURTAIN_GUIDE,
    Role.FLOOR_GUIDE,
)
"""Roles of what belongs to one end wall."""


def piece_title(mark: str, count: int) -> str:
    """Mark and number of pieces, as ``SB2 × 10``."""
    return f"{mark} × {count}"


def opposite_title(mark: str, count: int) -> str:
    """The same for pieces that are the mirror image of what is drawn."""
    return f"{piece_title(mark, count)} opposite hand"


def where_text(frame: Frame, members: Sequence[Member]) -> str:
    """Where ``members`` go: the end walls, or sides and hoops."""
    if members[0].role not in WALL_ROLES:
        return grid_text(members)
    ends = Counter("front" if m.spot.hoop == 1 else "back" for m in members)
    if len(ends) == 1:
        return f"{next(iter(ends))} end wall"
    return f"end walls: {ends['front']} at front, {ends['back']} at back"


def board_size(part: Board, lengths: LengthFormat) -> str:
    """A board's section with its true size."""
    section = part.section
    return (
        f"{section.name} ({lengths.text(section.thickness_mm, unit=True)} x "
        f"{lengths.text(section.depth_mm, unit=True)})"
    )


def hole_text(count: int, diameter_mm: float, lengths: LengthFormat) -> str:
    """So many holes of one diameter."""
    holes = "hole" if count == 1 else "holes"
    return f"{count} {holes} Ø {lengths.text(diameter_mm, unit=True)}"


def end_words(end: BoardEnd | None, where: str) -> str:
    """How an end is cut, whose angle is drawn; empty for one cut square."""
    words = []
    if end is None:
        return ""
    if end.mitre_rad:
        edge = "lower" if end.mitre_rad > 0 else "upper"
        words.append(f"mitred, long at the {edge} edge")
    if end.bevel_rad:
        face = "far" if end.bevel_rad > 0 else "near"
        words.append(f"bevelled, long at the {face} face")
    if end.lap_mm:
        words.append("notched")
    return f"{where} end {', '.join(words)}" if words else ""
