"""What sliding and roll-up doors hang on: a track above the door, or a tube that rolls."""

from __future__ import annotations

from frame3d.errors import DesignError
from frame3d.frame.bolting import bolt_up
from frame3d.frame.clear import Leaf
from frame3d.frame.leaves import face_mm, leaf_faces_mm, leaves_of
from frame3d.frame.members import Role, Spot
from frame3d.frame.parts import Plate
from frame3d.frame.plan import Draft
from frame3d.frame.tube_runs import jointed_tube
from frame3d.frame.wall import Wall
from frame3d.frame.wall_lines import side_of
from frame3d.frame.wall_places import DoorPlace
from frame3d.geometry.placement import Placement

_X = (1.0, 0.0, 0.0)
_UP = (0.0, 0.0, 1.0)
_ABOVE_LEAF_MM = 45.0
_PAST_MM = 50.0
_STRAP_MM, _STRAP_WIDTH_MM = 5.0, 40.0
_ROLL_PAST_MM = 100.0
_ROLL_GAP_MM = 40.0


def track_reach(wall: Wall, door: DoorPlace) -> tuple[float, float]:
    """X of the ends of the track: it covers the leaves shut and open, mm."""
    ends = []
    for leaf in leaves_of(wall, door):
        ends += [leaf.low_x_mm, leaf.high_x_mm]
        ends += [leaf.low_x_mm + leaf.slide_mm, leaf.high_x_mm + leaf.slide_mm]
    return min(ends) - _PAST_MM, max(ends) + _PAST_MM


def track(wall: Wall, door: DoorPlace, order: int) -> list[Draft]:
    """The track of a sliding door, with the straps that the leaves hang by.

    Raises
    ------
    DesignError
        If it reaches past the hoop.
    """
    leaves, tube = leaves_of(wall, door), wall.spec.tube
    start, end = track_reach(wall, door)
    z = leaves[0].top_mm + _ABOVE_LEAF_MM + tube.od_mm / 2
    free = wall.half_width_under(z + tube.od_mm / 2)
    if max(-start, end) > free:
        say = wall.plan.say
        raise DesignError(
            f"its track {say(z)} above the ground would reach {say(max(-start, end))} from the "
            f"centreline, and the end wall ends at {say(free)} there; slide it to the other "
            "hand, make it narrower, use two leaves, or hang it on hinges", f"{door.where}.kind")
    axis = leaf_faces_mm(wall, door)[0] + tube.od_mm / 2
    spot = Spot(side=side_of((start + end) / 2), hoop=wall.hoop, order=order)
    drafts = jointed_tube(
        wall.plan, tube, start=(start, wall.y(axis), z), along=_X, length_mm=end - start,
        role=Role.DOOR_TRACK, spot=spot, where=f"{wall.where}.tube",
    )
    for leaf in leaves:
        drafts += _straps(wall, door, leaf, z, spot)
    return drafts


def _straps(wall: Wall, door: DoorPlace, leaf: Leaf, z: float, spot: Spot) -> list[Draft]:
    """Two straps from the face of a leaf up over its track, each on two bolts."""
    depth, thick = door.door.leaf.depth_mm, door.door.leaf.thickness_mm
    size = wall.plan.fasteners.carriage.hole_mm
    low, high = leaf.top_mm - depth, z + wall.spec.tube.od_mm / 2
    half = _STRAP_WIDTH_MM / 2
    strap = Plate(
        name="hanger strap", thickness_mm=_STRAP_MM,
        outline=((-half, 0.0), (half, 0.0), (half, high - low), (-half, high - low)),
        holes=((0.0, depth / 2, size),),
    )
    outer, _ = leaf_faces_mm(wall, door)
    face = wall.y(outer)
    # Own z = X x Z = -Y: outward in front.
    start = face if wall.way > 0 else face + _STRAP_MM
    drafts = []
    for x in (leaf.low_x_mm + depth / 2, leaf.high_x_mm - depth / 2):
        placement = Placement.of(origin=(x, start, low), x=_X, y=_UP)
        drafts.append(Draft(role=Role.HINGE, part=strap, placement=placement, spot=spot))
        drafts += bolt_up(
            wall.plan.fasteners, wall.plan.fasteners.carriage,
            seat=(x, wall.y(outer - _STRAP_MM), low + depth / 2), direction=wall.across(1.0),
            thickness_mm=_STRAP_MM + thick, spot=spot, where="hardware.board_bolt",
            plane_mm=_STRAP_MM,
        )
    return drafts


def roll_tube(wall: Wall, door: DoorPlace, order: int) -> list[Draft]:
    """The tube above the door that the curtain of a roll-up door is wound on."""
    tube = wall.spec.tube
    face = face_mm(wall, door)
    axis = face - _ROLL_GAP_MM - tube.od_mm / 2
    start, end = door.left_mm - _ROLL_PAST_MM, door.right_mm + _ROLL_PAST_MM
    z = door.header_top_mm + tube.od_mm / 2
    spot = Spot(side=side_of((start + end) / 2), hoop=wall.hoop, order=order)
    drafts = jointed_tube(
        wall.plan, tube, start=(start, wall.y(axis), z), along=_X, length_mm=end - start,
        role=Role.ROLL_TUBE, spot=spot, where=f"{wall.where}.tube",
    )
    return drafts
