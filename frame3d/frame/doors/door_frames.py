"""Door frames: headers between the jambs, tracks and roll tubes, and the clear openings."""

from __future__ import annotations

from msgspec.structs import replace

from frame3d.design.tables.whole_design import DoorKind
from frame3d.errors import DesignError
from frame3d.frame.doors.hinges import hinges
from frame3d.frame.doors.leaves import face_mm, leaf_drafts, leaves_of
from frame3d.frame.doors.roll_tubes import roll_place, roll_tube
from frame3d.frame.doors.track_brackets import header_ends, passed
from frame3d.frame.doors.tracks import track, track_places, track_reach
from frame3d.frame.end_walls.girts import held_beside
from frame3d.frame.end_walls.studs import header_in_wall
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_lines import side_of
from frame3d.frame.end_walls.wall_places import (
    DoorPlace,
    Upright,
    UprightKind,
    upright_source,
)
from frame3d.frame.end_walls.wall_runs import behind_track, header_at, jamb_at
from frame3d.frame.joining.splices import QUARTER
from frame3d.frame.joining.timber_screws import lag_into
from frame3d.frame.joining.tube_runs import jointed_tube
from frame3d.frame.model.joints import Stretch
from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.model.parts import Board, Hole
from frame3d.frame.model.roles import Role, Spot
from frame3d.geometry.placement import ACROSS, UP, Placement


def door_members(
    wall: Wall, doors: tuple[DoorPlace, ...], uprights: tuple[Upright, ...]
) -> list[UnmarkedMember]:
    """Headers, leaves and what they hang on; the jambs stand among the uprights."""
    return [
        draft if draft.source else replace(draft, source=door.where)
        for order, door in enumerate(doors, start=1)
        for draft in _door(wall, door, order, doors, uprights)
    ]


def _door(
    wall: Wall,
    door: DoorPlace,
    order: int,
    doors: tuple[DoorPlace, ...],
    uprights: tuple[Upright, ...],
) -> list[UnmarkedMember]:
    if wall.is_timber:
        drafts = _timber_header(wall, door, order)
    else:
        drafts = _tube_header(wall, door, order, doors, uprights)
    if door.door.kind is DoorKind.ROLL_UP:
        return drafts + roll_tube(wall, door, order)
    drafts += leaf_drafts(wall, door, order)
    if door.door.kind is DoorKind.SLIDING:
        return drafts + track(wall, door, order, doors, uprights)
    return drafts + hinges(wall, door, order)


def openings(wall: Wall, doors: tuple[DoorPlace, ...]) -> tuple[DoorOpening, ...]:
    """The clear openings of ``doors`` with their leaves."""
    return tuple(
        DoorOpening(
            end=wall.end, where=door.where, kind=door.door.kind, swing=door.door.swing,
            left_x_mm=door.left_mm, right_x_mm=door.right_mm, bottom_mm=door.bottom_mm,
            top_mm=door.top_mm, wall_y_mm=wall.y(face_mm(wall, door)),
            leaves=leaves_of(wall, door),
            roll=roll_place(wall, door) if door.door.kind is DoorKind.ROLL_UP else None,
        )
        for door in doors
    )  # fmt: skip


def _tube_header(
    wall: Wall,
    door: DoorPlace,
    order: int,
    doors: tuple[DoorPlace, ...],
    uprights: tuple[Upright, ...],
) -> list[UnmarkedMember]:
    """A tube clamped to the jambs; under a track it goes on past the studs, to carry it."""
    spot = Spot(side=side_of((door.left_mm + door.right_mm) / 2), hoop=wall.hoop, order=order)
    half = wall.spec.tube.od_mm / 2
    z = door.top_mm + half
    holes: tuple[Hole, ...] = ()
    places: tuple[float, ...] = (door.left_mm - half, door.right_mm + half)
    start, end = header_ends(wall, door, doors, None)
    if door.door.kind is DoorKind.SLIDING:
        start, end = header_ends(wall, door, doors, track_reach(wall, door))
        places = passed(wall, uprights, (start, end), z)
        size = wall.plan.fasteners.clamp.hole_mm
        holes = tuple(
            Hole(at_mm=x - start, clock_rad=QUARTER, diameter_mm=size)
            for x in track_places(wall, door, doors, uprights)
        )
    drafts = jointed_tube(
        wall.plan,
        wall.spec.tube,
        start=(start, wall.y(wall.girt_axis_mm), z),
        along=ACROSS,
        length_mm=end - start,
        run=header_at(wall, door, start).run,
        spot=spot,
        where=f"{door.where}.width",
        kept_clear=tuple(x - start for x in places),
        holes=holes,
    )
    studs = {u.x_mm: upright_source(wall, u) for u in uprights if u.kind is UprightKind.STUD}
    for x in places:
        held = held_beside(wall, header_at(wall, door, x), z, spot)
        drafts += [replace(draft, source=studs.get(x, "")) for draft in held]
    return drafts


def _timber_header(wall: Wall, door: DoorPlace, order: int) -> list[UnmarkedMember]:
    """A board on edge between the jambs, flush with the face that the door shuts against."""
    spot = Spot(side=side_of((door.left_mm + door.right_mm) / 2), hoop=wall.hoop, order=order)
    section, near = header_in_wall(wall, door)
    thick = section.thickness_mm
    if thick > wall.spec.timber.depth_mm:
        raise DesignError(
            f"the header is {wall.plan.say(thick)} thick, thicker than the studs are deep; "
            "choose a thinner one",
            f"{door.where}.header",
        )
    # x along +X and depth up, so the thickness runs along -Y.
    face = wall.y(near + thick) if wall.way > 0 else wall.y(near)
    width = door.right_mm - door.left_mm
    board = Board(section=section, length_mm=width)
    placement = Placement.of(origin=(door.left_mm, face, door.top_mm), x=ACROSS, y=UP)
    own, carries = header_at(wall, door, 0.0), behind_track(wall, door, 0.0).run
    drafts = [
        UnmarkedMember(
            role=Role.DOOR_HEADER,
            part=board,
            placement=placement,
            spot=spot,
            stretches=(Stretch(own.run), Stretch(carries, door.left_mm, door.right_mm)),
        )
    ]
    jamb = wall.upright_mm
    for x, sign in ((door.left_mm - jamb, 1.0), (door.right_mm + jamb, -1.0)):
        for share in (0.25, 0.75):
            seat = (x, wall.y(near + thick / 2), door.top_mm + share * section.depth_mm)
            drafts += lag_into(
                wall.plan,
                seat,
                (sign, 0.0, 0.0),
                jamb,
                width / 2,
                spot,
                f"{wall.where}.timber",
                (jamb_at(wall, door, -sign), own),
            )
    return drafts
