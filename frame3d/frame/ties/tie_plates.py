"""Ties on gusset plates: tie, webs and post in one plane beside the hoop."""

from __future__ import annotations

import math

from frame3d.errors import DesignError
from frame3d.frame.hoops.demands import Demand
from frame3d.frame.hoops.sockets import SIDES
from frame3d.frame.joining.splices import QUARTER
from frame3d.frame.joining.tube_runs import jointed_tube
from frame3d.frame.model.joints import Place, RunName, Stretch
from frame3d.frame.model.layout_context import LayoutContext, UnmarkedMember
from frame3d.frame.model.parts import Hole, Tube
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.frame.model.settling import rounded_down
from frame3d.frame.ties.gussets import PLATE_MM, BoltRow, edge_mm, gusset, gusset_plate, pitch_mm
from frame3d.frame.ties.truss import Truss
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import ACROSS, Placement
from frame3d.units import compared

_CLEAR_MM = 20.0
"""From the face of the tube that goes through to the end of one that stops (common practice)."""
_STEP_MM = 50.0
_LEAST_ANGLE_RAD = math.radians(25)


def plate_demands(plan: LayoutContext, truss: Truss) -> tuple[Demand, ...]:
    """The holes in the hoops that the plates of ``truss`` are bolted through."""
    half = pitch_mm(plan) / 2
    places = [at for at in (truss.node_mm, truss.web_at_mm) if at is not None]
    return tuple(
        Demand(
            hoop=number, side=side, where=truss.where,
            hole=Hole(at_mm=at + sign * half, clock_rad=QUARTER,
                      diameter_mm=plan.fasteners.hex.hole_mm),
        )
        for number in truss.hoops for at in places for side in SIDES for sign in (-1, 1)
    )  # fmt: skip


def truss_y_mm(plan: LayoutContext, truss: Truss, number: int, way: float) -> float:
    """Y of the axes of tie, webs and post on hoop ``number``."""
    off = plan.design.hoop.tube.od_mm / 2 + PLATE_MM + truss.tie.tube.od_mm / 2
    return plan.grid.hoop_y_mm[number - 1] + way * off


def plated_truss(
    plan: LayoutContext, truss: Truss, number: int, way: float
) -> list[UnmarkedMember]:
    """Tie and webs with their plates and bolts, on hoop ``number``."""
    tie, y_mm = truss.tie, truss_y_mm(plan, truss, number, way)
    end_rows = _end_rows(plan, truss)
    back = end_rows[1].at_mm[0] - edge_mm(plan)
    half = truss.half_mm - back
    bored = [truss.half_mm - at for at in end_rows[1].at_mm]
    foot_rows = _foot_rows(plan, truss) if truss.web_at_mm is not None else None
    if foot_rows is not None:
        bored += [truss.web_x_mm - at for at in foot_rows[0].at_mm]
        _check_foot(plan, truss, end_rows)
    places = [sign * x for x in bored for sign in (-1, 1)]
    if truss.post_x_mm is not None:
        places += [truss.post_x_mm + sign * pitch_mm(plan) / 2 for sign in (-1, 1)]
    holes = tuple(
        Hole(at_mm=half + x, clock_rad=QUARTER, diameter_mm=plan.fasteners.hex.hole_mm)
        for x in places
    )
    drafts = jointed_tube(
        plan,
        tie.tube,
        start=(-half, y_mm, tie.height),
        along=ACROSS,
        length_mm=2 * half,
        run=truss.on_tie(number, 0.0).run,
        spot=Spot(side=Side.MIDDLE, hoop=number),
        where=f"{truss.where}.tube",
        holes=holes,
        kept_clear=(half,),
    )
    end_plate = gusset_plate(plan, end_rows)
    for side in SIDES:
        sign = _sign(side)
        drafts += gusset(
            plan,
            end_plate,
            end_rows,
            (
                plan.on_hoop(number, side, truss.node_mm),
                truss.on_tie(number, sign * truss.half_mm),
            ),
            node=(sign * truss.half_mm, tie.height),
            side=side,
            number=number,
            way=way,
            where=truss.where,
        )
        if foot_rows is not None:
            drafts += _web(plan, truss, number, way, side, foot_rows)
    return drafts


def _sign(side: Side) -> float:
    return -1.0 if side is Side.LEFT else 1.0


def hoop_row(plan: LayoutContext, at_mm: float) -> BoltRow:
    """The two bolts in the hoop at a node, as on the left half, x inward."""
    here, half = plan.line.at(Side.LEFT, at_mm), pitch_mm(plan) / 2
    return BoltRow(
        direction=(here.along[0], here.along[2]),
        at_mm=(-half, half),
        od_mm=plan.design.hoop.tube.od_mm,
        is_hoop=True,
    )


def stopped_row(
    plan: LayoutContext,
    truss: Truss,
    through: BoltRow,
    direction: tuple[float, float],
    where: str,
) -> BoltRow:
    """The two bolts of a tube that stops short of one that goes through."""
    ux, uz = direction
    cosine = abs(ux * through.direction[0] + uz * through.direction[1])
    angle = math.acos(min(1.0, cosine))
    if angle < _LEAST_ANGLE_RAD:
        said = compared(
            math.degrees(_LEAST_ANGLE_RAD), math.degrees(angle), form=plan.say.form, unit="deg"
        )
        raise DesignError(
            f"two tubes meet at {said.provided} there, too flat for a plate; they need "
            f"{said.required}; change the angle",
            where,
            (
                f"{truss.where}.height",
                rounded_down(truss.tie.height - _STEP_MM, plan.design.output.units),
            ),
        )
    od_mm = truss.tie.tube.od_mm
    back = (through.od_mm / 2 + _CLEAR_MM) / math.sin(angle) + od_mm / 2 / math.tan(angle)
    first = back + edge_mm(plan)
    return BoltRow(direction=direction, at_mm=(first, first + pitch_mm(plan)), od_mm=od_mm)


def _end_rows(plan: LayoutContext, truss: Truss) -> tuple[BoltRow, BoltRow]:
    """Hoop and tie where they meet."""
    hoop = hoop_row(plan, truss.node_mm)
    return hoop, stopped_row(plan, truss, hoop, (1.0, 0.0), f"{truss.where}.height")


def _web_ends(plan: LayoutContext, truss: Truss) -> tuple[tuple[float, float], tuple[float, float]]:
    """The nodes of the left web, x and z: on the tie, and on the hoop."""
    top = plan.line.at(Side.LEFT, truss.web_top_mm).point
    return (-truss.web_x_mm, truss.tie.height), (top[0], top[2])


def _foot_rows(plan: LayoutContext, truss: Truss) -> tuple[BoltRow, BoltRow]:
    """Tie and web where they meet, x inward as on the left."""
    foot, top = _web_ends(plan, truss)
    length = math.dist(foot, top)
    half = pitch_mm(plan) / 2
    tie = BoltRow(direction=(1.0, 0.0), at_mm=(-half, half), od_mm=truss.tie.tube.od_mm)
    direction = ((top[0] - foot[0]) / length, (top[1] - foot[1]) / length)
    return tie, stopped_row(plan, truss, tie, direction, f"{truss.where}.web_foot")


def _check_foot(plan: LayoutContext, truss: Truss, end_rows: tuple[BoltRow, ...]) -> None:
    """The plates of the two webs and of the hoops must not lie on each other."""
    edge = edge_mm(plan)
    reach = pitch_mm(plan) / 2 + edge + 5
    near = reach if truss.post_x_mm is None else truss.post_x_mm + 2 * reach
    far = truss.half_mm - max(end_rows[1].at_mm) - edge - 5
    if not near <= truss.web_x_mm <= far - reach:
        low, high = near / truss.half_mm, (far - reach) / truss.half_mm
        span = f"{math.ceil(1000 * low) / 1000:g} to {math.floor(1000 * high) / 1000:g}"
        change = f"make it {span}" if low < high else "there is no room for two webs; set webs = 0"
        raise DesignError(
            f"the plate of a web {plan.say(truss.web_x_mm)} from the middle of the tie "
            f"overlaps the next one; {change}",
            f"{truss.where}.web_foot",
        )


def _web(
    plan: LayoutContext,
    truss: Truss,
    number: int,
    way: float,
    side: Side,
    foot_rows: tuple[BoltRow, BoltRow],
) -> list[UnmarkedMember]:
    foot, top = _web_ends(plan, truss)
    hoop = hoop_row(plan, truss.web_top_mm)
    down = (-foot_rows[1].direction[0], -foot_rows[1].direction[1])
    top_rows = (hoop, stopped_row(plan, truss, hoop, down, f"{truss.where}.web_top"))
    edge, sign = edge_mm(plan), _sign(side)
    start = foot_rows[1].at_mm[0] - edge
    length = math.dist(foot, top) - start - (top_rows[1].at_mm[0] - edge)
    least = 2 * (2 * edge + pitch_mm(plan))
    if length < least:
        raise DesignError(
            f"a web of {plan.say(max(length, 0.0))} between its plates is too short for its "
            f"bolts and needs {plan.say(least)}; change web_foot, web_top or height",
            f"{truss.where}.web_top",
        )
    holes = [edge, edge + pitch_mm(plan)]
    holes += [length - at for at in holes]
    web = Tube(
        section=truss.tie.tube,
        axis=PlanePath((Line(length),)),
        holes=tuple(
            Hole(at_mm=at, clock_rad=QUARTER, diameter_mm=plan.fasteners.hex.hole_mm)
            for at in holes
        ),
    )
    # Left and right are mirror images: the foot's x changes its sign, and so the way up.
    ux, uz = foot_rows[1].direction
    mirror = -sign
    along = (mirror * ux, 0.0, uz)
    node = (mirror * foot[0], foot[1])
    y_mm = truss_y_mm(plan, truss, number, way)
    placement = Placement.of(
        origin=(node[0] + start * along[0], y_mm, node[1] + start * along[2]),
        x=along,
        y=(-along[2], 0.0, along[0]),
    )
    spot = Spot(side=side, hoop=number)
    run = RunName(Role.WEB, number, (truss.where, side))
    drafts = [
        UnmarkedMember(
            role=run.role, part=web, placement=placement, spot=spot, stretches=(Stretch(run),)
        )
    ]
    on_hoop = plan.on_hoop(number, side, truss.web_top_mm)
    ends = (
        (foot_rows, node, truss.on_tie(number, node[0])),
        (top_rows, (mirror * top[0], top[1]), on_hoop),
    )
    for order, (rows, place, through) in enumerate(ends, start=2):
        drafts += gusset(
            plan,
            gusset_plate(plan, rows),
            rows,
            (through, Place(run)),
            node=place,
            side=side,
            number=number,
            way=way,
            where=truss.where,
            order=order,
        )
    return drafts
