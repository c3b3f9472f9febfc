"""Girts of an end wall: boards between the uprights, tubes beside them."""

from __future__ import annotations

import itertools

from frame3d.design.tables.whole_design import StudFoot, StudTop
from frame3d.errors import DesignError
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_lines import GAP_MM, side_of
from frame3d.frame.end_walls.wall_places import DoorPlace, Upright, UprightKind
from frame3d.frame.end_walls.wall_runs import upright_at
from frame3d.frame.joining.clamps import BAND_MM, EAR_MM, WIDTH_MM, coupler
from frame3d.frame.joining.timber_screws import lag_into
from frame3d.frame.joining.tube_runs import jointed_tube
from frame3d.frame.model.joints import Place, RunName, Stretch
from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.parts import Board
from frame3d.frame.model.roles import Role, Spot
from frame3d.geometry.paths import NEGLIGIBLE_MM
from frame3d.geometry.placement import ACROSS, Placement

_TOES_MM = 80.0
"""How far over a header the slanting screws of a cripple are in the way."""


_OVERHANG_MM = 50.0


def girt_members(
    wall: Wall, doors: tuple[DoorPlace, ...], uprights: tuple[Upright, ...]
) -> list[UnmarkedMember]:
    """All girts with what holds them.

    Raises
    ------
    DesignError
        If one lies at the ground, on a header, or above all uprights.
    """
    drafts = []
    for z in sorted(wall.spec.girts):
        _check_height(wall, z, doors, uprights)
        runs = _runs(wall, z, doors, uprights)
        for order, run in enumerate(runs, start=1):
            drafts += (
                _timber_girts(wall, z, run, order)
                if wall.is_timber
                else _tube_girt(wall, z, run, order)
            )
    return drafts


def _half_mm(wall: Wall) -> float:
    thick = wall.spec.timber.thickness_mm if wall.is_timber else wall.spec.tube.od_mm
    return thick / 2


def _check_height(
    wall: Wall, z: float, doors: tuple[DoorPlace, ...], uprights: tuple[Upright, ...]
) -> None:
    say, half, where = wall.plan.say, _half_mm(wall), f"{wall.where}.girts"
    least = half + (
        wall.spec.sill.thickness_mm
        if wall.spec.stud_foot is StudFoot.SILL
        else wall.spec.sill.depth_mm
    )
    if z < least - NEGLIGIBLE_MM:
        raise DesignError(
            f"a girt at {say(z)} is on the sill or in the ground; make it at least "
            f"{say.least(least)}",
            where,
        )
    for door in doors:
        room = WIDTH_MM if not wall.is_timber else 0.0
        low, high = door.top_mm - half - room, door.header_top_mm + half + room
        if low < z < high:
            raise DesignError(
                f"a girt at {say(z)} hits the header of {door.where}; keep it below "
                f"{say(low)} or above {say(high)}",
                where,
            )
    if not _runs(wall, z, doors, uprights):
        raise DesignError(
            f"a girt at {say(z)} has no two neighbouring studs to fix it to; make it lower "
            "or remove it",
            where,
        )


def _runs(
    wall: Wall, z: float, doors: tuple[DoorPlace, ...], uprights: tuple[Upright, ...]
) -> list[list[Upright]]:
    """Uprights that stand at a height, in runs that no door opening interrupts."""
    half = _half_mm(wall)
    standing = [
        u
        for u in uprights
        if wall.whole_to(u.x_mm) >= z + half + 1.0
        and (u.kind is not UprightKind.CRIPPLE or u.foot_mm <= z - half)
    ]
    # One at the end whose couplers would come into each other's way holds nothing; but two do.
    clear = [u for u in standing if wall.is_timber or _holds_below_hoop(wall, u, z)]
    found = _in_runs(clear, z, doors)
    return found or _in_runs(standing, z, doors)


def _holds_below_hoop(wall: Wall, upright: Upright, z: float) -> bool:
    """Whether a girt's coupler has room under the one that holds a clamped stud to the hoop."""
    if wall.spec.stud_top is not StudTop.CLAMPED:
        return True
    ring, x = wall.spec.tube.od_mm / 2 + BAND_MM, abs(upright.x_mm)
    under = min(wall.z_under(x), wall.z_under(min(x + WIDTH_MM / 2, -wall.under.x_mm)))
    top = wall.hoop_at(upright.x_mm)[2].point[2]
    ears = wall.hoop_od_mm / 2 + BAND_MM + EAR_MM
    return under >= z + ring + GAP_MM and top - z >= ears + ring + GAP_MM


def _in_runs(
    standing: list[Upright], z: float, doors: tuple[DoorPlace, ...]
) -> list[list[Upright]]:
    runs: list[list[Upright]] = [[]]
    for upright in standing:
        last = runs[-1][-1] if runs[-1] else None
        if last is not None and any(
            z < door.header_top_mm
            and last.x_mm < door.left_mm + 1e-6
            and upright.x_mm > door.right_mm - 1e-6
            for door in doors
        ):
            runs.append([])
        runs[-1].append(upright)
    return [run for run in runs if len(run) > 1]


def _timber_girts(wall: Wall, z: float, run: list[Upright], order: int) -> list[UnmarkedMember]:
    """Boards flat between the uprights, screwed through them into their ends."""
    section, half, way = wall.spec.timber, wall.upright_mm / 2, wall.way
    drafts = []
    for number, (first, second) in enumerate(itertools.pairwise(run)):
        start, end = first.x_mm + half, second.x_mm - half
        spot = Spot(side=side_of((start + end) / 2), hoop=wall.hoop, order=order)
        thick = section.thickness_mm
        bottom = z - thick / 2 if way > 0 else z + thick / 2
        placement = Placement.of(
            origin=(start, wall.y(wall.front_mm), bottom), x=ACROSS, y=wall.across(1.0)
        )
        board = Board(section=section, length_mm=end - start)
        girt = RunName(Role.GIRT, wall.hoop, (z, order, number))
        drafts.append(
            UnmarkedMember(
                role=girt.role,
                part=board,
                placement=placement,
                spot=spot,
                stretches=(Stretch(girt),),
            )
        )
        # From either side of a stud at another depth, so that screws pass each other.
        for upright, sign, share in ((first, 1.0, 0.3), (second, -1.0, 0.7)):
            x = upright.x_mm - sign * half
            depth = wall.front_mm + _screw_depth(wall, upright, z, share)
            drafts += lag_into(
                wall.plan,
                (x, wall.y(depth), z),
                (sign, 0.0, 0.0),
                wall.upright_mm,
                end - start,
                spot,
                f"{wall.where}.timber",
                (upright_at(wall, upright.x_mm), Place(girt)),
            )
    return drafts


def _screw_depth(wall: Wall, upright: Upright, z: float, share: float) -> float:
    """Depth in the wall of a girt's screw; behind those of a cripple just over its header."""
    if upright.kind is UprightKind.CRIPPLE and z - upright.foot_mm < _TOES_MM:
        share = 0.55 + 0.6 * (share - 0.3)
    return share * wall.spec.timber.depth_mm


def _tube_girt(wall: Wall, z: float, run: list[Upright], order: int) -> list[UnmarkedMember]:
    tube, axis = wall.spec.tube, wall.girt_axis_mm
    start, end = _girt_end(wall, z, run[0], -1.0), _girt_end(wall, z, run[-1], 1.0)
    spot = Spot(side=side_of((start + end) / 2), hoop=wall.hoop, order=order)
    places = tuple(u.x_mm - start for u in run)
    if min(places[0], end - start - places[-1]) < min(WIDTH_MM, tube.od_mm) / 2 - 1e-6:
        raise DesignError(
            f"a girt at {wall.plan.say(z)} has no room beside its outer stud, because the "
            "hoop is too low there; make it lower",
            f"{wall.where}.girts",
        )
    girt = RunName(Role.GIRT, wall.hoop, (z, order))
    drafts = jointed_tube(
        wall.plan,
        tube,
        start=(start, wall.y(axis), z),
        along=ACROSS,
        length_mm=end - start,
        run=girt,
        spot=spot,
        where=f"{wall.where}.tube",
        kept_clear=places,
    )
    for upright in run:
        drafts += held_beside(wall, Place(girt, upright.x_mm), z, spot)
    return drafts


def _girt_end(wall: Wall, z: float, upright: Upright, sign: float) -> float:
    """Where a tube girt ends past its last upright: short of the hoop, and of a door's reveal."""
    free = wall.half_width_under(z + wall.spec.tube.od_mm / 2) - GAP_MM
    past = _OVERHANG_MM
    door = upright.door
    if door is not None and z < door.header_top_mm:
        opens = (door.left_mm + door.right_mm) / 2 - upright.x_mm
        if opens * sign > 0:
            past = wall.upright_mm / 2
    end = upright.x_mm + sign * past
    return max(-free, min(free, end))


def held_beside(wall: Wall, level: Place, z: float, spot: Spot) -> list[UnmarkedMember]:
    """The coupler that holds a level tube to the tube upright that it passes there."""
    x_mm = level.at_mm
    toward = 1.0 if wall.girt_axis_mm > wall.axis_mm else -1.0
    od_mm, boss = wall.spec.tube.od_mm, wall.across(toward)
    along = ACROSS
    if wall.spec.stud_top is StudTop.CLAMPED and wall.z_under(x_mm) - z < 3 * WIDTH_MM:
        # Close under the hoop the ears of the half on the level tube look down.
        along = (-boss[1], 0.0, 0.0)
    # The ears of a clamp look along boss x direction: away from the middle, where doors are.
    away = -1.0 if x_mm < 0 else 1.0
    return coupler(
        wall.plan.fasteners,
        on=(x_mm, wall.y(wall.axis_mm), z),
        boss=boss,
        first=((0.0, 0.0, away * boss[1]), od_mm),
        second=(along, od_mm),
        spot=spot,
        joins=(upright_at(wall, x_mm), level),
    )
