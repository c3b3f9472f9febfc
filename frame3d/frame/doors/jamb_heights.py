"""Where on a jamb the brackets of a door are held, clear of what else is on it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from frame3d.design.tables.whole_design import DoorKind, StudFoot, Threshold
from frame3d.frame.doors.leaves import GROUND_GAP_MM, leaves_of, on_jambs
from frame3d.frame.doors.plates import LAG_HOLE_MM
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_places import DoorPlace, Upright, UprightKind
from frame3d.frame.joining.splices import QUARTER
from frame3d.frame.joining.stops import KeptClear, nearest_free
from frame3d.frame.model.parts import Hole

FOOT_MM = 70.0
"""Height of the foot plate of a bracket on a jamb."""
FIXINGS_MM = (-20.0, 20.0)
"""Its two fixings, from its middle."""
_APART_MM = 800.0
_TIMBER_ROOM_MM, _TUBE_ROOM_MM = 10.0, 32.0
_TOES_MM = 100.0
FLOOR_FIXINGS_MM = (100.0, 130.0)
"""The two fixings of a floor guide, above its level leg: over the slanting screws of the jamb."""


def bearing_height(wall: Wall, door: DoorPlace) -> float:
    """Height of the middle of the foot of a roll tube's bearing, below the header, mm."""
    wanted, half = door.top_mm - 50.0, FOOT_MM / 2
    found = nearest_free(wanted, half, half, _taken(wall), KeptClear(0.0, door.top_mm - 10.0))
    return wanted if found is None else found


def guide_heights(wall: Wall, door: DoorPlace) -> tuple[float, ...]:
    """Heights of the middles of the feet that hold a curtain guide, below its bearing, mm."""
    half, low = FOOT_MM / 2, guide_foot(wall, door) + _TOES_MM
    high = bearing_height(wall, door)
    count = max(1, math.ceil((high - low) / _APART_MM))
    taken = [*_taken(wall), KeptClear.around(high, half + 5.0)]
    found: list[float] = []
    for k in range(count):
        wanted = low + k * (high - low) / count
        at = nearest_free(wanted, half, half, taken, KeptClear(low - half, high))
        if at is not None:
            found.append(at)
            taken.append(KeptClear.around(at, half + 5.0))
    return tuple(sorted(found))


def guide_foot(wall: Wall, door: DoorPlace) -> float:
    """Height above which a curtain guide and its feet stand clear, mm."""
    on_sill = wall.spec.stud_foot is StudFoot.SILL
    return max(door.bottom_mm, wall.spec.sill.thickness_mm if on_sill else GROUND_GAP_MM)


def floor_level(wall: Wall, door: DoorPlace) -> float:
    """Height of the lower side of a floor guide's level leg, mm."""
    return leaves_of(wall, door)[0].bottom_mm - 9.0


def jamb_holes(wall: Wall, upright: Upright) -> tuple[Hole, ...]:
    """The holes of a tube jamb for the hardware of its door, by height above the ground."""
    door = upright.door
    if wall.is_timber or door is None or upright.kind is not UprightKind.JAMB:
        return ()
    right = upright.x_mm > door.right_mm
    size = wall.plan.fasteners.clamp.hole_mm
    heights: tuple[float, ...] = ()
    if door.door.kind is DoorKind.ROLL_UP:
        middles = (*guide_heights(wall, door), bearing_height(wall, door))
        heights = tuple(z + more for z in middles for more in FIXINGS_MM)
    elif door.door.kind is DoorKind.SLIDING and right in floor_sides(wall, door):
        heights = tuple(floor_level(wall, door) + more for more in FLOOR_FIXINGS_MM)
    holes = [Hole(at_mm=z, diameter_mm=size) for z in heights]
    if door.door.threshold is Threshold.BOARD:
        level = wall.spec.sill.thickness_mm / 2
        holes.append(Hole(at_mm=level, clock_rad=QUARTER, diameter_mm=LAG_HOLE_MM))
    return tuple(holes)


def floor_sides(wall: Wall, door: DoorPlace) -> Sequence[bool]:
    """Which jambs get a floor guide, True for that at the right: where leaves slide past."""
    return sorted({leaf.slide_mm > 0 for leaf in leaves_of(wall, door)})


def _taken(wall: Wall) -> list[KeptClear]:
    """What girts, braces and their clamps take up of a jamb's height."""
    timber = wall.spec.timber.thickness_mm / 2 + _TIMBER_ROOM_MM
    half = timber if wall.is_timber else _TUBE_ROOM_MM
    return [KeptClear.around(z, half) for z in on_jambs(wall)]
