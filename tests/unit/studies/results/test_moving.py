"""What moves a figure most, against the analysis of variance done by hand."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest

from frame3d.studies.plan.whole_plan import Axis, Goal, Plan
from frame3d.studies.results.moving import moved_by
from frame3d.studies.results.result import Compared, StudyResult


def result_of(axes: dict[str, list[float]], figure) -> StudyResult:
    plan = Plan(
        base={}, base_text=None, folder=Path(), figures=("y",), goals=(Goal(figure="y", up=True),),
        axes=tuple(Axis(fields=(n,), choices=tuple((v,) for v in vs)) for n, vs in axes.items()),
    )  # fmt: skip
    rows = tuple(
        Compared(
            number=number, values=dict(zip(axes, values, strict=True)), state="made", reason="",
            figures={"y": figure(*values)}, meets=True,
        )
        for number, values in enumerate(itertools.product(*axes.values()), start=1)
    )  # fmt: skip
    return StudyResult(plan=plan, rows=rows)


def test_a_sum_of_fields_is_shared_out_by_their_variances() -> None:
    """Of y = 3 a + b over a grid the variances add up: 9 var(a) and var(b)."""
    a, b = [0.0, 1.0, 2.0], [0.0, 1.0, 2.0, 5.0]
    found = moved_by(result_of({"a": a, "b": b, "c": [7.0, 8.0]}, lambda a, b, c: 3 * a + b))
    var_a, var_b = 9 * 2 / 3, 3.5  # b: mean 2, squares 4, 1, 0, 9 in four
    shares = {one.fields: one.share for one in found}
    assert [one.fields for one in found] == ["a", "b", "c"]
    assert shares["a"] == pytest.approx(var_a / (var_a + var_b))
    assert shares["b"] == pytest.approx(var_b / (var_a + var_b))
    assert shares["c"] == pytest.approx(0.0, abs=1e-12)
    assert (found[0].low, found[0].high) == pytest.approx((2.0, 8.0))  # mean of b is 2


def test_a_product_about_its_middle_has_no_main_effect() -> None:
    found = moved_by(result_of({"a": [-1.0, 1.0], "b": [-1.0, 1.0]}, lambda a, b: a * b))
    assert [one.share for one in found] == pytest.approx([0.0, 0.0])


def test_a_figure_that_never_changes_is_left_out() -> None:
    assert moved_by(result_of({"a": [1.0, 2.0]}, lambda a: 4.0)) == []


def test_many_choices_are_taken_together() -> None:
    """With one design to a choice, every field would seem to explain everything."""
    numbers = [float(n) for n in range(100)]
    result = result_of({"a": numbers, "b": [0.0]}, lambda a, b: float(int(a) * 37 % 100))
    assert moved_by(result)[0].share < 0.1
    assert moved_by(result_of({"a": numbers, "b": [0.0]}, lambda a, b: a))[0].share > 0.95
