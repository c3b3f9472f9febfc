"""End walls: everything of an end from its places to its members, demands and openings."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from frame3d.errors import DesignError
from frame3d.frame.doors.door_frames import door_members, openings
from frame3d.frame.doors.jamb_heights import jamb_holes
from frame3d.frame.doors.track_studs import with_track_studs
from frame3d.frame.end_walls.anchors import anchor_members
from frame3d.frame.end_walls.girts import girt_members
from frame3d.frame.end_walls.studs import stud_demands, stud_stretches, upright_members
from frame3d.frame.end_walls.wall import Wall, make_walls
from frame3d.frame.end_walls.wall_lines import held_by_sill, sill_members
from frame3d.frame.end_walls.wall_places import (
    DoorPlace,
    Upright,
    door_places,
    upright_places,
    upright_source,
)
from frame3d.frame.end_walls.wall_skirts import skirt_members
from frame3d.frame.hoops.demands import Demand
from frame3d.frame.hoops.ridge import RidgeEnd
from frame3d.frame.joining.stops import KeptClear
from frame3d.frame.model.layout_context import LayoutContext, UnmarkedMember
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.sides.rails import RailLine
from frame3d.frame.ties.truss import Truss
from frame3d.frame.wall_bracing.brace_lines import Braced, Opposite, ends_x
from frame3d.frame.wall_bracing.brace_places import braced
from frame3d.frame.wall_bracing.wall_braces import brace_claims, brace_members


class EndWallPlan(Struct, frozen=True, kw_only=True):
    """An end wall with the places of its doors and uprights."""

    wall: Wall
    doors: tuple[DoorPlace, ...]
    uprights: tuple[Upright, ...]
    braced: tuple[Braced, ...]


def plan_end_walls(
    plan: LayoutContext,
    lines: tuple[RailLine, ...],
    ridge: RidgeEnd | None,
    made: tuple[Truss, ...],
) -> tuple[EndWallPlan, ...]:
    """The end walls of the design with their places, front first.

    Raises
    ------
    DesignError
        If anything in one does not fit, or a door has no end wall; names the field.
    """
    walls = make_walls(plan, lines, ridge, made)
    ends = {wall.end for wall in walls}
    for index, door in enumerate(plan.design.door, start=1):
        for end in door.at.each:
            if end not in ends:
                raise DesignError(
                    f"there is no {end.value} end wall to put it in; add an [[end_wall]] "
                    "with that at, or change at",
                    f"door[{index}].at",
                )
    placed = [
        (wall, doors, upright_places(wall, doors))
        for wall in walls
        for doors in [door_places(wall)]
    ]
    found: list[EndWallPlan] = []
    for wall, doors, places in placed:
        uprights = with_track_studs(wall, doors, places)
        others = [one for one in placed if one[0] is not wall]
        clear = [*openings(wall, doors)]
        if len(plan.grid.hoop_y_mm) == 2:
            clear += [opening for other, there, _ in others for opening in openings(other, there)]
        # Braces stand at the studs of the design, not at those that a track needs.
        chosen = braced(wall, places, doors, clear, _opposite(plan, others, found))
        found.append(EndWallPlan(wall=wall, doors=doors, uprights=uprights, braced=chosen))
    return tuple(found)


def _opposite(
    plan: LayoutContext,
    others: Sequence[tuple[Wall, tuple[DoorPlace, ...], tuple[Upright, ...]]],
    planned: Sequence[EndWallPlan],
) -> Opposite:
    """What of the other end wall is in the way of braces: much in one bay, little in two."""
    bays = len(plan.grid.hoop_y_mm) - 1
    if bays > 2:
        return Opposite()
    standing = [
        (upright.x_mm, wall.upright_mm / 2)
        for wall, doors, places in others
        for upright in with_track_studs(wall, doors, places)
    ]
    braces = [
        (ends_x(one.wall, brace), one.wall.spec.brace_tube.od_mm / 2)
        for one in planned
        for brace in one.braced
    ]
    return Opposite(
        standing_mm=tuple(standing) if bays == 1 else (), braces_mm=tuple(braces), bays=bays
    )


def wall_demands(made: tuple[EndWallPlan, ...]) -> tuple[Demand, ...]:
    """The holes that end walls need in the end hoops."""
    return tuple(demand for one in made for demand in stud_demands(one.wall, one.uprights))


def wall_stretches(made: tuple[EndWallPlan, ...]) -> tuple[KeptClear, ...]:
    """What end walls take up of a half hoop, each stretch once."""
    taken = {stretch for one in made for stretch in stud_stretches(one.wall, one.uprights)}
    for one in made:
        taken |= set(brace_claims(one.wall, one.braced))
    return tuple(sorted(taken))


def wall_members(made: tuple[EndWallPlan, ...]) -> list[UnmarkedMember]:
    """Every member of the end walls."""
    drafts = []
    for one in made:
        bored = {brace.upright: (brace.height_mm,) for brace in one.braced}
        held = held_by_sill(one.wall, one.doors, one.uprights)
        for order, upright in enumerate(one.uprights, start=1):
            members = upright_members(
                one.wall,
                upright,
                order,
                bored_mm=bored.get(upright, ()),
                on_sill=upright in held,
                door_holes=jamb_holes(one.wall, upright),
            )
            drafts += _of(upright_source(one.wall, upright), members)
        where = one.wall.where
        drafts += _of(f"{where}.sill", sill_members(one.wall, one.doors, one.uprights))
        drafts += _of(f"{where}.sill", skirt_members(one.wall, one.doors, one.uprights))
        drafts += _of(f"{where}.anchors", anchor_members(one.wall, one.doors, one.uprights))
        drafts += _of(f"{where}.girts", girt_members(one.wall, one.doors, one.uprights))
        drafts += door_members(one.wall, one.doors, one.uprights)
        drafts += _of(f"{where}.brace_height", brace_members(one.wall, one.braced))
    return drafts


def _of(source: str, drafts: list[UnmarkedMember]) -> list[UnmarkedMember]:
    """``drafts`` with the field that they come from, where they have none."""
    return [draft if draft.source else replace(draft, source=source) for draft in drafts]


def door_openings(made: tuple[EndWallPlan, ...]) -> tuple[DoorOpening, ...]:
    """The clear openings of all doors, front first, from left to right."""
    return tuple(opening for one in made for opening in openings(one.wall, one.doors))
