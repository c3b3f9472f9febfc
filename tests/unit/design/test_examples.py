"""The designs that come with the package."""

from __future__ import annotations

import pytest
from solved_designs import arch_of

from frame3d.design.reading.reader import read_design
from frame3d.examples import example_paths
from frame3d.geometry.arch.arch import ArchForm, ArchStyle
from frame3d.units import UnitSystem

PATHS = example_paths()
GOTHIC, QUONSET = "long_meadow_gothic", "long_meadow_quonset"


def test_there_are_two():
    assert list(PATHS) == [GOTHIC, QUONSET]
    assert all(path.is_file() for path in PATHS.values())


@pytest.mark.parametrize("name", PATHS)
def test_an_example_is_sound(name):
    design = read_design(PATHS[name])
    arch = arch_of(design)
    assert arch.leg_height_mm > design.socket.exposed
    sleeves = [design.socket.tube, design.hoop.ridge_tube, design.hoop.splice_tube]
    for tube in filter(None, sleeves):
        # Play of 0.5 mm to 3 mm: common practice, no source.
        assert 0.5 <= tube.inside_mm - design.hoop.tube.od_mm <= 3.0


@pytest.mark.parametrize("name", PATHS)
def test_the_holes_of_the_sockets_are_inside_the_board(name):
    design = read_design(PATHS[name])
    socket, board = design.socket, design.sill_board
    for below_top in (socket.upper_hole, socket.lower_hole):
        above_edge = socket.exposed - below_top - board.bottom
        assert 25 < above_edge < board.timber.depth_mm - 25


def test_the_gothic_one_is_what_its_comments_say():
    design = read_design(PATHS[GOTHIC])
    arch = arch_of(design)
    assert design.profile.style is ArchStyle.GOTHIC
    assert design.output.units is UnitSystem.IMPERIAL
    assert arch.form is ArchForm.FOUR_CENTRED
    assert design.bays.count * design.bays.spacing == pytest.approx(96 * 304.8)
    half = arch.ridge_fillet(design.hoop.ridge_bend_radius).distance_mm
    assert half == pytest.approx((23 * 12 + 2) * 25.4, abs=12)
    assert half + design.hoop.overlap < 24 * 304.8
    # Board from 3/4 in to 10 in.
    assert design.sill_board.bottom + design.sill_board.timber.depth_mm == pytest.approx(254)


def test_the_quonset_one_is_what_its_comments_say():
    design = read_design(PATHS[QUONSET])
    arch = arch_of(design)
    assert arch.form is ArchForm.THREE_CENTRED
    assert design.output.units is UnitSystem.METRIC
    # Centres in line: (R - r)² = (3.2 - r)² + (R - 2.4)² has R = 4 m for r = 2 m.
    assert arch.top_radius_mm == pytest.approx(4000)
    assert 2 * arch.half.length_mm == pytest.approx(10900, abs=50)
    assert design.bays.length / design.bays.largest_spacing == pytest.approx(16)
