"""Dimensions that others determine stand in brackets (ISO 129-1:2018, auxiliary dimensions)."""

from __future__ import annotations

import pytest

from frame3d.sheets.annotation.annotated_view import place
from frame3d.sheets.annotation.annotations import Chain, Running, View, ViewEdge
from frame3d.sheets.annotation.reference import reference_links
from frame3d.sheets.primitives.primitives import LinearDimension, RunningDimension
from frame3d.units import LengthFormat, UnitSystem

METRIC = LengthFormat(system=UnitSystem.METRIC, denominator=16, decimals=0)


def line(*places: float) -> tuple[tuple[float, float], ...]:
    return tuple((place, 0.0) for place in places)


def view(*annotations) -> View:
    return View(
        title="a bar", primitives=(), bounds=(0.0, -50.0, 3000.0, 50.0), annotations=annotations
    )


def texts(*annotations) -> list[str]:
    placed = place(view(*annotations), 10, METRIC)
    return [item.text for item in placed.primitives if isinstance(item, LinearDimension)]


def test_the_whole_of_a_chain_is_a_reference():
    chain, whole = line(0, 1000, 3000), line(0, 3000)
    assert texts(
        Chain(points=chain, edge=ViewEdge.TOP), Chain(points=whole, edge=ViewEdge.TOP)
    ) == [
        "1000",
        "2000",
        "(3000)",
    ]


def test_across_the_view_too():
    chain, whole = line(0, 1000, 3000), line(0, 3000)
    assert "(3000) long" in texts(
        Chain(points=chain, edge=ViewEdge.TOP),
        Chain(points=whole, edge=ViewEdge.BOTTOM, names=("long",)),
    )


def test_where_the_whole_governs_the_longest_link_is_the_reference():
    found = texts(
        Chain(points=line(0, 500, 3000), edge=ViewEdge.TOP),
        Chain(points=line(0, 3000), edge=ViewEdge.TOP, governs=True),
    )
    assert sorted(found) == ["(2500)", "3000", "500"]


def test_a_chain_without_its_whole_has_no_reference():
    assert texts(Chain(points=line(0, 1000, 3000), edge=ViewEdge.TOP)) == ["1000", "2000"]


def test_running_figures_determine_what_lies_between():
    running = Running(datum=(0.0, 0.0), points=line(0, 1000, 3000), edge=ViewEdge.TOP)
    assert texts(running, Chain(points=line(1000, 3000), edge=ViewEdge.BOTTOM)) == ["(2000)"]


def test_said_twice_is_a_reference_the_second_time():
    assert texts(
        Chain(points=line(0, 3000), edge=ViewEdge.TOP),
        Chain(points=line(0, 3000), edge=ViewEdge.BOTTOM),
    ) == ["3000", "(3000)"]


@pytest.mark.parametrize("count", [1, 2, 5, 20])
def test_as_many_stand_as_join_the_places(count: int):
    """A tree over n places has n - 1 links, whatever dimensions are asked for."""
    places = [137.0 * i * i for i in range(count + 1)]
    annotations = [
        Chain(points=line(a, b), edge=ViewEdge.TOP) for a in places for b in places if a < b
    ]
    asked = len(annotations)
    assert asked - len(reference_links(view(*annotations))) == count


def test_the_two_directions_are_apart():
    upright = Chain(points=((0.0, -50.0), (0.0, 50.0)), edge=ViewEdge.LEFT)
    flat = Chain(points=line(0, 100), edge=ViewEdge.TOP)
    assert reference_links(view(upright, flat)) == frozenset()


def test_a_running_size_said_on_both_sides_is_a_reference_on_one():
    """A hole and a notch at one height; the hole beside it has a height of its own."""
    placed = place(
        view(
            Running(datum=(0.0, -50.0), points=((400.0, 0.0), (900.0, 20.0)), edge=ViewEdge.LEFT),
            Running(datum=(0.0, -50.0), points=((3000.0, 0.0),), edge=ViewEdge.RIGHT),
        ),
        10, METRIC,
    )  # fmt: skip
    found = [item for item in placed.primitives if isinstance(item, RunningDimension)]
    assert sorted(item.text for item in found) == ["(50)", "50", "70"]
    assert [item.is_reference for item in found if item.text == "(50)"] == [True]
