"""One-dimensional placement: things in a row, kept in order and apart.

Each wants to stand at its own place; none may come nearer to its neighbour than
their sizes and a gap allow. The sum of the squared shifts is least, which is the
isotonic regression of the places less what the sizes before them take up.

References
----------
M. J. Best, N. Chakravarti: Active set algorithms for isotonic regression; a unifying
framework. Mathematical Programming 47, 1990 (pool adjacent violators).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.optimize import isotonic_regression

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
    size = np.asarray(sizes, dtype=float)
    steps = (size[1:] + size[:-1]) / 2 + gap
    taken = np.concatenate([[0.0], np.cumsum(steps)])
    wanted = np.asarray(places, dtype=float) - taken
    result = isotonic_regression(wanted, weights=weights).x + taken
    return [float(value) for value in result]
