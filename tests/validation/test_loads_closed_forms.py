"""The solver of bars against closed forms and published values.

Each number stands with its source. Curves are polygons here, so that results come near the closed
form with the square of the length of a bar; the tolerances are what that leaves.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from bar_structures import (
    FIXED,
    PINNED,
    PLANE,
    at_node,
    circle,
    gothic,
    no_load,
    on_plan,
    plane_curve,
    reactions,
    second_order,
    structure,
)  # fmt: skip

from frame3d.loads.solver.assembly import Assembly, Unstable
from frame3d.loads.solver.limits import Limit, LimitSearch
from frame3d.loads.solver.static import Response, linear, stresses
from frame3d.loads.solver.structure import STEEL_E, Load, Structure

RADIUS, EI = 1000.0, STEEL_E * 1e4
NO_STRESS = 1e9
"""N/mm², so much that a column gives way long before."""


def thrust(made: Structure, load: Load) -> tuple[float, Response]:
    """The horizontal force at the left foot, and the whole response."""
    assembly = Assembly(structure=made)
    response = linear(assembly, load)
    return float(reactions(made, assembly, response, load)[0, 0]), response


def pressed(made: Structure, load: Load) -> Limit:
    """Where ``load`` finds no stable position; by stress where that never comes."""
    return LimitSearch(Assembly(structure=made), no_load(made), load).limit(NO_STRESS)


def moment(response: Response, bar: int, end: int) -> float:
    """The size of the moment in the plane at the end of a bar."""
    return float(np.hypot(response.forces[bar, 4 + 6 * end], response.forces[bar, 5 + 6 * end]))


def half_circle(foot: tuple[int, ...], count: int = 160) -> Structure:
    return plane_curve(circle(RADIUS, math.pi / 2, count), foot, foot, area=1e5)


def test_two_hinged_half_circle_under_a_load_at_the_crown() -> None:
    # S. Timoshenko, Strength of Materials II: H = W / pi.
    made = half_circle(PINNED)
    assert thrust(made, at_node(made, 80, 0, 0, -1.0))[0] == pytest.approx(1 / math.pi, rel=1e-3)


def test_two_hinged_half_circle_under_a_load_on_plan() -> None:
    # Closed form, S. Timoshenko: H = 4 w R / (3 pi).
    made = half_circle(PINNED)
    found = thrust(made, on_plan(made))[0]
    assert found == pytest.approx(4 * RADIUS / (3 * math.pi), rel=1e-3)


def test_fixed_half_circle_under_a_load_at_the_crown() -> None:
    # Closed form; R. Roark, table of circular arches: H 0.459138 W, 0.11057 W R, 0.15143 W R.
    made = half_circle(FIXED)
    found, response = thrust(made, at_node(made, 80, 0, 0, -1.0))
    assert found == pytest.approx(0.459138, rel=2e-3)
    assert moment(response, 0, 0) == pytest.approx(0.11057 * RADIUS, rel=2e-3)
    assert moment(response, 80, 0) == pytest.approx(0.15143 * RADIUS, rel=2e-3)


@pytest.mark.parametrize(
    ("foot", "crown_load", "on_plan_of_it"),
    [
        # H, crown M, end M under 1 at the crown; the same under 1 on plan. By quadrature of the
        # two arcs (span 6, radius 4), worked out outside this program.
        (PINNED, (0.261371, 0.487713, 0.0), (1.04549, 0.45085, 0.0)),
        (FIXED, (0.369224, 0.379482, 0.309482), (1.34169, 0.153611, 0.849944)),
    ],
)
def test_gothic_arch(
    foot: tuple[int, ...],
    crown_load: tuple[float, float, float],
    on_plan_of_it: tuple[float, float, float],
) -> None:
    made = plane_curve(gothic(6000.0, 4000.0, 200), foot, foot, area=1e6)
    for load, (force, crown, end), unit in (
        (at_node(made, 100, 0, 0, -1.0), crown_load, 1.0),
        (on_plan(made), on_plan_of_it, 1000.0),
    ):
        found, response = thrust(made, load)
        assert found / unit == pytest.approx(force, rel=2e-3)
        assert moment(response, 100, 0) / unit / 1000 == pytest.approx(crown, rel=3e-3)
        assert moment(response, 0, 0) / unit / 1000 == pytest.approx(end, rel=3e-3, abs=1e-6)


def test_gothic_arch_under_a_load_on_half_of_it() -> None:
    # By quadrature, as above: H 0.522743, V 2.25 and 0.75.
    made = plane_curve(gothic(6000.0, 4000.0, 200), PINNED, PINNED, area=1e6)
    load = on_plan(made, lambda x: float(x < 0))
    assembly = Assembly(structure=made)
    held = reactions(made, assembly, linear(assembly, load), load) / 1000
    assert held[0, 0] == pytest.approx(0.522743, rel=2e-3)
    assert (held[0, 2], held[-1, 2]) == pytest.approx((2.25, 0.75), rel=1e-3)


@pytest.mark.parametrize(
    ("half_angle", "dead"),
    # Dead loads, worked out outside this program with a second tool. Timoshenko & Gere's
    # q = (pi²/a² - 1) EI/R³, 3, 8, 15 and 35, is for pressure that follows the surface and lower.
    [(math.pi / 2, 3.274), (math.pi / 3, 8.728), (math.pi / 4, 15.858), (math.pi / 6, 35.936)],
)
def test_buckling_of_two_hinged_arches_under_pressure(half_angle: float, dead: float) -> None:
    made = plane_curve(circle(RADIUS, half_angle, 120), PINNED, PINNED, area=1e6)
    load = no_load(made)
    middle = (made.nodes[made.ends[:, 0]] + made.nodes[made.ends[:, 1]]) / 2
    load.along_bars[:] = -middle / np.linalg.norm(middle, axis=1)[:, None]
    found = pressed(made, load)
    assert not found.by_stress
    factor = found.factor / (EI / RADIUS**3)
    assert factor == pytest.approx(dead, rel=2e-3)
    assert factor > (math.pi / half_angle) ** 2 - 1


@pytest.mark.parametrize(
    ("first", "last", "length_factor"),
    # L. Euler; any text on stability: effective lengths of 1, 2 and 0.699156 L.
    [(PINNED, (1, 1, 0, 1, 0, 1), 1.0), (FIXED, PLANE, 2.0), (FIXED, (1, 1, 0, 1, 0, 1), 0.699156)],
)
def test_columns(first: tuple[int, ...], last: tuple[int, ...], length_factor: float) -> None:
    points = np.column_stack([np.zeros(13), np.linspace(0, 2000.0, 13)])
    made = plane_curve(points, first, last)
    found = pressed(made, at_node(made, 12, 0, 0, -1.0))
    assert not found.by_stress
    assert found.factor == pytest.approx(math.pi**2 * EI / (length_factor * 2000) ** 2, rel=1e-4)


def test_nothing_gives_way_where_nothing_is_pressed() -> None:
    points = np.column_stack([np.zeros(5), np.linspace(0, 2000.0, 5)])
    made = plane_curve(points, FIXED, PLANE)
    assert pressed(made, at_node(made, 4, 0, 0, 1.0)).by_stress


def test_cantilever() -> None:
    # P L³ / (3 E I), closed form.
    points = np.column_stack([np.linspace(0, 2000.0, 4), np.zeros(4)])
    made = plane_curve(points, FIXED, PLANE)
    response = linear(Assembly(structure=made), at_node(made, 3, 0, 0, -10.0))
    assert response.at_nodes(made)[3, 2] == pytest.approx(-10 * 2000**3 / (3 * EI), rel=1e-9)


def test_portal_frame() -> None:
    # A. Kleinlogel, Rahmenformeln, frame 1: feet hinged, w on the beam: H = w l² / (4 h N),
    # N = 2 k + 3, k = (I2 / I1) h / l.
    span, height, count = 6000.0, 4000.0, 12
    legs = np.linspace(0, height, count + 1)
    beam = np.linspace(-span / 2, span / 2, count + 1)
    points = np.vstack([
        np.column_stack([np.full(count + 1, -span / 2), legs]),
        np.column_stack([beam[1:], np.full(count, height)]),
        np.column_stack([np.full(count, span / 2), legs[-2::-1]]),
    ])  # fmt: skip
    made = plane_curve(points, PINNED, PINNED, area=1e7)
    load = no_load(made)
    load.along_bars[count : 2 * count, 2] = -1.0
    k = height / span
    assert thrust(made, load)[0] == pytest.approx(span**2 / (4 * height * (2 * k + 3)), rel=1e-4)


@pytest.mark.parametrize("share", [0.2, 0.5, 0.8])
def test_beam_column(share: float) -> None:
    # Timoshenko & Gere, Theory of Elastic Stability, 1.3, under even load: the middle's deflection
    # is 5 w l⁴ / (384 E I) times 12 (2 sec u - 2 - u²) / (5 u⁴), u = (l/2) √(P / E I).
    length, count = 2000.0, 20
    points = np.column_stack([np.linspace(0, length, count + 1), np.zeros(count + 1)])
    made = plane_curve(points, PINNED, (0, 1, 1, 1, 0, 1), area=1e6)
    pressed = share * math.pi**2 * EI / length**2
    load = at_node(made, count, -pressed)
    load.along_bars[:, 2] = -0.01
    found = second_order(Assembly(structure=made), load).at_nodes(made)[count // 2, 2]
    u = math.pi / 2 * math.sqrt(share)
    plain = 5 * 0.01 * length**4 / (384 * EI)
    grown = 12 * (2 / math.cos(u) - 2 - u**2) / (5 * u**4)
    assert -found / plain == pytest.approx(grown, rel=3e-5)


def test_beyond_the_critical_load_there_is_no_answer() -> None:
    points = np.column_stack([np.zeros(9), np.linspace(0, 2000.0, 9)])
    made = plane_curve(points, FIXED, PLANE)
    assembly = Assembly(structure=made)
    critical = math.pi**2 * EI / 4000.0**2
    second_order(assembly, at_node(made, 8, 1.0, 0, -0.99 * critical))
    for beyond in (1.01, 2.0, 9.5, 30.0):
        with pytest.raises(Unstable):
            second_order(assembly, at_node(made, 8, 1.0, 0, -beyond * critical))


@pytest.mark.parametrize("aside", [1.0, 10.0, 100.0])
def test_the_factor_at_which_a_column_reaches_a_stress(aside: float) -> None:
    # Secant formula of an eccentric cantilever column, any text: s = P/A + P e c sec(k L) / I.
    points = np.column_stack([np.zeros(17), np.linspace(0, 2000.0, 17)])
    made = plane_curve(points, FIXED, PLANE, area=100.0)
    load = at_node(made, 16, 0, 0, -1.0, 0, aside)
    found = LimitSearch(Assembly(structure=made), no_load(made), load).limit(200.0)
    turn = math.sqrt(found.factor / EI) * 2000
    stress = found.factor / 100 + found.factor * aside * 20 / 1e4 / math.cos(turn)
    assert found.by_stress
    assert stress == pytest.approx(200.0, rel=1e-3)
    assert stresses(made, found.forces).max() == pytest.approx(200.0, rel=1e-3)


def test_a_straight_column_ends_by_stability() -> None:
    points = np.column_stack([np.zeros(17), np.linspace(0, 2000.0, 17)])
    made = plane_curve(points, FIXED, PLANE, area=100.0)
    load = at_node(made, 16, 0, 0, -1.0)
    search = LimitSearch(Assembly(structure=made), no_load(made), load)
    found = search.limit(200.0)
    assert not found.by_stress
    assert found.factor == pytest.approx(math.pi**2 * EI / 4000.0**2, rel=3e-4)
    assert search.limit(5.0).by_stress  # a stress below that at which it buckles comes first


@pytest.mark.parametrize(
    ("share", "aside", "stress", "by_stress"),
    [
        # Above Euler's load of the cantilever, pi² EI / (2 L)²: no stable position at all.
        (1.1, 0.0, 1e6, False),
        # Below it: the first order stays under the stress, the second, 1 / cos(k L) of it, not.
        (0.8, 10.0, None, True),
        # The same, but the stress lies above both: something is left.
        (0.8, 10.0, 1e6, None),
    ],
)
def test_a_constant_load_that_is_too_much_leaves_nothing(
    share: float, aside: float, stress: float | None, by_stress: bool | None
) -> None:
    points = np.column_stack([np.zeros(17), np.linspace(0, 2000.0, 17)])
    made = plane_curve(points, FIXED, PLANE, area=100.0)
    push = share * math.pi**2 * EI / 4000.0**2
    constant = at_node(made, 16, 0, 0, -push, 0, push * aside)
    if stress is None:
        first = push / 100 + push * aside * 20 / 1e4
        second = push / 100 + push * aside * 20 / 1e4 / math.cos(math.sqrt(push / EI) * 2000)
        stress = (first + second) / 2
    growing = at_node(made, 16, 1.0, 0, 0)
    found = LimitSearch(Assembly(structure=made), constant, growing).limit(stress)
    if by_stress is None:
        assert found.factor > 0
    else:
        assert found.factor == 0.0
        assert found.by_stress is by_stress


def test_half_the_length_of_bars_changes_little() -> None:
    found = [
        moment(thrust(made, at_node(made, count // 2, 0, 0, -1.0))[1], count // 2, 0)
        for count in (40, 80)
        if (made := half_circle(FIXED, count))
    ]
    assert found[0] == pytest.approx(found[1], rel=0.01)


def test_a_mirrored_load_gives_the_mirrored_response() -> None:
    made = half_circle(FIXED, 60)
    left, right = (on_plan(made, lambda x, s=s: float(s * x > 0)) for s in (-1, 1))
    assembly = Assembly(structure=made)
    moved = [linear(assembly, load).at_nodes(made) for load in (left, right)]
    size = np.abs(moved[0]).max()
    assert np.allclose(moved[0][:, 2], moved[1][::-1, 2], atol=1e-7 * size, rtol=0)
    assert np.allclose(moved[0][:, 0], -moved[1][::-1, 0], atol=1e-7 * size, rtol=0)


INCH, KIP = 25.4, 4448.2216


@pytest.mark.parametrize(
    ("first", "last", "forces", "across", "wanted"),
    # AISC 360-10, commentary to C2, the two benchmark problems of second order, W14x48 of 28 ft
    # without shear deformation: moments in kip-in; from memory, so they do not decide alone.
    [
        (PINNED, (0, 1, 1, 1, 0, 1), (0, 150, 300, 450), None, (235, 269, 313, 375)),
        (FIXED, PLANE, (0, 100, 150, 200), 1.0, (336, 469, 598, 848)),
    ],
)
def test_benchmarks_of_a_code(
    first: tuple[int, ...],
    last: tuple[int, ...],
    forces: tuple[int, ...],
    across: float | None,
    wanted: tuple[int, ...],
) -> None:
    length = 336 * INCH
    points = np.column_stack([np.linspace(0, length, 17), np.zeros(17)])
    made = plane_curve(points, first, last, area=14.1 * INCH**2, inertia=484 * INCH**4,
                       modulus=29000 * KIP / INCH**2)  # fmt: skip
    for force, published in zip(forces, wanted, strict=True):
        load = at_node(made, 16, -force * KIP, 0.0, (across or 0.0) * KIP)
        if across is None:
            load.along_bars[:, 2] = -0.2 * KIP / (12 * INCH)
        response = second_order(Assembly(structure=made), load)
        found = moment(response, 8 if across is None else 0, 0) / (KIP * INCH)
        assert found == pytest.approx(published, rel=0.005)


def test_a_mechanism_is_no_structure() -> None:
    nodes = np.array([[0.0, 0, 0], [0, 0, 1000], [0, 0, 2000]])
    made = structure(nodes, [(0, 1), (1, 2)], fixed={0: (1, 1, 1, 0, 0, 1)})
    with pytest.raises(Unstable):
        linear(Assembly(structure=made), at_node(made, 2, 1.0))
