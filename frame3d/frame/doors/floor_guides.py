"""What keeps the foot of a sliding leaf at its wall: an angle at the jamb, with a lip before it."""

from __future__ import annotations

from frame3d.frame.doors.jamb_heights import FLOOR_FIXINGS_MM, floor_level, floor_sides
from frame3d.frame.doors.leaves import leaf_faces_mm
from frame3d.frame.doors.plates import BracketPlace
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_places import DoorPlace
from frame3d.frame.end_walls.wall_runs import jamb_at
from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.roles import Role, Spot

_MOST_MM = 70.0
_PLAY_MM = 3.0
_LIP_MM = 40.0
_OVER_MM = 15.0


def floor_guides(wall: Wall, door: DoorPlace, spot: Spot) -> list[UnmarkedMember]:
    """The floor guides of a sliding door: shut or open, its leaves stand in them."""
    bracket_place = BracketPlace(wall=wall, spot=spot, role=Role.FLOOR_GUIDE)
    outer, _ = leaf_faces_mm(wall, door)
    level, back = floor_level(wall, door), wall.front_mm
    top, lip = level + wall.plan.plate_mm, outer - _PLAY_MM
    heights = [level + more for more in FLOOR_FIXINGS_MM]
    drafts = []
    for right in floor_sides(wall, door):
        reveal, away = (door.right_mm, 1.0) if right else (door.left_mm, -1.0)
        middle = reveal + away * min(wall.upright_mm, _MOST_MM) / 2
        low, high = sorted((reveal, 2 * middle - reveal))
        x = (low, high)
        plate = bracket_place.upright(
            "floor guide, back",
            x,
            (level, heights[-1] + _OVER_MM),
            back,
            [(middle, z, bracket_place.hole_mm) for z in heights],
        )
        drafts += [
            plate,
            bracket_place.level(
                "floor guide, foot",
                x,
                (lip - wall.plan.plate_mm, back - wall.plan.plate_mm),
                (level, top),
            ),
            bracket_place.upright("floor guide, lip", x, (top, top + _LIP_MM), lip),
        ]
        for z in heights:
            joins = (plate.place, jamb_at(wall, door, away, z))
            drafts += bracket_place.held(middle, z, back, wall.spec.timber.depth_mm, joins)
    return drafts
