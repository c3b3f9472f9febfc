"""The lifting equation against DHHS (NIOSH) 94-110, 1994: T. R. Waters, V. Putz-Anderson and
A. Garg, Applications Manual for the Revised NIOSH Lifting Equation.

The manual's tables of multipliers print two decimals; what has more is derived from its formulas.
"""

from __future__ import annotations

import pytest

from frame3d.takeoff.quantities.handling import LEAST_TO_RAISE
from frame3d.takeoff.quantities.lifting import (
    CARRY,
    LOAD_CONSTANT_KG,
    RAISE,
    Lift,
    angle_factor,
    distance_factor,
    hands_for,
    horizontal_factor,
    vertical_factor,
)
from frame3d.units import LengthFormat, UnitSystem


@pytest.mark.parametrize(
    ("factor", "at", "printed"),
    [(vertical_factor, 0, 0.78), (distance_factor, 40, 0.93), (angle_factor, 45, 0.86)],
)
def test_multipliers_as_the_tables_of_the_manual_print_them(factor, at, printed) -> None:
    """To two decimals; 0.005 is the half of the last, and VM(0) lies just on it."""
    assert factor(at) == pytest.approx(printed, abs=0.005 + 1e-12)


@pytest.mark.parametrize(
    ("factor", "at", "value"),
    [
        # Derived by hand from the formulas: 1 - 0.003 x 75, 0.82 + 4.5 / 40, 1 - 0.0032 x 45.
        (vertical_factor, 0, 0.775),
        (distance_factor, 40, 0.9325),
        (angle_factor, 45, 0.856),
        # What the definitions fix: the ideal lift, and the ends of the range.
        (horizontal_factor, 25, 1.0),
        (horizontal_factor, 10, 1.0),
        (horizontal_factor, 50, 0.5),
        (horizontal_factor, 63.1, 0.0),
        (vertical_factor, 75, 1.0),
        (vertical_factor, 175.1, 0.0),
        (vertical_factor, -1, 0.0),
        (distance_factor, 25, 1.0),
        (distance_factor, 5, 1.0),
        (distance_factor, 175.1, 0.0),
        (angle_factor, 0, 1.0),
        (angle_factor, 135.1, 0.0),
    ],
)
def test_multipliers(factor, at: float, value: float) -> None:
    assert factor(at) == pytest.approx(value, abs=1e-12)


def test_recommended_weight_limit() -> None:
    """Derived by hand: H 45, V 25, D 40, A 0, FM = CM = 1 give 23 x 25/45 x 0.85 x 0.9325."""
    lift = Lift(name="", reach_cm=45, height_cm=25, travel_cm=40)
    assert lift.limit_kg == pytest.approx(23 * 25 / 45 * 0.85 * 0.9325, rel=1e-12)
    assert Lift(name="", reach_cm=25, height_cm=75, travel_cm=25).limit_kg == LOAD_CONSTANT_KG == 23


def test_limits_that_the_take_off_uses() -> None:
    """By hand: 23 x 25/30 x 0.85 x (0.82 + 4.5/50) and 23 x 25/45 x 0.85 x (0.82 + 4.5/150);
    a pound is 0.45359237 kg by definition.
    """
    assert CARRY.limit_kg == pytest.approx(14.8254, abs=1e-4)
    assert RAISE.limit_kg == pytest.approx(9.2319, abs=1e-4)
    texts = {system: RAISE.text(LengthFormat(system=system)) for system in UnitSystem}
    assert texts[UnitSystem.METRIC].endswith(": 9.2 kg per person")
    assert texts[UnitSystem.IMPERIAL].endswith(": 20.4 lb per person")
    assert "hands 45 cm ahead" in texts[UnitSystem.METRIC]
    assert "hands 18 in ahead" in texts[UnitSystem.IMPERIAL]  # 45 / 2.54 = 17.7


def test_hands() -> None:
    assert hands_for(1.0, RAISE, LEAST_TO_RAISE) == 3
    assert hands_for(4 * RAISE.limit_kg, RAISE, LEAST_TO_RAISE) == 4
    assert hands_for(4.01 * RAISE.limit_kg, RAISE, LEAST_TO_RAISE) == 5
    assert hands_for(2 * CARRY.limit_kg, CARRY, 1) == 2
