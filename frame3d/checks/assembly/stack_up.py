"""How likely the holes of bolted rails meet those of the hoops, for given tolerances.

A rail's holes are drilled at the nominal spacing; the hoops stand where their sockets
were driven. The first hole of a piece takes its bolt; from there on, the misfit of the
hole k bays farther is what the hoop there and the first hoop are off, less what the two
holes are off along the rail:

- sockets set out along a tape: two places, each with ``socket_spacing``;
- each from its neighbour: k spacings, each with ``socket_spacing``, which add up;
- two holes, each with ``drilling``, in either case.

A hole goes in by itself when the misfit is not more than the play of the bolt in both
holes together; with persuasion when the rest can be drawn in; else it does not go.
That a hoop drawn over stays there, or leans, is left out.

Glossary
--------
misfit : distance along the rail between the hole's middle and the hoop's hole.
play : how far bolt and holes let the two shift.
persuasion : drawing a hoop over by hand, or the rail with a wrench.

References
----------
Normal: the sum of independent normal errors is normal, with the sum of the variances
(any text on statistics). Uniform: the distribution of the sum of n uniform errors within
±a_i is sum over all signs of (product of signs) max(x + sum s_i a_i, 0)^n, over
n! 2^n product a_i (W. Feller, An Introduction to Probability Theory and Its
Applications, vol. 2, 1971, I.9, for equal widths; by the same convolution for others).
"""

from __future__ import annotations

import math
from collections import Counter
from fractions import Fraction

from msgspec import Struct

from frame3d.checks.findings.finding import COMMON_PRACTICE, Finding, Rule, Severity
from frame3d.design.tables.whole_design import SetOut, Spread, Tolerances
from frame3d.frame.describe.wording import gap_text, lengths_of
from frame3d.frame.model.members import Frame
from frame3d.frame.sides.rail_holes import bored_pieces, hole_play_mm
from frame3d.units import compared

_SIGMAS = 1.959963984540054
"""Standard deviations to either side that hold 19 out of 20 normal errors."""

LOST = Rule(
    name="rail-holes-off",
    severity=Severity.WARNING,
    meaning="More than tolerances.most_lost of the holes in bolted rails are expected not to "
    "line up, even with the pull-in allowance.",
    source=COMMON_PRACTICE,
)
RULES = (LOST,)


class Shares(Struct, frozen=True, kw_only=True):
    """Shares of holes that go in by themselves, with persuasion, and not at all."""

    free: float
    persuaded: float
    lost: float


class StackUp(Struct, frozen=True, kw_only=True):
    """What is to be expected of the holes of all bolted rails.

    Parameters
    ----------
    holes : int
        How many holes have one before them in their piece.
    play_mm : float
        Misfit that goes in by itself, to either side.
    worst_mm : float
        Largest misfit while every error stays within its tolerance.
    shares : Shares
        By the exact distribution.
    """

    holes: int
    play_mm: float
    worst_mm: float
    shares: Shares


def errors_mm(bays: int, tolerances: Tolerances) -> tuple[float, ...]:
    """The tolerances, to either side, that add up in the misfit ``bays`` from the first hole."""
    sockets = bays if tolerances.set_out is SetOut.NEIGHBOUR else 2
    return (tolerances.socket_spacing,) * sockets + (tolerances.drilling,) * 2


def share_within(limit_mm: float, errors: tuple[float, ...], spread: Spread) -> float:
    """Probability that independent errors add up to at most ``limit_mm``, to either side.

    Parameters
    ----------
    limit_mm : float
        Not negative.
    errors : tuple of float, mm
        Tolerances to either side: for a normal spread 19 out of 20 lie within.
    spread : Spread

    Examples
    --------
    Of one uniform error within 2 mm half lies within 1 mm; of two within 1 mm each,
    three quarters of the sum, which has the shape of a triangle:

    >>> share_within(1.0, (2.0,), Spread.UNIFORM)
    0.5
    >>> share_within(1.0, (1.0, 1.0), Spread.UNIFORM)
    0.75
    """
    wide = [error for error in errors if error > 0]
    if not wide:
        return 1.0
    if spread is Spread.NORMAL:
        deviation = math.sqrt(sum(error**2 for error in wide)) / _SIGMAS
        return math.erf(limit_mm / deviation / math.sqrt(2))
    if limit_mm >= sum(wide):
        return 1.0
    return float(2 * _uniform_sum(Fraction(limit_mm), wide) - 1)


def _uniform_sum(x: Fraction, widths: list[float]) -> Fraction:
    """Probability that the sum of uniform errors within ±widths is at most ``x``.

    In whole fractions: the terms are large and of either sign, and floats would lose
    all their digits from about a dozen errors on.
    """
    count = len(widths)
    terms: dict[Fraction, int] = {Fraction(0): 1}
    for width, times in Counter(widths).items():
        grown: dict[Fraction, int] = {}
        for reach, weight in terms.items():
            for minus in range(times + 1):
                at = reach + Fraction(width) * (times - 2 * minus)
                signed = weight * math.comb(times, minus) * (-1) ** minus
                grown[at] = grown.get(at, 0) + signed
        terms = grown
    total: Fraction = sum(
        (weight * (x + reach) ** count for reach, weight in terms.items() if x + reach > 0),
        Fraction(0),
    )
    scale = math.factorial(count) * 2**count
    product: Fraction = math.prod((Fraction(width) for width in widths), start=Fraction(1))
    share: Fraction = total / scale / product
    return share


def rail_stack_up(frame: Frame) -> StackUp | None:
    """What is to be expected of the bolted rails of ``frame``; None where there are none."""
    pieces = Counter(len(piece.hoops) for piece in bored_pieces(frame))
    if not pieces:
        return None
    tolerances: Tolerances = frame.design.tolerances
    play = hole_play_mm(frame)
    far = play + tolerances.persuasion
    bays = Counter(bay for holes, times in pieces.items() for bay in list(range(1, holes)) * times)
    holes = sum(bays.values())
    within = [
        sum(
            times * share_within(limit, errors_mm(bay, tolerances), tolerances.spread)
            for bay, times in bays.items()
        ) / holes
        for limit in (play, far)
    ]  # fmt: skip
    return StackUp(
        holes=holes,
        play_mm=play,
        worst_mm=max(sum(errors_mm(bay, tolerances)) for bay in bays),
        shares=Shares(free=within[0], persuaded=within[1] - within[0], lost=1 - within[1]),
    )


def find_holes_off(frame: Frame) -> list[Finding]:
    """A finding where more rail holes than the design allows are expected not to go in."""
    found = rail_stack_up(frame)
    if found is None or found.shares.lost <= frame.design.tolerances.most_lost:
        return []
    marks = {piece.mark for piece in bored_pieces(frame)}
    form = lengths_of(frame)
    most = frame.design.tolerances.most_lost
    said = compared(most, found.shares.lost, form=form, unit="share", is_most=True)
    return [
        Finding(
            rule=LOST,
            where="tolerances",
            members=tuple(m for m in frame.members if m.mark in marks),
            field="tolerances",
            message=(
                f"{said.provided} of {found.holes} holes are expected not to line up, and "
                f"{found.shares.persuaded:.0%} only with the pull-in allowance; the worst "
                f"misfit is {gap_text(form, found.worst_mm)}, the play "
                f"{gap_text(form, found.play_mm)}."
            ),
            advice="Measure all sockets from one end, drill larger holes or drill on site, or "
            "clamp the rails.",
            required=most,
            provided=found.shares.lost,
            unit="share",
            is_most=True,
        )
    ]
