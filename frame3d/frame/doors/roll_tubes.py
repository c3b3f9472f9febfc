"""The tube that the curtain of a roll-up door is wound on, its bearings, and its guides.

The bearings stand on the jambs and reach round the header; the tube lies in a slot of
each, under a keeper. Below, an upright tube before each edge of the curtain keeps it at
the wall (common practice, no source).
"""

from __future__ import annotations

from frame3d.frame.doors.jamb_heights import (
    FIXINGS_MM,
    FOOT_MM,
    bearing_height,
    guide_foot,
    guide_heights,
)
from frame3d.frame.doors.leaves import face_mm
from frame3d.frame.doors.plates import SCREW_HOLE_MM, Bore, BracketPlace
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_lines import side_of
from frame3d.frame.end_walls.wall_places import DoorPlace
from frame3d.frame.end_walls.wall_runs import jamb_at
from frame3d.frame.joining.tube_runs import jointed_tube
from frame3d.frame.model.joints import Place, RunName, Stretch
from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.openings import RollTube
from frame3d.frame.model.parts import Hole, Tube
from frame3d.frame.model.roles import Role, Spot
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import ACROSS, DOWN, UP, Placement

_PAST_MM = 100.0
_GAP_MM = 40.0
"""Between the tube and the wall: the curtain is rolled up there (common practice, no source)."""
_SLOT_MM = 1.0
_HORN_MM, _KEEPER_MM = 28.0, 30.0
_CURTAIN_MM = 5.0
_CLEAR_MM = 2.0
_STOP_MM = 17.0
_GROUND_MM = 20.0
_BOLT_MM = 15.0
"""What the bolts of a keeper stand out beside it."""
_UNDER_HOOP_MM = 3.0


def roll_place(wall: Wall, door: DoorPlace) -> RollTube:
    """Where the tube over a door lies."""
    tube, outside = wall.spec.tube, _outside_mm(wall)
    return RollTube(
        section=tube,
        start_x_mm=door.left_mm - _PAST_MM,
        end_x_mm=door.right_mm + _PAST_MM,
        y_mm=wall.y(_face_mm(wall, door) - _GAP_MM - tube.od_mm / 2),
        z_mm=door.header_top_mm + tube.od_mm / 2,
        out=wall.across(-1.0)[1],
        between_mm=(door.left_mm - outside, door.right_mm + outside),
    )


def roll_tube(wall: Wall, door: DoorPlace, order: int) -> list[UnmarkedMember]:
    """The tube above the door with what it turns in, and the guides of the curtain."""
    tube = wall.spec.tube
    half, place = tube.od_mm / 2, roll_place(wall, door)
    axis = _face_mm(wall, door) - _GAP_MM - half
    start, end, z = place.start_x_mm, place.end_x_mm, place.z_mm
    spot = Spot(side=side_of((start + end) / 2), hoop=wall.hoop, order=order)
    bracket_place = BracketPlace(wall=wall, spot=spot)
    past = _outside_mm(wall) + wall.plan.plate_mm + _STOP_MM
    stops = (door.left_mm - past, door.right_mm + past)
    size = wall.plan.fasteners.clamp.hole_mm
    run = RunName(Role.ROLL_TUBE, wall.hoop, door.where)
    drafts = jointed_tube(
        wall.plan,
        tube,
        start=(start, place.y_mm, z),
        along=ACROSS,
        length_mm=end - start,
        run=run,
        spot=spot,
        where=f"{wall.where}.tube",
        holes=tuple(Hole(at_mm=x - start, diameter_mm=size) for x in stops),
    )
    for x in stops:
        drafts += bracket_place.bolt(
            (x, wall.y(axis), z + half), DOWN, tube.od_mm, (Place(run, x),)
        )
    for reveal, away in ((door.left_mm, -1.0), (door.right_mm, 1.0)):
        drafts += _bearing(bracket_place, door, reveal, away, (axis, z))
        drafts += _guide(bracket_place, door, reveal, away)
    return drafts


def _face_mm(wall: Wall, door: DoorPlace) -> float:
    """Depth of the face that tube and guides are set off from, mm.

    That of the wall; where the hoop comes low over bearings that would stand in its plane,
    the face of the hoop, which the arms then reach before from below.
    """
    face, od_mm = face_mm(wall, door), wall.spec.tube.od_mm
    past = _outside_mm(wall) + 2 * wall.plan.plate_mm + _BOLT_MM
    reach, foot = max(-door.left_mm, door.right_mm), -wall.under.x_mm
    room = (
        min(
            wall.z_under(min(reach + past, foot)) - 2 * _SLOT_MM - _KEEPER_MM,
            wall.z_under(min(reach + _PAST_MM, foot)),
        )
        - door.header_top_mm
        - od_mm
    )
    return face if room >= _UNDER_HOOP_MM else min(face, -wall.hoop_od_mm / 2 - _CLEAR_MM)


def _outside_mm(wall: Wall) -> float:
    """From the reveal to the plates that stand outside the guide."""
    return _CLEAR_MM + wall.spec.tube.od_mm


def _guide_run(wall: Wall, door: DoorPlace, away: float) -> RunName:
    """The name of the guide on the left (-1) or right (1) of a door."""
    return RunName(Role.CURTAIN_GUIDE, wall.hoop, (door.where, away))


def _foot(
    bracket_place: BracketPlace, name: str, door: DoorPlace, away: float, middle_mm: float
) -> list[UnmarkedMember]:
    """The plate of a bracket on the front of a jamb, with its two fixings."""
    wall, reveal = bracket_place.wall, door.left_mm if away < 0 else door.right_mm
    outside = _outside_mm(wall)
    x = reveal + away * min(wall.upright_mm, outside) / 2
    heights = [middle_mm + more for more in FIXINGS_MM]
    across = sorted((reveal, reveal + away * (outside + wall.plan.plate_mm)))
    drafts = [
        bracket_place.upright(
            f"{name}, foot",
            (across[0], across[1]),
            (middle_mm - FOOT_MM / 2, middle_mm + FOOT_MM / 2),
            wall.front_mm,
            [(x, z, bracket_place.hole_mm) for z in heights],
        )
    ]
    for z in heights:
        joins = (drafts[0].place, jamb_at(wall, door, away, z))
        drafts += bracket_place.held(x, z, wall.front_mm, wall.spec.timber.depth_mm, joins)
    return drafts


def _arm_x(bracket_place: BracketPlace, reveal: float, away: float) -> tuple[float, float]:
    wall = bracket_place.wall
    outside = _outside_mm(wall)
    low, high = sorted((reveal + away * outside, reveal + away * (outside + wall.plan.plate_mm)))
    return low, high


def _bearing(
    bracket_place: BracketPlace,
    door: DoorPlace,
    reveal: float,
    away: float,
    axis: tuple[float, float],
) -> list[UnmarkedMember]:
    """Foot, arm with its slot, keeper over the tube with two bolts, and the guide's screws."""
    wall, half = bracket_place.wall, bracket_place.wall.spec.tube.od_mm / 2
    depth, z = axis
    middle = bearing_height(wall, door)
    low, high = middle - FOOT_MM / 2, middle + FOOT_MM / 2
    root = wall.front_mm - wall.plan.plate_mm
    inner = min(root, _face_mm(wall, door) - _CLEAR_MM)
    slot = half + _SLOT_MM
    outer, top = depth - slot - _HORN_MM, z + slot + _SLOT_MM + _KEEPER_MM
    corners = [
        (outer, low),
        (root, low),
        (root, high),
        (inner, high),
        (inner, top),
        (depth + slot, top),
        (depth + slot, z - half),
        (depth - slot, z - half),
        (depth - slot, top),
        (outer, top),
    ]
    if inner == root:
        corners[2:4] = []
    size = wall.plan.fasteners.clamp.hole_mm
    level = top - _KEEPER_MM / 2
    bolts = [(depth + sign * (slot + _HORN_MM / 2), level, size) for sign in (-1, 1)]
    screws = _guide_screws(bracket_place, door, middle)
    x = _arm_x(bracket_place, reveal, away)
    beyond = x[1] if away > 0 else x[0]
    keeper = sorted((beyond, beyond + away * wall.plan.plate_mm))
    ends = (depth - slot - _HORN_MM, depth + slot + _HORN_MM)
    arm = bracket_place.cross("roll tube bearing, arm", x, corners, [*bolts, *screws])
    over = bracket_place.cross(
        "roll tube keeper",
        (keeper[0], keeper[1]),
        [
            (ends[0], top - _KEEPER_MM),
            (ends[1], top - _KEEPER_MM),
            (ends[1], top),
            (ends[0], top),
        ],
        bolts,
    )
    drafts = [*_foot(bracket_place, "roll tube bearing", door, away, middle), arm, over]
    for at, height, _ in bolts:
        seat = (beyond + away * wall.plan.plate_mm, wall.y(at), height)
        joins = (over.place, arm.place)
        drafts += bracket_place.bolt(
            seat, (-away, 0.0, 0.0), 2 * wall.plan.plate_mm, joins, plane_mm=wall.plan.plate_mm
        )
    joins = (arm.place, Place(_guide_run(wall, door, away)))
    return drafts + _driven(bracket_place, beyond, away, screws, joins)


def _guide_axis_mm(wall: Wall, door: DoorPlace) -> float:
    return _face_mm(wall, door) - _GAP_MM - _CURTAIN_MM - wall.spec.tube.od_mm / 2


def _guide_screws(bracket_place: BracketPlace, door: DoorPlace, middle_mm: float) -> list[Bore]:
    depth = _guide_axis_mm(bracket_place.wall, door)
    return [(depth, middle_mm + more, SCREW_HOLE_MM) for more in FIXINGS_MM]


def _driven(
    bracket_place: BracketPlace,
    beyond: float,
    away: float,
    screws: list[Bore],
    joins: tuple[Place, Place],
) -> list[UnmarkedMember]:
    """Self-drilling screws from outside through an arm into the guide."""
    return [
        bracket_place.screw((beyond, bracket_place.wall.y(depth), z), (-away, 0.0, 0.0), joins)
        for depth, z, _ in screws
    ]


def _guide(
    bracket_place: BracketPlace, door: DoorPlace, reveal: float, away: float
) -> list[UnmarkedMember]:
    """The tube before an edge of the curtain, and the arms that hold it below the bearing."""
    wall, tube = bracket_place.wall, bracket_place.wall.spec.tube
    depth, half = _guide_axis_mm(wall, door), tube.od_mm / 2
    low = guide_foot(wall, door) + _GROUND_MM
    high = bearing_height(wall, door) + FOOT_MM / 2
    part = Tube(section=tube, axis=PlanePath((Line(high - low),)))
    placement = Placement.of(
        origin=(reveal + away * (_CLEAR_MM + half), wall.y(depth), low),
        x=UP,
        y=wall.across(1.0),
    )
    run = _guide_run(wall, door, away)
    drafts = [
        UnmarkedMember(
            role=run.role,
            part=part,
            placement=placement,
            spot=bracket_place.spot,
            stretches=(Stretch(run),),
        )
    ]
    x = _arm_x(bracket_place, reveal, away)
    beyond = x[1] if away > 0 else x[0]
    ends = (depth - half, wall.front_mm - wall.plan.plate_mm)
    for middle in guide_heights(wall, door):
        bottom, top = middle - FOOT_MM / 2, middle + FOOT_MM / 2
        screws = _guide_screws(bracket_place, door, middle)
        drafts += _foot(bracket_place, "curtain guide", door, away, middle)
        arm = bracket_place.cross(
            "curtain guide, arm",
            x,
            [(ends[0], bottom), (ends[1], bottom), (ends[1], top), (ends[0], top)],
            screws,
        )
        drafts.append(arm)
        drafts += _driven(bracket_place, beyond, away, screws, (arm.place, Place(run)))
    return drafts
