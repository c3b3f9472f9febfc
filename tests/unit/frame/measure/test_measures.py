"""Volumes, masses and centres against closed forms and published tables."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace
from sample_frames import (  # noqa: E402 - the path is set above
    CLAMP,
    EVERY_PART,
    HEX_NUT,
    HOOP_TUBE,
    PLAIN_WASHER,
    SILL_BOARD,
)
from scipy.integrate import quad

from frame3d.catalog.sections import TimberSection, TubeSection
from frame3d.frame.measure.measures import (
    ProfileStretch,
    centre_mm,
    hole_volume_mm3,
    mass_kg,
    radii_at,
    stretches,
    volume_mm3,
)
from frame3d.frame.model.parts import (
    Board,
    BoardHole,
    ClampHalf,
    Hole,
    Material,
    Part,
    Swage,
    Tube,
)
from frame3d.geometry.paths import Arc, Line, PlanePath

LB_KG = 0.45359237
FOOT_MM = 304.8


def test_half_turn_of_tube_has_the_volume_of_pappus() -> None:
    """Derived by hand and confirmed with gmsh: 6 632 748.9577 mm³, 52.067 kg."""
    section = TubeSection(name="60.3 x 3.91", od_mm=60.3, wall_mm=3.91)
    tube = Tube(section=section, axis=PlanePath((Arc(3048.0, math.pi),)))
    assert volume_mm3(tube) == pytest.approx(6_632_748.9577, abs=1e-3)
    assert mass_kg(tube) == pytest.approx(52.067, abs=5e-4)


def test_pipe_weighs_what_the_standard_says() -> None:
    """ASME B36.10M, NPS 1-1/4 STD: 2.27 lb/ft, given to the nearest 0.01."""
    foot = Tube(section=HOOP_TUBE, axis=PlanePath((Line(FOOT_MM),)))
    assert mass_kg(foot) / LB_KG == pytest.approx(2.27, abs=0.006)


def test_board_weighs_what_the_standard_says() -> None:
    """PS 20 sizes: 2x8 at 35 lb/ft³ weighs 2.64 lb/ft."""
    section = TimberSection(
        name="2x8",
        thickness_mm=38.1,
        depth_mm=184.15,
        density_kg_per_m3=35 * LB_KG / (FOOT_MM / 1000) ** 3,
    )
    foot = Board(section=section, length_mm=FOOT_MM)
    assert mass_kg(foot) / LB_KG == pytest.approx(2.64, abs=0.006)
    assert foot.material is Material.TIMBER


def test_hole_as_wide_as_a_bar_is_two_crossed_cylinders() -> None:
    """The common part of two equal cylinders at right angles is 16 r³ / 3 (Archimedes)."""
    assert hole_volume_mm3(7.0, 0.0, 7.0) == pytest.approx(16 * 7.0**3 / 3, rel=1e-12)


def test_hole_in_a_tube_against_adaptive_quadrature() -> None:
    outside, inside, radius = 21.082, 17.526, 5.159375

    def slice_mm2(y: float) -> float:
        walls = math.sqrt(outside**2 - y**2) - math.sqrt(inside**2 - y**2)
        return 2 * math.sqrt(radius**2 - y**2) * 2 * walls

    expected, _ = quad(slice_mm2, -radius, radius, epsabs=1e-10, epsrel=1e-13)
    assert hole_volume_mm3(outside, inside, radius) == pytest.approx(expected, rel=1e-10)


def test_small_hole_takes_nearly_a_disc_out_of_each_wall() -> None:
    """As the hole shrinks its volume tends to two discs as thick as the wall."""
    radius = 0.01
    discs = 2 * math.pi * radius**2 * 3.556
    assert hole_volume_mm3(21.082, 17.526, radius) == pytest.approx(discs, rel=1e-6)


def test_swaged_tube_is_a_tube_a_frustum_and_a_thinner_tube() -> None:
    """Frustum of a cone: π h (R² + R r + r²) / 3."""
    tube = Tube(
        section=TubeSection(name="40 x 3", od_mm=40.0, wall_mm=3.0),
        axis=PlanePath((Line(1000.0),)),
        end=Swage(od_mm=32.0, length_mm=100.0, taper_mm=20.0),
    )

    def frustum(wide: float, narrow: float, height: float) -> float:
        return math.pi * height * (wide**2 + wide * narrow + narrow**2) / 3

    body = math.pi * (20**2 - 17**2) * 880
    reduced = math.pi * (16**2 - 13**2) * 100
    taper = frustum(20, 16, 20) - frustum(17, 13, 20)
    assert volume_mm3(tube) == pytest.approx(body + reduced + taper, rel=1e-12)


def test_stretches_follow_each_other_without_gaps() -> None:
    tube = Tube(
        section=HOOP_TUBE,
        axis=PlanePath((Line(300.0), Arc(900.0, 0.5))),
        start=Swage(od_mm=34.0, length_mm=80.0, taper_mm=20.0),
        end=Swage(od_mm=34.0, length_mm=90.0, taper_mm=30.0),
    )
    kinds = [s.kind for s in stretches(tube)]
    reduced, taper, body = ProfileStretch.REDUCED, ProfileStretch.TAPER, ProfileStretch.BODY
    assert kinds == [reduced, taper, body, taper, reduced]
    ends = [s.end_mm for s in stretches(tube)]
    assert [s.start_mm for s in stretches(tube)] == [0.0, *ends[:-1]]
    assert ends[-1] == pytest.approx(tube.length_mm)
    outside, inside = radii_at(tube, 90.0)
    assert outside == pytest.approx((34.0 + HOOP_TUBE.od_mm) / 4)
    assert outside - inside == pytest.approx(HOOP_TUBE.wall_mm)


def test_hole_in_a_swage_passes_the_reduced_tube() -> None:
    swage = Swage(od_mm=34.0, length_mm=80.0, taper_mm=20.0)
    axis = PlanePath((Line(500.0),))
    whole = Tube(section=HOOP_TUBE, axis=axis, end=swage)
    bored = Tube(
        section=HOOP_TUBE, axis=axis, end=swage, holes=(Hole(at_mm=460.0, diameter_mm=9.0),)
    )
    gone = hole_volume_mm3(17.0, 17.0 - HOOP_TUBE.wall_mm, 4.5)
    assert volume_mm3(whole) - volume_mm3(bored) == pytest.approx(gone, rel=1e-9)


def test_hexagon_nut_by_its_six_triangles() -> None:
    size = HEX_NUT.size
    side = size.flats_mm / math.sqrt(3)
    hexagon = 6 * side * size.flats_mm / 2 / 2
    expected = (hexagon - math.pi * size.diameter_mm**2 / 4) * size.height_mm
    assert volume_mm3(HEX_NUT) == pytest.approx(expected, rel=1e-12)


def test_washer_is_a_ring() -> None:
    size = PLAIN_WASHER.size
    middle = (size.outside_mm + size.inside_mm) / 2
    width = (size.outside_mm - size.inside_mm) / 2
    expected = math.pi * middle * width * size.thickness_mm
    assert volume_mm3(PLAIN_WASHER) == pytest.approx(expected, rel=1e-12)


def test_boss_of_a_clamp_tends_to_a_cylinder_on_a_large_tube() -> None:
    """On a tube that is nearly flat the boss adds its disc times its height."""

    def clamp(boss_mm: float) -> ClampHalf:
        return replace(CLAMP, tube_od_mm=2e5, boss_mm=boss_mm)

    grown = volume_mm3(clamp(11.0)) - volume_mm3(clamp(10.0))
    assert grown == pytest.approx(math.pi * CLAMP.boss_diameter_mm**2 / 4, rel=1e-6)


def test_centre_of_a_half_turn() -> None:
    """The centroid of a half ring of area A and second moment I lies (2/π)(ρ + I/(A ρ)) out."""
    section = TubeSection(name="60 x 5", od_mm=60.0, wall_mm=5.0)
    radius = 200.0
    tube = Tube(section=section, axis=PlanePath((Arc(radius, math.pi),)))
    ratio = (30.0**4 - 25.0**4) / (30.0**2 - 25.0**2) / 4
    x, y, z = centre_mm(tube)
    # A part's angles lie on a grid of 1e-10 rad.
    assert x == pytest.approx(2 / math.pi * (radius + ratio / radius), rel=1e-10)
    assert y == pytest.approx(radius, rel=1e-10)
    assert z == 0.0


def test_centre_of_a_board_moves_away_from_its_hole() -> None:
    section = TimberSection(name="b", thickness_mm=40.0, depth_mm=200.0)
    hole = BoardHole(along_mm=250.0, up_mm=50.0, diameter_mm=100.0)
    board = Board(section=section, length_mm=1000.0, holes=(hole,))
    disc, whole = math.pi * 2500.0, 200_000.0
    x, y, z = centre_mm(board)
    assert x == pytest.approx((whole * 500 - disc * 250) / (whole - disc))
    assert y == pytest.approx((whole * 100 - disc * 50) / (whole - disc))
    assert z == 20.0
    assert volume_mm3(board) == pytest.approx((whole - disc) * 40)


@pytest.mark.parametrize("mark", EVERY_PART)
def test_mass_is_volume_times_density(mark: str) -> None:
    """Steel 7850 kg/m³ (EN 1991-1-1, table A.4); timber as its section says."""
    part = EVERY_PART[mark][1]
    density = SILL_BOARD.section.density_kg_per_m3 if part.material is Material.TIMBER else 7850
    assert mass_kg(part) == pytest.approx(volume_mm3(part) * density * 1e-9, rel=1e-12)


def test_a_kind_of_part_without_bodies_is_told() -> None:
    class Ghost(Part, frozen=True, kw_only=True):
        """Forgot to say its shape and its words."""

    with pytest.raises(NotImplementedError, match="Ghost says no bodies"):
        volume_mm3(Ghost())
    with pytest.raises(NotImplementedError, match="Ghost says no words"):
        Ghost().words(str)


@pytest.mark.parametrize("clock", [0.0, 0.7, math.pi / 2])
def test_a_hole_in_a_bend_takes_what_sections_along_it_say(clock: float) -> None:
    """Against a plain sum over the hole of the lengths in the torus's walls, found by bisection."""
    bend, outside, inside, radius = 300.0, 21.0, 17.5, 7.0

    def height(r: float, x: float, y: float, side: int) -> float:
        low, high = 0.0, 2 * r
        for _ in range(50):
            h = (low + high) / 2
            toward = side * h * math.cos(clock) - y * math.sin(clock)
            up = side * h * math.sin(clock) + y * math.cos(clock)
            arm = bend - math.hypot(x, bend - toward)
            low, high = (h, high) if math.hypot(arm, up) < r else (low, h)
        return low

    count, bent, straight = 24, 0.0, 0.0
    for k in range(count):
        for m in range(count):
            away = radius * math.sqrt((k + 0.5) / count)
            turn = 2 * math.pi * (m + 0.5) / count
            x, y = away * math.cos(turn), away * math.sin(turn)
            for r, sign in ((outside, 1), (inside, -1)):
                bent += sign * (height(r, x, y, 1) + height(r, x, y, -1))
                straight += sign * 2 * math.sqrt(r**2 - y**2)
    share = math.pi * radius**2 / count**2
    told = hole_volume_mm3(outside, inside, radius, 1 / bend, clock)
    more = told - hole_volume_mm3(outside, inside, radius)
    assert more == pytest.approx((bent - straight) * share, rel=2e-2, abs=1e-6)
