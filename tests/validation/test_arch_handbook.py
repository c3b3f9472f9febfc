"""Arches against closed forms.

What a figure follows from stands beside it: the circle, Pythagoras, or the classical construction.
"""

from __future__ import annotations

import math

import pytest

from frame3d.geometry.arch.arch import Arch, ArchForm, ArchStyle
from frame3d.geometry.arch.arch_curve import area_under_half
from frame3d.geometry.arch.arch_given import ArchGiven
from frame3d.geometry.arch.arch_solver import solve_arch
from frame3d.geometry.paths import Arc

FOOT_MM = 304.8


def solve(style: ArchStyle, **dimensions) -> Arch:
    """An arch without limits of tube or bender."""
    return solve_arch(ArchGiven(style=style, **dimensions))


def test_two_centred_arch_of_span_6_and_radius_4() -> None:
    """Derived from the circle: R = h²/s + s/4, so s = 6, R = 4 gives h = sqrt(15).

    In units of 1 m. The half arc turns through acos(1/4), so it is 4 acos(1/4) = 5.272464287
    long and the slope at the ridge is asin(1/4) = 14.47751219°; under it lie two sectors less
    two triangles, 16 acos(1/4) - sqrt(15) = 17.2168738.
    """
    arch = solve(ArchStyle.GOTHIC, width_mm=6000, leg_height_mm=0, top_radius_mm=4000)
    assert arch.form is ArchForm.TWO_CENTRED
    assert arch.ridge_height_mm == pytest.approx(1000 * math.sqrt(15), rel=1e-12)
    assert arch.half.length_mm == pytest.approx(5272.464287, abs=1e-6)
    assert math.degrees(arch.ridge_slope_rad) == pytest.approx(14.47751219, abs=1e-8)
    assert 2 * area_under_half(arch.half_curve) == pytest.approx(17.2168738e6, abs=0.1)


@pytest.mark.parametrize("rise_share", [0.5001, 0.6, 0.8, math.sqrt(3) / 2, 1.2])
def test_two_centred_radius(rise_share: float) -> None:
    """Derived: R = h²/s + s/4; the equilateral arch, R = s, has h = s sqrt(3)/2, a lancet more."""
    span = 6000.0
    rise = rise_share * span
    arch = solve(ArchStyle.GOTHIC, width_mm=span, ridge_height_mm=rise + 900, leg_height_mm=900)
    assert arch.form is ArchForm.TWO_CENTRED
    assert arch.top_radius_mm == pytest.approx(rise**2 / span + span / 4, rel=1e-12)
    assert (arch.top_radius_mm < span * (1 - 1e-9)) == (rise_share < 0.866)


def test_segmental_arch_of_64_ft_and_16_ft_rise() -> None:
    """R = (s²/4 + h²)/(2 h) = 40 ft, 53.1301° at the springing, 74.18362 ft along the curve.

    Derived: the half chord of 32 ft and 40 - 16 = 24 ft are the legs of a 3-4-5 triangle, and
    the arc is 2 x 40 ft x asin(4/5). A leg that leans by 36.8699° and is 0 high leaves the arc
    alone.
    """
    arch = solve(
        ArchStyle.QUONSET,
        width_mm=64 * FOOT_MM,
        leg_height_mm=0,
        leg_lean_rad=math.pi / 2 - 2 * math.atan(0.5),
    )
    assert arch.form is ArchForm.SEGMENTAL
    assert arch.ridge_height_mm == pytest.approx(16 * FOOT_MM, rel=1e-12)
    assert arch.top_radius_mm == pytest.approx(40 * FOOT_MM, rel=1e-12)
    assert math.degrees(arch.springing_heading_rad) == pytest.approx(53.1301, abs=5e-5)
    assert 2 * arch.half.length_mm / FOOT_MM == pytest.approx(74.18362, abs=5e-6)


def test_half_circle_of_20_ft() -> None:
    """Half the circumference: 31.4159 ft; area pi r²/2."""
    arch = solve(
        ArchStyle.QUONSET, width_mm=20 * FOOT_MM, ridge_height_mm=10 * FOOT_MM, leg_height_mm=0
    )
    assert arch.form is ArchForm.HALF_CIRCLE
    assert 2 * arch.half.length_mm / FOOT_MM == pytest.approx(31.4159, abs=5e-5)
    assert 2 * area_under_half(arch.half_curve) == pytest.approx(
        math.pi * (10 * FOOT_MM) ** 2 / 2, rel=1e-12
    )


def test_half_circle_on_legs() -> None:
    """Two legs and a half circumference; rectangle and half circle."""
    arch = solve(ArchStyle.QUONSET, width_mm=6000, ridge_height_mm=4200)
    assert arch.form is ArchForm.HALF_CIRCLE_ON_LEGS
    assert 2 * arch.half.length_mm == pytest.approx(2 * 1200 + 3000 * math.pi, rel=1e-12)
    area = 6000 * 1200 + math.pi * 3000**2 / 2
    assert 2 * area_under_half(arch.half_curve) == pytest.approx(area, rel=1e-12)


def test_three_centred_arch_by_the_classical_construction() -> None:
    """R = (w²/4 + h² - w r)/(2 (h - r)): the triangle of the two centres, Pythagoras.

    The eave's centre lies at (w/2 - r, 0), the crown's at (0, h - R), R - r apart.
    The classical drawing of the smoothest such arch marks off w/2 - h from the
    diagonal and halves what remains: r = (g² - g (w/2 - h)) / w, with g the diagonal.
    """
    width, rise = 9000.0, 3200.0
    half, diagonal = width / 2, math.hypot(width / 2, rise)
    arch = solve(ArchStyle.QUONSET, width_mm=width, ridge_height_mm=rise, leg_height_mm=0)
    assert arch.form is ArchForm.THREE_CENTRED
    r, top = arch.eave_radius_mm, arch.top_radius_mm
    assert top == pytest.approx((half**2 + rise**2 - width * r) / (2 * (rise - r)), rel=1e-12)
    assert r == pytest.approx((diagonal**2 - diagonal * (half - rise)) / width, rel=1e-12)


@pytest.mark.parametrize("style", list(ArchStyle))
@pytest.mark.parametrize("lean", [0.0, 0.07])
def test_centres_and_joint_lie_on_one_line(style: ArchStyle, lean: float) -> None:
    """Three- and four-centred arches: at each joint both centres and the joint are in line."""
    arch = solve(style, width_mm=9000, ridge_height_mm=3900, leg_height_mm=1100, leg_lean_rad=lean)
    joint = arch.point_at(arch.springing_distance_mm + arch.eave_radius_mm * arch.eave_angle_rad)
    foot = arch.point_at(arch.springing_distance_mm)
    ridge = arch.point_at(arch.half.length_mm)
    centres = [
        (p.x_mm + radius * math.sin(p.heading_rad), p.z_mm - radius * math.cos(p.heading_rad))
        for p, radius in ((foot, arch.eave_radius_mm), (ridge, arch.top_radius_mm))
    ]
    (ax, az), (bx, bz) = centres
    cross = (ax - joint.x_mm) * (bz - joint.z_mm) - (az - joint.z_mm) * (bx - joint.x_mm)
    assert cross / math.dist(*centres) == pytest.approx(0, abs=1e-6)
    assert math.dist(centres[0], (joint.x_mm, joint.z_mm)) == pytest.approx(
        arch.eave_radius_mm, rel=1e-9
    )
    assert math.dist(centres[1], (joint.x_mm, joint.z_mm)) == pytest.approx(
        arch.top_radius_mm, rel=1e-9
    )


def test_straight_rafter_against_the_fillet_of_two_lines() -> None:
    """A fillet between lines 90° - slope apart: tangent length r tan(turn/2)."""
    width, leg, slope, r = 6000.0, 1800.0, math.radians(30), 900.0
    turn = math.pi / 2 - slope
    tangent = r * math.tan(turn / 2)
    ridge = leg + tangent + width / 2 * math.tan(slope)
    arch = solve(
        ArchStyle.GOTHIC,
        width_mm=width,
        leg_height_mm=leg,
        eave_radius_mm=r,
        top_radius_mm=math.inf,
        ridge_slope_rad=slope,
    )
    assert arch.form is ArchForm.STRAIGHT_RAFTER
    assert arch.ridge_height_mm == pytest.approx(ridge, rel=1e-12)
    assert arch.rafter_length_mm == pytest.approx(width / 2 / math.cos(slope) - tangent, rel=1e-12)


@pytest.mark.parametrize("top", [1e6, 1e8, 1e10, 1e12])
def test_a_large_rafter_radius_tends_to_the_straight_rafter(top: float) -> None:
    """The sagitta of a chord L is L²/(8 R); the ridge moves by as little, times 4 at most."""
    common = {"width_mm": 8000, "leg_height_mm": 1500, "eave_radius_mm": 1000}
    common |= {"ridge_slope_rad": 0.4}
    straight = solve(ArchStyle.GOTHIC, top_radius_mm=math.inf, **common)
    bent = solve(ArchStyle.GOTHIC, top_radius_mm=top, **common)
    gap = bent.ridge_height_mm - straight.ridge_height_mm
    sagitta = straight.rafter_length_mm**2 / (8 * top)
    # Beside it the eave arc turns less, and meets the slope later: 8 times as a bound.
    assert gap + 1e-8 > 0 and abs(gap) < 8 * sagitta + 1e-8
    assert isinstance(bent.half.segments[-1], Arc)
    assert bent.half.length_mm == pytest.approx(straight.half.length_mm, abs=8 * sagitta + 1e-8)
