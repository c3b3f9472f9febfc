"""Hoops: the pieces of the bent tubes, their splices, and the ridge joint.

Glossary
--------
piece : one bent tube of a hoop.
splice : where two pieces meet: a swaged end in the next tube, or a sleeve.
half : the left or right half of a gothic hoop, from leg end to ridge joint.
"""

from __future__ import annotations

from msgspec import Struct

from frame3d.design.tables.whole_design import Splice
from frame3d.errors import DesignError
from frame3d.frame.hoops.demands import Demand
from frame3d.frame.hoops.repeating import at_hoop
from frame3d.frame.hoops.ridge import RidgeEnd, ridge_members
from frame3d.frame.joining.splices import SplicePlace, piece_tube, splice_members
from frame3d.frame.joining.stops import KeptClear, nearest_free
from frame3d.frame.model.joints import Stretch
from frame3d.frame.model.layout_context import LayoutContext, UnmarkedMember
from frame3d.frame.model.parts import Hole, Tube
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.geometry.paths import Arc, PlanePath
from frame3d.geometry.placement import Placement


class HoopRun(Struct, frozen=True, kw_only=True):
    """A continuous run of tube that is cut into pieces: a whole hoop, or a gothic half.

    Parameters
    ----------
    axis : PlanePath
        From the left leg end.
    holes : tuple of Hole
        All the holes of the run, splices not counted.
    joints : tuple of SplicePlace
        Rising along the run.
    """

    axis: PlanePath
    holes: tuple[Hole, ...]
    joints: tuple[SplicePlace, ...]


def hoop_members(
    plan: LayoutContext,
    holes: tuple[Hole, ...],
    taken: tuple[KeptClear, ...],
    crown_holes: tuple[Hole, ...],
    ridge_end: RidgeEnd | None,
    demands: tuple[Demand, ...] = (),
) -> list[UnmarkedMember]:
    """All hoops with their splices and, for gothic ones, ridge joints.

    Parameters
    ----------
    plan : LayoutContext
    holes : tuple of Hole
        On each half, by distance from its leg end.
    taken : tuple of KeptClear
        Of each half, where no splice may lie.
    crown_holes : tuple of Hole
        Quonset: at the crown, by distance from the left leg end.
    ridge_end : RidgeEnd or None
        Gothic: where the halves end, and how they are joined.
    demands : tuple of Demand
        Holes that some hoops have besides.
    """
    sides: tuple[Side, ...] = (Side.LEFT,)
    ridge: list[UnmarkedMember] = []
    if ridge_end is not None:
        run = _gothic_run(plan, holes, taken, ridge_end)
        sides = (Side.LEFT, Side.RIGHT)
        ridge = ridge_members(plan, ridge_end, 1, 0.0)
    else:
        run = _quonset_run(plan, holes, taken, crown_holes)
    # Made once for all hoops that have the same holes: a frame has few that differ.
    made: dict[tuple[Hole, ...], list[tuple[float, Tube]]] = {}
    laid: dict[tuple[Side, tuple[Hole, ...]], list[UnmarkedMember]] = {}
    drafts: list[UnmarkedMember] = []
    for number, y_mm in enumerate(plan.grid.hoop_y_mm, start=1):
        for side in sides:
            own = _own_holes(plan, run, demands, number, side)
            if own not in made:
                made[own] = [
                    piece_tube(plan, run.axis, (*run.holes, *own), run.joints, index)
                    for index in range(len(run.joints) + 1)
                ]
            if (side, own) not in laid:
                laid[side, own] = _run_members(plan, run, made[own], side)
            drafts += at_hoop(laid[side, own], number, y_mm)
        drafts += at_hoop(ridge, number, y_mm)
    return drafts


def _own_holes(
    plan: LayoutContext, run: HoopRun, demands: tuple[Demand, ...], number: int, side: Side
) -> tuple[Hole, ...]:
    """The holes that one hoop, or one half of a gothic one, has besides those of all."""
    asked = [demand for demand in demands if demand.hoop == number]
    if plan.is_gothic:
        return tuple(demand.hole for demand in asked if demand.side is side)
    total = run.axis.length_mm
    return tuple(
        demand.hole
        if demand.side is Side.LEFT
        else Hole(
            at_mm=total - demand.hole.at_mm,
            clock_rad=-demand.hole.clock_rad,
            diameter_mm=demand.hole.diameter_mm,
        )
        for demand in asked
    )


def _run_members(
    plan: LayoutContext, run: HoopRun, tubes: list[tuple[float, Tube]], side: Side
) -> list[UnmarkedMember]:
    """The pieces of one run with their splices, as on the first hoop."""
    half_mm = plan.line.half.length_mm
    drafts, name = [], plan.on_hoop(1, side, 0.0).run
    for index, (start_mm, tube) in enumerate(tubes, start=1):
        middle = start_mm + tube.length_mm / 2
        where = side
        if not plan.is_gothic:
            where = _side_of(middle, half_mm)
        spot = Spot(side=where, hoop=1, order=index)
        placement = _place(plan, side, start_mm, 0.0)
        covered = (Stretch(name, start_mm, start_mm + tube.length_mm),)
        drafts.append(
            UnmarkedMember(
                role=Role.HOOP, part=tube, placement=placement, spot=spot, stretches=covered
            )
        )
    for index, joint in enumerate(run.joints, start=1):
        # A splice that gave way to a hole at the crown is still that of the middle.
        near = 2 * plan.design.hoop.overlap
        where = side if plan.is_gothic else _side_of(joint.at_mm, half_mm, near)
        spot = Spot(side=where, hoop=1, order=index)
        drafts += splice_members(
            plan, run.axis, joint, lambda at: _place(plan, side, at, 0.0), spot, name
        )
    return drafts


def _side_of(distance_mm: float, half_mm: float, near_mm: float = 1.0) -> Side:
    if abs(distance_mm - half_mm) < near_mm:
        return Side.MIDDLE
    return Side.LEFT if distance_mm < half_mm else Side.RIGHT


def _place(plan: LayoutContext, side: Side, distance_mm: float, y_mm: float) -> Placement:
    half_mm = plan.line.half.length_mm
    if plan.is_gothic or distance_mm <= half_mm:
        return plan.line.placement(side, distance_mm, y_mm)
    # Beyond the crown: the same place seen from the right leg end, heading down.
    here = plan.line.at(Side.RIGHT, 2 * half_mm - distance_mm).at_y(y_mm)
    back = (-here.along[0], 0.0, -here.along[2])
    return Placement.of(origin=here.point, x=back, y=here.inward)


def _gothic_run(
    plan: LayoutContext,
    holes: tuple[Hole, ...],
    taken: tuple[KeptClear, ...],
    ridge_end: RidgeEnd,
) -> HoopRun:
    pieces = plan.design.hoop.pieces
    if pieces % 2:
        nearest = "2" if pieces == 1 else f"{pieces - 1}" if pieces == 5 else "2 or 4"
        raise DesignError(
            f"a gothic hoop has two equal halves, so it cannot have {pieces} pieces; make "
            f"it {nearest}",
            "hoop.pieces",
        )
    axis = plan.line.half.cut(0.0, ridge_end.end_mm)
    count = pieces // 2
    wanted_places = [axis.length_mm * k / count for k in range(1, count)]
    blocked = [*taken, KeptClear(ridge_end.clear_from_mm, plan.line.half.length_mm)]
    within = KeptClear(0.0, axis.length_mm)
    joints = tuple(_joint(plan, wanted, blocked, within, up=True) for wanted in wanted_places)
    _check_order(plan, list(joints), axis.length_mm)
    return HoopRun(axis=axis, holes=(*holes, *ridge_end.half_holes), joints=joints)


def _quonset_run(
    plan: LayoutContext,
    holes: tuple[Hole, ...],
    taken: tuple[KeptClear, ...],
    crown_holes: tuple[Hole, ...],
) -> HoopRun:
    axis = plan.line.whole()
    total, half = axis.length_mm, axis.length_mm / 2
    count = plan.design.hoop.pieces
    blocked = [*taken, *(t.mirrored(total) for t in taken)]
    joints: list[SplicePlace] = []
    for k in range(1, count):
        wanted = total * k / count
        if 2 * k < count:
            joints.append(_joint(plan, wanted, blocked, KeptClear(0.0, half), up=True))
        elif 2 * k == count:
            joints.append(_joint(plan, wanted, blocked, KeptClear(0.0, total), up=True))
        else:
            twin = joints[count - k - 1]
            joints.append(SplicePlace(at_mm=total - twin.at_mm, up=False))
    _check_order(plan, joints, total)
    both = [*holes, *crown_holes]
    both += [
        Hole(at_mm=total - h.at_mm, clock_rad=-h.clock_rad, diameter_mm=h.diameter_mm)
        for h in holes
    ]
    return HoopRun(axis=axis, holes=tuple(both), joints=tuple(joints))


def _reach(plan: LayoutContext, up: bool) -> tuple[float, float]:
    """How far a splice reaches back and forward from its place."""
    overlap, margin = plan.design.hoop.overlap, 10.0
    if plan.design.hoop.splice is Splice.SLEEVE:
        return overlap + margin, overlap + margin
    taper = margin + 15.0
    return (taper, overlap + margin) if up else (overlap + margin, taper)


def _joint(
    plan: LayoutContext, wanted: float, blocked: list[KeptClear], within: KeptClear, up: bool
) -> SplicePlace:
    before, after = _reach(plan, up)
    # In a bend too tight for its own tube a sleeve would have to lie: only where nothing else is.
    place = nearest_free(wanted, before, after, [*blocked, *_too_tight(plan, within)], within)
    if place is None:
        place = nearest_free(wanted, before, after, blocked, within)
    if place is None:
        raise DesignError(
            f"a splice needs {plan.say(before + after)} free of holes and joints, and the "
            "hoop has no such stretch; use fewer pieces, a shorter overlap, or move the "
            "rails",
            "hoop.pieces",
        )
    return SplicePlace(at_mm=place, up=up)


def _too_tight(plan: LayoutContext, within: KeptClear) -> list[KeptClear]:
    """Bends of the run that the bender cannot give to the sleeve of a splice."""
    hoop = plan.design.hoop
    if hoop.splice is not Splice.SLEEVE or hoop.splice_tube is None:
        return []
    half, least = plan.line.half, hoop.smallest_bend * hoop.splice_tube.od_mm
    found = [
        KeptClear(at, at + segment.length_mm)
        for (at, _), segment in zip(half.starts, half.segments, strict=True)
        if isinstance(segment, Arc) and segment.radius_mm < least
    ]
    if within.end_mm > half.length_mm:
        found += [one.mirrored(within.end_mm) for one in found]
    return found


def _check_order(plan: LayoutContext, joints: list[SplicePlace], total: float) -> None:
    before, after = _reach(plan, True)
    stops = [0.0, *(joint.at_mm for joint in joints), total]
    for low, high in zip(stops, stops[1:], strict=False):
        if high - low < 2 * (before + after):
            raise DesignError(
                f"a piece of {plan.say(high - low)} would be too short for its splices; use "
                "fewer pieces, a shorter overlap, or move the rails",
                "hoop.pieces",
            )
