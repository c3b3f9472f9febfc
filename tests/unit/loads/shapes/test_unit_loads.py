from __future__ import annotations

import functools
import math

import numpy as np
import pytest
from bar_structures import all_forces
from load_frames import short_example, small_frame

from frame3d.design.tables.loads import LoadShape
from frame3d.loads.model.assumed import Assumed
from frame3d.loads.model.space_frame import SpaceFrame, space_frame
from frame3d.loads.shapes.covered import covered_bars
from frame3d.loads.shapes.unit_loads import SOURCES, UNITS, UnitLoad, unit_loads
from frame3d.loads.solver.structure import Array


@functools.cache
def tunnel(name: str = "long_meadow_gothic") -> SpaceFrame:
    return space_frame(short_example(name))


@functools.cache
def units(name: str = "long_meadow_gothic") -> tuple[UnitLoad, ...]:
    space = tunnel(name)
    return unit_loads(space, space.frame.design.loads)


def total(unit: UnitLoad, space: SpaceFrame) -> Array:
    return all_forces(unit.load, space.structure(Assumed()))


def one(shape: LoadShape, number: int = 0) -> UnitLoad:
    return [unit for unit in units() if unit.shape is shape][number]


def test_there_are_eight_of_a_frame_with_ties_and_each_has_a_source() -> None:
    assert len(units()) == 8
    assert set(SOURCES) == set(UNITS) == set(LoadShape)
    assert len(units("long_meadow_quonset")) == 7  # it has no ties for a crop


def test_even_snow_is_its_coefficient_on_plan() -> None:
    # EN 1991-1-3, 5.3.5: 0.8 where the arch is not steeper than 60°.
    space = tunnel()
    steep = covered_bars(space).steep_x_mm
    wanted = 0.8e-3 * 2 * steep * space.frame.grid.length_mm
    found = total(one(LoadShape.SNOW_EVEN), space)
    assert -found[2] == pytest.approx(wanted, rel=0.02)
    assert np.abs(found[:2]).max() == 0
    half = total(one(LoadShape.SNOW_HALF), space)
    assert half[2] == pytest.approx(found[2] / 2, rel=1e-6)


def test_drifted_snow_is_two_triangles() -> None:
    # Areas: half the peak times half of the loaded width, the left with half of the peak.
    space = tunnel()
    arch = space.frame.arch
    peak = min(2.0, 0.2 + 10 * (arch.ridge_height_mm - arch.leg_height_mm) / arch.width_mm)
    steep = covered_bars(space).steep_x_mm
    wanted = 1e-3 * (peak + peak / 2) / 2 * steep * space.frame.grid.length_mm
    assert -total(one(LoadShape.SNOW_DRIFT), space)[2] == pytest.approx(wanted, rel=0.03)


def test_the_pressure_inside_lifts_by_its_share_of_the_plan() -> None:
    space = tunnel()
    plan = space.frame.arch.width_mm * space.frame.grid.length_mm
    for shape in (LoadShape.WIND_ACROSS, LoadShape.WIND_ALONG):
        outward, inward = (total(one(shape, k), space) for k in (0, 1))
        # From -0.3 to +0.2 of 1 kN/m² on all that is seen from above.
        assert outward[2] - inward[2] == pytest.approx(0.5e-3 * plan, rel=2e-3)
        assert outward[2] > 0
        assert outward[0] == pytest.approx(inward[0], abs=1.0)  # both sides alike


def test_wind_pushes_the_way_it_blows() -> None:
    space = tunnel()
    across, along = (total(one(s), space) for s in (LoadShape.WIND_ACROSS, LoadShape.WIND_ALONG))
    assert across[0] > 0
    assert abs(across[1]) < 1e-6
    arch = space.frame.arch
    heights = np.linspace(0, arch.ridge_height_mm, 400)
    end = float(np.trapezoid([2 * arch.half_width_at(float(z)) for z in heights], heights))
    # Half of each end wall's pressure goes into the ground; 0.7 and 0.3 outside it and behind, the
    # pressure inside cancels (EN 1991-1-4, table 7.1, a depth of less than four heights more).
    net = along[1] / (end / 2 * 1e-3)
    assert 0.95 < net < 1.3


def test_open_sides_change_the_wind() -> None:
    closed, opened = (
        small_frame(loads={"open_sides": value, "shapes": ["wind across"]})
        for value in ("closed", "open")
    )
    found = []
    for frame in (closed, opened):
        space = space_frame(frame)
        found.append([total(u, space) for u in unit_loads(space, frame.design.loads)])
    assert not np.allclose(found[0], found[1])
    assert found[1][0][2] > found[0][0][2]  # the air that comes in lifts more


def test_a_crop_is_the_floor() -> None:
    space = tunnel()
    floor = space.frame.arch.width_mm * space.frame.grid.length_mm
    crop = one(LoadShape.CROP)
    assert -total(crop, space)[2] == pytest.approx(1e-3 * floor, rel=1e-9)
    bars = np.flatnonzero(crop.load.along_bars[:, 2])
    assert {space.member(int(bar)).role.value for bar in bars} == {"tie"}  # type: ignore[union-attr]


def test_only_the_shapes_that_are_asked_for() -> None:
    frame = small_frame(loads={"shapes": ["even snow", "crop"]})
    found = unit_loads(space_frame(frame), frame.design.loads)
    assert [unit.shape for unit in found] == [LoadShape.SNOW_EVEN]
    assert math.isfinite(total(found[0], space_frame(frame))[2])
