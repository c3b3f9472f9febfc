"""Who sells what: the kind of supplier of each thing of an order, and the user's own groups.

What a thing is decides: boards come from the timber yard, bolts, nuts, washers, screws and
couplers from who sells fasteners, tube and plate from the steel yard, and what doors hang, run and
shut on from who sells door hardware. Anything whose role is none of the frame's own is of the
cover: film, what fixes it, and curtains.
"""

from __future__ import annotations

import enum
from collections.abc import Iterable

from frame3d.design.tables.purchase import SupplyGroup
from frame3d.frame.model.members import PartCount
from frame3d.frame.model.parts import Board, Bolt, ClampHalf, Nut, Part, Plate, Screw, Washer
from frame3d.frame.model.roles import Role


class Supply(enum.Enum):
    """A kind of supplier."""

    STEEL = "steel"
    TIMBER = "timber"
    FASTENERS = "fasteners"
    COVER = "cover"
    DOORS = "doors"


_FASTENERS = (Bolt, Nut, Washer, Screw, ClampHalf)
_DOORS = frozenset({
    Role.DOOR_LEAF, Role.HINGE, Role.DOOR_TRACK, Role.BRACKET, Role.CURTAIN_GUIDE,
    Role.FLOOR_GUIDE,
})  # fmt: skip
"""Roles whose plates are asked for where door hardware is sold."""
_FRAME = _DOORS | {
    Role.SOCKET, Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT, Role.RAIL, Role.BRACE, Role.SILL_BOARD,
    Role.SKIRT_BOARD, Role.WALL_ANCHOR, Role.WALL_SKIRT,
    Role.JOINT_BLOCK, Role.HIP_BOARD, Role.HIP_RAIL, Role.END_STOP, Role.TIE, Role.KING_POST,
    Role.WEB, Role.GUSSET, Role.STUD, Role.GIRT, Role.WALL_SILL, Role.WALL_BRACE, Role.DOOR_JAMB,
    Role.DOOR_HEADER, Role.THRESHOLD, Role.ROLL_TUBE, Role.TRACK_NAILER, Role.CLAMP, Role.BOLT,
    Role.NUT, Role.WASHER, Role.SCREW,
}  # fmt: skip
"""All roles of the frame itself; any other is of the cover."""


def supply_of(part: Part, role: Role) -> Supply:
    """The kind of supplier of a part in its role."""
    if isinstance(part, _FASTENERS):
        return Supply.FASTENERS
    if role not in _FRAME:
        return Supply.COVER
    if isinstance(part, Board):
        return Supply.TIMBER
    # Plates of hinges, hangers and brackets: made to the drawing, or the like as it is sold.
    return Supply.DOORS if isinstance(part, Plate) and role in _DOORS else Supply.STEEL


def supply_of_all(groups: Iterable[PartCount]) -> Supply:
    """The kind of supplier of parts that come from the same bars: the first of steel and timber.

    What is of the cover alone is of the cover.
    """
    kinds = {supply_of(group.part, group.role) for group in groups}
    return next(kind for kind in Supply if kind in kinds)


def group_of(item: str, supply: Supply, own: Iterable[SupplyGroup]) -> str:
    """The group in which an item is asked for: the user's own by its words, or by its kind."""
    groups = tuple(own)
    for group in groups:
        if any(item.casefold().startswith(text.casefold()) for text in group.beginnings):
            return group.name
    for group in groups:
        if supply.value in group.kinds:
            return group.name
    return supply.value
