"""Figures of loads: indices of a design against the base of its study, under the same unit loads.

They take seconds for each design. What must be said beside them is told by :func:`asks_loads`.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable

from frame3d.design.tables.loads import LoadShape
from frame3d.studies.figures.figure import Figure, NoFigureError, Sources

_DIGITS = 4
_PARTS = (
    (
        "",
        "value",
        "Index under {} against the base; below 1 it reaches the comparison point sooner",
    ),
    ("_least", "low", "Least index under {} over what nobody knows; undecided if 1 lies between"),
    ("_most", "high", "Greatest index under {} over what nobody knows"),
)
"""What stands behind a name, which part of an index it is, and what that is in words."""


def _part(shape: LoadShape, part: str, sources: Sources) -> float:
    """A part of the index of one shape.

    Raises
    ------
    NoFigureError
        With the reason why there is none.
    """
    found = sources.indices
    if found.reason:
        raise NoFigureError(found.reason)
    index = found.by_shape.get(shape)
    if index is None:
        raise NoFigureError(f"neither this design nor the base is put under {shape.value}")
    value: float | None = getattr(index, part)
    if value is None:
        raise NoFigureError(index.reason)
    return round(value, _DIGITS)


FIGURES = tuple(
    Figure(
        name=f"index_{shape.value.replace(' ', '_')}{end}", words=words.format(shape.value),
        unit="", of=functools.partial(_part, shape, part),
    )
    for shape in LoadShape
    for end, part, words in _PARTS
)  # fmt: skip
_NAMES = frozenset(figure.name for figure in FIGURES)


def asks_loads(figures: Iterable[str]) -> bool:
    """Whether any of these is an index, to which a base and the cautions of loads belong."""
    return not _NAMES.isdisjoint(figures)
