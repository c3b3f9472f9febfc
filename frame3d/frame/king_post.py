"""King posts: from the middle of a tie up beside the ridge rail, or to the crown."""

from __future__ import annotations

from frame3d.errors import DesignError
from frame3d.frame.clamps import WIDTH_MM, axis_distance_mm, coupler
from frame3d.frame.demands import Demand
from frame3d.frame.gussets import Row, edge_mm, gusset, gusset_plate, pitch_mm
from frame3d.frame.members import Role, Side, Spot
from frame3d.frame.parts import Hole, Tube
from frame3d.frame.plan import Draft, HoopPoint, Plan
from frame3d.frame.rails import Y_AXIS, RailLine
from frame3d.frame.sockets import SIDES
from frame3d.frame.spanning import Held, clamped_tube
from frame3d.frame.splices import QUARTER
from frame3d.frame.tie_plates import hoop_row, stopped_row, truss_y_mm
from frame3d.frame.truss import Truss
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import Placement, Vector, add
from frame3d.spec.design import Place, Post, Tie, TieJoint

_X: Vector = (1.0, 0.0, 0.0)
_UP: Vector = (0.0, 0.0, 1.0)
_OVERHANG_MM = WIDTH_MM / 2 + 2.0


def post_place(
    plan: Plan, tie: Tie, where: str, lines: tuple[RailLine, ...]
) -> tuple[float | None, RailLine | None]:
    """Where across the tunnel the king post of ``tie`` stands, and the rail that holds it.

    Returns
    -------
    x : float or None
        Distance from the middle, mm; None without a king post.
    rail : RailLine or None
        None for a post to the crown of a quonset hoop.

    Raises
    ------
    DesignError
        If there is nothing for it to be held by, or no room for it.
    """
    if tie.post is Post.NONE:
        return None, None
    rail = next((line for line in lines if line.rail.at is Place.RIDGE), None)
    if rail is None and plan.is_gothic:
        raise DesignError(
            "a king post of a gothic frame is clamped to the ridge rail, and there is none; add "
            'a [[rail]] with at = "ridge", or leave the post out', f"{where}.post")
    x_mm, top_mm = 0.0, plan.arch.ridge_height_mm
    if rail is not None:
        centre = _rail_centre(rail)
        x_mm = centre[0] + axis_distance_mm(rail.rail.tube.od_mm, tie.tube.od_mm)
        top_mm = centre[2]
    least = 2 * WIDTH_MM
    if tie.joint is TieJoint.PLATES:
        least = 8 * edge_mm(plan) + 2 * pitch_mm(plan)
    if top_mm - tie.height < least:
        raise DesignError(
            f"a king post between the tie and what holds it would be "
            f"{plan.say(max(top_mm - tie.height, 0.0))} long and needs {plan.say(least)}; make the "
            "tie lower or leave the post out", f"{where}.post")
    return x_mm, rail


def _rail_centre(line: RailLine) -> Vector:
    return add(line.hoop.point, line.toward, line.distance_mm)


def post_demands(plan: Plan, truss: Truss) -> tuple[Demand, ...]:
    """The holes at the crown that the plate of a king post is bolted through."""
    if truss.post_x_mm is None or truss.ridge_rail is not None:
        return ()
    at = plan.line.half.length_mm - pitch_mm(plan) / 2
    hole = Hole(at_mm=at, clock_rad=QUARTER, diameter_mm=plan.fasteners.hex.hole_mm)
    return tuple(
        Demand(hoop=number, side=side, where=f"{truss.where}.post", hole=hole)
        for number in truss.hoops for side in SIDES
    )  # fmt: skip


def king_post(plan: Plan, truss: Truss, number: int, way: float) -> list[Draft]:
    """The king post of ``truss`` on hoop ``number``, with what holds it."""
    if truss.tie.joint is TieJoint.PLATES:
        return _plated(plan, truss, number, way)
    return _clamped(plan, truss, number, way)


def _clamped(plan: Plan, truss: Truss, number: int, way: float) -> list[Draft]:
    tie, od_mm = truss.tie, truss.tie.tube.od_mm
    y_hoop = plan.grid.hoop_y_mm[number - 1]
    y_tie = y_hoop + way * axis_distance_mm(plan.design.hoop.tube.od_mm, od_mm)
    # The post hangs beyond the tie, so clear of what holds the rail to the hoop.
    y_post = y_tie + way * axis_distance_mm(od_mm, od_mm)
    foot = HoopPoint(point=(truss.post_x_mm, y_tie, tie.height), along=_X,
                     inward=(0.0, way, 0.0))
    if truss.ridge_rail is not None:
        centre = _rail_centre(truss.ridge_rail)
        top = HoopPoint(point=(centre[0], y_post, centre[2]), along=Y_AXIS, inward=_X)
        top_od = truss.ridge_rail.rail.tube.od_mm
    else:
        crown = plan.line.at(Side.LEFT, plan.line.half.length_mm).at_y(y_hoop)
        top = HoopPoint(point=crown.point, along=_X, inward=(0.0, way, 0.0))
        top_od = plan.design.hoop.tube.od_mm
    spot = Spot(side=Side.MIDDLE, hoop=number)
    return clamped_tube(
        plan.fasteners,
        Held(point=foot, od_mm=od_mm, spot=spot),
        Held(point=top, od_mm=top_od, spot=spot),
        section=tie.tube, overhang_mm=_OVERHANG_MM, role=Role.KING_POST, spot=spot,
    )


def _plated(plan: Plan, truss: Truss, number: int, way: float) -> list[Draft]:
    """Its foot on a plate; its top clamped to the rail, or on a plate at the crown."""
    tie, x_mm, edge = truss.tie, truss.post_x_mm, edge_mm(plan)
    half = pitch_mm(plan) / 2
    through = Row(direction=(1.0, 0.0), at_mm=(-half, half), od_mm=tie.tube.od_mm)
    rows = (through, stopped_row(plan, truss, through, (0.0, 1.0), f"{truss.where}.post"))
    y_mm = truss_y_mm(plan, truss, number, way)
    start = tie.height + rows[1].at_mm[0] - edge
    bored = [edge, edge + pitch_mm(plan)]
    spot = Spot(side=Side.MIDDLE, hoop=number)
    drafts = gusset(plan, gusset_plate(plan, rows), rows, node=(x_mm, tie.height),
                    side=Side.MIDDLE, number=number, way=way, where=truss.where, order=4)
    if truss.ridge_rail is not None:
        rail = truss.ridge_rail
        centre = _rail_centre(rail)
        top = centre[2] + _OVERHANG_MM
        drafts += coupler(
            plan.fasteners, on=(centre[0], y_mm, centre[2]), boss=_X,
            first=(Y_AXIS, rail.rail.tube.od_mm), second=(_UP, tie.tube.od_mm), spot=spot,
        )
    else:
        crown = hoop_row(plan, plan.line.half.length_mm)
        above = (crown, stopped_row(plan, truss, crown, (0.0, -1.0), f"{truss.where}.post"))
        top = plan.arch.ridge_height_mm - above[1].at_mm[0] + edge
        bored += [top - start - at for at in (edge, edge + pitch_mm(plan))]
        drafts += gusset(plan, gusset_plate(plan, above), above,
                         node=(0.0, plan.arch.ridge_height_mm), side=Side.MIDDLE, number=number,
                         way=way, where=truss.where, order=5)
    post = Tube(
        section=tie.tube, axis=PlanePath((Line(top - start),)),
        holes=tuple(Hole(at_mm=at, clock_rad=QUARTER, diameter_mm=plan.fasteners.hex.hole_mm)
                    for at in bored),
    )
    placement = Placement.of(origin=(x_mm, y_mm, start), x=_UP, y=_X)
    return [Draft(role=Role.KING_POST, part=post, placement=placement, spot=spot), *drafts]
