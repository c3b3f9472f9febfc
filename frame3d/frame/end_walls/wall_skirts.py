"""Skirt boards under the sill of an end wall, where the ground that was measured falls away.

The sill stays level, since doors, girts and sheets hang on it and are square; what a builder
does with the gap is to pack the sill where studs stand and close it with a board that is ripped
to the ground. It stands under the sill's outer edge, flush with it, and screws through the sill
hold it.
"""

from __future__ import annotations

import itertools
import math

from msgspec import Struct

from frame3d.catalog.sections import TimberSection
from frame3d.design.tables.ends import StudFoot
from frame3d.design.tables.staking import GroundBoards
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_lines import side_of, sill_spans
from frame3d.frame.end_walls.wall_places import DoorPlace, Upright, UprightKind, ground_over
from frame3d.frame.end_walls.wall_runs import sill_at
from frame3d.frame.joining.stops import KeptClear, nearest_free
from frame3d.frame.joining.timber_screws import lag_for, lag_into
from frame3d.frame.model.joints import Place, RunName, Stretch
from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.parts import RippedBoard
from frame3d.frame.model.roles import Role, Spot
from frame3d.frame.model.surveyed import GroundLine, stretch_of
from frame3d.frame.sides.ground_answers import CLOSED_MM, ripped_depths
from frame3d.geometry.placement import Placement
from frame3d.units import UnitSystem

_STEP_MM = {UnitSystem.IMPERIAL: 25.4 / 8, UnitSystem.METRIC: 2.0}
_SHORTEST_MM = 300.0
"""A shorter stretch is left to be filled (common practice, no source)."""
_APART_MM, _END_MM, _BESIDE_MM = 600.0, 75.0, 30.0
"""Between screws, from an end to the first, and from a stud (common practice, no source)."""

Span = tuple[float, float]


class WallSkirt(Struct, frozen=True, kw_only=True):
    """A skirt board: from where to where across the tunnel, its depth at both, its lumber."""

    low_mm: float
    high_mm: float
    depths_mm: Span
    section: TimberSection


def skirts_of(
    wall: Wall, doors: tuple[DoorPlace, ...], uprights: tuple[Upright, ...]
) -> tuple[WallSkirt, ...]:
    """The skirt boards of a wall, from the left; none on level ground or where others do."""
    asked = wall.plan.design.staking.boards
    if wall.plan.ground is None or wall.spec.stud_foot is not StudFoot.SILL:
        return ()
    if asked in (GroundBoards.LEVEL, GroundBoards.FILL):
        return ()
    step = _STEP_MM[wall.plan.say.form.system]
    found = []
    for start, end in sill_spans(wall, doors, uprights):
        line = ground_over(wall, (start + end) / 2, (end - start) / 2)
        span = _hanging(line)
        if span is None or max(-z for _, z in line) <= CLOSED_MM:
            continue
        depths = ripped_depths(stretch_of(line, *span), step)
        section = _section(wall, max(depths))
        capped = (min(depths[0], section.depth_mm), min(depths[1], section.depth_mm))
        if lag_for(wall.plan, wall.spec.sill.thickness_mm, min(capped)) is not None:
            found.append(
                WallSkirt(low_mm=span[0], high_mm=span[1], depths_mm=capped, section=section)
            )
    return tuple(found)


def _hanging(line: GroundLine) -> Span | None:
    """From the first place to the last with a gap to close; None where that is short.

    The narrowest board is a little deeper than the narrowest gap, so some is dug there.
    """
    places = []
    for (a, low), (b, high) in itertools.pairwise(line):
        over = (low + CLOSED_MM, high + CLOSED_MM)
        places += [x for x, z in zip((a, b), over, strict=True) if z <= 0.0]
        if over[0] * over[1] < 0.0:
            places.append(a + (b - a) * over[0] / (over[0] - over[1]))
    if not places or max(places) - min(places) < _SHORTEST_MM:
        return None
    return min(places), max(places)


def _section(wall: Wall, deep_mm: float) -> TimberSection:
    """The lumber of the sill, or that of the sill boards where only that is deep enough."""
    own, sill_board = wall.spec.sill, wall.plan.design.sill_board
    if sill_board is None or deep_mm <= own.depth_mm:
        return own
    return max(own, sill_board.timber, key=lambda one: one.depth_mm)


def skirt_members(
    wall: Wall, doors: tuple[DoorPlace, ...], uprights: tuple[Upright, ...]
) -> list[UnmarkedMember]:
    """The skirt boards with the screws through the sill that hold them."""
    drafts: list[UnmarkedMember] = []
    studs = [
        KeptClear.around(u.x_mm, wall.upright_mm / 2 + _BESIDE_MM)
        for u in uprights
        if u.kind is not UprightKind.CRIPPLE
    ]
    for order, skirt in enumerate(skirts_of(wall, doors, uprights), start=1):
        middle = (skirt.low_mm + skirt.high_mm) / 2
        spot = Spot(side=side_of(middle), hoop=wall.hoop, order=order)
        drafts += [_board(wall, skirt, spot), *_screws(wall, skirt, spot, studs)]
    return drafts


def _run(wall: Wall) -> RunName:
    return RunName(Role.WALL_SKIRT, wall.hoop)


def _board(wall: Wall, skirt: WallSkirt, spot: Spot) -> UnmarkedMember:
    """On edge, its straight edge up against the sill, its outer face flush with the sill's."""
    thick = skirt.section.thickness_mm
    depth = wall.front_mm if wall.way > 0 else wall.front_mm + thick
    part = RippedBoard(
        section=skirt.section, length_mm=skirt.high_mm - skirt.low_mm, left_mm=skirt.depths_mm
    )
    place = Placement.of(
        origin=(skirt.low_mm, wall.y(depth), 0.0), x=(1.0, 0.0, 0.0), y=(0.0, 0.0, -1.0)
    )
    return UnmarkedMember(
        role=Role.WALL_SKIRT, part=part, placement=place, spot=spot,
        stretches=(Stretch(_run(wall), skirt.low_mm, skirt.high_mm),),
    )  # fmt: skip


def _screws(
    wall: Wall, skirt: WallSkirt, spot: Spot, studs: list[KeptClear]
) -> list[UnmarkedMember]:
    """From above through the sill, clear of the studs that stand on it."""
    top = wall.spec.sill.thickness_mm
    within = KeptClear(skirt.low_mm + _END_MM, skirt.high_mm - _END_MM)
    gaps = max(1, math.ceil((within.end_mm - within.start_mm) / _APART_MM))
    drafts: list[UnmarkedMember] = []
    taken = list(studs)
    for k in range(gaps + 1):
        wish = within.start_mm + k * (within.end_mm - within.start_mm) / gaps
        x = nearest_free(wish, 0.0, 0.0, taken, within)
        if x is None:
            continue
        taken.append(KeptClear.around(x, _BESIDE_MM))
        drafts += lag_into(
            wall.plan,
            (x, wall.y(wall.front_mm + skirt.section.thickness_mm / 2), top),
            (0.0, 0.0, -1.0), top, min(skirt.depths_mm),
            spot, f"{wall.where}.sill", (sill_at(wall, x), Place(_run(wall), x)),
        )  # fmt: skip
    return drafts
