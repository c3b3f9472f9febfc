"""Ties from side to side of a hoop, with king post and webs, clamped or on gusset plates.

Glossary
--------
tie : a level tube that joins the two sides of a hoop.
king post : an upright tube from the middle of the tie to the ridge rail or the crown.
web : a tube from the tie up to the hoop.
node : where the axes of two of these meet, seen along the tunnel.

Clamped, the tie runs beside the hoop, on its inner side along the tunnel, and the webs
between tie and hoop. On plates, all tubes lie in one plane beside the hoops, held by
plates that are bolted to the hoop's face.
"""

from __future__ import annotations

import math

from frame3d.design.reading.reader import is_left_out
from frame3d.design.tables.whole_design import End, Post, Tie, TieEnds, TieJoint
from frame3d.errors import DesignError
from frame3d.frame.hoops.demands import Demand
from frame3d.frame.hoops.repeating import at_hoop
from frame3d.frame.hoops.ridge import RidgeEnd
from frame3d.frame.joining.clamps import WIDTH_MM, axis_distance_mm, coupler
from frame3d.frame.joining.spanning import Held, clamped_tube
from frame3d.frame.joining.stops import KeptClear
from frame3d.frame.joining.tube_runs import jointed_tube
from frame3d.frame.model.joints import RunName
from frame3d.frame.model.layout_context import HoopPoint, LayoutContext, UnmarkedMember
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.frame.model.settling import rounded_down
from frame3d.frame.sides.bracing import clamp_distances
from frame3d.frame.sides.rails import RailLine
from frame3d.frame.ties.king_post import king_post, post_demands, post_place
from frame3d.frame.ties.tie_plates import plate_demands, plated_truss
from frame3d.frame.ties.truss import Truss
from frame3d.geometry.paths import NEGLIGIBLE_MM
from frame3d.geometry.placement import ACROSS, Vector, add

_ROOM_MM = 10.0
_BELOW_MM = 150.0
"""From the ridge's joint down to a tie that would be too high (common practice, no source)."""
_STRUCK_MM = 60.0
"""Nearer to a rail or a brace, the two or what holds them lie in each other."""
_NEAR_MM = 120.0
"""Along the hoop, farther than the ears of two clamps reach."""


def tied_hoops(plan: LayoutContext, tie: Tie) -> tuple[int, ...]:
    """Numbers of the hoops that get ``tie``.

    Raises
    ------
    DesignError
        If none does.
    """
    count = len(plan.grid.hoop_y_mm)
    chosen = set(range(1, count + 1, tie.every))
    if tie.ends is TieEnds.WITHOUT:
        chosen -= {1, count}
    for wall in plan.design.end_wall:
        chosen -= {1 if end is End.FRONT else count for end in wall.at.each}
    return tuple(sorted(chosen))


def trusses(
    plan: LayoutContext, end: RidgeEnd | None, lines: tuple[RailLine, ...]
) -> tuple[Truss, ...]:
    """Every tie of the design with the geometry that all its hoops share.

    Raises
    ------
    DesignError
        If a tie, post or web does not fit; names the field to change.
    """
    made = [
        _truss(plan, tie, f"tie[{index}]", end, lines)
        for index, tie in enumerate(plan.design.tie, start=1)
    ]
    _check_one_place(plan, made)
    return tuple(made)


def _truss(
    plan: LayoutContext, tie: Tie, where: str, end: RidgeEnd | None, lines: tuple[RailLine, ...]
) -> Truss:
    hoops = tied_hoops(plan, tie)
    if not hoops:
        raise DesignError(
            f"no hoop gets a tie: with {len(plan.grid.hoop_y_mm)} hoops, every = "
            f"{tie.every} and the end hoops skipped, none remains; change every or ends, or "
            "remove the tie",
            f"{where}.every",
        )
    high = end.clear_from_mm if end is not None else plan.line.half.length_mm
    reach = (_plate_reach(plan) if tie.joint is TieJoint.PLATES else WIDTH_MM / 2) + _ROOM_MM
    low = plan.design.socket.insertion + reach
    limits = [plan.line.at(Side.LEFT, at).point[2] for at in (low, high - reach)]
    _check_height(plan, tie, where, lines, limits)
    node = plan.height_to_distance(tie.height)
    half = -plan.line.at(Side.LEFT, node).point[0]
    post_x, rail = post_place(plan, tie, where, lines)
    web_at, web_x = None, 0.0
    if tie.webs:
        web_at, web_x = _web_place(plan, tie, where, node, high, reach), tie.web_foot * half
        _check_web_foot(plan, where, web_x, post_x)
    near = tuple(line for line in lines if abs(line.at_mm - node) < _NEAR_MM)
    return Truss(
        tie=tie,
        where=where,
        hoops=hoops,
        node_mm=node,
        half_mm=half,
        web_at_mm=web_at,
        web_x_mm=web_x,
        post_x_mm=post_x,
        ridge_rail=rail,
        near=near,
    )


def _check_height(
    plan: LayoutContext, tie: Tie, where: str, lines: tuple[RailLine, ...], limits: list[float]
) -> None:
    """Refuse a tie that does not meet the hoop; a default gives way to rails and braces too."""
    field = f"{where}.height"
    lower = _lower(plan, lines, limits[0], min(tie.height, limits[1] - _BELOW_MM))
    if not limits[0] - NEGLIGIBLE_MM <= tie.height <= limits[1] + NEGLIGIBLE_MM:
        raise DesignError(
            f"a tie at {plan.say(tie.height)} misses the free part of the hoop, from "
            f"{plan.say.least(limits[0])} to {plan.say.most(limits[1])} high; change height",
            field,
            (field, lower),
        )
    struck = _beside(plan, lines, tie.height) < _STRUCK_MM
    if struck and lower < tie.height and is_left_out(plan.design, field):
        raise DesignError("it is at a rail or brace; make it lower", field, (field, lower))


def _lower(plan: LayoutContext, lines: tuple[RailLine, ...], least: float, most: float) -> float:
    """The highest place of a tie that is clear of rails and braces and not above ``most``, mm."""
    z_mm = most
    while z_mm > least:
        z_mm = rounded_down(z_mm, plan.design.output.units)
        if _beside(plan, lines, z_mm) >= _NEAR_MM:
            return max(z_mm, least)
        z_mm -= 10.0
    return least


def _beside(plan: LayoutContext, lines: tuple[RailLine, ...], z_mm: float) -> float:
    """How far a tie at a height is from the nearest rail or brace's clamp, mm.

    The less of the distances along the hoop and in height.
    """
    at_mm = plan.height_to_distance(z_mm)
    others = [(line.at_mm, line.centre[2]) for line in lines]
    others += [(at, plan.line.at(Side.LEFT, at).point[2]) for at in clamp_distances(plan)]
    return min((min(abs(at - at_mm), abs(z - z_mm)) for at, z in others), default=math.inf)


def _web_place(
    plan: LayoutContext, tie: Tie, where: str, node: float, high: float, reach: float
) -> float:
    """Distance from the leg end at which a web meets the hoop."""
    at_mm = node + tie.web_top * (plan.line.half.length_mm - node)
    if at_mm - node < 2 * reach or at_mm + reach > high:
        raise DesignError(
            f"a web that meets the hoop at a share of {tie.web_top:g} hits the joint of the "
            "tie or the ridge; change web_top",
            f"{where}.web_top",
        )
    return at_mm


def _check_web_foot(plan: LayoutContext, where: str, web_x: float, post_x: float | None) -> None:
    least = WIDTH_MM / 2 + 5 if post_x is None else post_x + WIDTH_MM + 5
    if web_x < least - NEGLIGIBLE_MM:
        raise DesignError(
            f"a web {plan.say(web_x)} from the middle of the tie hits the other web or the "
            f"king post and must be {plan.say.least(least)} from it; increase web_foot",
            f"{where}.web_foot",
        )


def _plate_reach(plan: LayoutContext) -> float:
    """Half of what a gusset plate takes up along a hoop, mm."""
    return 6.0 * plan.fasteners.hex.hole_mm


def _check_one_place(plan: LayoutContext, made: list[Truss]) -> None:
    for index, truss in enumerate(made):
        for other in made[:index]:
            shared = set(truss.hoops) & set(other.hoops)
            if shared and abs(truss.tie.height - other.tie.height) < 150:
                raise DesignError(
                    f"it is within {plan.say(150)} of {other.where} on hoop {min(shared)}; "
                    "remove one, or move it",
                    f"{truss.where}.height",
                )


def tie_stretches(plan: LayoutContext, made: tuple[Truss, ...]) -> tuple[KeptClear, ...]:
    """What ties and webs take up of a half hoop."""
    taken = []
    for truss in made:
        plates = truss.tie.joint is TieJoint.PLATES
        reach = (_plate_reach(plan) if plates else WIDTH_MM / 2) + _ROOM_MM
        taken += [
            KeptClear.around(at, reach) for at in (truss.node_mm, truss.web_at_mm) if at is not None
        ]
        if truss.tie.post is Post.KING_POST and not plan.is_gothic:
            taken.append(KeptClear.around(plan.line.half.length_mm, reach))
    return tuple(taken)


def tie_demands(plan: LayoutContext, made: tuple[Truss, ...]) -> tuple[Demand, ...]:
    """Holes in the hoops for bolted gusset plates."""
    plated = [truss for truss in made if truss.tie.joint is TieJoint.PLATES]
    return tuple(
        demand
        for truss in plated
        for demand in (*plate_demands(plan, truss), *post_demands(plan, truss))
    )


def tie_members(plan: LayoutContext, made: tuple[Truss, ...]) -> list[UnmarkedMember]:
    """All ties with posts, webs and what holds them."""
    drafts: list[UnmarkedMember] = []
    hoop_y = plan.grid.hoop_y_mm
    for truss in made:
        # Clamped, it stands alike on every hoop of one half of the tunnel.
        alike: dict[float, tuple[float, list[UnmarkedMember]]] = {}
        for number in truss.hoops:
            way = inner_way(plan, number)
            if truss.tie.joint is TieJoint.PLATES:
                drafts += _one_truss(plan, truss, number, way)
                continue
            if way not in alike:
                alike[way] = hoop_y[number - 1], _one_truss(plan, truss, number, way)
            y_mm, first = alike[way]
            drafts += at_hoop(first, number, hoop_y[number - 1] - y_mm)
    return drafts


def _one_truss(plan: LayoutContext, truss: Truss, number: int, way: float) -> list[UnmarkedMember]:
    """A tie with its webs and its post."""
    make = plated_truss if truss.tie.joint is TieJoint.PLATES else _clamped_truss
    drafts = make(plan, truss, number, way)
    return drafts if truss.post_x_mm is None else drafts + king_post(plan, truss, number, way)


def inner_way(plan: LayoutContext, number: int) -> float:
    """+1 or -1: the way along Y from a hoop to the middle of the tunnel."""
    return 1.0 if 2 * number <= len(plan.grid.hoop_y_mm) + 1 else -1.0


def _clamped_truss(
    plan: LayoutContext, truss: Truss, number: int, way: float
) -> list[UnmarkedMember]:
    """The tie with its couplers and webs."""
    tie, y_hoop = truss.tie, plan.grid.hoop_y_mm[number - 1]
    beside = axis_distance_mm(plan.design.hoop.tube.od_mm, tie.tube.od_mm)
    y_mm = y_hoop + way * beside
    half = truss.half_mm + tie.overhang
    drafts = jointed_tube(
        plan,
        tie.tube,
        start=(-half, y_mm, tie.height),
        along=ACROSS,
        length_mm=2 * half,
        run=truss.on_tie(number, 0.0).run,
        spot=Spot(side=Side.MIDDLE, hoop=number),
        where=f"{truss.where}.tube",
        kept_clear=(half - truss.web_x_mm, half + (truss.post_x_mm or 0.0), half + truss.web_x_mm),
    )
    for side in (Side.LEFT, Side.RIGHT):
        here = plan.line.at(side, truss.node_mm).at_y(y_hoop)
        drafts += _held_beside(plan, truss, here, way, Spot(side=side, hoop=number))
    if truss.web_at_mm is not None:
        for side in (Side.LEFT, Side.RIGHT):
            drafts += _web(plan, truss, number, side, y_mm, way)
    return drafts


def _held_beside(
    plan: LayoutContext, truss: Truss, here: HoopPoint, way: float, spot: Spot
) -> list[UnmarkedMember]:
    """A coupler that holds a tie beside a hoop, its ears away from a rail that is near."""
    rails = [line for line in truss.near if line.side is spot.side]
    away = None
    if rails:
        x, _, z = add(rails[0].centre, here.point, -1.0)
        away = (x, 0.0, z)
    return coupler(
        plan.fasteners,
        on=here.point,
        boss=(0.0, way, 0.0),
        first=(here.along, plan.design.hoop.tube.od_mm),
        second=(ACROSS, truss.tie.tube.od_mm),
        spot=spot,
        joins=(
            plan.on_hoop(spot.hoop, spot.side, truss.node_mm),
            truss.on_tie(spot.hoop, here.point[0]),
        ),
        away=away,
    )


def ties_beside(plan: LayoutContext, made: tuple[Truss, ...], line: RailLine) -> dict[int, Vector]:
    """From a rail line's clamp to the tie that is near to it, for each hoop that has one."""
    found: dict[int, Vector] = {}
    for truss in made:
        if line.side is Side.MIDDLE or line not in truss.near:
            continue
        x, _, z = add(plan.line.at(line.side, truss.node_mm).point, line.hoop.point, -1.0)
        beside = axis_distance_mm(line.hoop_od_mm, truss.tie.tube.od_mm)
        found |= {n: (x, inner_way(plan, n) * beside, z) for n in truss.hoops}
    return found


def _web(
    plan: LayoutContext, truss: Truss, number: int, side: Side, y_mm: float, way: float
) -> list[UnmarkedMember]:
    """From the tie's outer side, toward the hoop, up to the hoop's inner side."""
    tie = truss.tie
    sign = -1.0 if side is Side.LEFT else 1.0
    spot = Spot(side=side, hoop=number)
    foot = HoopPoint(
        point=(sign * truss.web_x_mm, y_mm, tie.height), along=ACROSS, inward=(0.0, -way, 0.0)
    )
    top = plan.line.at(side, truss.web_top_mm).at_y(plan.grid.hoop_y_mm[number - 1])
    top = HoopPoint(point=top.point, along=top.along, inward=(0.0, way, 0.0))
    return clamped_tube(
        plan.fasteners,
        Held(
            point=foot, od_mm=tie.tube.od_mm, spot=spot, place=truss.on_tie(number, foot.point[0])
        ),
        Held(
            point=top,
            od_mm=plan.design.hoop.tube.od_mm,
            spot=spot,
            place=plan.on_hoop(number, side, truss.web_top_mm),
        ),
        section=tie.tube,
        overhang_mm=tie.overhang,
        run=RunName(Role.WEB, number, (truss.where, side)),
        spot=spot,
        where=f"{truss.where}.web_foot",
    )
