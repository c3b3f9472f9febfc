"""One-dimensional placement against a general minimizer and by its own conditions."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import isotonic_regression, minimize

from frame3d.sheets.primitives.spacing import spread

ROWS = st.lists(st.tuples(st.floats(-100, 100), st.floats(0.5, 20)), min_size=1, max_size=12).map(
    sorted
)


def test_two_that_collide_share_the_way():
    # Both want to be 1 apart and need 5: each gives way by 2 (closed form).
    assert spread([0.0, 1.0], [4.0, 4.0], 1.0) == pytest.approx([-2.0, 3.0])


def test_what_has_room_stays():
    assert spread([0.0, 50.0, 100.0], [4.0, 4.0, 4.0], 1.0) == [0.0, 50.0, 100.0]


def test_nothing_needs_no_place():
    assert spread([], [], 1.0) == []


@given(ROWS)
@settings(max_examples=60, deadline=None, derandomize=True)
def test_order_and_gaps_hold(row):
    places, sizes = zip(*row, strict=True)
    result = spread(places, sizes, 1.0)
    for (a, size_a), (b, size_b) in itertools.pairwise(zip(result, sizes, strict=True)):
        assert b - a >= (size_a + size_b) / 2 + 1.0 - 1e-9


@given(ROWS.filter(lambda row: 2 <= len(row) <= 6))
@settings(max_examples=20, deadline=None, derandomize=True)
def test_shifts_are_least(row):
    """SLSQP, a minimizer that knows nothing of isotonic regression, finds nothing better."""
    places, sizes = map(np.array, zip(*row, strict=True))
    steps = (sizes[1:] + sizes[:-1]) / 2 + 1.0
    found = minimize(
        lambda x: np.sum((x - places) ** 2),
        np.cumsum(np.concatenate([[places[0]], steps])),
        method="SLSQP",
        constraints=[{"type": "ineq", "fun": lambda x: np.diff(x) - steps}],
    )
    ours = np.sum((np.array(spread(places, sizes, 1.0)) - places) ** 2)
    assert ours <= found.fun + 1e-4 * (1 + found.fun)


@given(st.lists(st.tuples(st.floats(-100, 100), st.sampled_from([1.0, 0.3, 1e9])), max_size=30))
@settings(max_examples=200, deadline=None, derandomize=True)
def test_as_scipy_to_the_last_digit(row):
    """Sizes and a gap of 0 leave the regression alone."""
    places, weights = [place for place, _ in row], [weight for _, weight in row]
    expected = isotonic_regression(places, weights=weights).x.tolist() if row else []
    assert spread(places, [0.0] * len(row), 0.0, weights) == expected
