"""The stack-up of rail holes against exact results of statistics and against Monte Carlo."""

from __future__ import annotations

import math
from collections import Counter

import numpy as np
import pytest
import scipy.stats
from bare_examples import bare

from frame3d.checks.assembly.stack_up import (
    Shares,
    errors_mm,
    find_holes_off,
    rail_stack_up,
    share_within,
)
from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.tables.whole_design import SetOut, Spread, Tolerances
from frame3d.design.values.starter_values import start_values
from frame3d.frame.lay_out import lay_out
from frame3d.frame.sides.rail_holes import bored_pieces
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

TRIALS = 4000
SIGMAS = 1.959963984540054
"""Standard deviations to either side that hold 19 out of 20 normal errors (tables)."""


def tolerances(**changes) -> Tolerances:
    values = {
        "socket_spacing": "6 mm", "set_out": "tape", "drilling": "1.5 mm", "spread": "normal",
        "persuasion": "12 mm", "most_lost": 0.02, "gap": "3 mm", "across": "6 mm",
        "top_height": "6 mm", "diagonals": "12 mm", "spring": "25 mm",
        "general": "c", "swage": "0.3 mm",
    }  # fmt: skip
    return Tolerances(**{**values, **changes})


def simulated(
    pieces: Counter[int], tolerances: Tolerances, play_mm: float, trials: int, seed: int = 1
) -> Shares:
    """Shares by Monte Carlo: sockets are set out, holes drilled, rails put on, ``trials`` times.

    Parameters
    ----------
    pieces : Counter of int
        How many pieces have how many holes, two or more.
    play_mm : float
    trials, seed : int
    """
    random = np.random.default_rng(seed)
    free = near = total = 0

    def drawn(tolerance_mm: float, count: int) -> np.ndarray:
        if tolerances.spread is Spread.UNIFORM:
            return random.uniform(-1.0, 1.0, (trials, count)) * tolerance_mm
        return random.normal(0.0, 1.0, (trials, count)) * tolerance_mm / SIGMAS

    for holes, times in sorted(pieces.items()):
        if tolerances.set_out is SetOut.TAPE:
            hoops = drawn(tolerances.socket_spacing, holes)
        else:
            hoops = np.cumsum(drawn(tolerances.socket_spacing, holes), axis=1)
        drilled = drawn(tolerances.drilling, holes)
        misfit = np.abs((hoops - hoops[:, :1]) - (drilled - drilled[:, :1]))[:, 1:]
        free += times * int((misfit <= play_mm).sum())
        near += times * int((misfit <= play_mm + tolerances.persuasion).sum())
        total += times * misfit.size
    return Shares(free=free / total, persuaded=(near - free) / total, lost=1 - near / total)


@pytest.mark.parametrize(("limit", "share"), [(1.0, 0.682689492137), (1.96, 0.950004209704)])
def test_normal_errors_are_within_one_sigma_as_in_any_table(limit: float, share: float) -> None:
    """68.27 % within one standard deviation, 95.00 % within 1.96 (tables of the normal law)."""
    sigma = 1.959963984540054
    assert share_within(limit, (sigma,), Spread.NORMAL) == pytest.approx(share, abs=1e-9)
    # Two errors of 3 and 4 stand for one of 5.
    assert share_within(limit * 5, (3 * sigma, 4 * sigma), Spread.NORMAL) == pytest.approx(
        share, abs=1e-9
    )


def test_19_of_20_normal_errors_lie_within_the_tolerance() -> None:
    assert share_within(6.0, (6.0,), Spread.NORMAL) == pytest.approx(0.95, abs=1e-12)


@pytest.mark.parametrize("limit", [0.3, 1.0, 2.5])
@pytest.mark.parametrize("errors", [1, 2, 3, 5, 12, 40])
def test_equal_uniform_errors_follow_irwin_and_hall(limit: float, errors: int) -> None:
    """scipy.stats.irwinhall: the sum of n uniform numbers from 0 to 1."""
    law = scipy.stats.irwinhall(errors)
    low, high = (errors / 2 + sign * limit / 2 for sign in (-1, 1))
    expected = law.cdf(high) - law.cdf(low)
    assert share_within(limit, (1.0,) * errors, Spread.UNIFORM) == pytest.approx(expected, abs=1e-9)


def test_two_unequal_uniform_errors_make_a_trapezium() -> None:
    """Widths ±3 and ±1: flat at 1/6 up to 2, falling to 0 at 4; areas by hand."""
    assert share_within(2.0, (3.0, 1.0), Spread.UNIFORM) == pytest.approx(4 / 6, abs=1e-12)
    assert share_within(3.0, (3.0, 1.0), Spread.UNIFORM) == pytest.approx(
        1 - 2 * (1 / 12 * 1 / 2), abs=1e-12
    )
    assert share_within(4.0, (3.0, 1.0), Spread.UNIFORM) == 1.0


def test_no_error_always_goes() -> None:
    assert share_within(0.0, (0.0, 0.0), Spread.UNIFORM) == 1.0
    assert share_within(0.0, (), Spread.NORMAL) == 1.0


def test_spacings_add_up_from_neighbour_to_neighbour_only() -> None:
    assert errors_mm(5, tolerances()) == (6.0, 6.0, 1.5, 1.5)
    assert errors_mm(5, tolerances(set_out="neighbour")) == (6.0,) * 5 + (1.5, 1.5)


@pytest.mark.parametrize("spread", [s.value for s in Spread])
@pytest.mark.parametrize("set_out", [s.value for s in SetOut])
def test_monte_carlo_agrees_with_the_formula(spread: str, set_out: str) -> None:
    """One hole a piece, so that draws are independent: four standard errors of 200 000."""
    given, trials = tolerances(spread=spread, set_out=set_out), 200_000
    for bays in (1, 3):
        found = simulated(Counter({bays + 1: 1}), given, 3.0, trials)
        shares = [share_within(limit, errors_mm(b, given), given.spread)
                  for limit in (3.0, 15.0) for b in range(1, bays + 1)]  # fmt: skip
        free, near = sum(shares[:bays]) / bays, sum(shares[bays:]) / bays
        assert abs(found.free - free) <= 4 * math.sqrt(free * (1 - free) / trials)
        assert (
            abs(found.free + found.persuaded - near)
            <= 4 * math.sqrt(near * (1 - near) / trials) + 1e-12
        )
        assert found.free + found.persuaded + found.lost == pytest.approx(1.0, abs=1e-12)


def test_the_example_by_hand() -> None:
    """3/8 in bolts in 13/32 in holes of rail and hoop have 1/32 in to either side together.

    Errors of 1/4 in twice and 1/16 in twice, 19 of 20 within: the exact normal share.
    """
    frame = bare("long_meadow_gothic")
    found = rail_stack_up(frame)
    assert found.play_mm == pytest.approx(25.4 / 32, abs=1e-6)
    sigma = math.sqrt(2 * 6.35**2 + 2 * 1.5875**2) / 1.959963984540054
    assert found.shares.free == pytest.approx(math.erf(25.4 / 32 / sigma / math.sqrt(2)), abs=1e-9)
    lost = 1 - math.erf((25.4 / 32 + 12.7) / sigma / math.sqrt(2))
    assert found.shares.lost == pytest.approx(lost, abs=1e-9)
    assert found.worst_mm == pytest.approx(2 * 6.35 + 2 * 1.5875, abs=1e-9)
    # Four standard errors; the holes of one trial hang together, so that it counts as one draw.
    pieces = Counter(len(piece.hoops) for piece in bored_pieces(frame))
    drawn = simulated(pieces, frame.design.tolerances, found.play_mm, TRIALS)
    for share, simply in ((found.shares.free, drawn.free), (found.shares.lost, drawn.lost)):
        assert abs(share - simply) <= 4 * math.sqrt(share * (1 - share) / TRIALS) + 1 / TRIALS
    # 25 hoops, five lines; in each piece one hole takes the first bolt.
    pieces = sum(1 for m in frame.members if m.role.value == "rail")
    assert found.holes == 5 * 25 - pieces
    assert find_holes_off(frame) == []


def test_clamped_rails_have_no_holes_to_miss() -> None:
    assert rail_stack_up(bare("long_meadow_quonset")) is None


def test_a_sum_of_spacings_is_told() -> None:
    values = start_values(ArchStyle.GOTHIC, UnitSystem.METRIC)
    several = ("rail", "brace", "end_wall", "door")
    mapping = {k: v if k in several else v[0] for k, v in values.items()}
    mapping["tolerances"] = {"set_out": "neighbour", "socket_spacing": "15 mm"}
    (finding,) = find_holes_off(lay_out(design_from_mapping(mapping)))
    assert finding.rule.name == "rail-holes-off"
    assert finding.margin < 0
    assert "only with the pull-in allowance" in finding.message
