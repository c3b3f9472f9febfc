"""Properties of the arch solver over the whole family."""

from __future__ import annotations

import math

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from msgspec import structs
from workable_range import workable_range

from frame3d.errors import ArchError
from frame3d.geometry.arch.arch import Arch, ArchStyle, Measured
from frame3d.geometry.arch.arch_curve import area_under_half
from frame3d.geometry.arch.arch_given import ArchGiven, Dimension
from frame3d.geometry.arch.arch_solver import solve_arch
from frame3d.geometry.paths import Arc

D = Dimension
MANY = settings(
    max_examples=150, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck)
)
SOME = settings(MANY, max_examples=25)


@st.composite
def arches(draw, styles=tuple(ArchStyle), eaves=True, straight=True) -> dict[D, float]:
    """All dimensions of an arch, summed up from its parts and not by the solver."""
    style = draw(st.sampled_from(styles))
    lean = draw(st.one_of(st.just(0.0), st.floats(0.01, 0.3)))
    slope = 0.0 if style is ArchStyle.QUONSET else draw(st.floats(0.05, 0.6))
    turn = math.pi / 2 - lean - slope
    leg = draw(st.floats(300, 2500))
    a = draw(st.floats(0.15, 0.85)) * turn if eaves else 0.0
    heading, x, z = math.pi / 2 - lean, leg * math.tan(lean), leg
    r = draw(st.floats(400, 4000))
    if a:
        x += r * (math.sin(heading) - math.sin(heading - a))
        z += r * (math.cos(heading - a) - math.cos(heading))
    heading -= a
    if straight and eaves and style is ArchStyle.GOTHIC and draw(st.booleans()):
        # A straight rafter goes on at the slope at which the eave arc ends.
        length, top, slope = draw(st.floats(500, 8000)), math.inf, heading
        assume(0.02 < slope < 1.3)
        x += length * math.cos(heading)
        z += length * math.sin(heading)
    else:
        top = r * draw(st.one_of(st.floats(0.3, 0.8), st.floats(1.25, 12)))
        x += top * (math.sin(heading) - math.sin(slope))
        z += top * (math.cos(slope) - math.cos(heading))
    values = {D.WIDTH: 2 * x, D.RIDGE_HEIGHT: z, D.LEG_HEIGHT: leg, D.LEG_LEAN: lean}
    values |= {D.TOP_RADIUS: top, D.RIDGE_SLOPE: slope}
    if eaves:
        values[D.EAVE_RADIUS] = r
    return {"style": style, "values": values}


def stated(shape: dict, *without: D, **extra) -> ArchGiven:
    """The shape as a user would give it, with some dimensions left out."""
    values = {d.attribute: v for d, v in shape["values"].items() if d not in without}
    if shape["style"] is ArchStyle.QUONSET:
        values.pop("ridge_slope_rad", None)
    return ArchGiven(style=shape["style"], **({"min_radius_mm": 50.0} | values | extra))


def found(arch: Arch) -> dict[D, float]:
    """The dimensions of a solved arch."""
    return {d: getattr(arch, d.attribute) for d in D}


def assert_same(arch: Arch, shape: dict, tolerance: float = 1e-9) -> None:
    """Every dimension is that of the shape, relative to its size."""
    for dimension, value in shape["values"].items():
        got = found(arch)[dimension]
        if dimension.is_angle:
            assert got == pytest.approx(value, abs=tolerance), dimension
        else:
            assert got == pytest.approx(value, rel=tolerance), dimension


def assert_sound(arch: Arch) -> None:
    """Closed, tangent, rising, finite, and turning one way."""
    for value in (arch.width_mm, arch.ridge_height_mm, arch.leg_height_mm, arch.leg_lean_rad):
        assert math.isfinite(value) and value >= 0
    end, path = arch.half_curve.end, arch.half
    scale = arch.width_mm + arch.ridge_height_mm
    assert end.x_mm == pytest.approx(0, abs=2e-9 * scale)
    assert end.z_mm == pytest.approx(arch.ridge_height_mm, abs=2e-9 * scale)
    assert end.heading_rad == pytest.approx(arch.ridge_slope_rad, abs=1e-6)
    arcs = [s for s in path.segments if isinstance(s, Arc)]
    assert all(s.angle_rad > 0 and s.radius_mm > 0 for s in arcs)
    points = [arch.point_at(path.length_mm * k / 50) for k in range(51)]
    assert all(p.z_mm < q.z_mm for p, q in zip(points, points[1:], strict=False))
    assert all(p.x_mm <= q.x_mm + 1e-9 * scale for p, q in zip(points, points[1:], strict=False))
    assert all(p.heading_rad >= q.heading_rad for p, q in zip(points, points[1:], strict=False))


@MANY
@given(arches())
def test_each_dimension_is_found_from_the_others(shape) -> None:
    for unknown in shape["values"]:
        if unknown is D.LEG_LEAN:
            continue
        if unknown is D.RIDGE_SLOPE and shape["style"] is ArchStyle.QUONSET:
            continue
        arch = solve_arch(stated(shape, unknown))
        assert_same(arch, shape)
        assert_sound(arch)
        assert arch.chosen == ()


@MANY
@given(arches())
def test_the_lean_is_found_where_all_else_is_given(shape) -> None:
    arch = solve_arch(stated(shape, D.LEG_LEAN))
    # Several leans can fit the same numbers; the least is taken. It must fit them all.
    assert arch.leg_lean_rad <= shape["values"][D.LEG_LEAN] + 1e-9
    shape["values"][D.LEG_LEAN] = arch.leg_lean_rad
    assert_same(arch, shape)
    assert_sound(arch)


@MANY
@given(arches())
def test_too_much_is_accepted_if_it_agrees(shape) -> None:
    assert_same(solve_arch(stated(shape)), shape, 1e-6)


@MANY
@given(arches(eaves=False), st.data())
def test_single_arcs_are_found_from_any_two_less(shape, data) -> None:
    free = [d for d in shape["values"] if d is not D.LEG_LEAN]
    if shape["style"] is ArchStyle.QUONSET:
        free.remove(D.RIDGE_SLOPE)
    pairs = [(a, b) for k, a in enumerate(free) for b in free[k + 1 :]]
    pair = data.draw(st.sampled_from(pairs))
    if set(pair) == {D.RIDGE_HEIGHT, D.LEG_HEIGHT} and shape["values"][D.LEG_LEAN] < 0.02:
        return  # width and radius alone leave the leg's height open
    arch = solve_arch(stated(shape, *pair))
    assert_same(arch, shape, 3e-9)
    assert arch.eave_radius_mm is None
    assert arch.chosen == ()
    assert_sound(arch)


@MANY
@given(arches(), st.sampled_from([Measured.OUTSIDE, Measured.INSIDE]), st.data())
def test_outside_and_inside_sizes_give_the_same_arch(shape, measured, data) -> None:
    values = shape["values"]
    face = measured.faces * 30.15
    meant = {
        "width_mm": values[D.WIDTH] + 2 * face / math.cos(values[D.LEG_LEAN]),
        "ridge_height_mm": values[D.RIDGE_HEIGHT] + face / math.cos(values[D.RIDGE_SLOPE]),
    }
    free = [D.LEG_HEIGHT, D.EAVE_RADIUS, D.TOP_RADIUS]
    if shape["style"] is ArchStyle.GOTHIC:
        free.append(D.RIDGE_SLOPE)
    unknown = data.draw(st.sampled_from(free))
    given_ = stated(shape, unknown, measured=measured, tube_od_mm=60.3, **meant)
    arch = solve_arch(given_)
    assert_same(arch, shape)
    sizes = {Measured.OUTSIDE: "outside_mm", Measured.INSIDE: "inside_mm"}[measured]
    assert getattr(arch.widths(), sizes) == pytest.approx(meant["width_mm"], rel=1e-9)
    assert getattr(arch.heights(), sizes) == pytest.approx(meant["ridge_height_mm"], rel=1e-9)


@MANY
@given(arches(), st.floats(0.05, 8))
def test_scaling_every_length_scales_the_arch(shape, k) -> None:
    small = solve_arch(stated(shape, D.RIDGE_HEIGHT, min_radius_mm=0.0))
    values = {d: v if d.is_angle else k * v for d, v in shape["values"].items()}
    large = solve_arch(
        stated({"style": shape["style"], "values": values}, D.RIDGE_HEIGHT, min_radius_mm=0.0)
    )
    assert large.ridge_height_mm == pytest.approx(k * small.ridge_height_mm, rel=1e-9)
    assert large.half.length_mm == pytest.approx(k * small.half.length_mm, rel=1e-9)
    areas = [area_under_half(arch.half_curve) for arch in (small, large)]
    assert areas[1] == pytest.approx(k**2 * areas[0], rel=1e-9)


@MANY
@given(st.floats(3000, 15000), st.floats(0.25, 0.49), st.floats(0, 1200), st.floats(0.0, 1.0))
def test_chosen_radii_have_the_least_ratio(width, rise, leg, share) -> None:
    arch = solve_arch(
        ArchGiven(
            style=ArchStyle.QUONSET,
            width_mm=width,
            ridge_height_mm=leg + rise * width,
            leg_height_mm=leg,
        )
    )
    assert arch.chosen == ("eave_radius", "crown_radius")
    assert_sound(arch)
    ratio = arch.top_radius_mm / arch.eave_radius_mm
    for factor in (0.9 + 0.099 * share, 1.001 + 0.1 * share):
        try:
            other = solve_arch(
                ArchGiven(
                    style=ArchStyle.QUONSET,
                    width_mm=width,
                    ridge_height_mm=leg + rise * width,
                    leg_height_mm=leg,
                    eave_radius_mm=arch.eave_radius_mm * factor,
                )
            )
        except ArchError:
            continue
        assert other.top_radius_mm / other.eave_radius_mm >= ratio * (1 - 1e-9)


anything = st.one_of(
    st.none(),
    st.floats(allow_nan=True, allow_infinity=True),
    st.floats(100, 12000),
    st.sampled_from([0.0, -1.0, 1e-300, 1e300, math.nan, math.inf, 1e13, 5000.0, 2500.0]),
)
likely = st.one_of(st.none(), st.floats(200, 12000))
angle = st.one_of(st.none(), st.floats(-0.1, 1.6), st.sampled_from([0.0, math.nan, 1e9]))


@settings(MANY, max_examples=100)
@given(
    st.sampled_from(list(ArchStyle)),
    st.lists(st.one_of(likely, likely, anything), min_size=5, max_size=5),
    angle,
    angle,
    st.sampled_from(list(Measured)),
)
def test_anything_gives_a_sound_arch_or_an_arch_error(style, lengths, lean, slope, how) -> None:
    width, height, leg, r, top = lengths
    try:
        arch = solve_arch(
            ArchGiven(
                style=style,
                width_mm=width,
                ridge_height_mm=height,
                leg_height_mm=leg,
                leg_lean_rad=lean,
                eave_radius_mm=r,
                top_radius_mm=top,
                ridge_slope_rad=slope,
                measured=how,
                tube_od_mm=60.0,
                min_radius_mm=300.0,
                min_leg_height_mm=200.0,
                default_leg_height_mm=300.0,
            )
        )
    except ArchError as error:
        assert len(str(error)) > 20
        assert "None" not in str(error)
        return
    assert_sound(arch)
    assert arch.leg_height_mm >= 200 * (1 - 1e-9)
    assert arch.top_radius_mm >= 300 * (1 - 1e-9)
    assert arch.eave_radius_mm is None or arch.eave_radius_mm >= 300 * (1 - 1e-9)


@SOME
@given(arches(), st.data())
def test_ranges_are_honest(shape, data) -> None:
    known = [d for d in shape["values"] if d not in (D.LEG_LEAN, D.RIDGE_SLOPE)]
    unknown = data.draw(st.sampled_from(known))
    field = data.draw(st.sampled_from([d for d in known if d is not unknown]))
    given_ = stated(shape, unknown)
    low, high = workable_range(given_, field.value)
    assert low <= shape["values"][field] <= high

    def works(value: float) -> bool:
        try:
            solve_arch(structs.replace(given_, **{field.attribute: value}))
        except ArchError:
            return False
        return True

    assert works(low) and (math.isinf(high) or works(high))
    inner = high if math.isfinite(high) else 2 * low
    assert works(low + 1e-6 * (inner - low)) and works(inner - 1e-6 * (inner - low))
    assert not works(low * (1 - 1e-6) - 1e-9)
    assert math.isinf(high) or not works(high * (1 + 1e-6))
