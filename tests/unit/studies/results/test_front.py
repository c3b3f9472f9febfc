"""The front of the best against all pairs, with ties."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import Struct

from frame3d.studies.plan.whole_plan import Goal
from frame3d.studies.results.front import front_of, ties_of


class Point(Struct, frozen=True, kw_only=True):
    number: int
    figures: dict[str, float | None]


def points(values: list[tuple[float | None, ...]]) -> list[Point]:
    return [
        Point(number=n, figures=dict(zip("abc", row, strict=False)))
        for n, row in enumerate(values, start=1)
    ]


def by_all_pairs(rows: list[Point], goals: list[Goal]) -> set[int]:
    """By the definition: nobody is at least as good in all and better in one."""
    signed = {
        row.number: [(-1 if g.up else 1) * row.figures[g.figure] for g in goals]
        for row in rows if all(row.figures[g.figure] is not None for g in goals)
    }  # fmt: skip
    return {
        number for number, own in signed.items()
        if not any(
            all(x <= y for x, y in zip(other, own, strict=True)) and other != own
            for other in signed.values()
        )
    }  # fmt: skip


VALUE = st.one_of(st.none(), st.integers(0, 6).map(float))


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(VALUE, VALUE, VALUE), max_size=40), st.tuples(*[st.booleans()] * 3),
       st.integers(1, 3))  # fmt: skip
def test_the_front_is_that_of_all_pairs(values: list, ups: tuple, count: int) -> None:
    rows = points(values)
    goals = [Goal(figure=name, up=up) for name, up in zip("abc"[:count], ups, strict=False)]
    front = front_of(rows, goals)
    assert {row.number for row in front} == by_all_pairs(rows, goals)
    first = [(-1 if goals[0].up else 1) * row.figures["a"] for row in front]
    assert first == sorted(first)
    assert {r.number for r in front_of(rows[::-1], goals)} == {r.number for r in front}


def test_ties_are_all_there_and_counted() -> None:
    rows = points([(1.0, 5.0), (1.0, 5.0), (2.0, 3.0), (2.0, 4.0), (1.0, 5.0)])
    goals = [Goal(figure="a", up=False), Goal(figure="b", up=False)]
    front = front_of(rows, goals)
    assert [row.number for row in front] == [1, 2, 5, 3]
    assert ties_of(front, goals) == {1: 2, 2: 2, 5: 2, 3: 0}


def test_without_goals_there_is_no_best() -> None:
    assert front_of(points([(1.0,)]), []) == []
