"""King posts: from the middle of a tie up beside the ridge rail, or to the crown."""

from __future__ import annotations

from frame3d.design.tables.whole_design import Post, RailPlace, Tie, TieJoint
from frame3d.errors import DesignError
from frame3d.frame.hoops.demands import Demand
from frame3d.frame.hoops.sockets import SIDES
from frame3d.frame.joining.clamps import WIDTH_MM, axis_distance_mm, coupler
from frame3d.frame.joining.spanning import Held, clamped_tube
from frame3d.frame.joining.splices import QUARTER
from frame3d.frame.model.joints import Place, Stretch
from frame3d.frame.model.layout_context import HoopPoint, LayoutContext, UnmarkedMember
from frame3d.frame.model.parts import Hole, Tube
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.frame.model.settling import rounded_down
from frame3d.frame.sides.rails import RailLine
from frame3d.frame.ties.gussets import PLATE_MM, BoltRow, edge_mm, gusset, gusset_plate, pitch_mm
from frame3d.frame.ties.tie_plates import hoop_row, stopped_row, truss_y_mm
from frame3d.frame.ties.truss import Truss
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import ACROSS, ALONG, UP, Placement

_OVERHANG_MM = WIDTH_MM / 2 + 2.0


def post_place(
    plan: LayoutContext, tie: Tie, where: str, lines: tuple[RailLine, ...]
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
    rail = next((line for line in lines if line.rail.at is RailPlace.RIDGE), None)
    if rail is None and plan.is_gothic:
        raise DesignError(
            "a gothic king post is clamped to the ridge rail, and there is none; add a "
            '[[rail]] with at = "ridge", or remove the post',
            f"{where}.post",
        )
    x_mm, top_mm = 0.0, plan.arch.ridge_height_mm
    if rail is not None:
        centre = rail.centre
        x_mm = centre[0] + axis_distance_mm(rail.rail.tube.od_mm, tie.tube.od_mm)
        top_mm = centre[2]
    least = 2 * WIDTH_MM
    if tie.joint is TieJoint.PLATES:
        least = 8 * edge_mm(plan) + 2 * pitch_mm(plan)
    if top_mm - tie.height < least:
        raise DesignError(
            f"the king post would be {plan.say(max(top_mm - tie.height, 0.0))} long and "
            f"needs {plan.say.least(least)}; lower the tie or remove the post",
            f"{where}.post",
            (f"{where}.height", rounded_down(top_mm - least, plan.design.output.units)),
        )
    return x_mm, rail


def post_demands(plan: LayoutContext, truss: Truss) -> tuple[Demand, ...]:
    """The holes at the crown that the plate of a king post is bolted through."""
    if truss.post_x_mm is None or truss.ridge_rail is not None:
        return ()
    at = plan.line.half.length_mm - pitch_mm(plan) / 2
    hole = Hole(at_mm=at, clock_rad=QUARTER, diameter_mm=plan.fasteners.hex.hole_mm)
    return tuple(
        Demand(hoop=number, side=side, where=f"{truss.where}.post", hole=hole)
        for number in truss.hoops for side in SIDES
    )  # fmt: skip


def king_post(plan: LayoutContext, truss: Truss, number: int, way: float) -> list[UnmarkedMember]:
    """The king post of ``truss`` on hoop ``number``, with what holds it."""
    if truss.tie.joint is TieJoint.PLATES:
        return _plated(plan, truss, number, way)
    return _clamped(plan, truss, number, way)


def _clamped(plan: LayoutContext, truss: Truss, number: int, way: float) -> list[UnmarkedMember]:
    tie, od_mm = truss.tie, truss.tie.tube.od_mm
    y_hoop = plan.grid.hoop_y_mm[number - 1]
    y_tie = y_hoop + way * axis_distance_mm(plan.design.hoop.tube.od_mm, od_mm)
    # The post hangs beyond the tie, so clear of what holds the rail to the hoop.
    y_post = y_tie + way * axis_distance_mm(od_mm, od_mm)
    foot = HoopPoint(point=(truss.post_mm, y_tie, tie.height), along=ACROSS, inward=(0.0, way, 0.0))
    if truss.ridge_rail is not None:
        centre = truss.ridge_rail.centre
        top = HoopPoint(point=(centre[0], y_post, centre[2]), along=ALONG, inward=ACROSS)
        top_od = truss.ridge_rail.rail.tube.od_mm
        above = Place(truss.ridge_rail.run, y_post)
    else:
        crown = plan.line.at(Side.LEFT, plan.line.half.length_mm).at_y(y_hoop)
        top = HoopPoint(point=crown.point, along=ACROSS, inward=(0.0, way, 0.0))
        top_od = plan.design.hoop.tube.od_mm
        above = plan.on_hoop(number, Side.LEFT, plan.line.half.length_mm)
    spot = Spot(side=Side.MIDDLE, hoop=number)
    return clamped_tube(
        plan.fasteners,
        Held(point=foot, od_mm=od_mm, spot=spot, place=truss.on_tie(number, truss.post_mm)),
        Held(point=top, od_mm=top_od, spot=spot, place=above),
        section=tie.tube,
        overhang_mm=_OVERHANG_MM,
        run=truss.post(number).run,
        spot=spot,
        where=f"{truss.where}.height",
    )


def _plated(plan: LayoutContext, truss: Truss, number: int, way: float) -> list[UnmarkedMember]:
    """Its foot on a plate; its top clamped to the rail, or on a plate at the crown."""
    y_tie = truss_y_mm(plan, truss, number, way)
    if truss.ridge_rail is None:
        return _plated_to_crown(plan, truss, number, way, y_tie)
    tie, edge, rail = truss.tie, edge_mm(plan), truss.ridge_rail
    # Beyond the tie, so that its clamp passes the ridge joint.
    y_mm = y_tie + way * (tie.tube.od_mm + PLATE_MM)
    rows = _foot_rows(plan, truss, is_hoop=True)
    start = tie.height + rows[1].at_mm[0] - edge
    centre = rail.centre
    spot = Spot(side=Side.MIDDLE, hoop=number)
    drafts = [_post(plan, truss, spot, y_mm, start, centre[2] + _OVERHANG_MM, (edge,))]
    drafts += gusset(
        plan,
        gusset_plate(plan, rows),
        rows,
        (truss.on_tie(number, truss.post_mm), truss.post(number)),
        node=(truss.post_mm, tie.height),
        side=Side.MIDDLE,
        number=number,
        way=way,
        where=truss.where,
        order=4,
        behind=(y_tie, tie.tube.od_mm),
    )
    # Its ears look away from the hoop.
    drafts += coupler(
        plan.fasteners,
        on=(centre[0], y_mm, centre[2]),
        boss=ACROSS,
        first=(ALONG, rail.rail.tube.od_mm),
        second=((0.0, 0.0, way), tie.tube.od_mm),
        spot=spot,
        joins=(Place(rail.run, y_mm), truss.post(number)),
    )
    return drafts


def _plated_to_crown(
    plan: LayoutContext, truss: Truss, number: int, way: float, y_mm: float
) -> list[UnmarkedMember]:
    tie, edge, crown_z = truss.tie, edge_mm(plan), plan.arch.ridge_height_mm
    rows = _foot_rows(plan, truss, is_hoop=False)
    crown = hoop_row(plan, plan.line.half.length_mm)
    above = (crown, stopped_row(plan, truss, crown, (0.0, -1.0), f"{truss.where}.post"))
    start = tie.height + rows[1].at_mm[0] - edge
    top = crown_z - above[1].at_mm[0] + edge
    spot = Spot(side=Side.MIDDLE, hoop=number)
    drafts = [_post(plan, truss, spot, y_mm, start, top, (edge, top - start - edge))]
    on_tie = truss.on_tie(number, truss.post_mm)
    on_hoop = plan.on_hoop(number, Side.LEFT, plan.line.half.length_mm)
    plates = ((rows, tie.height, on_tie), (above, crown_z, on_hoop))
    for order, (pair, z, place) in enumerate(plates, start=4):
        drafts += gusset(
            plan,
            gusset_plate(plan, pair),
            pair,
            (place, truss.post(number)),
            node=(truss.post_mm, z),
            side=Side.MIDDLE,
            number=number,
            way=way,
            where=truss.where,
            order=order,
        )
    return drafts


def _foot_rows(plan: LayoutContext, truss: Truss, *, is_hoop: bool) -> tuple[BoltRow, BoltRow]:
    """Tie and post where they meet; the tie behind the plate, or on the same face of it."""
    half = pitch_mm(plan) / 2
    tie = BoltRow(
        direction=(1.0, 0.0), at_mm=(-half, half), od_mm=truss.tie.tube.od_mm, is_hoop=is_hoop
    )
    return tie, stopped_row(plan, truss, tie, (0.0, 1.0), f"{truss.where}.post")


def _post(
    plan: LayoutContext,
    truss: Truss,
    spot: Spot,
    y_mm: float,
    start: float,
    top: float,
    ends: tuple[float, ...],
) -> UnmarkedMember:
    """A post from ``start`` to ``top`` with two holes from each of ``ends`` inward."""
    pitch, length = pitch_mm(plan), top - start
    holes = [at + (pitch if at < length / 2 else -pitch) * k for at in ends for k in (0, 1)]
    post = Tube(
        section=truss.tie.tube,
        axis=PlanePath((Line(length),)),
        holes=tuple(
            Hole(at_mm=at, clock_rad=QUARTER, diameter_mm=plan.fasteners.hex.hole_mm)
            for at in holes
        ),
    )
    placement = Placement.of(origin=(truss.post_mm, y_mm, start), x=UP, y=ACROSS)
    covered = (Stretch(truss.post(spot.hoop).run),)
    return UnmarkedMember(
        role=Role.KING_POST, part=post, placement=placement, spot=spot, stretches=covered
    )
