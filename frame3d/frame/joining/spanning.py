"""A straight tube between two others, held by a coupler at each end.

Glossary
--------
boss : unit vector from the axis of the tube that holds to that of the tube that is held.
"""

from __future__ import annotations

import math

from msgspec import Struct

from frame3d.catalog.sections import TubeSection
from frame3d.errors import DesignError
from frame3d.frame.joining.clamps import axis_distance_mm, coupler
from frame3d.frame.model.joints import Place, RunName, Stretch
from frame3d.frame.model.layout_context import Fasteners, HoopPoint, UnmarkedMember
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Spot
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import Placement, Vector, add, cross, dot, unit

_ROUNDS, _SETTLED = 60, 1e-6


class Held(Struct, frozen=True, kw_only=True):
    """A place on a tube where a coupler sits.

    Parameters
    ----------
    point : HoopPoint
        On the tube's axis; ``inward`` is the side on which the held tube shall lie.
    od_mm : float
    spot : Spot
        Of the coupler.
    place : Place
        The same place by the name of what holds.
    """

    point: HoopPoint
    od_mm: float
    spot: Spot
    place: Place


def clamped_tube(
    fasteners: Fasteners,
    first: Held,
    second: Held,
    *,
    section: TubeSection,
    overhang_mm: float,
    run: RunName,
    spot: Spot,
    where: str,
) -> list[UnmarkedMember]:
    """The tube from ``first`` to ``second``, all that there is of ``run``, with both couplers.

    Raises
    ------
    DesignError
        If it is too short, or too nearly along what holds it, to be held; names ``where``.
    """
    to_first, to_second = (axis_distance_mm(held.od_mm, section.od_mm) for held in (first, second))
    ends = held_axis(first.point, second.point, (to_first, to_second))
    if ends is None:
        raise DesignError(
            f"its {run.role.value} is too short, or too nearly parallel to a tube that "
            "holds it, for clamps at both ends; move its ends farther apart, or make it "
            "steeper to that tube",
            where,
        )
    low, high, bosses = ends
    along = unit(add(high, low, -1.0))
    start = add(low, along, -overhang_mm)
    length = dot(add(high, low, -1.0), along) + 2 * overhang_mm
    part = Tube(section=section, axis=PlanePath((Line(length),)))
    placement = Placement.of(origin=start, x=along, y=bosses[0])
    drafts = [
        UnmarkedMember(
            role=run.role, part=part, placement=placement, spot=spot, stretches=(Stretch(run),)
        )
    ]
    for held, boss in zip((first, second), bosses, strict=True):
        drafts += coupler(
            fasteners,
            on=held.point.point,
            boss=boss,
            first=(held.point.along, held.od_mm),
            second=(along, section.od_mm),
            spot=held.spot,
            joins=(held.place, Place(run)),
        )
    return drafts


def held_axis(
    first: HoopPoint, second: HoopPoint, distances_mm: tuple[float, float]
) -> tuple[Vector, Vector, tuple[Vector, Vector]] | None:
    """Ends of the held tube's centreline, each off its holder along the common perpendicular.

    None where no such line is found.

    The perpendicular depends on the tube's direction and that on the perpendicular:
    the offset is small beside the length, so that a few rounds settle it.
    """
    low = add(first.point, first.inward, distances_mm[0])
    high = add(second.point, second.inward, distances_mm[1])
    bosses = (first.inward, second.inward)
    for _ in range(_ROUNDS):
        along = unit(add(high, low, -1.0))
        before, bosses = bosses, (boss_of(first, along), boss_of(second, along))
        low = add(first.point, bosses[0], distances_mm[0])
        high = add(second.point, bosses[1], distances_mm[1])
        if bosses == before:
            break
    if max(map(math.dist, bosses, before)) > _SETTLED:
        return None
    return low, high, bosses


def boss_of(place: HoopPoint, along: Vector) -> Vector:
    """Unit vector square to the holder and to the held tube, toward the holder's inside."""
    square = unit(cross(place.along, along))
    if dot(square, place.inward) < 0:
        return (-square[0], -square[1], -square[2])
    return square
