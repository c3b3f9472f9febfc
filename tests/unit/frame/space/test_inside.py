"""Room inside of the hoops, against the closed form for a half circle and a gothic arch."""

from __future__ import annotations

import math

import pytest

from frame3d.frame.space.inside import Inside
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.geometry.arch.arch_given import ArchGiven
from frame3d.geometry.arch.arch_solver import solve_arch

OD = 60.0


def half_circle(radius=3000.0):
    return solve_arch(
        ArchGiven(
            style=ArchStyle.QUONSET, width_mm=2 * radius, ridge_height_mm=radius,
            leg_height_mm=0.0, tube_od_mm=OD,
        )
    )  # fmt: skip


def two_centred(width=6000.0, rise=4000.0, leg=1000.0):
    """Legs, then one arc a side about a centre on the springing line, tangent to the leg.

    Its radius follows from the rise h and the width s: R = h²/s + s/4.
    """
    arch = solve_arch(
        ArchGiven(
            style=ArchStyle.GOTHIC, width_mm=width, ridge_height_mm=leg + rise,
            leg_height_mm=leg, tube_od_mm=OD,
        )
    )  # fmt: skip
    assert arch.top_radius_mm == pytest.approx(rise**2 / width + width / 4)
    return arch


def four_centred(lean=0.05):
    return solve_arch(
        ArchGiven(
            style=ArchStyle.GOTHIC, width_mm=6000.0, ridge_height_mm=3600.0, leg_height_mm=1000.0,
            eave_radius_mm=800.0, ridge_slope_rad=0.3, leg_lean_rad=lean, tube_od_mm=OD,
        )
    )  # fmt: skip


@pytest.mark.parametrize("inset", [OD / 2, OD / 2 + 150.0])
@pytest.mark.parametrize("x", [0.0, 700.0, -1900.0, 2700.0])
def test_height_in_a_half_circle(x, inset):
    """A circle about the middle: z = sqrt((R - inset)² - x²)."""
    height = Inside(half_circle()).height_at(x, inset)
    assert height == pytest.approx(math.sqrt((3000 - inset) ** 2 - x * x), abs=1e-6)


@pytest.mark.parametrize("inset", [OD / 2, OD / 2 + 150.0])
@pytest.mark.parametrize("z", [0.0, 900.0, 2000.0, 2800.0])
def test_width_in_a_half_circle(z, inset):
    half = Inside(half_circle()).half_width_at(z, inset)
    assert half == pytest.approx(math.sqrt((3000 - inset) ** 2 - z * z), abs=1e-6)


@pytest.mark.parametrize("inset", [OD / 2, OD / 2 + 150.0])
@pytest.mark.parametrize("x", [0.0, 700.0, -1900.0, 2700.0])
def test_height_in_a_two_centred_arch(x, inset):
    """On the left the arc is about (R - s/2, leg): (x - a)² + (z - leg)² = (R - inset)²."""
    radius = 4000.0**2 / 6000 + 6000 / 4
    across = abs(x) + radius - 3000
    wanted = 1000 + math.sqrt((radius - inset) ** 2 - across**2)
    assert Inside(two_centred()).height_at(x, inset) == pytest.approx(wanted, abs=1e-6)


@pytest.mark.parametrize("inset", [OD / 2, OD / 2 + 150.0])
@pytest.mark.parametrize("z", [0.0, 500.0, 1000.0, 2200.0, 4300.0])
def test_width_in_a_two_centred_arch(z, inset):
    radius = 4000.0**2 / 6000 + 6000 / 4
    rise = max(0.0, z - 1000)
    wanted = math.sqrt((radius - inset) ** 2 - rise**2) - (radius - 3000)
    assert Inside(two_centred()).half_width_at(z, inset) == pytest.approx(wanted, abs=1e-6)


def test_above_the_room_there_is_none():
    inside = Inside(half_circle())
    assert inside.half_width_at(2971.0, 30.0) is None
    assert inside.half_width_at(-1.0, 30.0) is None
    assert inside.height_at(2971.0, 30.0) == 0.0
    assert inside.height_at(9000.0, 30.0) == 0.0


@pytest.mark.parametrize("arch", [half_circle(), two_centred(), four_centred(), four_centred(0.0)])
@pytest.mark.parametrize("inset", [30.0, 250.0, 600.0])
def test_the_edge_is_as_far_from_the_hoop_as_asked(arch, inset):
    """By distances to lines and arcs, which know nothing of the parallel curve."""
    inside = Inside(arch)
    for x in (0.0, 800.0, -1700.0):
        z = inside.height_at(x, inset)
        assert inside.distance(x, z) == pytest.approx(inset, abs=1e-6)
        assert inside.has(x, z - 0.001, inset)
        assert not inside.has(x, z + 0.001, inset)
    for z in (100.0, 900.0, 1900.0):
        x = inside.half_width_at(z, inset)
        assert inside.distance(x, z) == pytest.approx(inset, abs=1e-6)


def test_an_inset_larger_than_the_eave_radius():
    """The eave arc has no curve beside it there; the room still ends at that distance."""
    arch = four_centred()
    inside = Inside(arch)
    assert arch.eave_radius_mm < 900.0
    x, z = inside.half_width_at(1000.0, 900.0), inside.height_at(0.0, 900.0)
    assert inside.distance(x, 1000.0) == pytest.approx(900.0, abs=1e-6)
    assert inside.distance(0.0, z) == pytest.approx(900.0, abs=1e-6)
    assert not inside.has(0.0, z + 0.001, 900.0)
    assert inside.half_width_at(z + 1.0, 900.0) is None


def test_distance_by_many_points_of_the_axis():
    """The nearest of 20,000 points on the axis is no nearer than told, and hardly farther."""
    arch = four_centred()
    inside, length = Inside(arch), arch.half.length_mm
    points = [arch.point_at(length * k / 20000) for k in range(20001)]
    for x, z in ((-2900.0, 500.0), (-2500.0, 1900.0), (-300.0, 3000.0), (-1500.0, 1000.0)):
        nearest = min(math.hypot(p.x_mm - x, p.z_mm - z) for p in points)
        assert inside.distance(x, z) <= nearest + 1e-9
        assert inside.distance(x, z) == pytest.approx(nearest, abs=0.01)


def test_the_leg_goes_on_below_the_ground():
    """A leaning leg is nearest to a point at the ground below the ground."""
    inside = Inside(four_centred(0.2))
    x = -3000 + 500
    assert inside.distance(x, 0.0) == pytest.approx(500 * math.cos(0.2), abs=1e-9)
