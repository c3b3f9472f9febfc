"""The solver's rules, limits and messages."""

from __future__ import annotations

import math

import pytest
from msgspec import structs
from workable_range import workable_range

from frame3d.errors import ArchError
from frame3d.geometry.arch.arch import ArchForm, ArchStyle, Measured
from frame3d.geometry.arch.arch_given import ArchGiven, Dimension
from frame3d.geometry.arch.arch_solver import solve_arch

G, Q = ArchStyle.GOTHIC, ArchStyle.QUONSET
LIMITS = dict(min_radius_mm=300.0, min_leg_height_mm=250.0, default_leg_height_mm=400.0)


def given(style: ArchStyle, **dimensions) -> ArchGiven:
    """Dimensions of an arch of tube that can be bent to 300 mm, in sockets of 250 mm."""
    return ArchGiven(style=style, **(LIMITS | {"tube_od_mm": 42.4} | dimensions))


def refusal(style: ArchStyle, **dimensions) -> ArchError:
    """The error that the dimensions meet."""
    with pytest.raises(ArchError) as caught:
        solve_arch(given(style, **dimensions))
    return caught.value


# --- rules -----------------------------------------------------------------------------


def test_width_and_height_of_a_quonset_make_a_half_circle_where_there_is_room() -> None:
    arch = solve_arch(given(Q, width_mm=6000, ridge_height_mm=3400))
    assert arch.form is ArchForm.HALF_CIRCLE_ON_LEGS
    assert arch.leg_height_mm == pytest.approx(400) and arch.chosen == ()


def test_or_else_a_three_centred_arch_on_legs_of_the_default_height() -> None:
    arch = solve_arch(given(Q, width_mm=6000, ridge_height_mm=3399))
    assert arch.form is ArchForm.THREE_CENTRED and arch.leg_height_mm == 400
    assert arch.chosen == ("leg_height", "eave_radius", "crown_radius")


def test_half_circle_where_the_three_sizes_agree() -> None:
    sizes = dict(width_mm=6000, leg_height_mm=1000)
    assert solve_arch(given(Q, ridge_height_mm=4000, **sizes)).eave_radius_mm is None
    near = solve_arch(given(Q, ridge_height_mm=4000.001, **sizes))
    assert near.form is ArchForm.THREE_CENTRED
    assert near.eave_radius_mm == pytest.approx(3000, rel=1e-5)


def test_width_alone_makes_a_half_circle_on_default_legs() -> None:
    arch = solve_arch(given(Q, width_mm=6000))
    assert (arch.ridge_height_mm, arch.chosen) == (pytest.approx(3400), ("leg_height",))


def test_equal_radii_are_one_arc() -> None:
    arch = solve_arch(given(Q, leg_height_mm=900, eave_radius_mm=3000, top_radius_mm=3000))
    assert arch.form is ArchForm.HALF_CIRCLE_ON_LEGS
    assert (arch.width_mm, arch.ridge_height_mm) == pytest.approx((6000, 3900))


def test_gothic_is_two_centred_from_a_rise_of_half_the_width() -> None:
    sizes = dict(width_mm=6000, leg_height_mm=1000)
    assert solve_arch(given(G, ridge_height_mm=4001, **sizes)).form is ArchForm.TWO_CENTRED
    low = solve_arch(given(G, ridge_height_mm=3999, **sizes))
    assert low.form is ArchForm.FOUR_CENTRED
    assert low.chosen == ("ridge_slope", "eave_radius", "rafter_radius")
    assert math.degrees(low.ridge_slope_rad) == pytest.approx(15)


def test_a_slope_that_cannot_be_15_degrees_is_the_middle_of_what_can() -> None:
    sizes = dict(width_mm=9000, ridge_height_mm=3000, leg_height_mm=2200)
    arch = solve_arch(given(G, **sizes))
    assert "ridge_slope" in arch.chosen
    low, high = workable_range(given(G, **sizes), "ridge_slope")
    assert high < math.radians(15)
    assert arch.ridge_slope_rad == pytest.approx((low + high) / 2, rel=1e-6)


def test_default_leg_where_it_is_needed_only() -> None:
    sizes = dict(width_mm=9000, ridge_height_mm=4000, ridge_slope_rad=0.3)
    arch = solve_arch(given(G, eave_radius_mm=1000, **sizes))
    assert arch.chosen == ("leg_height",) and arch.leg_height_mm == 400
    top = arch.top_radius_mm
    free = solve_arch(given(G, eave_radius_mm=1000, top_radius_mm=top, **sizes))
    assert free.chosen == () and free.leg_height_mm == pytest.approx(400)


def test_radii_are_never_chosen_below_the_bender() -> None:
    sizes = dict(width_mm=9000, ridge_height_mm=2600, leg_height_mm=1900)
    arch = solve_arch(given(Q, **sizes, min_radius_mm=500.0))
    assert arch.eave_radius_mm == pytest.approx(500, rel=1e-12)
    free = solve_arch(given(Q, **sizes, min_radius_mm=100.0))
    assert free.eave_radius_mm < 500


# --- messages --------------------------------------------------------------------------


def test_too_little() -> None:
    error = refusal(Q, leg_height_mm=900)
    assert error.field == "width"
    assert "give one of width, ridge_height, crown_radius" in str(error)
    error = refusal(G, width_mm=9000, leg_height_mm=900, eave_radius_mm=800)
    assert "give one of ridge_height, rafter_radius, ridge_slope" in str(error)


def test_nothing_at_all() -> None:
    assert "this gothic arch needs one more figure (nothing)" in str(refusal(G))


SOLID = dict(width_mm=9000.0, leg_height_mm=1200.0, eave_radius_mm=1000.0, top_radius_mm=9000.0)
SOLID |= dict(ridge_slope_rad=0.3, leg_lean_rad=0.0)


def test_contradiction_names_what_each_would_have_to_be() -> None:
    height = solve_arch(given(G, **SOLID)).ridge_height_mm
    wrong = SOLID | {"ridge_height_mm": height + 150}
    error = refusal(G, **wrong)
    message = str(error)
    assert "contradict each other; keep the rest and make eave_radius" in message
    assert f"ridge_height {height:.1f} mm" in message and "remove one" in message
    for name in ("width", "leg_height", "rafter_radius", "ridge_slope"):
        assert f"{name} " in message.split("keep the rest")[1]
    # Each of the values that it names does solve.
    r = float(message.split("make eave_radius ")[1].split(" mm")[0])
    changed = {k: v for k, v in wrong.items() if k != "eave_radius_mm"}
    assert solve_arch(given(G, **changed)).eave_radius_mm == pytest.approx(r, abs=0.06)


def test_lengths_stand_in_the_callers_units() -> None:
    with pytest.raises(ArchError, match=r"width <29\.528>.*ridge_height <.*make") as caught:
        solve_arch(
            given(G, **SOLID, ridge_height_mm=5000.0),
            say=lambda mm: f"<{mm / 304.8:.3f}>",
            say_angle=lambda rad: f"[{rad:.3f}]",
        )
    assert " mm" not in str(caught.value) and "ridge_slope [0.300]" in str(caught.value)


def test_agreement_to_a_millionth_is_enough() -> None:
    height = solve_arch(given(G, **SOLID)).ridge_height_mm
    arch = solve_arch(given(G, **SOLID, ridge_height_mm=height * (1 + 1e-7)))
    assert arch.ridge_height_mm == pytest.approx(height, rel=1e-6)
    assert "contradict" in str(refusal(G, **SOLID, ridge_height_mm=height * (1 + 1e-4)))


def test_below_the_bender() -> None:
    error = refusal(G, width_mm=9000, ridge_height_mm=4000, leg_height_mm=1200, eave_radius_mm=200)
    assert error.field == "eave_radius"
    assert "eave_radius is 200.0 mm, but the tightest radius that can be bent is 300.0 mm" in str(
        error
    )
    assert "make eave_radius 301.0 mm to" in str(error)


def test_radius_that_comes_out_below_the_bender() -> None:
    sizes = dict(width_mm=9000, ridge_height_mm=4000, leg_height_mm=1200, ridge_slope_rad=0.55)
    error = refusal(G, **sizes, top_radius_mm=math.inf, min_radius_mm=900.0)
    assert "eave_radius comes out as" in str(error) and "rafter_radius straight" in str(error)
    assert "the tightest radius that can be bent is 900.0 mm; keep the rest and" in str(error)


def test_short_leg() -> None:
    error = refusal(Q, width_mm=9000, ridge_height_mm=4000, leg_height_mm=100)
    assert error.field == "leg_height"
    assert "leg must be straight up to 250.0 mm for its socket" in str(error)
    assert "make leg_height 251.0 mm to" in str(error)
    error = refusal(Q, ridge_height_mm=3100, top_radius_mm=3000)
    assert "leg_height comes out as" in str(error) and "100.0 mm" in str(error)


def test_no_smooth_curve() -> None:
    error = refusal(Q, width_mm=9000, ridge_height_mm=4000, leg_height_mm=4100)
    assert "there is no smooth quonset arch with width 9000.0 mm" in str(error)
    # The rise must exceed the smallest radius, 300 mm, by what the flattest crown allows:
    # (4500 - 300)² / 2 / 1e8 = 0.09 mm; messages go 1 mm inside of the limits.
    assert "ridge_height 4401.1 mm or more, or leg_height 251.0 mm to 3698.9 mm" in str(error)


@pytest.mark.parametrize(
    ("style", "dimensions", "field", "message"),
    [
        (Q, dict(width_mm=6000, ridge_slope_rad=0.2), "ridge_slope", "crown is level; remove"),
        (Q, dict(width_mm=6000, top_radius_mm=math.inf), "crown_radius", "is round; give"),
        (G, dict(width_mm=-5.0), "width", r"width is -5\.0 mm: make it 1\.0 mm to"),
        (G, dict(width_mm=math.nan), "width", "width is nan: make it"),
        (G, dict(width_mm="wide"), "width", "width is 'wide': make it"),
        (G, dict(width_mm=True), "width", "width is True: make it"),
        (G, dict(ridge_height_mm=math.inf), "ridge_height", "ridge_height is inf: make it"),
        (G, dict(width_mm=6000, leg_lean_rad=1.0), "leg_lean", "57.30°: make it 0.00° to 45.00°"),
        (G, dict(width_mm=6000, ridge_slope_rad=1.6), "ridge_slope", "make it 0.00° to 89.00°"),
        (G, dict(top_radius_mm=-math.inf), "rafter_radius", "rafter_radius is -inf: make it"),
        (
            Q,
            dict(width_mm=30.0, measured=Measured.OUTSIDE),
            "width",
            r"width is 30\.0 mm outside, no more than the tube \(42\.4 mm\)",
        ),
    ],
)
def test_out_of_bounds(style, dimensions, field, message) -> None:
    with pytest.raises(ArchError, match=message) as caught:
        solve_arch(given(style, **dimensions))
    assert caught.value.field == field


@pytest.mark.parametrize("name", ["tube_od_mm", "min_radius_mm", "min_leg_height_mm"])
@pytest.mark.parametrize("value", [-1.0, math.nan, math.inf, None])
def test_the_tubes_own_numbers(name: str, value) -> None:
    with pytest.raises(ArchError, match=f"{name} is .*: make it a number from 0"):
        solve_arch(structs.replace(given(Q, width_mm=6000), **{name: value}))


# --- ranges ----------------------------------------------------------------------------


def test_range_of_a_straight_rafters_eave() -> None:
    """The eave arc may at most reach the ridge's slope: r (1 - cos T) = u."""
    sizes = dict(width_mm=9000, ridge_height_mm=4000, leg_height_mm=1200, ridge_slope_rad=0.3)
    low, high = workable_range(given(G, **sizes), "eave_radius")
    u = 2800 * math.cos(0.3) - 4500 * math.sin(0.3)
    assert high == pytest.approx(u / (1 - math.cos(math.pi / 2 - 0.3)), rel=1e-9)
    assert low == pytest.approx(300)
    low, high = workable_range(given(G, **sizes), "rafter_radius")
    assert high == math.inf and low > 4500


def test_range_of_what_is_implied_is_one_value() -> None:
    height = solve_arch(given(G, **SOLID)).ridge_height_mm
    low, high = workable_range(given(G, **SOLID), "ridge_height")
    assert low == pytest.approx(height) and high == pytest.approx(height)


def test_no_range_where_nothing_works() -> None:
    hopeless = given(Q, width_mm=9000, leg_height_mm=1200, min_radius_mm=8000.0)
    assert workable_range(hopeless, "leg_height") is None


def test_names_of_dimensions() -> None:
    assert Dimension.TOP_RADIUS.name_for(Q) == "crown_radius"
    assert Dimension.TOP_RADIUS.name_for(G) == "rafter_radius"
