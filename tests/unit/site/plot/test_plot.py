"""The plot against shapely, and against what can be worked out by hand."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from shapely import LineString, Point, Polygon, box

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.space.crown import crown_of
from frame3d.geometry.plane import area
from frame3d.site.plot.outline import beside, hoops_outside, in_ground, outline
from frame3d.site.plot.overhead import gap_while_raised
from frame3d.site.plot.plot import north_of, plot_of

PLAIN = {
    "output": {"units": "metric"},
    "profile": {"style": "quonset", "width": "4 m", "ridge_height": "2.6 m", "leg_height": "0.6 m"},
    "bays": {"count": 3, "spacing": "1.2 m"},
    "hoop": {"tube": "42 x 2 mm"},
    "socket": {"tube": "50 x 3 mm"},
}
CORNERS = {
    "front left": (-2000.0, 0.0), "front right": (2000.0, 0.0),
    "back left": (-2000.0, 3600.0), "back right": (2000.0, 3600.0),
}  # fmt: skip
"""The corner sockets of the plain frame: width 4 m, three bays of 1.2 m."""


def framed(**more: object) -> Frame:
    return lay_out(design_from_mapping({**PLAIN, **more}))


def place(x_mm: float, y_mm: float) -> str:
    return f"{x_mm:.3f} mm by {y_mm:.3f} mm"


def corners(*places: tuple[float, float]) -> list[dict]:
    return [{"corner": place(*one)} for one in places]


def test_the_outline_of_a_bare_frame_is_that_of_its_tubes():
    (left, front), _, (right, back), _ = outline(framed())
    # Sockets of 50 mm stand outside hoops of 42 mm along; across, the hoops bulge over the sockets.
    assert (front, back) == pytest.approx((-25.0, 3625.0))
    assert left == pytest.approx(-right) and 2025.0 <= right < 2100.0


def test_boards_are_part_of_the_outline():
    bare, boarded = outline(framed()), outline(framed(sill_board={"timber": "47x200"}))
    assert boarded[1][0] >= 2000.0 + 25.0 + 47.0 - 1e-6
    assert boarded[1][0] > bare[1][0]


@pytest.mark.parametrize("corner", CORNERS)
def test_distances_to_the_boundary_are_those_of_shapely(corner):
    """From whichever socket the places are measured, and whatever the form of the plot."""
    rng = random.Random(corner)
    x0, y0 = CORNERS[corner]
    for _ in range(4):
        turns = sorted(rng.uniform(0, 2 * math.pi) for _ in range(rng.randint(3, 8)))
        ring = [(rng.uniform(6e3, 3e4) * math.cos(t), 1800 + rng.uniform(6e3, 3e4) * math.sin(t))
                for t in turns]  # fmt: skip
        if not Polygon(ring).is_valid:
            continue
        frame = framed(
            boundary=corners(*((x - x0, y - y0) for x, y in ring)),
            staking={"corner": corner},
            surroundings={"setback": "1 m"},
        )
        plot = plot_of(frame)
        assert abs(area(plot.corners)) == pytest.approx(Polygon(ring).area, rel=1e-6)
        body = Polygon(outline(frame))
        for line, a, b in zip(plot.lines, ring, [*ring[1:], ring[0]], strict=True):
            assert line.distance_mm == pytest.approx(body.distance(LineString([a, b])), abs=0.01)
        outside = any("within" in fault.message for fault in plot.faults)
        crossed = any(line.distance_mm == 0.0 for line in plot.lines)
        assert outside is (not crossed and not Polygon(ring).contains(body))


def test_setback_lines_lie_as_far_inside_as_each_asks_for():
    frame = framed(
        boundary=[{**one, **more} for one, more in zip(
            corners((-9e3, -9e3), (13e3, -9e3), (13e3, 14e3)),
            ({"setback": "2 m"}, {}, {"setback": "0 m"}), strict=True)],
        surroundings={"setback": "1 m"},
    )  # fmt: skip
    plot = plot_of(frame)
    assert [line.setback_mm for line in plot.lines] == [2000.0, 1000.0, 0.0]
    for corner, line, far in zip(plot.setbacks, plot.lines, (2000.0, 1000.0, 0.0), strict=True):
        (ax, ay), (bx, by) = line.ends
        off = abs((bx - ax) * (corner[1] - ay) - (by - ay) * (corner[0] - ax)) / math.dist(
            *line.ends
        )
        assert off == pytest.approx(far, abs=1e-6)


def test_setbacks_that_leave_no_room_are_no_lines():
    frame = framed(boundary=corners((-3e3, -3e3), (7e3, -3e3), (2e3, 7e3)),
                   surroundings={"setback": "4 m"})  # fmt: skip
    assert plot_of(frame).setbacks == ()


def test_lines_along_all_four_sides_are_a_rectangle():
    frame = framed(boundary=[
        {"side": side, "distance": f"{number} m", "name": side}
        for number, side in enumerate(("right", "front", "left", "back"), start=3)
    ])  # fmt: skip
    plot = plot_of(frame)
    (left, front), _, (right, back), _ = outline(frame)
    assert Polygon(plot.corners).equals(
        box(left - 5000, front - 4000, right + 3000, back + 6000).normalize()
    )
    assert {line.name: round(line.distance_mm) for line in plot.lines} == {
        "right": 3000, "front": 4000, "left": 5000, "back": 6000,
    }  # fmt: skip
    assert {line.number: line.name for line in plot.lines}[1] == "right"


def test_fewer_lines_stay_open():
    plot = plot_of(framed(boundary=[{"side": "left", "distance": "3 m"}]))
    assert plot.corners == () and plot.faults == ()
    assert [round(line.distance_mm) for line in plot.lines] == [3000]


@pytest.mark.parametrize(
    ("side", "first", "second", "way"),
    [
        ("left", "front left", "back left", (-1, 0)),
        ("right", "front right", "back right", (1, 0)),
        ("front", "front left", "front right", (0, -1)),
        ("back", "back left", "back right", (0, 1)),
    ],
)
def test_two_tapes_find_the_corner_outside_of_their_side(side, first, second, way):
    """A place is chosen, taped from both sockets, and must come out again."""
    rng = random.Random(side)
    a, b = CORNERS[first], CORNERS[second]
    found = []
    for _ in range(3):
        x = (a[0] + b[0]) / 2 + (way[0] or rng.uniform(-2, 2)) * rng.uniform(3e3, 9e3)
        y = (a[1] + b[1]) / 2 + (way[1] or rng.uniform(-2, 2)) * rng.uniform(3e3, 9e3)
        found.append(((x, y), [f"{math.dist(a, (x, y)):.4f} mm", f"{math.dist(b, (x, y)):.4f} mm"]))
    plot = plot_of(framed(boundary=[{"side": side, "tapes": tapes} for _, tapes in found]))
    wanted = [one for one, _ in found]
    for corner, spot in zip(plot.corners, wanted, strict=True):
        assert corner == pytest.approx(spot, abs=0.01)


FAULTS = {
    "crosses itself": corners((-5e3, -5e3), (9e3, -5e3), (-5e3, 9e3), (9e3, 9e3)),
    "do not meet": [{"tapes": ["1 m", "1 m"]}, *corners((9e3, 0), (0, 9e3))],
    "the same place": corners((-5e3, -5e3), (-5e3, -5e3), (9e3, 9e3)),
    "has 2 corners": corners((-5e3, -5e3), (9e3, -5e3)),
    "line along a side": [{}, *corners((-5e3, -5e3), (9e3, -5e3))],
    "does not stand within": corners((20e3, 0), (30e3, 0), (30e3, 9e3)),
}


@pytest.mark.parametrize("words", FAULTS)
def test_a_boundary_that_cannot_be_is_told_with_its_field(words):
    plot = plot_of(framed(boundary=FAULTS[words]))
    (fault,) = plot.faults
    assert words in fault.message and fault.field.startswith("boundary") and fault.advice
    assert fault.unfinished or fault.against not in ("", fault.field)


def test_a_service_is_as_far_from_the_nearest_socket_as_shapely_has_it():
    frame = framed(service=[{"points": [place(-900, -4000), place(700, 9000)]}])
    (run,) = plot_of(frame).runs
    # Places are from socket 1L, which stands at -2000, 0.
    line = LineString([(-2900, -4000), (-1300, 9000)])
    sockets = {
        f"{hoop}{letter}": Point(x, 1200 * (hoop - 1)).distance(line) - 25
        for hoop in range(1, 5) for letter, x in (("L", -2000), ("R", 2000))
    }  # fmt: skip
    nearest = min(sockets, key=lambda name: sockets[name])
    assert run.near.name == f"socket {nearest}"
    assert run.distance_mm == pytest.approx(sockets[nearest], abs=0.01)
    assert run.under is line.intersects(Polygon(outline(frame)))


def test_a_service_under_a_socket_is_at_no_distance():
    frame = framed(service=[{"points": [place(10, -4000), place(10, 9000)]}])
    (run,) = plot_of(frame).runs
    assert run.distance_mm == 0.0 and run.under


def test_everything_in_the_ground_is_known():
    """All sockets, and studs that are set into the ground."""
    posts = in_ground(framed(end_wall=[{"at": "front", "studs": "tube"}]))
    assert {post.name for post in posts if post.name.startswith("socket")} == {
        f"socket {hoop}{side}" for hoop in range(1, 5) for side in "LR"
    }
    assert any(post.name.startswith("ST") for post in posts)


def test_what_stands_nearby_is_placed_by_its_side():
    frame = framed(nearby=[{"side": "right", "distance": "5 m", "starts": "-1 m", "length": "8 m",
                            "depth": "3 m"}, {"side": "back", "distance": "2 m"}])  # fmt: skip
    barn, other = plot_of(frame).neighbours
    (left, _), _, (right, back), _ = hoops_outside(frame)
    assert Polygon(barn.ring).equals(box(right + 5000, -1000, right + 8000, 7000))
    assert other.ring == (pytest.approx((left, back + 2000)), pytest.approx((right, back + 2000)))


@pytest.mark.parametrize(
    ("more", "north"),
    [
        ({"surroundings": {"front_faces": "south"}}, (0.0, 1.0)),  # the tunnel runs north
        ({"surroundings": {"front_faces": "west"}}, (-1.0, 0.0)),  # it runs east: north is left
        ({"surroundings": {"front_faces": "north-east"}}, (math.sqrt(0.5), -math.sqrt(0.5))),
        ({"staking": {"bearing": 90.0, "epsg": 32633, "east": 5e5, "north": 5.4e6}}, (-1.0, 0.0)),
        ({}, None),
    ],
)
def test_north_is_where_the_front_or_the_bearing_says(more, north):
    found = north_of(framed(**more))
    assert found == (None if north is None else pytest.approx(north, abs=1e-12))


def swept(frame: Frame, points: list[tuple[float, float]], height: float) -> float:
    """Another way: the distance of many points of the line to the half cylinder, sampled."""
    (left, front), _, (right, back), _ = hoops_outside(frame)
    top = crown_of(frame).over_all_mm + frame.design.socket.insertion
    shares = np.linspace(0.0, 1.0, 4001)
    legs = zip(points, points[1:], strict=False)
    spots = np.vstack([np.outer(1 - shares, a) + np.outer(shares, b) for a, b in legs])
    across = np.abs(spots[:, 0] - np.clip(spots[:, 0], left, right))
    along = np.abs(spots[:, 1] - np.clip(spots[:, 1], front, back))
    return float(np.hypot(across, np.maximum(0.0, np.hypot(along, height) - top)).min())


def test_an_overhead_line_is_as_near_as_sampling_finds_it():
    rng, frame = random.Random(7), framed()
    for _ in range(6):
        points = [(rng.uniform(-2e4, 2e4), rng.uniform(-2e4, 2e4)) for _ in range(3)]
        height = rng.uniform(3000, 9000)
        found = gap_while_raised(frame, points, height)
        assert found <= swept(frame, points, height) + 1e-6
        assert found == pytest.approx(swept(frame, points, height), abs=10.0)  # of the samples


def test_a_line_along_a_side_or_across_an_end_has_a_closed_form():
    frame = framed()
    top = crown_of(frame).over_all_mm + frame.design.socket.insertion
    ring = hoops_outside(frame)
    sides = frame.design.nearby or design_from_mapping({**PLAIN, "nearby": [
        {"side": "left"}, {"side": "front"}]}).nearby  # fmt: skip
    left, front = (beside(ring, one.side, 4000.0) for one in sides)
    assert gap_while_raised(frame, left, 6000.0) == pytest.approx(math.hypot(4000.0, 6000.0 - top))
    assert gap_while_raised(frame, front, 6000.0) == pytest.approx(math.hypot(4000, 6000) - top)
