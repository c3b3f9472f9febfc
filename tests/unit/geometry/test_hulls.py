"""Convex bodies against the modelling kernel (Open CASCADE's BRepExtrema) and paper."""

from __future__ import annotations

import numpy as np
import pytest
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_Transform
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.gp import gp_Pnt, gp_Trsf

from frame3d.geometry.hulls import (
    Hull,
    convex_pieces,
    hull_gap,
    prism,
    segment_hull_distance,
)
from frame3d.geometry.outlines import polygon
from frame3d.solids.kernel import kernel

PAIRS = 200
OUTLINES = [polygon(6, 30.0), polygon(12, 60.0), [(0, 0), (400, 0), (350, 90), (-20, 90)]]


def turned(random: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    matrix, _ = np.linalg.qr(random.normal(size=(3, 3)))
    return matrix * np.sign(np.linalg.det(matrix)), random.uniform(-70, 70, 3)


def solid(outline, height: float, rotation: np.ndarray, shift: np.ndarray):
    face = kernel.flat_face(kernel.polygon([(x, y, 0.0) for x, y in outline]))
    move = gp_Trsf()
    move.SetValues(*(float(v) for row, s in zip(rotation, shift, strict=True) for v in (*row, s)))
    return BRepBuilderAPI_Transform(kernel.raised(face, height), move, True).Shape()


def judged(one, two) -> float:
    return BRepExtrema_DistShapeShape(one, two).Value()


def drawn(random: np.random.Generator):
    outline = OUTLINES[random.integers(len(OUTLINES))]
    height, (rotation, shift) = random.uniform(2, 80), turned(random)
    hull = prism(outline, 0.0, height).placed(rotation, shift)
    return hull, solid(outline, height, rotation, shift)


def hull_distance(a: Hull, b: Hull) -> float:
    """The nearest points of two convex bodies lie on an edge of one of them."""
    both = ((a, b), (b, a))
    return min(float(segment_hull_distance(*one.segments(), two).min()) for one, two in both)


def test_hulls_against_the_kernel() -> None:
    random = np.random.default_rng(5)
    apart = 0
    for _ in range(PAIRS):
        (a, solid_a), (b, solid_b) = drawn(random), drawn(random)
        expected = judged(solid_a, solid_b)
        assert hull_distance(a, b) == pytest.approx(expected, abs=1e-6)
        gap = hull_gap(a, b)
        assert (gap > 0) == (expected > 1e-9)
        assert gap <= expected + 1e-6
        apart += expected > 0
    assert 40 < apart < PAIRS - 40


def test_segments_against_the_kernel() -> None:
    random = np.random.default_rng(6)
    for _ in range(PAIRS):
        hull, body = drawn(random)
        ends = random.uniform(-300, 300, (2, 3))
        edge = BRepBuilderAPI_MakeEdge(*(gp_Pnt(*map(float, end)) for end in ends)).Edge()
        found = float(segment_hull_distance(ends[:1], ends[1:], hull)[0])
        if found > 0:
            assert found == pytest.approx(judged(edge, body), abs=1e-6)
        else:
            steps = ends[0] + np.linspace(0, 1, 20001)[:, None] * (ends[1] - ends[0])
            assert (steps @ hull.normals.T <= hull.offsets + 0.05).all(axis=1).any()


def test_overlap_of_two_cubes_by_hand() -> None:
    cube = prism([(0, 0), (10, 0), (10, 10), (0, 10)], 0.0, 10.0)
    shifted = cube.placed(np.eye(3), np.array([7.0, 1.0, 0.0]))
    assert hull_gap(cube, shifted) == pytest.approx(-3.0)
    assert hull_gap(shifted, cube) == pytest.approx(-3.0)
    above = cube.placed(np.eye(3), np.array([3.0, 14.0, 13.0]))
    assert hull_distance(cube, above) == pytest.approx(5.0)


def test_an_outline_with_a_notch_is_cut_into_convex_pieces() -> None:
    chevron = ((-100, -60), (0, 0), (100, -60), (110, -40), (0, 25), (-110, -40))
    pieces = convex_pieces(chevron)
    assert len(pieces) > 1

    def area(points) -> float:
        x, y = np.array(points, dtype=float).T
        return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) / 2)

    assert sum(area(piece) for piece in pieces) == pytest.approx(area(chevron))
    assert all(area(piece) > 0 for piece in pieces)
    hexagon = tuple(polygon(6, 10.0))
    assert convex_pieces(hexagon) == (hexagon,)


def test_an_outline_run_the_wrong_way_is_refused() -> None:
    chevron = ((-100, -60), (0, 0), (100, -60), (0, 40))
    with pytest.raises(ValueError, match="clockwise"):
        convex_pieces(chevron[::-1])


def test_a_hull_is_what_its_faces_say() -> None:
    hull: Hull = prism(OUTLINES[2], -5.0, 20.0)
    assert (hull.vertices @ hull.normals.T <= hull.offsets + 1e-9).all()
    assert ((np.abs(hull.vertices @ hull.normals.T - hull.offsets) < 1e-9).sum(axis=1) == 3).all()
