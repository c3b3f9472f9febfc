"""Whether an outline crosses itself, against shapely, and what the reader says of one that does."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString
from shapely.geometry import Polygon

from frame3d.design.reading.reader import design_from_text
from frame3d.errors import DesignFaults
from frame3d.geometry.outlines import crossing_sides, edges, polygon

POINTS = st.tuples(st.integers(-9, 9), st.integers(-9, 9))
BOW = ((0, 0), (2, 2), (2, 0), (0, 2))
DESIGN = """[profile]
width = "20 ft"
[bays]
count = 3
spacing = "4 ft"
[[machine]]
name = "Cart"
corners = ["-1 m at 0 m", "1 m at 1 m", "1 m at 0 m", "-1 m at 1 m"]
"""


@given(st.lists(POINTS, min_size=3, max_size=8, unique=True))
def test_it_crosses_itself_where_shapely_finds_a_crossing(corners) -> None:
    """OGC Simple Features (ISO 19125-1), relation "crosses", between every two sides."""
    sides = [LineString(pair) for pair in zip(corners, [*corners[1:], corners[0]], strict=True)]
    crossing = [
        (first, second)
        for first, one in enumerate(sides, start=1)
        for second, other in enumerate(sides[first:], start=first + 1)
        if one.crosses(other) and not one.touches(other)
    ]
    assert crossing_sides(corners) == (crossing[0] if crossing else None)
    if crossing:
        assert not Polygon(corners).is_valid


def test_a_bow_crosses_in_its_middle_and_a_square_nowhere() -> None:
    assert crossing_sides(BOW) == (1, 3)
    assert crossing_sides(((0, 0), (2, 0), (2, 2), (0, 2))) is None
    # The first corner given again at the end, as many write it.
    assert crossing_sides(((0, 0), (2, 0), (2, 2), (0, 2), (0, 0))) is None


def test_a_machine_that_crosses_itself_is_refused_with_its_corners() -> None:
    with pytest.raises(DesignFaults) as error:
        design_from_text(DESIGN, "cart.toml")
    [fault] = error.value.faults
    assert (fault.where, fault.line) == ("machine[1].corners", 8)
    assert "the side after corner 1 crosses the one after corner 3; give" in fault.message


def _tongue(sides: int) -> list[tuple[float, float]]:
    """30 mm long and 27 wide, its end half a circle of short sides that touch it."""
    step = math.pi / sides
    reach = 13.5 / math.cos(step / 2)
    angles = [(k + 0.5) * step for k in range(sides)]
    return [(-13.5, -30.0), (13.5, -30.0),
            *[(reach * math.cos(a), reach * math.sin(a)) for a in angles]]  # fmt: skip


@pytest.mark.parametrize("first", [0, 5, 25])
def test_short_sides_that_turn_evenly_are_an_arc(first):
    """Half a circle of 13.5 mm about the origin, whichever corner comes first."""
    corners = _tongue(24)
    found = edges(corners[first:] + corners[:first])
    assert len(found) == 4
    (arc,) = [edge for edge in found if edge.centre is not None]
    assert arc.centre == pytest.approx((0.0, 0.0), abs=1e-9)
    assert arc.radius == pytest.approx(13.5) and arc.turn_rad == pytest.approx(math.pi)
    assert arc.start == pytest.approx((13.5, 0.0), abs=1e-9)
    for edge, after in zip(found, (*found[1:], found[0]), strict=True):
        assert edge.end == pytest.approx(after.start, abs=1e-9)


def test_corners_are_corners():
    """A rectangle, a hexagon, and half an eye of six sides, which anybody sees, are no arcs."""
    for corners in ([(0, 0), (40, 0), (40, 20), (0, 20)], polygon(6, 20.0), _tongue(6)):
        found = edges(corners)
        assert [edge.centre for edge in found] == [None] * len(found)
        assert len(found) == len(corners)
