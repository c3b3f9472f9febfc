"""Conditions and goals."""

from __future__ import annotations

import pytest

from frame3d.studies.plan.wishes import condition_of, goal_of


@pytest.mark.parametrize(
    ("text", "holds", "fails"),
    [
        ("errors = 0", 0, 1),
        ("errors == 0", 0, 1),
        ("headroom_mm >= 2 m", 2000.0, 1999.9),
        ("headroom_mm>2 m", 2000.1, 2000.0),
        ("mass_kg <= 1000 lb", 453.0, 454.0),
        ("mass_kg < 500", 499.9, 500),
        ("machines_fit", True, False),
        ("machines_fit = no", False, True),
        ("rule:bed-headroom = 0", 0, 2),
    ],
)
def test_conditions(text: str, holds: float, fails: float) -> None:
    condition = condition_of(text)
    assert condition.holds(holds)
    assert not condition.holds(fails)
    assert not condition.holds(None)
    assert not condition.holds("text")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("errors", "give a limit too"),
        ("errors is 0", "it must be a figure, one of"),
        ("errors <= many", "must be a number, such as"),
        ("vent_share >= 1 m", "a number in share"),
        ("headroom_mm >= 2 metrs", "metrs"),
        ("machines_fit = maybe", "yes or no"),
    ],
)
def test_conditions_that_say_nothing(text: str, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        condition_of(text)


def test_goals() -> None:
    assert goal_of("cost down").up is False
    assert goal_of(" headroom_mm  UP ").up is True
    for text, told in (("cost", "up or down"), ("cost low", "up or down"),
                       ("machines_fit up", "make it a condition")):  # fmt: skip
        with pytest.raises(ValueError, match=told):
            goal_of(text)
