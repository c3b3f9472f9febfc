"""Where water runs: planes by closed form, a hollow, ground that was not measured."""

from __future__ import annotations

import pytest
from site_frames import driven_on, small_frame

from frame3d.frame.model.surveyed import Level
from frame3d.site.driving.driving_plan import plan_driving
from frame3d.site.earthwork.water import hollow_of, water_of
from frame3d.site.ground.surface import ground_through
from frame3d.site.staking.setting_out import set_out
from frame3d.units import UnitSystem


def test_a_plane_falls_by_its_slopes() -> None:
    """2 % down along and 3 % down to the right, so the back right corner is the lowest; water
    comes over the left side and the front end, and leaves the others."""
    plan = driven_on(small_frame(), lambda x, y: -0.03 * x - 0.02 * y)
    water = water_of(plan, UnitSystem.METRIC)
    left, right, front, back = water.sides
    assert (left.toward, right.toward, front.toward) == ("last hoop", "last hoop", "right")
    assert [s.fall_percent for s in water.sides] == pytest.approx([2, 2, 3, 3], abs=1e-6)
    assert [s.away_percent for s in water.sides] == pytest.approx([-3, 3, -2, 2], abs=1e-6)
    assert [s.hollow_mm for s in water.sides] == [0, 0, 0, 0]
    assert water.low_corner == "7R"
    assert back.reach_mm == 1500.0  # measured 2 m out


def test_level_ground_falls_nowhere() -> None:
    water = water_of(driven_on(small_frame(), lambda x, y: 0.0), UnitSystem.METRIC)
    assert {side.fall_percent for side in water.sides} == {0.0}


def test_a_hollow_is_as_deep_as_the_water_that_stands_in_it() -> None:
    # Down 80, up 50, down 200: 50 stands before it runs over to the right.
    line = ((0.0, 100.0), (1000.0, 20.0), (2000.0, 70.0), (3000.0, -130.0))
    assert hollow_of(line) == (50.0, 1000.0)
    assert hollow_of(((0.0, 5.0), (10.0, 3.0), (20.0, 1.0))) == (0.0, 0.0)
    # Two of them: the deeper one, to the lower of its rims.
    line = ((0.0, 0.0), (1.0, -30.0), (2.0, 10.0), (3.0, -60.0), (4.0, -20.0))
    assert hollow_of(line) == (40.0, 3.0)


def test_ground_outside_is_not_known_where_no_level_was_taken() -> None:
    frame = small_frame()
    corners = [(0, 0), (5000, 0), (0, 9000), (5000, 9000)]
    ground = ground_through(
        [Level(row=i, name="", x_mm=x, y_mm=y, z_mm=-0.02 * y) for i, (x, y) in enumerate(corners)]
    )
    water = water_of(plan_driving(frame, set_out(frame), ground), UnitSystem.METRIC)
    assert [side.away_percent for side in water.sides] == [None] * 4
