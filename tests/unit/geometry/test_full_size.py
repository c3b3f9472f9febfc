"""Chords, sagittas and ordinates against closed forms."""

from __future__ import annotations

import math

import pytest

from frame3d.geometry.full_size import full_size, ordinate_mm, steps_mm
from frame3d.geometry.paths import Arc, Line, PlanePath

FOOT = 304.8


def test_a_segmental_arch_of_64_by_16_feet() -> None:
    """Derived: span 64 ft, rise 16 ft, so R = (s²/4 + h²)/2h = 40 ft, half its turn asin(4/5)."""
    half = math.asin(4 / 5)
    laid = full_size(PlanePath((Arc(40 * FOOT, 2 * half),)))
    assert laid.chord_mm == pytest.approx(64 * FOOT, rel=1e-8)
    assert laid.sagitta_mm == pytest.approx(16 * FOOT, rel=1e-8)
    assert laid.sagitta_at_mm == pytest.approx(32 * FOOT, rel=1e-8)


def test_half_of_a_two_centred_arch() -> None:
    """Derived: span 6, R 4, centres on the springing line, so the rise is sqrt 15,
    the chord of a half is sqrt(3² + 15) = sqrt 24, and its sagitta R - sqrt(R² - 24/4).
    """
    turn = math.acos(1 / 4)
    laid = full_size(PlanePath((Arc(4000.0, turn),)))
    assert laid.chord_mm == pytest.approx(1000 * math.sqrt(24), rel=1e-9)
    assert laid.sagitta_mm == pytest.approx(4000 - 1000 * math.sqrt(10), rel=1e-9)


def test_ordinates_of_an_arc_follow_the_circle() -> None:
    """y = sqrt(R² - (x - c/2)²) - sqrt(R² - c²/4)."""
    radius, turn = 17659.3, 0.2
    path = PlanePath((Arc(radius, turn),))
    chord = 2 * radius * math.sin(turn / 2)
    for share in (0.0, 0.1, 0.37, 0.5, 0.9, 1.0):
        x = share * chord - chord / 2
        wanted = math.sqrt(radius**2 - x**2) - math.sqrt(radius**2 - chord**2 / 4)
        assert ordinate_mm(path, share * chord) == pytest.approx(wanted, abs=1e-6)


def test_a_hoop_of_one_piece_with_plumb_legs() -> None:
    """Legs of 1 m and a half circle of 3 m: at the ends the legs stand square to the chord."""
    path = PlanePath((Line(1000.0), Arc(3000.0, math.pi), Line(1000.0)))
    laid = full_size(path)
    assert laid.chord_mm == pytest.approx(6000.0)
    assert laid.sagitta_mm == pytest.approx(4000.0)
    assert ordinate_mm(path, 0.0) == pytest.approx(1000.0, abs=1e-6)
    assert ordinate_mm(path, 6000.0) == pytest.approx(1000.0, abs=1e-6)
    assert ordinate_mm(path, 3000.0) == pytest.approx(4000.0)
    assert ordinate_mm(path, 1500.0) == pytest.approx(1000.0 + math.sqrt(3000**2 - 1500**2))


def test_a_straight_and_an_arc_meet_where_they_touch() -> None:
    path = PlanePath((Line(1500.0), Arc(900.0, 1.1)))
    laid = full_size(path)
    along, out = 1500.0 * math.cos(laid.start_rad), 1500.0 * math.sin(laid.start_rad)
    # The straight leaves the chord at the angle between the two.
    assert ordinate_mm(path, along) == pytest.approx(out, abs=1e-9)
    assert ordinate_mm(path, along / 2) == pytest.approx(out / 2, abs=1e-9)


def test_what_bends_to_the_right_is_below_its_chord() -> None:
    path = PlanePath((Arc(1000.0, -1.0),))
    laid = full_size(path)
    assert laid.sagitta_mm == pytest.approx(0.0, abs=1e-9)
    chord = 2000.0 * math.sin(0.5)
    assert ordinate_mm(path, chord / 2) == pytest.approx(-(1000.0 - 1000.0 * math.cos(0.5)))


def test_places_beside_the_path_are_refused() -> None:
    with pytest.raises(ValueError, match="does not pass over -500"):
        ordinate_mm(PlanePath((Arc(1000.0, 1.0),)), -500.0)


def test_a_path_that_comes_back_has_no_chord() -> None:
    with pytest.raises(ValueError, match="no chord"):
        full_size(PlanePath((Arc(1000.0, 2 * math.pi),)))


@pytest.mark.parametrize(
    "chord, wanted",
    [
        (1000.0, [0, 100, 200, 300, 400, 500, 600, 700, 800, 900, 1000.0]),
        (1040.0, [0, 200, 400, 600, 800, 1000, 1040.0]),
    ],
)
def test_steps_are_even_and_end_at_the_end(chord: float, wanted: list[float]) -> None:
    assert steps_mm(chord, (50.0, 100.0, 200.0), 10) == pytest.approx(wanted)


def test_half_a_circle_on_level_legs_is_as_high_as_leg_and_radius() -> None:
    """Whichever way the last digit of its angle is rounded."""
    for angle in (math.pi, 3.1415926536, 3.1415926535):
        path = PlanePath((Line(2906.5), Arc(4038.5, angle), Line(2906.5)))
        laid = full_size(path)
        assert laid.sagitta_mm == pytest.approx(2906.5 + 4038.5, abs=1e-3)
        assert laid.sagitta_at_mm == pytest.approx(4038.5, abs=1e-3)
