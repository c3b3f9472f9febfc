"""Straight tubes longer than stock: pieces with swages that slip into each other."""

from __future__ import annotations

import math

from frame3d.catalog import tube_stock_lengths_mm
from frame3d.catalog.sections import TubeSection
from frame3d.errors import CatalogError, DesignError
from frame3d.frame.joining.bolts import bolt_up
from frame3d.frame.joining.splices import QUARTER, TAPER_MM, screw_at, swage_into
from frame3d.frame.joining.stops import KeptClear, nearest_free
from frame3d.frame.model.joints import Place, RunName, Stretch
from frame3d.frame.model.layout_context import LayoutContext, UnmarkedMember
from frame3d.frame.model.parts import Hole, Tube
from frame3d.frame.model.roles import Spot
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import Placement, Vector, add, cross, dot

_STOCK_MM = 6000.0
"""What a tube that is in no catalogue is bought in (common practice)."""
_KEEP_OFF_MM = 60.0


def stock_mm(section: TubeSection) -> float:
    """The longest length in which ``section`` is stocked, mm."""
    try:
        return max(tube_stock_lengths_mm(section.name))
    except CatalogError:
        return _STOCK_MM


def jointed_tube(
    plan: LayoutContext,
    section: TubeSection,
    *,
    start: Vector,
    along: Vector,
    length_mm: float,
    run: RunName,
    spot: Spot,
    where: str,
    holes: tuple[Hole, ...] = (),
    across: Vector = (0.0, 0.0, 1.0),
    kept_clear: tuple[float, ...] = (),
    screwed: Vector | None = None,
) -> list[UnmarkedMember]:
    """A straight run of ``section`` in as few equal pieces as stock allows, and their bolts.

    Parameters
    ----------
    start : (3,) float, mm
        Where the axis starts.
    along, across : (3,) float
        Unit vectors: the run's direction, and that of its clock angle 0.
    length_mm : float
    run : RunName
        Its name.
    holes : tuple of Hole
        By distance along the run.
    kept_clear : tuple of float
        Distances along the run that no joint may be near.
    screwed : (3,) float or None
        Where nothing may stand out of the run but on one side: the way in which two
        self-drilling screws are driven into each joint, in place of a bolt through it.
    where : str
        The field to name if a joint cannot be made.

    Raises
    ------
    DesignError
        If the tube cannot be swaged or a joint has no room.
    """
    overlap = 3.0 * section.od_mm
    joints = _joints(
        plan, section, length_mm, overlap, (*kept_clear, *(h.at_mm for h in holes)), where
    )
    swage = swage_into(section, overlap, where, plan.say) if joints else None
    base = dot(start, along)
    stops = [0.0, *joints, length_mm]
    drafts = []
    for order, (low, high) in enumerate(zip(stops, stops[1:], strict=False), start=1):
        last = order == len(joints) + 1
        first = order == 1
        reach = high + (0.0 if last else overlap)
        own = [
            Hole(at_mm=h.at_mm - low, clock_rad=h.clock_rad, diameter_mm=h.diameter_mm)
            for h in holes
            if low < h.at_mm < high
        ]
        bolts = [] if last else [high + overlap / 2]
        bolts += [] if first else [low + overlap / 2]
        bolts = [] if screwed else bolts
        own += [
            Hole(at_mm=at - low, clock_rad=QUARTER, diameter_mm=plan.fasteners.hex.hole_mm)
            for at in bolts
        ]
        part = Tube(
            section=section,
            axis=PlanePath((Line(reach - low),)),
            holes=tuple(own),
            end=None if last else swage,
        )
        placement = Placement.of(origin=add(start, along, low), x=along, y=across)
        here = Spot(
            side=spot.side, hoop=spot.hoop, to_hoop=spot.to_hoop, order=spot.order + order - 1
        )
        covered = Stretch(
            run,
            -math.inf if first else base + low,
            math.inf if last else base + reach,
        )
        drafts.append(
            UnmarkedMember(
                role=run.role, part=part, placement=placement, spot=here, stretches=(covered,)
            )
        )
        joined = (Place(run, base + high + overlap / 2),)
        if not last and screwed:
            drafts += [
                screw_at(
                    plan,
                    add(add(start, along, high + share * overlap), screwed, -section.od_mm / 2),
                    screwed,
                    here,
                    joined,
                )
                for share in (0.3, 0.7)
            ]
        elif not last:
            drafts += _joint_bolt(
                plan,
                section,
                add(start, along, high + overlap / 2),
                cross(along, across),
                here,
                where,
                joined,
            )
    return drafts


def _joints(
    plan: LayoutContext,
    section: TubeSection,
    length_mm: float,
    overlap: float,
    clear: tuple[float, ...],
    where: str,
) -> list[float]:
    """Where the pieces of a run begin, the first left out."""
    stock = stock_mm(section)
    count = 1
    if length_mm > stock:
        count = math.ceil((length_mm - overlap) / (stock - overlap))
    taken = [KeptClear.around(at, _KEEP_OFF_MM) for at in clear]
    while True:
        found = [
            nearest_free(
                length_mm * k / count,
                TAPER_MM + 10,
                overlap + 10,
                taken,
                KeptClear(0.0, length_mm),
            )
            for k in range(1, count)
        ]
        joints = [at for at in found if at is not None]
        if len(joints) < len(found) or count > 12:
            raise DesignError(
                f"a tube {plan.say(length_mm)} long needs joints, because {section.name} is "
                f"stocked in {plan.say(stock)} lengths, and there is no room for them "
                "between its holes and clamps; choose another tube",
                where,
            )
        stops = [0.0, *joints, length_mm]
        pieces = [b - a + overlap for a, b in zip(stops, stops[1:], strict=False)]
        pieces[-1] -= overlap
        if max(pieces) <= stock + 1e-6 and min(pieces) > 2 * overlap + TAPER_MM:
            return joints
        count += 1


def _joint_bolt(
    plan: LayoutContext,
    section: TubeSection,
    at: Vector,
    direction: Vector,
    spot: Spot,
    where: str,
    joins: tuple[Place, ...],
) -> list[UnmarkedMember]:
    return bolt_up(
        plan.fasteners,
        plan.fasteners.hex,
        seat=add(at, direction, -section.od_mm / 2),
        direction=direction,
        thickness_mm=section.od_mm,
        spot=spot,
        where=where,
        joins=joins,
        plane_mm=section.od_mm - section.wall_mm,
    )
