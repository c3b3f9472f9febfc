"""Placements and vectors, held against numpy."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from frame3d.geometry.placement import Placement, add, cross, dot, unit

FIGURES = st.floats(-1e3, 1e3).map(lambda value: round(value, 3))
VECTORS = st.tuples(FIGURES, FIGURES, FIGURES)


@given(VECTORS, VECTORS)
def test_products_are_those_of_numpy(a, b) -> None:
    assert cross(a, b) == pytest.approx(np.cross(a, b), abs=1e-6)
    assert dot(a, b) == pytest.approx(np.dot(a, b), abs=1e-6)
    assert add(a, b, 2.5) == pytest.approx(np.add(a, np.multiply(2.5, b)), abs=1e-9)


@given(VECTORS, VECTORS, VECTORS, VECTORS)
def test_a_placement_turns_and_shifts_and_never_mirrors(origin, x, y, local) -> None:
    if np.linalg.norm(np.cross(x, y)) < 1e-3 * (1 + np.linalg.norm(x) * np.linalg.norm(y)):
        return  # parallel: no direction to turn to
    placed = Placement.of(origin=origin, x=x, y=y)
    turn = placed.matrix()[:3, :3]
    assert turn.T @ turn == pytest.approx(np.eye(3), abs=1e-9)
    assert np.linalg.det(turn) == pytest.approx(1.0)
    assert turn[:, 0] == pytest.approx(unit(x))
    assert np.dot(turn[:, 1], y) > 0
    moved = placed.matrix() @ (*local, 1.0)
    assert placed.point(local) == pytest.approx(moved[:3], abs=1e-6)
    assert placed.direction(local) == pytest.approx(turn @ local, abs=1e-6)


@given(VECTORS, VECTORS)
def test_placed_within_a_placement_is_the_product_of_both(first, second) -> None:
    outer = Placement.of(origin=first, x=(0.0, 3.0, 4.0), y=(1.0, 0.0, 0.0))
    inner = Placement.of(origin=second, x=(5.0, 12.0, 0.0), y=(0.0, 0.0, 1.0))
    both = outer.matrix() @ inner.matrix()
    assert outer.then(inner).matrix() == pytest.approx(both, abs=1e-6)
