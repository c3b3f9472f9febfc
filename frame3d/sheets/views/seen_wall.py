"""An end wall as it is seen from outside: what stands there, in outline."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace
from shapely import MultiPoint
from shapely import Point as Spot

from frame3d.design.tables.whole_design import End
from frame3d.frame.measure.board_measures import blocks
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.model.parts import Board
from frame3d.frame.model.roles import Role
from frame3d.sheets.projection.projection import FRONT, Projection, Silhouette
from frame3d.sheets.projection.silhouettes import reach_of, silhouette

BACK = Projection(right=(-1.0, 0.0, 0.0), up=(0.0, 0.0, 1.0))
"""From behind the last hoop: the left side of the tunnel is at the right."""

UPRIGHTS = (Role.STUD, Role.DOOR_JAMB)
CUT = (
    *UPRIGHTS,
    Role.GIRT,
    Role.WALL_SILL,
    Role.WALL_SKIRT,
    Role.WALL_ANCHOR,
    Role.DOOR_HEADER,
    Role.THRESHOLD,
    Role.DOOR_LEAF,
    Role.DOOR_TRACK,
    Role.ROLL_TUBE,
    Role.TRACK_NAILER,
    Role.CURTAIN_GUIDE,
)
_WALL = (*CUT, Role.HINGE, Role.BRACKET, Role.FLOOR_GUIDE)
_HOOP = (Role.SOCKET, Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT)
_LENGTHWISE = (Role.RAIL, Role.SILL_BOARD, Role.SKIRT_BOARD, Role.HIP_BOARD, Role.HIP_RAIL)


class WallSeen(Struct, frozen=True, kw_only=True):
    """An end wall as it is seen from outside.

    Parameters
    ----------
    frame : Frame
    end : End
    projection : Projection
    shapes : tuple of Silhouette
        Of everything at that end.
    doors : tuple of DoorOpening
    """

    frame: Frame
    end: End
    projection: Projection
    shapes: tuple[Silhouette, ...]
    doors: tuple[DoorOpening, ...]

    def of(self, *roles: Role) -> list[Silhouette]:
        """The silhouettes of members with one of ``roles``."""
        return [shape for shape in self.shapes if shape.member.role in roles]

    def across(self, x_mm: float) -> float:
        """A place across the tunnel on the sheet, mm to the right of the centreline."""
        return self.projection.flat((x_mm, 0.0, 0.0))[0]

    def reveals(self, door: DoorOpening) -> tuple[float, float]:
        """Left and right side of a door's opening as seen, mm."""
        left, right = sorted(self.across(x) for x in (door.left_x_mm, door.right_x_mm))
        return left, right


def walled_ends(frame: Frame) -> list[End]:
    """The ends that have an end wall, front first."""
    hoops = {member.spot.hoop for member in frame.of(*_WALL)}
    return [end for end in End if _hoop(frame, end) in hoops]


def _hoop(frame: Frame, end: End) -> int:
    return 1 if end is End.FRONT else len(frame.grid.hoop_y_mm)


def wall_seen(frame: Frame, end: End) -> WallSeen:
    """The end wall at ``end`` with its hoop and what ends there, from outside."""
    projection = FRONT if end is End.FRONT else BACK
    members = [m for m in frame.of(*_HOOP, *_LENGTHWISE, *_WALL) if _is_there(frame, m, end)]
    shapes = tuple(
        _with_lap(shape, projection) for m in members if (shape := silhouette(m, projection))
    )
    doors = tuple(door for door in frame.doors if door.end is end)
    return WallSeen(frame=frame, end=end, projection=projection, shapes=shapes, doors=doors)


def _with_lap(shape: Silhouette, projection: Projection) -> Silhouette:
    """A notched upright lies in front below its notch only: above, the hoop covers it."""
    part, placement = shape.member.part, shape.member.placement
    if not isinstance(part, Board):
        return shape
    whole, *tongues = blocks(part)
    if not tongues:
        return shape
    body = MultiPoint(
        [projection.flat(placement.point(point)) for point in whole.tolist()]
    ).convex_hull
    behind = max(
        projection.near(placement.point(point)) for tongue in tongues for point in tongue.tolist()
    )
    near = shape.nearness
    return replace(
        shape, nearness=lambda place: near(place) if body.contains(Spot(place)) else behind
    )


def _is_there(frame: Frame, member: Member, end: End) -> bool:
    number = _hoop(frame, end)
    if member.role not in _LENGTHWISE:
        return member.spot.hoop == number
    low, high = reach_of(member, (0.0, 1.0, 0.0))
    y = frame.grid.hoop_y_mm[number - 1]
    return low <= y < high if end is End.FRONT else low < y <= high
