"""Braces from the studs of an end wall back to the next hoop.

A brace rises from its stud, in a plane along the tunnel, to where the next hoop passes
over. On a timber stud its end is pressed flat and bolted to the stud's side; on a tube
stud it is clamped. On the hoop it is always clamped.
"""

from __future__ import annotations

import math

from msgspec.structs import replace

from frame3d.errors import DesignError
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_runs import upright_at
from frame3d.frame.joining.bolts import bolt_up
from frame3d.frame.joining.clamps import WIDTH_MM, coupler
from frame3d.frame.joining.spanning import clamped_tube
from frame3d.frame.joining.stops import KeptClear
from frame3d.frame.model.end_forms import Flat, flat_width_mm
from frame3d.frame.model.joints import Place, RunName, Stretch
from frame3d.frame.model.layout_context import UnmarkedMember
from frame3d.frame.model.parts import Hole, Tube
from frame3d.frame.model.roles import Role
from frame3d.frame.wall_bracing.brace_lines import (
    Braced,
    half_of,
    line_of,
    next_hoop,
    plane_x,
    spot_of,
    top_distance,
    tube_ends,
)
from frame3d.frame.wall_bracing.brace_places import OVERHANG_MM
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import Placement, add

_CLEAR_MM = 3.0


def brace_claims(wall: Wall, chosen: tuple[Braced, ...]) -> tuple[KeptClear, ...]:
    """What the clamps of the braces take up of a half hoop."""
    return tuple(
        KeptClear.around(top_distance(wall, one.upright, one.side), 2 * WIDTH_MM) for one in chosen
    )


def brace_members(wall: Wall, chosen: tuple[Braced, ...]) -> list[UnmarkedMember]:
    """All braces of a wall with what holds them."""
    drafts = []
    for order, brace in enumerate(chosen, start=1):
        drafts += _bolted(wall, brace, order) if wall.is_timber else _clamped(wall, brace, order)
    return drafts


def _bolted(wall: Wall, brace: Braced, order: int) -> list[UnmarkedMember]:
    """A brace pressed flat at its foot, against the side of a timber stud."""
    tube, plan = wall.spec.brace_tube, wall.plan
    line, hole = line_of(wall, brace), plan.fasteners.hex.hole_mm
    along = line.along
    edge = 2.0 * hole
    # Flat until the last corner of it has left the stud's side, at whatever slant.
    level = max(0.2, abs(along[1]))
    beside = wall.spec.timber.depth_mm / 2 + flat_width_mm(tube) / 2 * abs(along[2])
    flat_mm = edge + beside / level + _CLEAR_MM
    length = math.dist(line.low, line.high) + edge + OVERHANG_MM
    flat = Flat(length_mm=flat_mm, transition_mm=1.5 * tube.od_mm, clock_rad=0.0)
    if length < flat.length_mm + flat.transition_mm + 2 * WIDTH_MM:
        raise DesignError(
            f"a {plan.say(length)} brace has no room for its flat and its clamp; lower "
            'brace_height, or set braces = "none"',
            f"{wall.where}.brace_height",
        )
    part = Tube(
        section=tube,
        axis=PlanePath((Line(length),)),
        start=flat,
        holes=(Hole(at_mm=edge, diameter_mm=hole),),
    )
    side = brace.side
    spot = spot_of(wall, line.low[0], order)
    placement = Placement.of(origin=add(line.low, along, -edge), x=along, y=(side, 0.0, 0.0))
    run = _run(wall, order)
    drafts = [
        UnmarkedMember(
            role=run.role, part=part, placement=placement, spot=spot, stretches=(Stretch(run),)
        )
    ]
    thick = wall.upright_mm + 2 * tube.wall_mm
    inner = brace.upright.x_mm - side * wall.upright_mm / 2
    drafts += bolt_up(
        plan.fasteners,
        plan.fasteners.hex,
        seat=(inner, line.low[1], line.low[2]),
        direction=(side, 0.0, 0.0),
        thickness_mm=thick,
        spot=spot,
        where="hardware.frame_bolt",
        joins=(upright_at(wall, brace.upright.x_mm), Place(run)),
        plane_mm=wall.upright_mm,
    )
    drafts += coupler(
        plan.fasteners,
        on=line.hoop.point,
        boss=line.boss,
        first=(line.hoop.along, wall.hoop_od_mm),
        second=(along, tube.od_mm),
        spot=spot,
        joins=(plan.on_hoop(next_hoop(wall), half_of(line.low[0]), line.at_mm), Place(run)),
    )
    return drafts


def _run(wall: Wall, order: int) -> RunName:
    return RunName(Role.WALL_BRACE, wall.hoop, order)


def _clamped(wall: Wall, brace: Braced, order: int) -> list[UnmarkedMember]:
    spot = spot_of(wall, plane_x(wall, brace.upright, brace.side), order)
    first, second = (replace(end, spot=spot) for end in tube_ends(wall, brace))
    return clamped_tube(
        wall.plan.fasteners,
        first,
        second,
        section=wall.spec.brace_tube,
        overhang_mm=OVERHANG_MM,
        run=_run(wall, order),
        spot=spot,
        where=f"{wall.where}.brace_height",
    )
