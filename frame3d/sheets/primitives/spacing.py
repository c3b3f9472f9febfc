"""One-dimensional placement: things in a row, kept in order and apart.

Each wants to stand at its own place; none may come nearer to its neighbour than
their sizes and a gap allow. The sum of the squared shifts is least, which is the
isotonic regression of the places less what the sizes before them take up.

References
----------
M. J. Best, N. Chakravarti: Active set algorithms for isotonic regression; a unifying
framework. Mathematical Programming 47, 1990 (pool adjacent violators).

Scipy has it too, but to load its room of solvers takes longer than all that is placed.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

FIXED = 1e9
"""The weight of what must not move at all."""


def spread(
    places: Sequence[float],
    sizes: Sequence[float],
    gap: float,
    weights: Sequence[float] | None = None,
) -> list[float]:
    """The places nearest to ``places``, in the same order, at which nothing overlaps.

    Parameters
    ----------
    places : (n,) float, mm
        Wanted middles, not falling.
    sizes : (n,) float, mm
        Sizes along the row.
    gap : float, mm
        Least distance between neighbours' edges.
    weights : (n,) float or None
        How unwilling each is to move; :data:`FIXED` for not at all.

    Examples
    --------
    >>> spread([0.0, 1.0], [4.0, 4.0], 1.0)
    [-2.0, 3.0]
    """
    if not len(places):
        return []
    steps = ((size + before) / 2 + gap for before, size in itertools.pairwise(sizes))
    taken = list(itertools.accumulate(steps, initial=0.0))
    wanted = [float(place) - ahead for place, ahead in zip(places, taken, strict=True)]
    heavy = [1.0] * len(wanted) if weights is None else [float(weight) for weight in weights]
    return [place + ahead for place, ahead in zip(_rising(wanted, heavy), taken, strict=True)]


def _rising(wanted: Sequence[float], weights: Sequence[float]) -> list[float]:
    """The values nearest to ``wanted`` that never fall: those that would are pooled."""
    pools: list[tuple[float, float, int]] = []  # mean, weight, how many
    at, count = 0, len(wanted)
    while at < count:
        mean, weight, many = wanted[at], weights[at], 1
        at += 1
        if pools and pools[-1][0] >= mean:
            last, heavy, more = pools.pop()
            total = heavy * last + weight * mean
            weight, many = weight + heavy, many + more
            mean = total / weight
            while at < count and mean >= wanted[at]:
                total, weight = total + weights[at] * wanted[at], weight + weights[at]
                mean, many, at = total / weight, many + 1, at + 1
            while pools and pools[-1][0] >= mean:
                last, heavy, more = pools.pop()
                total, weight = total + heavy * last, weight + heavy
                mean, many = total / weight, many + more
        pools.append((mean, weight, many))
    return [mean for mean, _, many in pools for _ in range(many)]
