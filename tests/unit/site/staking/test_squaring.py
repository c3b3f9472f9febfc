"""Corners from measured distances: exact without errors, and as numpy has it with them."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.frame.model.surveyed import Distance
from frame3d.site.staking.squaring import fit_corners, fitted_onto, square_up

NAMES = ("1L", "1R", "25L", "25R")
PAIRS = tuple(itertools.combinations(range(4), 2))


def rectangle(width: float = 9144.0, length: float = 29260.8) -> np.ndarray:
    return np.array([[0.0, 0.0], [width, 0.0], [0.0, length], [width, length]])


def between(corners: np.ndarray, pairs=PAIRS, errors=None) -> list[Distance]:
    errors = np.zeros(len(pairs)) if errors is None else errors
    return [
        Distance(first=a, second=b, length_mm=math.dist(corners[a], corners[b]) + error)
        for (a, b), error in zip(pairs, errors, strict=True)
    ]


def gauss_newton(start: np.ndarray, distances: list[Distance]) -> np.ndarray:
    """The same fit by numpy alone: normal equations of all eight coordinates, least change."""
    corners = start.copy()
    for _ in range(30):
        rows, off = [], []
        for d in distances:
            step = corners[d.second] - corners[d.first]
            apart = np.hypot(*step)
            row = np.zeros((4, 2))
            row[d.second], row[d.first] = step / apart, -step / apart
            rows.append(row.ravel())
            off.append(d.length_mm - apart)
        corners += np.linalg.lstsq(np.array(rows), np.array(off), rcond=None)[0].reshape(4, 2)
    return corners


moves = st.lists(st.floats(-300, 300), min_size=8, max_size=8)


@settings(deadline=None, max_examples=40)
@given(moves=moves, lost=st.sampled_from([None, *PAIRS]))
def test_exact_distances_give_the_corners_back(moves: list[float], lost) -> None:
    """Five distances of six fix them as well."""
    corners = rectangle() + np.array(moves).reshape(4, 2)
    pairs = [pair for pair in PAIRS if pair != lost]
    found = square_up(rectangle(), NAMES, between(corners, pairs))
    assert np.abs(found.residuals_mm).max() < 1e-5
    apart = [math.dist(found.corners[a], found.corners[b]) for a, b in PAIRS]
    assert apart == pytest.approx([math.dist(corners[a], corners[b]) for a, b in PAIRS], abs=1e-4)


@settings(deadline=None, max_examples=25)
@given(seed=st.integers(0, 10**6))
def test_the_fit_is_that_of_numpy(seed: int) -> None:
    random = np.random.default_rng(seed)
    corners = rectangle() + random.normal(0, 40, (4, 2))
    pairs = [*PAIRS, *PAIRS[:2]]  # two of them taped twice
    distances = between(corners, pairs, random.normal(0, 8, len(pairs)))
    found = fit_corners(rectangle(), distances)
    other = gauss_newton(rectangle(), distances)
    for a, b in PAIRS:
        assert math.dist(found[a], found[b]) == pytest.approx(
            math.dist(other[a], other[b]), abs=1e-4
        )


def test_a_rectangle_measured_with_one_bad_diagonal_by_hand() -> None:
    """A square of 10 m, one diagonal 20 mm long: by symmetry the sides share 10/√2 mm of it.

    With the sides' equations v = sideways strain and the diagonals' w: each diagonal can be
    off from its two sides only through the one condition D1² + D2² = sum of the squares of the
    sides (parallelogram law, to first order), whose weights are 2 √2 s for each diagonal and
    -2 s for each side; the residuals are in proportion to them: 20 mm · 2√2 · (2√2, 2√2, -2,
    -2, -2, -2)/32.
    """
    square = rectangle(10000.0, 10000.0)
    distances = between(square)
    distances[2] = Distance(first=0, second=3, length_mm=distances[2].length_mm + 20)
    found = square_up(square, NAMES, distances)
    off = dict(zip(PAIRS, found.residuals_mm, strict=True))
    assert off[0, 3] == pytest.approx(20 * 8 / 32, abs=0.02)
    assert off[1, 2] == pytest.approx(20 * 8 / 32, abs=0.02)
    for side in ((0, 1), (0, 2), (1, 3), (2, 3)):
        assert off[side] == pytest.approx(-20 * 4 * math.sqrt(2) / 32, abs=0.02)


def test_too_few_distances_are_refused() -> None:
    with pytest.raises(ValueError, match="at least five"):
        fit_corners(rectangle(), between(rectangle(), PAIRS[:4]) * 2)


@settings(deadline=None, max_examples=40)
@given(moves=moves, turn=st.floats(-3, 3), x=st.floats(-1e5, 1e5), y=st.floats(-1e5, 1e5))
def test_the_least_move_is_the_least(moves: list[float], turn: float, x: float, y: float) -> None:
    """No small turn or shift of the fitted figure comes nearer; where it began does not count."""
    corners = rectangle() + np.array(moves).reshape(4, 2)
    cos, sin = math.cos(turn), math.sin(turn)
    moved = corners @ np.array([[cos, sin], [-sin, cos]]) + (x, y)
    target = rectangle()
    fitted = fitted_onto(moved, target)
    assert fitted == pytest.approx(fitted_onto(corners, target), abs=1e-4)
    least = ((fitted - target) ** 2).sum()
    for small in (1e-4, -1e-4):
        c, s = math.cos(small), math.sin(small)
        assert ((fitted @ np.array([[c, s], [-s, c]]) - target) ** 2).sum() >= least - 1e-3
        assert ((fitted + (small * 1e4, 0) - target) ** 2).sum() >= least - 1e-3
        assert ((fitted + (0, small * 1e4) - target) ** 2).sum() >= least - 1e-3


@settings(deadline=None, max_examples=40)
@given(moves=moves)
def test_every_way_told_squares_the_corners(moves: list[float]) -> None:
    """Applied to the corners, each set of moves leaves the rectangle of the design."""
    corners = rectangle() + np.array(moves).reshape(4, 2)
    found = square_up(rectangle(), NAMES, between(corners))
    meant = [math.dist(rectangle()[a], rectangle()[b]) for a, b in PAIRS]
    after = np.array(found.corners) + [(m.right_mm, m.along_mm) for m in found.moves]
    assert [math.dist(after[a], after[b]) for a, b in PAIRS] == pytest.approx(meant, abs=1e-3)
    for hold in found.holds:
        fixed, line = (NAMES.index(name) for name in hold.held)
        assert hold.moves[fixed].length_mm == pytest.approx(0, abs=1e-9)
        seen = np.array(found.corners)[line] - np.array(found.corners)[fixed]
        want = rectangle()[line] - rectangle()[fixed]
        turn = math.atan2(seen[1], seen[0]) - math.atan2(want[1], want[0])
        cos, sin = math.cos(turn), math.sin(turn)
        steps = np.array([(m.right_mm, m.along_mm) for m in hold.moves])
        after = np.array(found.corners) + steps @ np.array([[cos, sin], [-sin, cos]])
        assert [math.dist(after[a], after[b]) for a, b in PAIRS] == pytest.approx(meant, abs=1e-3)
    totals = [hold.total_mm for hold in found.holds]
    assert totals == sorted(totals)


def test_a_far_end_off_sideways_is_moved_back() -> None:
    """A skew of 30 mm: with the front end held, the back end goes 30 mm the other way."""
    corners = rectangle()
    corners[2:] += (30.0, 0.0)
    found = square_up(rectangle(), NAMES, between(corners))
    width, length = 9144.0, 29260.8
    assert found.difference_mm == pytest.approx(
        math.hypot(length, width + 30) - math.hypot(length, width - 30), abs=1e-4
    )
    front = next(hold for hold in found.holds if hold.held == ("1L", "1R"))
    assert [m.right_mm for m in front.moves] == pytest.approx([0, 0, -30, -30], abs=1e-3)
    assert [m.along_mm for m in front.moves] == pytest.approx([0, 0, 0, 0], abs=1e-3)
