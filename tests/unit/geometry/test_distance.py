"""Distances between lines, arcs and boxes, against the modelling kernel's own extrema.

The outside judge is Open CASCADE's BRepExtrema_DistShapeShape on edges and boxes.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pnt

from frame3d.geometry.curves import Curves
from frame3d.geometry.distance import curve_box_distance, curve_distance
from frame3d.geometry.segments import Boxes, box_gap, segment_distance

PAIRS = 220
KINDS = ("line", "arc")


def unit_vectors(random: np.random.Generator, count: int) -> np.ndarray:
    vectors = random.normal(size=(count, 3))
    return vectors / np.linalg.norm(vectors, axis=1)[:, None]


def random_curves(random: np.random.Generator, kind: str, count: int = PAIRS) -> Curves:
    """Curves of up to some metres, as frames have them: radii of 0.3 to 10 m."""
    tangent, other = unit_vectors(random, count), unit_vectors(random, count)
    normal = other - np.einsum("ij,ij->i", other, tangent)[:, None] * tangent
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    radius = random.uniform(300, 10_000, count)
    turn = np.minimum(random.uniform(0.05, 5.0, count), 8000 / radius)
    return Curves(
        start=random.uniform(-2000, 2000, (count, 3)),
        tangent=tangent,
        normal=normal,
        curvature=1 / radius if kind == "arc" else np.zeros(count),
        length=radius * turn if kind == "arc" else random.uniform(5, 6000, count),
    )


def edge(curves: Curves, number: int):
    """One of ``curves`` as an edge of the kernel."""
    here = curves.take(np.array([number]))
    if here.curvature[0] == 0:
        ends = here.at(np.zeros(1))[0], here.at(here.length)[0]
        return BRepBuilderAPI_MakeEdge(*(gp_Pnt(*map(float, end)) for end in ends)).Edge()
    radius = 1 / here.curvature[0]
    centre = here.start[0] + here.normal[0] * radius
    axis = np.cross(here.tangent[0], here.normal[0])
    axes = gp_Ax2(
        gp_Pnt(*map(float, centre)), gp_Dir(*map(float, axis)), gp_Dir(*map(float, -here.normal[0]))
    )
    turn = float(here.length[0] / radius)
    return BRepBuilderAPI_MakeEdge(gp_Circ(axes, float(radius)), 0.0, turn).Edge()


def judged(one, two) -> float:
    found = BRepExtrema_DistShapeShape(one, two)
    assert found.IsDone()
    return found.Value()


@pytest.mark.parametrize(("first", "second"), [("line", "line"), ("line", "arc"), ("arc", "arc")])
def test_curves_against_the_kernel(first: str, second: str) -> None:
    random = np.random.default_rng(KINDS.index(first) * 2 + KINDS.index(second))
    a, b = random_curves(random, first), random_curves(random, second)
    found = curve_distance(a, b)
    expected = np.array([judged(edge(a, n), edge(b, n)) for n in range(PAIRS)])
    assert found.upper == pytest.approx(expected, abs=2e-6)
    assert (found.upper - found.lower <= 1e-6).all()
    at = np.linalg.norm(a.at(found.along_a) - b.at(found.along_b), axis=1)
    assert at == pytest.approx(found.upper, abs=1e-9)


def random_boxes(random: np.random.Generator, count: int = PAIRS) -> Boxes:
    first, other = unit_vectors(random, count), unit_vectors(random, count)
    second = other - np.einsum("ij,ij->i", other, first)[:, None] * first
    second /= np.linalg.norm(second, axis=1)[:, None]
    axes = np.stack([first, second, np.cross(first, second)], axis=1)
    return Boxes(
        centre=random.uniform(-2000, 2000, (count, 3)),
        axes=axes,
        half=random.uniform(10, 1500, (count, 3)),
    )


def solid(boxes: Boxes, number: int):
    axes, half = boxes.axes[number], boxes.half[number]
    corner = boxes.centre[number] - half @ axes
    place = gp_Ax2(
        gp_Pnt(*map(float, corner)), gp_Dir(*map(float, axes[2])), gp_Dir(*map(float, axes[0]))
    )
    return BRepPrimAPI_MakeBox(place, *(float(2 * size) for size in half)).Shape()


@pytest.mark.parametrize("kind", KINDS)
def test_boxes_against_the_kernel(kind: str) -> None:
    random = np.random.default_rng(7)
    curves, boxes = random_curves(random, kind), random_boxes(random)
    found = curve_box_distance(curves, boxes)
    expected = np.array([judged(edge(curves, n), solid(boxes, n)) for n in range(PAIRS)])
    # The kernel measures an edge inside a solid from its faces.
    inside = found.upper == 0
    assert (~inside).sum() > 10
    assert found.upper[~inside] == pytest.approx(expected[~inside], abs=2e-6)
    middle = curves.take(inside)
    reach = np.einsum(
        "nij,nj->ni", boxes.axes[inside], middle.at(found.along_a[inside]) - boxes.centre[inside]
    )
    assert (np.abs(reach) <= boxes.half[inside] + 1e-9).all()


def test_two_boxes_against_the_kernel() -> None:
    random = np.random.default_rng(11)
    a, b = random_boxes(random), random_boxes(random)
    gap = box_gap(a, b)
    expected = np.array([judged(solid(a, n), solid(b, n)) for n in range(PAIRS)])
    assert 50 < (expected > 0).sum() < PAIRS - 20
    assert ((gap > 0) == (expected > 1e-9)).all()
    assert (gap <= expected + 1e-9).all()


def test_overlap_of_boxes_is_the_shift_that_frees_them() -> None:
    random = np.random.default_rng(12)
    a, b = random_boxes(random), random_boxes(random)
    b = Boxes(centre=a.centre + random.uniform(-300, 300, (PAIRS, 3)), axes=a.axes, half=b.half)
    # Boxes turned alike: in their axes the overlap is plain.
    local = np.abs(np.einsum("nij,nj->ni", a.axes, b.centre - a.centre))
    assert box_gap(a, b) == pytest.approx((local - a.half - b.half).max(axis=1), abs=1e-9)


def arc(radius: float, turn: float, start_angle: float = 0.0, z: float = 0.0) -> Curves:
    cos, sin = math.cos(start_angle), math.sin(start_angle)
    return Curves(
        start=np.array([[radius * cos, radius * sin, z]]),
        tangent=np.array([[-sin, cos, 0.0]]),
        normal=np.array([[-cos, -sin, 0.0]]),
        curvature=np.array([1 / radius]),
        length=np.array([radius * turn]),
    )


@pytest.mark.parametrize(
    ("second", "expected"),
    [
        (arc(700.0, 1.0, 0.5), 300.0),
        (arc(700.0, 1.0, 0.5, z=400.0), 500.0),
        (arc(1000.0, 1.0, 1.5), 2 * 1000 * math.sin(0.25)),
        (arc(1000.0, 1.0, -1.25), 2 * 1000 * math.sin(0.125)),
        (arc(500.0, 0.5, math.pi), math.sqrt(1000**2 + 500**2 - 1e6 * math.cos(math.pi - 1.0))),
    ],
)
def test_arcs_about_one_axis_in_closed_form(second: Curves, expected: float) -> None:
    """Law of cosines between the nearest angles; the first arc runs from 0 to 1 rad."""
    found = curve_distance(arc(1000.0, 1.0), second)
    assert found.upper == pytest.approx([expected], abs=1e-9)
    assert found.lower == found.upper


@pytest.mark.parametrize(
    ("x", "y", "z", "length", "expected"),
    [
        (0.0, 0.0, -50.0, 100.0, 1000.0),
        (400.0, 0.0, 30.0, 100.0, math.hypot(600.0, 30.0)),
        # Past the end of the arc at 1 rad, where cos and sin are 0.5403 and 0.8415.
        (
            0.0,
            2000.0,
            -500.0,
            100.0,
            math.hypot(1000 * math.cos(1.0), 2000 - 1000 * math.sin(1.0), 400),
        ),
    ],
)
@pytest.mark.parametrize("swapped", [False, True])
def test_a_line_along_the_axis_of_an_arc(x, y, z, length, expected, swapped) -> None:
    line = Curves(
        start=np.array([[x, y, z]]), tangent=np.array([[0.0, 0.0, 1.0]]),
        normal=np.array([[1.0, 0.0, 0.0]]), curvature=np.zeros(1), length=np.array([length]),
    )  # fmt: skip
    pair = (line, arc(1000.0, 1.0)) if swapped else (arc(1000.0, 1.0), line)
    assert curve_distance(*pair).upper == pytest.approx([expected], abs=1e-5)


def test_parallel_and_point_like_segments() -> None:
    a0, a1 = np.array([[0.0, 0, 0]] * 3), np.array([[10.0, 0, 0], [10, 0, 0], [0, 0, 0]])
    b0 = np.array([[4.0, 3, 0], [14, 3, 0], [3, 4, 0]])
    b1 = np.array([[6.0, 3, 0], [20, 3, 0], [3, 4, 0]])
    found, _, _ = segment_distance(a0, a1, b0, b1)
    assert found == pytest.approx([3.0, 5.0, 5.0], abs=1e-12)


def test_what_is_far_enough_is_not_searched_but_bounded() -> None:
    random = np.random.default_rng(3)
    a, b = random_curves(random, "arc"), random_curves(random, "arc")
    whole, early = curve_distance(a, b), curve_distance(a, b, enough_mm=1000.0)
    near = whole.upper < 999
    assert near.sum() > 20
    assert early.upper[near] == pytest.approx(whole.upper[near], abs=2e-6)
    assert (early.lower[~near] >= 998).all()
    assert (early.lower <= whole.upper + 1e-9).all()
