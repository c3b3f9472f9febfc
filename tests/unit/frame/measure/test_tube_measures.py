"""Tubes with ends flattened: volume, centre and stretches against closed forms."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace
from scipy.integrate import dblquad, quad

from frame3d.catalog.sections import TubeSection
from frame3d.frame.measure.measures import (
    ProfileStretch,
    centre_mm,
    hole_clock_rad,
    mass_kg,
    radii_at,
    stretches,
    volume_mm3,
)
from frame3d.frame.model.end_forms import flat_width_mm
from frame3d.frame.model.parts import Flat, Hole, Swage, Tube
from frame3d.geometry.paths import Arc, Line, PlanePath

RADIUS, WALL = 21.0, 3.0
SECTION = TubeSection(name="42 x 3", od_mm=2 * RADIUS, wall_mm=WALL)
FLAT = Flat(length_mm=70.0, transition_mm=50.0, clock_rad=0.4)
STRUT = Tube(section=SECTION, axis=PlanePath((Line(1000.0),)), start=FLAT, end=FLAT)


def oblong_mm2(half: float, radius: float) -> float:
    """Area of two half circles joined by straight sides of twice ``half``."""
    return 4 * half * radius + math.pi * radius**2


def test_steel_of_a_pressed_end_is_that_of_its_law() -> None:
    """The slices of the law in the docstring of Flat, integrated along the transition."""
    widest = math.pi * (RADIUS - WALL) / 2

    def slice_mm2(along: float) -> float:
        s = along / 50.0
        outside = oblong_mm2(s * widest, RADIUS + s * (WALL - RADIUS))
        return outside - oblong_mm2(s * widest, (1 - s) * (RADIUS - WALL))

    transition, _ = quad(slice_mm2, 0.0, 50.0, epsabs=1e-9)
    flat = oblong_mm2(widest, WALL) * 70.0
    tube = math.pi * (RADIUS**2 - (RADIUS - WALL) ** 2)
    assert volume_mm3(STRUT) == pytest.approx(tube * 760 + 2 * (transition + flat), rel=1e-12)
    # so pressing takes nothing away: 1 m of tube at 7850 kg/m³
    assert volume_mm3(STRUT) == pytest.approx(tube * 1000, rel=1e-12)
    assert mass_kg(STRUT) == pytest.approx(tube * 1000 * 7850e-9, rel=1e-12)


def test_flat_is_as_wide_as_half_the_bore_round() -> None:
    """Each half of the bore's circle, π (R - t), lies straight; the edges add a wall each."""
    bore = math.pi * (RADIUS - WALL)
    assert flat_width_mm(SECTION) == pytest.approx(bore + 2 * WALL)
    flat = stretches(STRUT)[0]
    assert 2 * (flat.start_half_mm + flat.start_radius_mm) == pytest.approx(bore + 2 * WALL)


def test_stretches_of_flat_and_swaged_ends() -> None:
    swage = Swage(od_mm=34.0, length_mm=90.0, taper_mm=30.0)
    found = stretches(replace(STRUT, end=swage))
    assert [s.kind for s in found] == [
        ProfileStretch.FLAT,
        ProfileStretch.TRANSITION,
        ProfileStretch.BODY,
        ProfileStretch.TAPER,
        ProfileStretch.REDUCED,
    ]
    assert [s.start_mm for s in found] == [0.0, 70.0, 120.0, 880.0, 910.0]
    assert [s.end_mm for s in found] == [70.0, 120.0, 880.0, 910.0, 1000.0]
    assert [s.clock_rad for s in found] == [0.4, 0.4, 0.0, 0.0, 0.0]


def test_an_end_is_the_start_seen_from_the_other_side() -> None:
    first, *_, last = stretches(STRUT)
    assert (last.start_mm, last.end_mm) == (930.0, 1000.0)
    assert (first.start_mm, first.end_mm) == (0.0, 70.0)
    before = stretches(STRUT)[-2]
    assert (before.start_radius_mm, before.end_radius_mm) == (RADIUS, WALL)
    assert (before.start_half_mm, before.end_half_mm) == (0.0, math.pi * (RADIUS - WALL) / 2)


@pytest.mark.parametrize(
    ("at_mm", "outside", "inside"),
    [(30.0, WALL, 0.0), (95.0, 12.0, 9.0), (500.0, 21.0, 18.0), (905.0, 12.0, 9.0)],
)
def test_half_thickness_falls_evenly(at_mm, outside, inside) -> None:
    """Half way along the transition: (21 + 3) / 2 outside, 18 / 2 of the bore."""
    assert radii_at(STRUT, at_mm) == pytest.approx((outside, inside))


def test_hole_in_a_flat_takes_a_disc_out_of_two_walls() -> None:
    hole = Hole(at_mm=35.0, clock_rad=1.2, diameter_mm=11.0)
    bored = replace(STRUT, holes=(hole,))
    disc = math.pi / 4 * 11.0**2
    assert volume_mm3(STRUT) - volume_mm3(bored) == pytest.approx(disc * 2 * WALL, rel=1e-9)
    assert hole_clock_rad(bored, hole) == 0.4
    assert hole_clock_rad(bored, Hole(at_mm=500.0, clock_rad=1.2, diameter_mm=11.0)) == 1.2
    assert hole_clock_rad(bored, Hole(at_mm=960.0, clock_rad=1.2, diameter_mm=11.0)) == 0.4
    # the disc of steel was 465 mm before the middle
    whole = math.pi * (RADIUS**2 - (RADIUS - WALL) ** 2) * 1000
    gone = disc * 2 * WALL
    x, y, z = centre_mm(bored)
    assert x == pytest.approx(500.0 + gone * 465.0 / (whole - gone))
    assert (y, z) == (0.0, 0.0)


SLANT = 0.6


def test_a_slanting_cut_leaves_volume_and_length_alone() -> None:
    """What it takes from one half of the flat it gives to the other."""
    slanted = replace(STRUT, start=replace(FLAT, slant_rad=SLANT))
    assert volume_mm3(slanted) == volume_mm3(STRUT)
    assert slanted.length_mm == STRUT.length_mm
    assert STRUT.over_all_mm == 1000.0
    # half the width of the flat, (π 18 + 6) / 2, at the slope of the cut
    over = (math.pi * (RADIUS - WALL) / 2 + WALL) * math.tan(SLANT)
    assert slanted.over_all_mm == pytest.approx(1000.0 + over)
    both = replace(slanted, end=replace(FLAT, slant_rad=-SLANT))
    assert both.over_all_mm == pytest.approx(1000.0 + 2 * over)
    assert replace(STRUT, end=Swage(od_mm=34.0, length_mm=90.0, taper_mm=30.0)).over_all_mm == 1000


def cut_moments(slant: float) -> tuple[float, float, float]:
    """Volume and first moments of a flat, its end at x = 0 cut at an angle, from its square
    inner end at x = 70: integrated over the oblong without closed forms.
    """
    half = math.pi * (RADIUS - WALL) / 2
    wide = half + WALL

    def thick(u: float) -> float:
        return 2 * math.sqrt(max(0.0, WALL**2 - max(0.0, abs(u) - half) ** 2))

    def over(weight) -> float:
        parts = ((-wide, -half), (-half, half), (half, wide))
        return math.fsum(
            dblquad(lambda x, u: weight(x, u) * thick(u), low, high,
                    lambda u: -u * math.tan(slant), 70.0, epsabs=1e-6)[0]
            for low, high in parts
        )  # fmt: skip

    return over(lambda x, u: 1.0), over(lambda x, u: x), over(lambda x, u: u)


@pytest.mark.parametrize("slant", [SLANT, -0.3])
@pytest.mark.parametrize("at_start", [True, False])
def test_centre_of_a_slanted_flat_is_that_of_its_integral(slant: float, at_start: bool) -> None:
    volume, along, across = cut_moments(slant)
    flat = replace(FLAT, slant_rad=slant)
    tube = replace(STRUT, start=flat) if at_start else replace(STRUT, end=flat)
    whole = volume_mm3(STRUT)
    assert volume == pytest.approx(SECTION.area_mm2 * 70, rel=1e-9)
    # all the rest is symmetric about the axis; its moment along it is that of a plain tube
    moved = (along - volume * 35.0) / whole
    beside = across / whole
    # a quarter turn on from the normal, from y toward z: the right edge is the longer
    assert math.copysign(1.0, across) == math.copysign(1.0, slant)
    # and the wedge lies outward of the square end
    assert moved < 0
    assert centre_mm(tube) == pytest.approx(
        (500.0 + (moved if at_start else -moved), -beside * math.sin(0.4), beside * math.cos(0.4)),
        rel=1e-9,
    )


def test_centre_of_a_bent_tube_with_a_slanted_flat_keeps_to_the_flats_own_axes() -> None:
    """The end of a bent tube: the same moments in the directions that it has there."""
    axis = PlanePath((Line(200.0), Arc(600.0, 0.8), Line(150.0)))
    square = Tube(section=SECTION, axis=axis, end=FLAT)
    slanted = replace(square, end=replace(FLAT, slant_rad=SLANT))
    volume, along, across = cut_moments(SLANT)
    outward = (volume * 35.0 - along) / volume_mm3(square)
    beside = across / volume_mm3(square)
    cos, sin = math.cos(0.8), math.sin(0.8)
    moved = [b - a for a, b in zip(centre_mm(square), centre_mm(slanted), strict=True)]
    assert moved == pytest.approx(
        [
            outward * cos + beside * math.sin(0.4) * sin,
            outward * sin - beside * math.sin(0.4) * cos,
            beside * math.cos(0.4),
        ],
        rel=1e-6,
    )


def test_bent_tube_with_a_flat_has_the_volume_of_pappus() -> None:
    axis = PlanePath((Line(200.0), Arc(600.0, 0.8)))
    bent = Tube(section=SECTION, axis=axis, start=FLAT)
    area = math.pi * (RADIUS**2 - (RADIUS - WALL) ** 2)
    assert volume_mm3(bent) == pytest.approx(area * (200.0 + 480.0), rel=1e-12)
    assert centre_mm(bent) == pytest.approx(centre_mm(replace(bent, start=None)))
