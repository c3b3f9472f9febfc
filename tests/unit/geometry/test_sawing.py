"""Steps of 1/1600 mm: dimensions as written are exact, the rest is rounded to the safe side."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frame3d.geometry.sawing import NOISE_MM, steps_down, steps_near, steps_to_mm, steps_up


@given(st.integers(0, 10**6))
def test_hundredths_of_a_millimetre_and_64ths_of_an_inch_are_whole(number: int) -> None:
    # 0.01 mm are 16 steps; 1/64 in = 25.4 / 64 mm = 0.396875 mm are 635.
    for length, steps in ((number / 100, 16 * number), (number * 25.4 / 64, 635 * number)):
        assert steps_up(length) == steps_down(length) == steps_near(length) == steps


@given(st.floats(0.01, 20_000))
def test_pieces_are_never_taken_too_short_nor_bars_too_long(length: float) -> None:
    assert Fraction(steps_up(length), 1600) >= Fraction(length) - Fraction(NOISE_MM)
    assert Fraction(steps_down(length), 1600) <= Fraction(length) + Fraction(NOISE_MM)
    assert 0 <= steps_up(length) - steps_down(length) <= 1


@pytest.mark.parametrize("steps", [0, 1, 635, 10**9 + 1])
def test_steps_come_back(steps: int) -> None:
    assert steps_near(steps_to_mm(steps)) == steps
