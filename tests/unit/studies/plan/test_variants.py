"""Designs of a plan: all combinations, Latin hypercubes, and what is changed in the base."""

from __future__ import annotations

import itertools
from collections import Counter

import pytest
from small_study import SMALL

from frame3d.studies.plan.read_plan import plan_from_mapping
from frame3d.studies.plan.variants import changed, hypercube, variants_of
from frame3d.studies.plan.whole_plan import LEFT_OUT, Axis

VARY = [
    {"field": "bays.count", "values": [2, 3, 4]},
    {"fields": ["profile.width", "profile.ridge_height"],
     "values": [["5 m", "3 m"], ["6 m", "3 m"]]},
]  # fmt: skip


def test_all_combinations_come_once() -> None:
    plan = plan_from_mapping({"vary": VARY}, SMALL)
    found = [tuple(variant.values(plan).values()) for variant in variants_of(plan)]
    wide = [("5 m", "3 m"), ("6 m", "3 m")]
    assert found == [(n, *w) for n, w in itertools.product((2, 3, 4), wide)]
    assert [variant.number for variant in variants_of(plan)] == [1, 2, 3, 4, 5, 6]


@pytest.mark.parametrize("count", [5, 12, 60])
@pytest.mark.parametrize("choices", [1, 2, 5, 12])
def test_a_latin_hypercube_draws_every_stratum_once(count: int, choices: int) -> None:
    """McKay, Beckman, Conover 1979: so of n choices each comes count / n times, up or down."""
    axes = [Axis(fields=(name,), choices=tuple((n,) for n in range(choices))) for name in "abc"]
    points = list(hypercube(axes, count, seed=4))
    assert len(points) == count
    for column in zip(*points, strict=True):
        often = Counter(column)
        assert all(abs(often[n] - count / choices) < 1 for n in range(choices))
    assert points == list(hypercube(axes, count, seed=4))
    if choices > 1:
        assert points != list(hypercube(axes, count, seed=5))


def test_one_choice_for_each_point_is_a_permutation() -> None:
    axis = Axis(fields=("a",), choices=tuple((n,) for n in range(40)))
    assert sorted(hypercube([axis, axis], 40, seed=1)) != list(hypercube([axis, axis], 40, seed=1))
    for column in zip(*hypercube([axis, axis], 40, seed=1), strict=True):
        assert sorted(column) == list(range(40))


def test_a_sample_holds_each_design_once() -> None:
    plan = plan_from_mapping({"study": {"sample": 50}, "vary": VARY}, SMALL)
    found = [variant.choices for variant in variants_of(plan)]
    assert len(found) == len(set(found)) == 6
    assert [variant.number for variant in variants_of(plan)] == [1, 2, 3, 4, 5, 6]


def test_changes_go_to_their_places_and_the_base_stays() -> None:
    base = {**SMALL, "rail": [{"at": "ridge"}, {"at": "sides", "height": "2 m"}]}
    values = {"rail[2].height": "1.8 m", "bays.spacing": LEFT_OUT, "hoop.pieces": 3}
    made = changed(base, values)
    assert made["rail"] == [{"at": "ridge"}, {"at": "sides", "height": "1.8 m"}]
    assert made["bays"] == {"count": 2}
    assert made["hoop"] == {"pieces": 3}
    assert base["rail"][1]["height"] == "2 m" and base["bays"] == SMALL["bays"]
