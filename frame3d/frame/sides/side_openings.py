"""Side openings: the hip board or rail above them, the boards that end them, the free area.

Glossary
--------
hip : the line at which the fixed cover ends and a side opening begins.
end stop : an upright board near each end of an opening that its curtain closes against.
"""

from __future__ import annotations

import math

from msgspec import Struct

from frame3d.catalog.sections import TimberSection
from frame3d.design.tables.whole_design import Face, Fixing, Hip, Rail, RailPlace, SideOpening
from frame3d.errors import ArchError, DesignError, present
from frame3d.frame.hoops.ridge import RidgeEnd
from frame3d.frame.hoops.sockets import SIDES
from frame3d.frame.joining.bolts import bolt_up
from frame3d.frame.joining.clamps import axis_distance_mm
from frame3d.frame.joining.stops import KeptClear
from frame3d.frame.model.joints import Place, RunName, Stretch
from frame3d.frame.model.layout_context import HoopPoint, LayoutContext, UnmarkedMember
from frame3d.frame.model.openings import SideVent
from frame3d.frame.model.parts import Board, BoardHole, Hole
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.frame.model.surveyed import rise_at
from frame3d.frame.sides.board_joints import Stretches
from frame3d.frame.sides.board_lines import BoardLine, line_members, on_boards
from frame3d.frame.sides.rails import RailLine
from frame3d.frame.sides.stop_screws import Backed, stop_screws
from frame3d.geometry.paths import NEGLIGIBLE_MM
from frame3d.geometry.placement import Placement, Vector, add, cross, dot, opposite, unit

_ROOM_MM = 10.0
_TINY = 1e-6
_BESIDE_HOOP_MM = 5.0
"""Left free between an end stop and a hoop or socket (common practice, no source)."""
_LEAST_OPENING_MM = 100.0


def hip_distance(plan: LayoutContext, end: RidgeEnd | None) -> float:
    """Distance of the hip's middle from the leg end along a hoop, mm.

    Raises
    ------
    DesignError
        If the hip lies on the sockets or boards below it, or on the ridge joint.
    """
    opening, say = _opening_of(plan), plan.say
    try:
        at_mm = plan.height_to_distance(opening.height)
    except ArchError:
        raise DesignError(
            f"{say(opening.height)} is above the ridge at {say(plan.arch.ridge_height_mm)}; make "
            "it lower",
            "side_opening.height",
        ) from None
    high = end.clear_from_mm if end is not None else plan.line.half.length_mm
    lower = at_mm - _half_mm(opening)
    foot = foot_distance(plan)
    if lower < foot + _LEAST_OPENING_MM - NEGLIGIBLE_MM:
        least = plan.line.at(Side.LEFT, foot + _LEAST_OPENING_MM + _half_mm(opening)).point[2]
        raise DesignError(
            f"a hip at {say(opening.height)} leaves no opening above the sill board or socket; "
            f"make it at least {say.least(least)}",
            "side_opening.height",
        )
    if at_mm + _half_mm(opening) + _ROOM_MM > high:
        raise DesignError("the hip hits the ridge joint; make it lower", "side_opening.height")
    return at_mm


def _opening_of(plan: LayoutContext) -> SideOpening:
    return present(plan.design.side_opening, "side opening")


def _half_mm(opening: SideOpening) -> float:
    """Half of what the hip takes up along a hoop, mm."""
    if opening.hip is Hip.BOARD:
        return opening.timber.depth_mm / 2
    return opening.tube.od_mm / 2


def foot_distance(plan: LayoutContext) -> float:
    """Distance from the leg end to where an opening begins: sill board's top or socket's, mm."""
    sill, socket_top = plan.design.sill_board, plan.design.socket.insertion
    if sill is None:
        return socket_top
    return max(socket_top, plan.line.below_mm + sill.bottom + sill.timber.depth_mm)


def hip_stretches(plan: LayoutContext, end: RidgeEnd | None) -> tuple[KeptClear, ...]:
    """What the hip board takes up of a half; a hip rail counts as a rail."""
    opening = plan.design.side_opening
    if opening is None or opening.hip is Hip.RAIL:
        return ()
    return (KeptClear.around(hip_distance(plan, end), _half_mm(opening) + _ROOM_MM),)


def hip_holes(plan: LayoutContext, end: RidgeEnd | None) -> tuple[Hole, ...]:
    """The hole of the hip board's bolt in each half."""
    opening = plan.design.side_opening
    if opening is None or opening.hip is Hip.RAIL:
        return ()
    return (Hole(at_mm=hip_distance(plan, end), diameter_mm=plan.fasteners.carriage.hole_mm),)


def hip_rails(plan: LayoutContext, end: RidgeEnd | None, first: int) -> tuple[RailLine, ...]:
    """The hip rails of both sides, numbered from ``first``."""
    opening = plan.design.side_opening
    if opening is None or opening.hip is Hip.BOARD:
        return ()
    at_mm = hip_distance(plan, end)
    rail = Rail.model_construct(
        at=RailPlace.SIDES, height=opening.height, fraction=None, tube=opening.tube,
        fixing=opening.fixing, face=Face.OUTSIDE, stock_length=opening.stock_length,
        overlap=opening.overlap, overhang=opening.overhang,
    )  # fmt: skip
    return tuple(
        RailLine(
            rail=rail,
            where="side_opening",
            side=side,
            number=first + index,
            at_mm=at_mm,
            hoop=plan.line.at(side, at_mm),
            hoop_od_mm=plan.design.hoop.tube.od_mm,
            role=Role.HIP_RAIL,
            also_bored=tuple((y, _stop_clock(plan, side, at_mm, y)) for y in _stops_y(plan)),
        )
        for index, side in enumerate(SIDES)
    )


def opening_members(plan: LayoutContext, end: RidgeEnd | None) -> list[UnmarkedMember]:
    """Hip boards and end stops; hip rails are made with the other rails."""
    opening = plan.design.side_opening
    if opening is None:
        return []
    drafts = []
    if opening.hip is Hip.BOARD:
        drafts += line_members(plan, _hip_line(plan, hip_distance(plan, end)))
    for side in SIDES:
        for order, y_mm in enumerate(_stops_y(plan), start=1):
            drafts += _end_stop(plan, side, order, y_mm, hip_distance(plan, end))
    return drafts


def _hip_line(plan: LayoutContext, at_mm: float) -> BoardLine:
    opening = _opening_of(plan)

    def foot(side: Side) -> tuple[Vector, Vector]:
        here = plan.line.at(side, at_mm)
        back = add(here.point, here.inward, -plan.design.hoop.tube.od_mm / 2)
        return add(back, here.along, -opening.timber.depth_mm / 2), here.along

    return BoardLine(
        where="side_opening",
        role=Role.HIP_BOARD,
        timber=opening.timber,
        stock_mm=opening.stock_length,
        overhang_mm=opening.overhang,
        block_mm=opening.block_length,
        heights_mm=(opening.timber.depth_mm / 2,),
        bolted_mm=(at_mm,),
        bolted_to=plan.design.hoop.tube,
        foot=foot,
        behind_mm=stop_stretches(plan),
    )


def stop_stretches(plan: LayoutContext) -> Stretches:
    """What the end stops take up along the tunnel, mm; the same on both sides."""
    opening = plan.design.side_opening
    if opening is None:
        return ()
    half = opening.stop.depth_mm / 2
    return tuple((y - half, y + half) for y in _stops_y(plan))


def _stops_y(plan: LayoutContext) -> tuple[float, ...]:
    """Where the end stops stand along the tunnel, mm: beside a hoop that they would stand in.

    Raises
    ------
    DesignError
        If no bay is wide enough for one, or they leave no opening between them.
    """
    opening, length, say = _opening_of(plan), plan.grid.length_mm, plan.say
    if opening.end_stop == 0:
        return ()
    stop = _beside_hoops(plan, opening.end_stop)
    if 2 * stop + 2 * opening.stop.depth_mm > length - _LEAST_OPENING_MM:
        raise DesignError(
            f"{say(opening.end_stop)} closed at each end leaves no opening in a "
            f"{say(length)} side; make it shorter",
            "side_opening.end_stop",
        )
    return (stop, length - stop)


def _beside_hoops(plan: LayoutContext, stop_mm: float) -> float:
    """The place nearest to ``stop_mm`` clear of all hoops, of two the one that closes more."""
    radius = max(plan.design.socket.tube.od_mm, plan.design.hoop.tube.od_mm) / 2
    wide = _opening_of(plan).stop.depth_mm
    need = radius + wide / 2 + _BESIDE_HOOP_MM
    hoops = plan.grid.hoop_y_mm

    def is_free(at_mm: float) -> bool:
        return all(abs(at_mm - y) >= need - _TINY for y in hoops)

    if is_free(stop_mm):
        return stop_mm
    beside = (y + sign * need for y in hoops for sign in (1, -1))
    free = [at for at in beside if 0 < at < plan.grid.length_mm and is_free(at)]
    if not free:
        raise DesignError(
            f"a board {plan.say(wide)} wide does not fit between hoops "
            f"{plan.say(plan.grid.spacing_mm)} apart; choose a narrower one, or set "
            'end_stop = "0 mm"',
            "side_opening.stop",
        )
    return min(free, key=lambda at: abs(at - stop_mm))


def _end_stop(
    plan: LayoutContext, side: Side, order: int, y_mm: float, hip_mm: float
) -> list[UnmarkedMember]:
    """An upright board behind sill board and hip, screwed to the first, bolted or screwed up."""
    opening = _opening_of(plan)
    line = _stop_line(plan, side, hip_mm, y_mm)
    thick, wide = opening.stop.thickness_mm, opening.stop.depth_mm
    # The thickness (z) points outward, so that the outer face lies on the line.
    across = (0.0, -1.0, 0.0) if side is Side.RIGHT else (0.0, 1.0, 0.0)
    axes = Placement.of(origin=(0.0, 0.0, 0.0), x=line.up, y=across)
    origin = add(add((line.low[0], y_mm, line.low[2]), axes.z, -thick), axes.y, -wide / 2)
    bed = Placement(origin=origin, x=axes.x, y=axes.y, z=axes.z)
    hoop = sum(1 for y in plan.grid.hoop_y_mm if y < y_mm)
    spot = Spot(side=side, hoop=hoop, to_hoop=hoop + 1, order=order)
    fast: list[UnmarkedMember] = []
    holes: tuple[BoardHole, ...] = ()
    run = RunName(Role.END_STOP, None, (side, order))
    for backed, shares in _backed(plan, side, y_mm, hip_mm):
        fast += stop_screws(plan, backed, bed, (wide, thick), shares, spot, Place(run))
    if opening.hip is Hip.RAIL:
        seat = bed.point((line.hip_up_mm, wide / 2, thick))
        size = plan.fasteners.hex.hole_mm
        holes = (BoardHole(along_mm=line.hip_up_mm, up_mm=wide / 2, diameter_mm=size),)
        fast += bolt_up(
            plan.fasteners,
            plan.fasteners.hex,
            seat=add(seat, bed.z, opening.tube.od_mm),
            direction=opposite(bed.z),
            thickness_mm=opening.tube.od_mm + thick,
            spot=spot,
            where="hardware.frame_bolt",
            joins=(Place(RunName(Role.HIP_RAIL, None, ("side_opening", side)), y_mm), Place(run)),
            plane_mm=opening.tube.od_mm,
        )
    board = Board(section=opening.stop, length_mm=line.length_mm, holes=holes)
    covered = (Stretch(run),)
    made = UnmarkedMember(role=run.role, part=board, placement=bed, spot=spot, stretches=covered)
    return [made, *fast]


def _backed(
    plan: LayoutContext, side: Side, y_mm: float, hip_mm: float
) -> list[tuple[Backed, tuple[float, ...]]]:
    """The boards before an end stop, and where its screws go through them."""
    opening, sill = _opening_of(plan), plan.design.sill_board
    found: list[tuple[Backed, tuple[float, ...]]] = []
    if sill is not None:
        low, leg = _back_of_sill(plan, side, y_mm)
        place = on_boards(Role.SILL_BOARD, side, y_mm)
        found.append((_board_at(place, low, leg, sill.timber), (0.3, 0.7)))
    if opening.hip is Hip.BOARD:
        here = plan.line.at(side, hip_mm)
        back = add(here.point, here.inward, -plan.design.hoop.tube.od_mm / 2)
        low = add(back, here.along, -_half_mm(opening))
        place = on_boards(Role.HIP_BOARD, side, y_mm)
        found.append((_board_at(place, low, here, opening.timber), (0.5,)))
    return found


def _board_at(place: Place, low: Vector, line: HoopPoint, timber: TimberSection) -> Backed:
    return Backed(
        low=(low[0], place.at_mm, low[2]),
        along=line.along,
        inward=line.inward,
        deep_mm=timber.depth_mm,
        thick_mm=timber.thickness_mm,
        place=place,
    )


class _StopLine(Struct, frozen=True, kw_only=True):
    """The outer face of an end stop, seen along the tunnel.

    It touches the lower inner edge of the sill board, and the hip: that edge of a board which
    makes it lean in most, so that it clears the other, or a rail's tube.
    """

    low: Vector
    up: Vector
    hip_up_mm: float
    length_mm: float


def _stop_line(plan: LayoutContext, side: Side, hip_mm: float, y_mm: float) -> _StopLine:
    low, leg = _back_of_sill(plan, side, y_mm)
    line = _line_from(plan, side, hip_mm, low)
    sill = plan.design.sill_board
    if sill is None or dot(line.up, leg.inward) >= 0:
        return line
    # It leans out more than the sill board: then it touches that at its upper edge.
    depth = sill.timber.depth_mm
    line = _line_from(plan, side, hip_mm, add(low, leg.along, depth))
    return _StopLine(
        low=add(line.low, line.up, -depth),
        up=line.up,
        hip_up_mm=line.hip_up_mm + depth,
        length_mm=line.length_mm + depth,
    )


def _line_from(plan: LayoutContext, side: Side, hip_mm: float, low: Vector) -> _StopLine:
    opening = _opening_of(plan)
    here, radius = plan.line.at(side, hip_mm), plan.design.hoop.tube.od_mm / 2
    if opening.hip is Hip.BOARD:
        back, half = add(here.point, here.inward, -radius), _half_mm(opening)
        edges = [add(back, here.along, sign * half) for sign in (-1.0, 1.0)]
        leans = [unit(add(edge, low, -1.0)) for edge in edges]
        up = max(leans, key=lambda lean: dot(lean, here.inward))
        length = math.dist(low, edges[1])
        return _StopLine(low=low, up=up, hip_up_mm=length - half, length_mm=length)
    tube = opening.tube.od_mm / 2
    off = radius + tube
    if opening.fixing is Fixing.CLAMPED:
        off = axis_distance_mm(2 * radius, opening.tube.od_mm)
    centre = add(here.point, here.inward, -off)
    # The tangent from the sill to the inner side of the rail.
    reach = math.dist(low, centre)
    turn = math.asin(tube / reach)
    x, _, z = unit(add(centre, low, -1.0))
    turn = -turn if side is Side.LEFT else turn
    up = (x * math.cos(turn) - z * math.sin(turn), 0.0, x * math.sin(turn) + z * math.cos(turn))
    touch = math.sqrt(reach**2 - tube**2)
    return _StopLine(low=low, up=up, hip_up_mm=touch, length_mm=touch + 1.5 * tube)


def _stop_clock(plan: LayoutContext, side: Side, hip_mm: float, y_mm: float) -> float:
    """Clock angle in a hip rail of the hole for an end stop's bolt, rad."""
    toward = opposite(plan.line.at(side, hip_mm).inward)
    up = _stop_line(plan, side, hip_mm, y_mm).up
    out = cross((0.0, 1.0, 0.0), up) if side is Side.RIGHT else cross(up, (0.0, 1.0, 0.0))
    return math.atan2(dot(out, cross((0.0, 1.0, 0.0), toward)), dot(out, toward))


def _back_of_sill(plan: LayoutContext, side: Side, y_mm: float) -> tuple[Vector, HoopPoint]:
    """Where an end stop begins: at the lower edge of the sill board's back, or at the ground."""
    sill, radius = plan.design.sill_board, plan.design.socket.tube.od_mm / 2
    above = sill.bottom if sill is not None else 0.0
    leg = plan.line.at(side, plan.line.below_mm + above)
    low = add(leg.point, leg.inward, -radius)
    return add(low, leg.along, rise_at(plan.ground, side, y_mm)), leg


def side_vents(plan: LayoutContext, end: RidgeEnd | None) -> tuple[SideVent, ...]:
    """The openings of both sides."""
    opening = plan.design.side_opening
    if opening is None:
        return ()
    sill = plan.design.sill_board
    below = plan.line.below_mm
    bottom = below if sill is None else below + sill.bottom + sill.timber.depth_mm
    top = hip_distance(plan, end) - _half_mm(opening)
    stops = stop_stretches(plan)
    start, finish = (stops[0][1], stops[1][0]) if stops else (0.0, plan.grid.length_mm)
    heights = tuple(plan.line.at(Side.LEFT, at).point[2] for at in (bottom, top))
    return tuple(
        SideVent(
            side=side, start_y_mm=start, end_y_mm=finish, bottom_mm=heights[0],
            top_mm=heights[1], girth_mm=_girth(plan, bottom, top),
        )
        for side in SIDES
    )  # fmt: skip


def _girth(plan: LayoutContext, low_mm: float, high_mm: float) -> float:
    """Length along the outside of a hoop between two distances on its axis, mm."""
    outer, turned = plan.design.hoop.tube.od_mm / 2, 0.0
    first, last = (plan.line.at(Side.LEFT, at).along for at in (low_mm, high_mm))
    turned = math.acos(max(-1.0, min(1.0, dot(first, last))))
    return high_mm - low_mm + outer * turned
