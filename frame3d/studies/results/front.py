"""The designs that no other beats: the front of the best by several goals.

Glossary
--------
beats : at least as good in every goal, and better in one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol, TypeVar

from frame3d.studies.figures.figure import FigureValue
from frame3d.studies.plan.whole_plan import Goal


class _Judged(Protocol):
    @property
    def number(self) -> int: ...

    @property
    def figures(self) -> Mapping[str, FigureValue]: ...


Judged = TypeVar("Judged", bound=_Judged)
Scores = tuple[float, ...]


def front_of(rows: Sequence[Judged], goals: Sequence[Goal]) -> list[Judged]:
    """Those of ``rows`` that no other beats, best in the first goal first; none without goals.

    Rows that have no number for a goal are left out. Rows with equal figures do not beat each
    other, so ties are all there.
    """
    if not goals:
        return []
    scored = [(score, row) for row in rows if (score := _score(row, goals)) is not None]
    # In this order nothing that comes later beats what came before.
    scored.sort(key=lambda pair: (pair[0], pair[1].number))
    front: list[Judged] = []
    kept: list[Scores] = []
    for score, row in scored:
        if (kept and kept[-1] == score) or not any(_beats(other, score) for other in kept):
            front.append(row)
            if not kept or kept[-1] != score:
                kept.append(score)
    return front


def ties_of(rows: Sequence[Judged], goals: Sequence[Goal]) -> dict[int, int]:
    """For each row of a front, by number, how many others are equal to it in all goals."""
    scores = {row.number: _score(row, goals) for row in rows}
    known = list(scores.values())
    return {number: known.count(score) - 1 for number, score in scores.items()}


def _score(row: Judged, goals: Sequence[Goal]) -> Scores | None:
    """The figures of the goals, each so that less is better; None where one is no number."""
    found = []
    for goal in goals:
        value = row.figures.get(goal.figure)
        if isinstance(value, str) or value is None:
            return None
        found.append(-float(value) if goal.up else float(value))
    return tuple(found)


def _beats(one: Scores, other: Scores) -> bool:
    return one != other and all(a <= b for a, b in zip(one, other, strict=True))
