"""Lag screws into timber: the stocked length that holds, in place."""

from __future__ import annotations

import functools

from frame3d.catalog import lag_screw
from frame3d.design.tables.whole_design import FastenerSystem
from frame3d.errors import DesignError
from frame3d.frame.joining.bolts import facing
from frame3d.frame.model.joints import JointKind, Place, UnmarkedJoint
from frame3d.frame.model.layout_context import LayoutContext, UnmarkedMember
from frame3d.frame.model.parts import Screw, ScrewKind
from frame3d.frame.model.roles import Role, Spot
from frame3d.geometry.placement import Vector

_SIZES = {
    FastenerSystem.INCH: ("1/4", "5/16", "3/8"),
    FastenerSystem.METRIC: ("6 mm", "8 mm", "10 mm"),
}
"""The usual size, and thicker ones that are stocked longer."""
_COVER_MM = 5.0


def lag_into(
    plan: LayoutContext,
    seat: Vector,
    direction: Vector,
    through_mm: float,
    into_mm: float,
    spot: Spot,
    where: str,
    joins: tuple[Place, ...],
) -> list[UnmarkedMember]:
    """A lag screw through one thing into another, as long as the second lets it be.

    The usual one, or the thinnest that is stocked long enough.

    Parameters
    ----------
    seat : (3,) float, mm
        Where it enters the first thing.
    direction : (3,) float
        Unit vector in which it is driven.
    through_mm, into_mm : float
        Thickness of the first thing, and of timber behind it.
    spot : Spot
    where : str
        The field that says what it goes through.
    joins : tuple of Place
        The two things.

    Raises
    ------
    DesignError
        If no stocked screw reaches at least half way, or 25 mm, into the second thing
        without coming out of it.
    """
    part = lag_for(plan, through_mm, into_mm)
    if part is None:
        say, (least, most) = plan.say, _lengths(through_mm, into_mm)
        stocked = {length for name in _sizes(plan) for length in lag_screw(name).lengths_mm}
        shorter = max((length for length in stocked if length < least), default=None)
        longer = min((length for length in stocked if length > most), default=None)
        nearest = " and ".join(say(length) for length in (shorter, longer) if length)
        raise DesignError(
            f"no stocked lag screw goes through {say(through_mm)} and holds in {say(into_mm)} of "
            f"wood: it must be {say.least(least)} to {say.most(most)} long, and the nearest "
            f"stocked are {nearest}; choose other boards",
            where,
        )
    return [
        UnmarkedMember(
            role=Role.SCREW,
            part=part,
            placement=facing(seat, direction),
            spot=spot,
            joint=UnmarkedJoint(JointKind.SCREWED, joins),
        )
    ]


def lag_for(plan: LayoutContext, through_mm: float, into_mm: float) -> Screw | None:
    """The thinnest lag screw that goes through the one and holds in the other, if any does."""
    found = (_lag(name, through_mm, into_mm) for name in _sizes(plan))
    return next((part for part in found if part is not None), None)


def _sizes(plan: LayoutContext) -> tuple[str, ...]:
    return _SIZES[plan.design.hardware.system]


def _lengths(through_mm: float, into_mm: float) -> tuple[float, float]:
    """The shortest that holds, and the longest that does not come out, mm."""
    return through_mm + min(25.0, into_mm / 2), through_mm + into_mm - _COVER_MM


@functools.lru_cache(maxsize=64)  # a frame has many of them and few that differ
def _lag(name: str, through_mm: float, into_mm: float) -> Screw | None:
    """The screw of a size for it; None if none is stocked."""
    size, (least, most) = lag_screw(name), _lengths(through_mm, into_mm)
    fits = [length for length in size.lengths_mm if length <= most]
    if not fits or fits[-1] < least:
        return None
    # Twice what it goes through is enough; a longer one only costs more.
    wanted = [length for length in fits if length >= max(least, 2 * through_mm)]
    return Screw(
        name=size.name,
        diameter_mm=size.diameter_mm,
        length_mm=wanted[0] if wanted else fits[-1],
        flats_mm=size.flats_mm,
        head_height_mm=size.head_height_mm,
        kind=ScrewKind.LAG,
    )
