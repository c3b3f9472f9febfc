"""Figures of curtains, against a roll wound turn by turn and energy."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from curtain_designs import BASE

from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignError
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.skin.cover_film import cover_lines
from frame3d.frame.skin.curtain_figures import (
    GRAVITY,
    Curtains,
    curtains_of,
    rolled_diameter_mm,
    twist_rad,
)


def frame_with(**curtain) -> Frame:
    return lay_out(design_from_mapping(BASE | {"curtain": curtain}))


def figures(**curtain) -> Curtains:
    found = curtains_of(frame_with(**curtain))
    assert found is not None
    return found


def wound(tube: float, film: float, thick: float) -> tuple[float, float]:
    """Diameter and turns of a film wound on in small steps, its middle on a spiral.

    Each step turns by a thousandth of a turn and takes up the arc at the radius of the film's
    middle, which grows by its thickness in a turn.
    """
    turn, taken, step = 0.0, 0.0, 1e-3
    while True:
        radius = tube / 2 + thick * (turn + step / 2) + thick / 2
        arc = math.tau * radius * step
        if taken + arc >= film:
            turn += step * (film - taken) / arc
            # The outside of the outermost layer, averaged over the turn.
            return tube + 2 * thick * (turn + 0.5), turn
        taken, turn = taken + arc, turn + step


@pytest.mark.parametrize(
    ("tube", "film", "thick"), [(32.0, 1300.0, 0.15), (42.4, 2500.0, 0.2), (25.0, 800.0, 0.8)]
)
def test_the_roll_against_a_simulated_spiral(tube: float, film: float, thick: float) -> None:
    rolled = rolled_diameter_mm(tube, film, thick)
    diameter, turns = wound(tube, film, thick)
    # The formula spreads the film evenly round; a spiral stands out by its last layer: within one
    # thickness.
    assert abs(rolled - diameter) <= thick + 1e-6
    assert (rolled - tube) / (2 * thick) == pytest.approx(turns, abs=0.51)


def test_the_area_of_the_roll_is_that_of_the_films_edge() -> None:
    """By counting points on a fine grid."""
    rolled = rolled_diameter_mm(30.0, 1000.0, 0.5)
    at = np.arange(-25, 25, 0.05) + 0.025
    x, y = np.meshgrid(at, at)
    within = (np.hypot(x, y) > 15) & (np.hypot(x, y) < rolled / 2)
    assert within.sum() * 0.05**2 == pytest.approx(0.5 * 1000, rel=2e-3)


def test_twist_against_an_integral_along_the_tube() -> None:
    """Torque falls evenly from the winder to nothing: the sum of T(x) dx / (G J)."""
    length, torque, od, inside = 28_000.0, 10_000.0, 34.9, 30.7
    polar = math.pi * (od**4 - inside**4) / 32
    at = (np.arange(4000) + 0.5) / 4000 * length
    whole = np.sum(torque * (1 - at / length)) * length / 4000 / (81_000 * polar)
    assert twist_rad(torque, length, od, inside) == pytest.approx(whole, rel=1e-9)


def test_the_work_at_the_crank_lifts_the_roll() -> None:
    """The mean torque times the whole turn is the energy of the tube and its film, raised.

    The torque at the end is the largest; by energy the mean is that of a roll half grown, and
    the film is raised by half its length on average.
    """
    found = figures(film_thickness="0.2 mm")
    design = frame_with(film_thickness="0.2 mm").design.curtain
    tube, thick = design.tube.od_mm, 0.2
    steps, energy = 20_000, 0.0
    for k in range(steps):
        wound_up = found.hangs_mm * (k + 0.5) / steps
        film = found.film_kg * wound_up / found.hangs_mm
        radius = rolled_diameter_mm(tube, wound_up, thick) / 2
        force = (found.tube_kg + film) * GRAVITY
        energy += force * radius / 1000 * (found.hangs_mm / steps / radius)
    raised = (found.tube_kg * found.hangs_mm + found.film_kg * found.hangs_mm / 2) * GRAVITY / 1000
    assert energy == pytest.approx(raised, rel=1e-6)
    mean = energy / (math.tau * found.turns)
    assert mean < found.torque_nm < 1.35 * mean


def test_a_side_of_28_m_as_the_trade_has_it() -> None:
    """1.3 m of curtain on 1.375 in 14 ga: tube 48 kg, eleven turns, about 10 Nm.

    Worked out by hand: 34.925 mm outside and 2.108 mm wall are 1.706 kg/m.
    """
    design = BASE | {
        "bays": {"length": "28.6 m", "largest_spacing": "1.5 m"},
        "curtain": {"tube": "1.375 in x 14 ga BWG", "film_thickness": "0.15 mm"},
    }
    found = curtains_of(lay_out(design_from_mapping(design)))
    assert found is not None
    assert found.tube_kg == pytest.approx(1.706 * found.tube_mm / 1000, rel=1e-3)
    assert 46 < found.tube_kg < 51 and 9 < found.turns < 12 and 9 < found.torque_nm < 11


def test_a_gear_divides_and_a_longer_crank_eases() -> None:
    plain = figures(winder="crank", crank_radius="200 mm")
    geared = figures(winder="gear", gear_ratio=5.0, crank_radius="200 mm")
    longer = figures(winder="crank", crank_radius="400 mm")
    assert geared.crank_torque_nm == pytest.approx(plain.torque_nm / 5)
    assert geared.crank_turns == pytest.approx(5 * plain.turns)
    assert longer.crank_force_n == pytest.approx(plain.crank_force_n / 2)


def test_cords_from_their_eyes() -> None:
    for every in (1, 2, 3):
        frame = frame_with(cord_every=every)
        found = curtains_of(frame)
        assert found is not None
        vent, hoops = frame.vents[0], frame.grid.hoop_y_mm
        inside = [y for y in hoops if vent.start_y_mm <= y <= vent.end_y_mm]
        assert [y for y, _ in found.cord] == inside[::every]
        assert all(a[1] is not b[1] for a, b in itertools.pairwise(found.cord))
        section = found.section
        rope = 0.0
        for (a, hip_a), (b, _) in itertools.pairwise(found.cord):
            here, there = section.sill_top, section.hip_edge
            if hip_a:
                here, there = there, here
            rope += math.dist((here[0], a, here[1]), (there[0], b, there[1]))
        assert found.cord_mm == pytest.approx(rope + 1000)


def test_the_shut_curtain_is_a_taut_string() -> None:
    """It goes outside of all that it passes and bends toward the frame only, as a hull does."""
    design = BASE | {
        "profile": {"style": "quonset", "width": "8 m", "leg_height": "0.5 m"},
        "side_opening": {"height": "2200 mm", "hip": "rail", "tube": "EN 10255 DN25 medium"},
        "curtain": {},
    }
    frame = lay_out(design_from_mapping(design))
    found = curtains_of(frame)
    assert found is not None
    taut = np.array(found.section.taut)
    assert len(taut) > 4  # it lies on the bulge of the hoop
    curve = frame.arch.half_offset(-frame.arch.tube_od_mm / 2)
    for along in np.linspace(0, curve.path.length_mm, 400):
        x, z, _ = curve.point_at(float(along))
        if taut[-1, 1] < z < taut[0, 1]:
            outside = np.interp(z, taut[::-1, 1], taut[::-1, 0])
            # Chords of 20 mm on the arc.
            assert outside <= x + 0.05
    assert found.section.drop_mm >= math.dist(taut[0], taut[-1])


def test_a_separate_curtain_takes_the_place_of_film_below_the_hips() -> None:
    one, two = frame_with(hangs="one sheet"), frame_with(hangs="separate")
    less = cover_lines(one).film_width_mm - cover_lines(two).film_width_mm
    sill = two.design.sill_board
    # The leg is plumb up to 1.2 m, and the channel a quarter of 150 mm over a hip at 1.4 m.
    height = 1400 + 150 / 4 - sill.bottom - sill.timber.depth_mm
    assert less / 2 == pytest.approx(height, rel=0.02)
    assert cover_lines(one).girth_mm == cover_lines(two).girth_mm


@pytest.mark.parametrize("lacking", ["side_opening", "sill_board"])
def test_what_a_curtain_needs(lacking: str) -> None:
    design = {name: table for name, table in BASE.items() if name != lacking}
    with pytest.raises(DesignError) as told:
        lay_out(design_from_mapping(design | {"curtain": {}}))
    assert told.value.where == "curtain" and lacking in told.value.message


def test_none_without_a_table() -> None:
    assert curtains_of(lay_out(design_from_mapping(BASE))) is None
