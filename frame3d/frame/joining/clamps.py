"""Tube couplers: two clamp halves back to back, each on its own tube.

Glossary
--------
coupler : two clamp halves on one rivet; the tubes may cross at any angle.
"""

from __future__ import annotations

import functools

from frame3d.catalog.sections import BoltSize
from frame3d.frame.joining.bolts import bolt_up
from frame3d.frame.model.joints import JointKind, Place, UnmarkedJoint
from frame3d.frame.model.layout_context import Fasteners, HoopPoint, UnmarkedMember
from frame3d.frame.model.parts import ClampHalf
from frame3d.frame.model.roles import Role, Spot
from frame3d.geometry.placement import Placement, Vector, add, cross, dot, opposite

BAND_MM, WIDTH_MM, BOSS_MM, BOSS_DIAMETER_MM, EAR_MM, GAP_MM = 3.0, 36.0, 5.0, 24.0, 24.0, 6.0
"""Sizes of a plain pressed coupler (common practice, no source)."""


@functools.lru_cache(maxsize=64)
def clamp_half(tube_od_mm: float, bolt: BoltSize) -> ClampHalf:
    """The clamp half that fits a tube."""
    return ClampHalf(
        tube_od_mm=tube_od_mm,
        band_mm=BAND_MM,
        width_mm=WIDTH_MM,
        boss_mm=BOSS_MM,
        boss_diameter_mm=BOSS_DIAMETER_MM,
        ear_mm=EAR_MM,
        gap_mm=GAP_MM,
        bolt=bolt,
    )


def axis_distance_mm(od_a_mm: float, od_b_mm: float) -> float:
    """Distance between the axes of two tubes that a coupler holds, mm."""
    return od_a_mm / 2 + od_b_mm / 2 + 2 * (BAND_MM + BOSS_MM)


def reach_across(
    place: HoopPoint, od_mm: float, distance_mm: float, held_od_mm: float
) -> tuple[float, float]:
    """Least and greatest X of a coupler on a hoop, with the tube that it holds along the tunnel.

    Parameters
    ----------
    place : HoopPoint
        On the hoop.
    od_mm, held_od_mm : float
        Outside diameters of the hoop and of the tube that is held, mm.
    distance_mm : float
        Between their axes.
    """
    level, upright = abs(place.along[0]), abs(place.along[2])
    own = WIDTH_MM / 2 * level + (od_mm / 2 + BAND_MM) * upright
    ring = held_od_mm / 2 + BAND_MM
    # The ears of the half on the tube look along the hoop.
    other = (ring + EAR_MM) * level + ring * upright
    x, middle = place.point[0], place.point[0] + place.inward[0] * distance_mm
    return min(x - own, middle - other), max(x + own, middle + other)


def coupler(
    fasteners: Fasteners,
    *,
    on: Vector,
    boss: Vector,
    first: tuple[Vector, float],
    second: tuple[Vector, float],
    spot: Spot,
    joins: tuple[Place, Place],
    away: Vector | None = None,
) -> list[UnmarkedMember]:
    """Both halves of a coupler with their bolts.

    Parameters
    ----------
    on : (3,) float, mm
        Point on the axis of the first tube.
    boss : (3,) float
        Unit vector from the first tube to the second, square to both.
    first, second : ((3,) float, float)
        Direction and outside diameter, mm, of each tube.
    joins : (Place, Place)
        The two tubes.
    away : (3,) float or None
        From the coupler to what its ears shall not point at.
    """
    distance = axis_distance_mm(first[1], second[1])
    other = add(on, boss, distance)
    back = (-boss[0], -boss[1], -boss[2])
    joint = UnmarkedJoint(JointKind.CLAMPED, joins)
    return [
        *coupler_half(
            fasteners,
            on=on,
            direction=_turned(first[0], boss, away),
            boss=boss,
            od_mm=first[1],
            spot=spot,
            joint=joint,
        ),
        *coupler_half(
            fasteners,
            on=other,
            direction=_turned(second[0], back, away),
            boss=back,
            od_mm=second[1],
            spot=spot,
            joint=joint,
        ),
    ]


def _turned(direction: Vector, boss: Vector, away: Vector | None) -> Vector:
    """The tube's direction or its opposite: that with which the ear points away."""
    if away is None or dot(cross(boss, direction), away) <= 0:
        return direction
    return opposite(direction)


def coupler_half(
    fasteners: Fasteners,
    *,
    on: Vector,
    direction: Vector,
    boss: Vector,
    od_mm: float,
    spot: Spot,
    joint: UnmarkedJoint,
) -> list[UnmarkedMember]:
    """One half of ``joint`` with its bolt, round a tube of ``od_mm`` along ``direction``."""
    part = clamp_half(od_mm, fasteners.clamp)
    placement = Placement.of(origin=on, x=direction, y=cross(boss, direction))
    ear = part.gap_mm / 2 + part.band_mm
    seat = placement.point((0.0, part.ear_bolt_mm, ear))
    drafts = [
        UnmarkedMember(role=Role.CLAMP, part=part, placement=placement, spot=spot, joint=joint)
    ]
    drafts += bolt_up(
        fasteners,
        fasteners.clamp,
        seat=seat,
        direction=placement.direction((0.0, 0.0, -1.0)),
        thickness_mm=2 * ear,
        spot=spot,
        where="hardware.system",
        joins=joint,
        washers=False,
    )
    return drafts
