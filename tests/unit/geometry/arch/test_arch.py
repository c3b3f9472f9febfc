"""What a solved arch says of itself, and the curves beside it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely.geometry import LineString, Polygon

from frame3d.errors import ArchError
from frame3d.geometry.arch.arch import Arch, ArchForm, ArchStyle, Measured
from frame3d.geometry.arch.arch_curve import area_under_half, less_sine
from frame3d.geometry.arch.arch_given import ArchGiven
from frame3d.geometry.arch.arch_solver import solve_arch
from frame3d.geometry.paths import Line

G, Q = ArchStyle.GOTHIC, ArchStyle.QUONSET
SHAPES = {
    "half circle": dict(style=Q, width_mm=6000, ridge_height_mm=3000, leg_height_mm=0),
    "on legs": dict(style=Q, width_mm=6000, ridge_height_mm=4000),
    "three-centred": dict(style=Q, width_mm=9000, ridge_height_mm=4000, leg_height_mm=1200),
    "high": dict(style=Q, width_mm=4000, ridge_height_mm=4000, leg_height_mm=1200),
    "two-centred": dict(style=G, width_mm=6000, ridge_height_mm=4600, leg_height_mm=1200),
    "four-centred": dict(style=G, width_mm=9000, ridge_height_mm=4000, leg_height_mm=1200),
    "leaning": dict(
        style=G, width_mm=9000, ridge_height_mm=4000, leg_height_mm=1200, leg_lean_rad=0.08
    ),
    "straight": dict(
        style=G,
        width_mm=9000,
        leg_height_mm=1800,
        eave_radius_mm=900,
        top_radius_mm=math.inf,
        ridge_slope_rad=0.4,
    ),
}


def make(name: str, **extra) -> Arch:
    """One of the shapes, of tube 60 mm outside."""
    return solve_arch(ArchGiven(**(SHAPES[name] | {"tube_od_mm": 60.0} | extra)))


def height_at(arch: Arch, x_mm: float) -> float:
    """Height of the axis at a distance from the centreline."""
    return arch.point_at(arch.distance_at_x(x_mm)).z_mm


@pytest.fixture(params=list(SHAPES))
def arch(request) -> Arch:
    """Each of the shapes."""
    return make(request.param)


@pytest.mark.parametrize(
    ("name", "form"),
    [
        ("half circle", ArchForm.HALF_CIRCLE),
        ("on legs", ArchForm.HALF_CIRCLE_ON_LEGS),
        ("three-centred", ArchForm.THREE_CENTRED),
        ("high", ArchForm.THREE_CENTRED),
        ("two-centred", ArchForm.TWO_CENTRED),
        ("four-centred", ArchForm.FOUR_CENTRED),
        ("straight", ArchForm.STRAIGHT_RAFTER),
    ],
)
def test_forms(name: str, form: ArchForm) -> None:
    assert make(name).form is form


def test_high_narrow_arch_has_the_smaller_crown() -> None:
    arch = make("high")
    assert arch.top_radius_mm < arch.eave_radius_mm


def test_path_ends_at_the_ridge(arch: Arch) -> None:
    end = arch.point_at(arch.half.length_mm)
    assert end.x_mm == pytest.approx(0, abs=1e-8)
    assert end.z_mm == pytest.approx(arch.ridge_height_mm, abs=1e-8)
    assert end.heading_rad == pytest.approx(arch.ridge_slope_rad, abs=1e-9)
    foot = arch.point_at(0)
    assert (foot.x_mm, foot.z_mm) == (-arch.width_mm / 2, 0)


def test_tangent_at_every_joint(arch: Arch) -> None:
    along = 0.0
    for segment in arch.half.segments[:-1]:
        along += segment.length_mm
        before, after = arch.point_at(along - 1e-3), arch.point_at(along + 1e-3)
        assert before.heading_rad - after.heading_rad == pytest.approx(0, abs=1e-5)


def test_lookups_agree_with_the_path(arch: Arch) -> None:
    length = arch.half.length_mm
    for s in np.linspace(0, length, 41):
        point = arch.point_at(s)
        # Level at the crown: there the height says little about the distance.
        loose = 1e-2 if point.heading_rad < 1e-3 else 1e-6
        assert arch.distance_at_height(point.z_mm) == pytest.approx(s, abs=loose)
        assert arch.half_width_at(point.z_mm) == pytest.approx(-point.x_mm, abs=loose)
        if s >= arch.springing_distance_mm or arch.leg_lean_rad > 0:
            loose = 1e-2 if math.pi / 2 - point.heading_rad < 1e-3 else 1e-6
            assert arch.distance_at_x(point.x_mm) == pytest.approx(s, abs=loose)
            assert height_at(arch, -point.x_mm) == pytest.approx(point.z_mm, abs=loose)


def test_fractions_run_from_springing_to_ridge(arch: Arch) -> None:
    assert arch.distance_at_fraction(0) == pytest.approx(arch.springing_distance_mm)
    assert arch.distance_at_fraction(1) == pytest.approx(arch.half.length_mm)
    low, middle, high = (arch.distance_at_fraction(f) for f in (0.2, 0.5, 0.8))
    assert middle == pytest.approx((low + high) / 2)


def test_height_at_both_sides_is_one(arch: Arch) -> None:
    for x in (0.0, 300.0, 1500.0):
        assert height_at(arch, x) == height_at(arch, -x)
    assert height_at(arch, 0) == pytest.approx(arch.ridge_height_mm, abs=1e-8)


def test_height_at_the_foot_of_a_plumb_leg_is_the_springing() -> None:
    assert height_at(make("four-centred"), 4500) == pytest.approx(1200)
    assert height_at(make("leaning"), 4500) == pytest.approx(0)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda a: a.distance_at_height(4100), r"no height 4100\.0 mm on an arch of 0 to 4000\.0"),
        (lambda a: a.distance_at_height(-1), "no height -1.0 mm"),
        (lambda a: height_at(a, 4600), r"no point 4600\.0 mm from the centreline .* 4500\.0 mm"),
        (lambda a: height_at(a, math.nan), "no point nan"),
        (lambda a: a.distance_at_height(math.nan), "no height nan"),
    ],
)
def test_beyond_the_arch(call, message: str) -> None:
    with pytest.raises(ArchError, match=message):
        call(make("four-centred"))


def sampled(curve, count: int = 4000) -> np.ndarray:
    """Points of a half curve, (count, 2) float, mm."""
    stops = np.linspace(0, curve.path.length_mm, count)
    return np.array([curve.point_at(s)[:2] for s in stops])


def test_area_against_a_polygon_in_shapely(arch: Arch) -> None:
    points = sampled(arch.half_curve)
    left = Polygon([*points, (0, 0)])
    # A chord of the polygon misses s³/(12 R) each: below 2e-7 of the area here.
    assert 2 * area_under_half(arch.half_curve) == pytest.approx(2 * left.area, rel=1e-6)
    assert 2 * area_under_half(arch.half_curve) > 2 * left.area * (1 - 1e-12)


@pytest.mark.parametrize("inward", [-200.0, -30.0, 30.0, 250.0])
def test_offset_keeps_its_distance(arch: Arch, inward: float) -> None:
    if arch.eave_radius_mm is None or arch.eave_radius_mm > inward:
        curve = arch.half_offset(inward)
        assert curve.z_mm == 0 and curve.end.x_mm == pytest.approx(0, abs=1e-8)
        axis = arch.half_curve
        points = sampled(axis, 3000)
        # Go on at both ends, so that the nearest point is never an end.
        first, last = axis.point_at(-2000), axis.point_at(axis.path.length_mm + 300)
        line = LineString([first[:2], *points, last[:2]])
        middle = curve.path.length_mm
        for s in np.linspace(0.02 * middle, 0.9 * middle, 15):
            x, z, _ = curve.point_at(s)
            assert line.distance(LineString([(x, z), (x, z + 1e-9)])) == pytest.approx(
                abs(inward), abs=0.01
            )


def test_offsets_at_the_ridge_and_the_ground_are_the_faces() -> None:
    arch = make("leaning")
    outer, inner = arch.half_offset(-30), arch.half_offset(30)
    assert -2 * outer.x_mm == pytest.approx(arch.widths().outside_mm)
    assert -2 * inner.x_mm == pytest.approx(arch.widths().inside_mm)
    # To second order in od/2 over R: see the module's glossary.
    slope, top = arch.ridge_slope_rad, arch.top_radius_mm
    gap = 30**2 * math.tan(slope) ** 2 / (2 * top * math.cos(slope))
    assert outer.end.z_mm == pytest.approx(arch.heights().outside_mm - gap, abs=gap / 50)
    assert inner.end.z_mm == pytest.approx(arch.heights().inside_mm - gap, abs=gap / 50)


def test_faces_of_a_straight_rafter_are_exact() -> None:
    arch = make("straight")
    assert arch.half_offset(-30).end.z_mm == pytest.approx(arch.heights().outside_mm, abs=1e-8)
    assert arch.half_offset(30).end.z_mm == pytest.approx(arch.heights().inside_mm, abs=1e-8)


def test_no_offset_beyond_the_smallest_radius() -> None:
    arch = make("four-centred")
    with pytest.raises(ArchError, match="no curve 5000.0 mm inside of this arch"):
        arch.half_offset(5000)


def test_ridge_fillet_touches_both_rafters() -> None:
    for name in ("two-centred", "four-centred", "straight", "leaning"):
        arch = make(name)
        fillet = arch.ridge_fillet(300)
        x, z, heading = arch.point_at(fillet.distance_mm)
        # Its centre, square to the rafter where it begins, is on the centreline.
        assert x + 300 * math.sin(heading) == pytest.approx(0, abs=1e-8), name
        assert heading == pytest.approx(fillet.half_angle_rad, abs=1e-9)
        assert arch.half.length_mm - fillet.distance_mm == pytest.approx(
            300 * math.tan(arch.ridge_slope_rad), rel=0.1
        )


def test_ridge_fillet_on_a_huge_radius_is_that_of_straight_rafters() -> None:
    common = dict(style=G, width_mm=9000, leg_height_mm=1800, eave_radius_mm=900)
    common["ridge_slope_rad"] = 0.4
    bent = solve_arch(ArchGiven(top_radius_mm=1e12, **common)).ridge_fillet(300)
    straight = solve_arch(ArchGiven(top_radius_mm=math.inf, **common)).ridge_fillet(300)
    assert bent.distance_mm == pytest.approx(straight.distance_mm, abs=1e-4)
    assert bent.half_angle_rad == pytest.approx(0.4, abs=1e-8)


@pytest.mark.parametrize("name", ["two-centred", "four-centred", "straight"])
def test_ridge_fillet_has_room_up_to_the_radius_that_it_names(name: str) -> None:
    arch = make(name)
    with pytest.raises(ArchError, match="does not fit on the rafter") as caught:
        arch.ridge_fillet(1e5)
    most = float(str(caught.value).split("at most ")[1].split(" mm")[0])
    start = arch.springing_distance_mm + (arch.eave_radius_mm or 0) * arch.eave_angle_rad
    assert arch.ridge_fillet(most - 0.05).distance_mm >= start - 1e-6
    with pytest.raises(ArchError, match="does not fit"):
        arch.ridge_fillet(most + 0.1)
    for wrong in (0.0, -5.0, math.nan, math.inf):
        with pytest.raises(ArchError, match="more than 0"):
            arch.ridge_fillet(wrong)


def test_a_quonset_has_no_ridge_to_round() -> None:
    with pytest.raises(ArchError, match="only a ridge can be rounded"):
        make("on legs").ridge_fillet(300)


def test_small_angles_keep_their_digits() -> None:
    for angle in (1e-8, 1e-4, 0.09, 0.11, 1.5):
        series = sum(
            (-1) ** (k + 1) * angle ** (2 * k + 1) / math.factorial(2 * k + 1) for k in range(1, 12)
        )
        assert less_sine(angle) == pytest.approx(series, rel=1e-12)


def test_legs_are_left_out_where_there_are_none() -> None:
    assert not any(isinstance(s, Line) for s in make("half circle").half.segments)


@pytest.mark.parametrize("measured", list(Measured))
def test_sizes_are_what_was_given(measured: Measured) -> None:
    arch = make("four-centred", measured=measured)
    index = list(Measured).index(measured)
    assert arch.widths()[index] == pytest.approx(9000, rel=1e-12)
    assert arch.heights()[index] == pytest.approx(4000, rel=1e-12)
