"""End walls: everything of an end from its places to its members, demands and openings."""

from __future__ import annotations

from msgspec import Struct

from frame3d.errors import DesignError
from frame3d.frame.brace_lines import Braced
from frame3d.frame.brace_places import braced
from frame3d.frame.clear import DoorOpening
from frame3d.frame.demands import Demand
from frame3d.frame.door_frames import door_members, openings
from frame3d.frame.jamb_heights import jamb_holes
from frame3d.frame.plan import Draft, Plan
from frame3d.frame.rails import RailLine
from frame3d.frame.ridge import RidgeEnd
from frame3d.frame.stops import Stretch
from frame3d.frame.studs import stud_demands, stud_stretches, upright_members
from frame3d.frame.track_studs import with_track_studs
from frame3d.frame.truss import Truss
from frame3d.frame.wall import Wall, make_walls
from frame3d.frame.wall_braces import brace_claims, brace_members
from frame3d.frame.wall_lines import girt_members, held_by_sill, sill_members
from frame3d.frame.wall_places import DoorPlace, Upright, door_places, upright_places


class EndWallPlan(Struct, frozen=True, kw_only=True):
    """An end wall with the places of its doors and uprights."""

    wall: Wall
    doors: tuple[DoorPlace, ...]
    uprights: tuple[Upright, ...]
    braced: tuple[Braced, ...]


def plan_end_walls(
    plan: Plan, lines: tuple[RailLine, ...], ridge: RidgeEnd | None, made: tuple[Truss, ...]
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
                    f"it is in the {end.value} end wall, and there is none; add an [[end_wall]] "
                    "with that at, or change at", f"door[{index}].at")
    return tuple(_planned(wall) for wall in walls)


def _planned(wall: Wall) -> EndWallPlan:
    doors = door_places(wall)
    # Braces stand at the studs of the design, not at those that a track needs.
    places = upright_places(wall, doors)
    uprights = with_track_studs(wall, doors, places)
    chosen = braced(wall, places, doors, openings(wall, doors))
    return EndWallPlan(wall=wall, doors=doors, uprights=uprights, braced=chosen)


def wall_demands(made: tuple[EndWallPlan, ...]) -> tuple[Demand, ...]:
    """The holes that end walls need in the end hoops."""
    return tuple(demand for one in made for demand in stud_demands(one.wall, one.uprights))


def wall_stretches(made: tuple[EndWallPlan, ...]) -> tuple[Stretch, ...]:
    """What end walls take up of a half hoop, each stretch once."""
    taken = {
        stretch for one in made for stretch in stud_stretches(one.wall, one.uprights)
    }
    for one in made:
        taken |= set(brace_claims(one.wall, one.braced))
    return tuple(sorted(taken))


def wall_members(made: tuple[EndWallPlan, ...]) -> list[Draft]:
    """Every member of the end walls."""
    drafts = []
    for one in made:
        bored = {brace.upright: (brace.height_mm,) for brace in one.braced}
        held = held_by_sill(one.wall, one.doors, one.uprights)
        for order, upright in enumerate(one.uprights, start=1):
            drafts += upright_members(
                one.wall, upright, order, bored_mm=bored.get(upright, ()),
                on_sill=upright in held, door_holes=jamb_holes(one.wall, upright),
            )
        drafts += sill_members(one.wall, one.doors, one.uprights)
        drafts += girt_members(one.wall, one.doors, one.uprights)
        drafts += door_members(one.wall, one.doors, one.uprights)
        drafts += brace_members(one.wall, one.braced)
    return drafts


def door_openings(made: tuple[EndWallPlan, ...]) -> tuple[DoorOpening, ...]:
    """The clear openings of all doors, front first, from left to right."""
    return tuple(opening for one in made for opening in openings(one.wall, one.doors))
