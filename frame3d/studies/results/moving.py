"""How sensitive: which field moves which figure most.

Of a field and a figure the share of the figure's variance that lies between the choices of the
field: nothing where the field does not matter, 1 where nothing else does. Over all combinations it
is the main effect of the field.

References
----------
The ratio of the sum of squares between groups to the whole (the correlation ratio, squared):
K. Pearson, On the general theory of skew correlation and non-linear regression, 1905; any text on
the analysis of variance (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from frame3d.studies.results.result import Compared, StudyResult

_MOST_GROUPS, _LEAST_IN_GROUP = 8, 5


class Moved(Struct, frozen=True, kw_only=True):
    """How a field moves a figure.

    Parameters
    ----------
    fields, figure : str
        Fields that vary together are one, with commas.
    share : float
        Of the variance of the figure, 0 to 1.
    low, high : float
        The least and the greatest mean of the figure over the choices of the field.
    """

    fields: str
    figure: str
    share: float
    low: float
    high: float


def moved_by(result: StudyResult) -> list[Moved]:
    """Of each figure, what moves it, most first; over the designs that are made.

    With many choices, neighbours are taken together, so that each group has a few designs.
    """
    found = []
    made = [row for row in result.rows if row.state == "made"]
    for figure in result.plan.figures:
        rows = [row for row in made if _number(row, figure) is not None]
        values = [float(_number(row, figure) or 0.0) for row in rows]
        if len(set(values)) < 2:
            continue
        own = []
        for axis in result.plan.axes:
            places = {repr(choice): place for place, choice in enumerate(axis.choices)}
            at = [places[repr(tuple(row.values[f] for f in axis.fields))] for row in rows]
            groups = _groups(at, values, len(axis.choices))
            own.append(_moved(", ".join(axis.fields), figure, values, groups))
        found += sorted(own, key=lambda one: -one.share)
    return found


def _number(row: Compared, figure: str) -> float | None:
    value = row.figures.get(figure)
    return None if isinstance(value, str) or value is None else float(value)


def _groups(at: Sequence[int], values: Sequence[float], choices: int) -> list[list[float]]:
    """The values by what the field is."""
    most = choices
    if len(values) < choices * _LEAST_IN_GROUP and choices > _MOST_GROUPS:
        most = max(2, min(_MOST_GROUPS, len(values) // _LEAST_IN_GROUP))
    groups: list[list[float]] = [[] for _ in range(most)]
    for place, value in zip(at, values, strict=True):
        groups[place * most // choices].append(value)
    return [group for group in groups if group]


def _moved(
    fields: str, figure: str, values: Sequence[float], groups: Sequence[Sequence[float]]
) -> Moved:
    mean = math.fsum(values) / len(values)
    whole = math.fsum((value - mean) ** 2 for value in values)
    means = [math.fsum(group) / len(group) for group in groups]
    between = math.fsum(
        len(group) * (m - mean) ** 2 for m, group in zip(means, groups, strict=True)
    )
    return Moved(
        fields=fields, figure=figure, share=min(1.0, between / whole), low=min(means),
        high=max(means),
    )  # fmt: skip
