"""Channel for the film as members: its pieces on hoops, boards and round doors, and its screws.

It lies over what it crosses, and is cut out there on site.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Iterable, Iterator, Sequence

from frame3d.catalog import screw
from frame3d.catalog.sections import ChannelSection
from frame3d.design.tables.whole_design import CoverListed, End
from frame3d.errors import CatalogError, DesignError, present
from frame3d.frame.cover.fasteners_near import FastenersNear
from frame3d.frame.hoops.ridge import RidgeEnd
from frame3d.frame.joining.bolts import facing
from frame3d.frame.model.channel import Channel
from frame3d.frame.model.layout_context import LayoutContext, UnmarkedMember
from frame3d.frame.model.openings import DoorOpening, SideVent
from frame3d.frame.model.parts import Screw
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.frame.model.surveyed import rises_of
from frame3d.frame.sides.side_openings import hip_distance
from frame3d.frame.skin.channel_runs import (
    ChannelRun,
    RunKind,
    channel_foot_mm,
    channel_runs,
    door_edge_mm,
    hoop_pieces,
    jamb_face,
    outer_half,
    straight_pieces,
    usable_mm,
)
from frame3d.frame.skin.curtain_section import hip_sizes
from frame3d.geometry.arch.arch_curve import distance_at_height
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import ALONG, Placement, Vector, add, cross, opposite

_FROM_END_MM = 50.0
"""From the end of a piece to its first screw (common practice, no source)."""
_HELD_MM = 22.0
"""Least length of a screw behind the channel's metal (common practice, no source)."""
_BELOW_EDGE_MM = 10.0
"""From the upper edge of a sill board to the channel."""
_HEAD_MM = 5.5
"""Half a screw's head, beside a lip."""
_BESIDE_MM, _LEAST_END_MM = 2.0, 12.0
"""Between a screw and other hardware, and from the end of a piece to a screw, at least."""
_MOVES = tuple(way * step for step in range(0, 125, 5) for way in (1, -1))
"""How far a screw is moved along from where it is wanted, the least first, mm."""
_SIDES = (Side.LEFT, Side.RIGHT)
_QUARTER = math.radians(45)


def channel_members(
    plan: LayoutContext,
    end: RidgeEnd | None,
    doors: Sequence[DoorOpening],
    vents: Sequence[SideVent],
    before: Iterable[UnmarkedMember],
) -> list[UnmarkedMember]:
    """Every piece of channel with its screws; none where the design has it as figures only.

    Screws keep clear of the bolts, screws and clamps among what is there ``before``.

    Raises
    ------
    DesignError
        If its lips leave no face, or its screw is not in the catalogue.
    """
    design = plan.design
    if design.cover.listed_as is CoverListed.FIGURES:
        return []
    section, fixing = channel_section(plan), _screw(plan)
    taken, drafts = FastenersNear(before), []
    for run in channel_runs(design, plan.arch, plan.grid, doors, vents, plan.ground):
        for part, placement, spot in _pieces(plan, run, section, end):
            drafts.append(
                UnmarkedMember(role=Role.CHANNEL, part=part, placement=placement, spot=spot)
            )
            aside = _aside(plan, run, placement, spot)
            drafts += [
                UnmarkedMember(role=Role.CHANNEL_SCREW, part=fixing, placement=place, spot=spot)
                for place in _screws(plan, part, placement, aside, fixing, taken)
            ]
    return drafts


def channel_section(plan: LayoutContext) -> ChannelSection:
    """The channel that the design asks for.

    Raises
    ------
    DesignError
        If its lips leave no face between them, or do not stand out.
    """
    cover, say = plan.design.cover, plan.say
    wide, deep, thick = cover.channel_width, cover.channel_depth, cover.channel_thickness
    if wide < 4 * thick or deep < 2 * thick:
        raise DesignError(
            f"metal {say(thick)} thick leaves nothing of a channel {say(wide)} wide and "
            f"{say(deep)} deep; make it thinner",
            "cover.channel_thickness",
        )
    return ChannelSection(
        name=f"film channel {say(wide)} x {say(deep)}",
        width_mm=wide, depth_mm=deep, thickness_mm=thick,
    )  # fmt: skip


def _screw(plan: LayoutContext) -> Screw:
    cover = plan.design.cover
    try:
        size = screw(cover.channel_screw)
    except CatalogError as error:
        raise DesignError(str(error.args[0]), "cover.channel_screw") from None
    least = cover.channel_thickness + _HELD_MM
    length = next((long for long in size.lengths_mm if long >= least), size.lengths_mm[-1])
    return Screw(
        name=size.name,
        diameter_mm=size.diameter_mm,
        length_mm=length,
        flats_mm=size.flats_mm,
        head_height_mm=size.head_height_mm,
    )


_Placed = Iterator[tuple[Channel, Placement, Spot]]


def _pieces(
    plan: LayoutContext, run: ChannelRun, section: ChannelSection, end: RidgeEnd | None
) -> _Placed:
    match run.kind:
        case RunKind.END_HOOPS:
            for hoop in (1, len(plan.grid.hoop_y_mm)):
                yield from _round_hoop(plan, run, section, hoop)
        case RunKind.DOOR:
            yield from _round_door(plan, present(run.door, "door"), section)
        case RunKind.HIPS:
            foot = functools.partial(_hip_foot, plan, end)
            yield from _lengthwise(plan, run, section, foot)
        case RunKind.SILLS:
            yield from _lengthwise(plan, run, section, functools.partial(_sill_foot, plan))


def _round_hoop(
    plan: LayoutContext, run: ChannelRun, section: ChannelSection, hoop: int
) -> _Placed:
    """Pieces on the outer face of an end hoop, those of the right half as those of the left."""
    arch, y = plan.arch, plan.grid.hoop_y_mm[hoop - 1]
    curve = outer_half(arch)
    foot = channel_foot_mm(plan.design, plan.ground) * math.cos(arch.leg_lean_rad)
    start = distance_at_height(curve, foot)
    half = curve.path.cut(start, curve.path.length_mm)
    path = half if plan.is_gothic else half.there_and_back()
    usable = usable_mm(plan.design)
    stops = hoop_pieces(arch, run.length_mm, usable, section.depth_mm)
    for order, (low, high) in enumerate(stops, start=1):
        side, begins, ends = Side.LEFT, low, high
        if low > run.length_mm - high + 1e-6:
            side, begins, ends = Side.RIGHT, run.length_mm - high, run.length_mm - low
        elif high > run.length_mm / 2 + 1e-6:
            side = Side.MIDDLE
        at_ridge = plan.is_gothic and abs(ends - run.length_mm / 2) < 1e-6
        slope = max(0.0, curve.end.heading_rad) if at_ridge else 0.0
        here = curve.point_at(start + begins)
        sin, cos = math.sin(here.heading_rad), math.cos(here.heading_rad)
        sign = -1.0 if side is Side.RIGHT else 1.0
        yield (
            Channel(section=section, axis=path.cut(begins, min(ends, path.length_mm)),
                    end_rad=slope),
            Placement.of(origin=(sign * here.x_mm, y, here.z_mm),
                         x=(sign * cos, 0.0, sin), y=(sign * sin, 0.0, -cos)),
            Spot(side=side, hoop=hoop, order=order),
        )  # fmt: skip


def _hip_foot(plan: LayoutContext, end: RidgeEnd | None, side: Side) -> tuple[Vector, Vector]:
    """The middle of the channel on a hip, and the way out."""
    opening = present(plan.design.side_opening, "side opening")
    here = plan.line.at(side, hip_distance(plan, end))
    off, _, up = hip_sizes(plan.design, opening)
    return add(add(here.point, here.inward, -off), here.along, up), opposite(here.inward)


def _sill_foot(plan: LayoutContext, side: Side) -> tuple[Vector, Vector]:
    """The middle of the channel along the upper edge of a sill board, and the way out."""
    sill = present(plan.design.sill_board, "sill board")
    leg = plan.line.at(side, plan.line.below_mm + sill.bottom)
    off = plan.design.socket.tube.od_mm / 2 + sill.timber.thickness_mm
    half = plan.design.cover.channel_width / 2
    # Straight, in the wood of the lowest board and of the highest: they go up and down by no more
    # than a quarter of their depth.
    (low, high), depth = rises_of(plan.ground), sill.timber.depth_mm
    up = max(depth / 2, depth + min(0.0, low) - half - _BELOW_EDGE_MM)
    up = max(up, high + half)
    return add(add(leg.point, leg.inward, -off), leg.along, up), opposite(leg.inward)


def _lengthwise(
    plan: LayoutContext,
    run: ChannelRun,
    section: ChannelSection,
    foot: functools.partial[tuple[Vector, Vector]],
) -> _Placed:
    hoops = plan.grid.hoop_y_mm
    for side in _SIDES:
        (x, _, z), out = foot(side)
        for span in run.spans_mm:
            stops = straight_pieces(*span, usable_mm(plan.design), plan.grid, plan.arch.tube_od_mm)
            for order, (low, high) in enumerate(zip(stops, stops[1:], strict=False), start=1):
                first = max(1, sum(1 for y in hoops if y <= low))
                last = min(len(hoops), 1 + sum(1 for y in hoops if y < high))
                yield (
                    Channel(section=section, axis=PlanePath((Line(high - low),))),
                    Placement.of(origin=(x, low, z), x=ALONG, y=cross(out, ALONG)),
                    Spot(side=side, hoop=first, to_hoop=max(first, last), order=order),
                )


def _round_door(plan: LayoutContext, door: DoorOpening, section: ChannelSection) -> _Placed:
    """Up one jamb, across, and up the other; mitred at the two corners."""
    front = door.end is End.FRONT
    y, hoop = door.wall_y_mm, 1 if front else len(plan.grid.hoop_y_mm)
    half, edge = section.width_mm / 2, door_edge_mm(plan.design, door)
    left, right = door.left_x_mm - edge, door.right_x_mm + edge
    out, top = (0.0, -1.0 if front else 1.0, 0.0), door.top_mm + edge
    up, way = (0.0, 0.0, 1.0), 1.0 if front else -1.0
    # Own y points left as one looks at the wall from outside, so it is away from the opening on
    # the side that is left from there.
    sides = (
        ((left - half, y, door.bottom_mm), up, (0.0, way * _QUARTER), Side.LEFT),
        ((right + half, y, door.bottom_mm), up, (0.0, -way * _QUARTER), Side.RIGHT),
        ((left if front else right, y, top + half), (way, 0.0, 0.0), (_QUARTER, _QUARTER),
         Side.MIDDLE),
    )  # fmt: skip
    for origin, along, mitres, side in sides:
        long = right - left if side is Side.MIDDLE else top - door.bottom_mm
        count = _door_pieces(plan, long, mitres, section)
        for k in range(count):
            ends = (mitres[0] if k == 0 else 0.0, mitres[1] if k == count - 1 else 0.0)
            yield (
                Channel(section=section, axis=PlanePath((Line(long / count),)),
                        start_rad=ends[0], end_rad=ends[1]),
                Placement.of(origin=add(origin, along, k * long / count), x=along,
                             y=cross(out, along)),
                Spot(side=side, hoop=hoop, order=k + 1),
            )  # fmt: skip


def _door_pieces(
    plan: LayoutContext, long: float, mitres: tuple[float, float], section: ChannelSection
) -> int:
    more = section.width_mm * sum(1 for mitre in mitres if mitre)
    return math.ceil((long + more) / usable_mm(plan.design) - 1e-9)


def _aside(plan: LayoutContext, run: ChannelRun, placement: Placement, spot: Spot) -> float:
    """How far along their piece's own y screws stand off its middle.

    Those beside a door are amid what its jamb has under the channel.
    """
    if run.door is None or spot.side is Side.MIDDLE:
        return 0.0
    wide, edge = plan.design.cover.channel_width, door_edge_mm(plan.design, run.door)
    low, high = jamb_face(plan.design, run.door)
    low, high = max(low, edge), min(high, edge + wide)
    if high <= low:
        return 0.0
    most = wide / 2 - plan.design.cover.channel_thickness - _HEAD_MM
    off = max(-most, min(most, (low + high) / 2 - edge - wide / 2))
    away = -1.0 if spot.side is Side.LEFT else 1.0
    return off * away * placement.y[0]


def _screws(
    plan: LayoutContext,
    part: Channel,
    placement: Placement,
    aside: float,
    fixing: Screw,
    taken: FastenersNear,
) -> Iterator[Placement]:
    """One near each end of a piece, others between no farther apart than they may be.

    Each is moved along, as little as it takes to be clear of what is in its way.
    """
    long, most = part.length_mm, plan.design.cover.channel_spacing
    edge, room = min(_FROM_END_MM, long / 4), fixing.flats_mm / 2 + _BESIDE_MM
    last, wanted = 0.0, edge
    while True:
        tried = []
        for more in _MOVES:
            at = wanted + more
            if not (_LEAST_END_MM <= at <= long - _LEAST_END_MM and at - last <= most + 1e-9):
                continue
            seat = _seat(part, placement, at, aside)
            tried.append((at, seat))
            if taken.clear_mm(seat.origin, seat.z, fixing.length_mm) >= room:
                break
        else:
            # Nowhere near is it clear: where it is wanted, which the checks tell.
            at, seat = tried[0] if tried else (wanted, _seat(part, placement, wanted, aside))
        yield seat
        if wanted >= long - edge - 1e-9:
            return
        rest = long - edge - at
        last, wanted = at, at + rest / max(1, math.ceil(rest / most - 1e-9))


def _seat(part: Channel, placement: Placement, along: float, aside: float) -> Placement:
    """A screw with its head on the inside of the channel's face."""
    thick = part.section.thickness_mm
    if part.axis.is_straight:
        seat, inward = (along, aside, thick), (0.0, 0.0, -1.0)
    else:
        at = part.axis.at(along)
        inward = (*at.normal, 0.0)
        seat = (at.x_mm - thick * inward[0], at.y_mm - thick * inward[1], 0.0)
    return facing(placement.point(seat), placement.direction(inward))
