"""What near faces leave of lines, held against shapely's difference of sets."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.sheets.projection.overlap import Faces, Segments, uncovered

places = st.floats(-100, 100).map(lambda value: round(value, 3))


@st.composite
def scenes(draw):
    """Level faces and lines, each at a nearness of its own: the larger its number, the nearer."""
    count = draw(st.integers(1, 6))
    lines = [
        [(draw(places), draw(places)) for _ in range(2)] for _ in range(draw(st.integers(1, 5)))
    ]
    faces = []
    for _ in range(count):
        u, v, half, other = (
            draw(places),
            draw(places),
            draw(st.floats(1, 60)),
            draw(st.floats(1, 60)),
        )
        turn = draw(st.floats(0, 3))
        along = np.array([np.cos(turn), np.sin(turn)])
        across = np.array([-along[1], along[0]])
        middle = np.array([u, v])
        faces.append(
            [
                middle + a * half * along + b * other * across
                for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
            ]
        )
    return lines, faces, [draw(st.sampled_from([-50.0, 0.0, 50.0])) for _ in range(count)]


@given(scenes())
@settings(max_examples=150, deadline=None, derandomize=True)
def test_as_much_is_left_as_shapely_leaves(scene):
    lines, faces, nearness = scene
    segments = Segments(
        ends=np.array(lines), near=np.zeros((len(lines), 2)), owner=np.zeros(len(lines), int)
    )
    covers = Faces(
        corners=np.array(faces),
        near=np.repeat(np.array(nearness)[:, None], 4, axis=1),
        owner=np.arange(1, len(faces) + 1),
    )
    left = np.zeros(len(lines))
    for line, start, end in uncovered(segments, covers, 0.0):
        left[line] += (end - start) * np.linalg.norm(np.subtract(*lines[line]))
    near = shapely.union_all(
        [shapely.Polygon(face) for face, z in zip(faces, nearness, strict=True) if z > 0]
    )
    for line, got in zip(lines, left, strict=True):
        assert got == pytest.approx(shapely.LineString(line).difference(near).length, abs=1e-6)


def one(line_near, face_near, *, owner=2):
    """What a face from x = 4 to 6 leaves of a line from 0 to 10."""
    return uncovered(
        Segments(ends=np.array([[(0.0, 0.0), (10.0, 0.0)]]), near=np.array([line_near]),
                 owner=np.array([1])),
        Faces(corners=np.array([[(4.0, -1.0), (6.0, -1.0), (6.0, 1.0), (4.0, 1.0)]]),
              near=np.array([face_near]), owner=np.array([owner])),
        0.0,
    )  # fmt: skip


def test_near_faces_cover_and_far_ones_do_not():
    assert one((0.0, 0.0), (9.0,) * 4) == [
        (0, 0.0, pytest.approx(0.4)),
        (0, pytest.approx(0.6), 1.0),
    ]
    assert one((0.0, 0.0), (-9.0,) * 4) == [(0, 0.0, 1.0)]


def test_nothing_covers_itself():
    assert one((0.0, 0.0), (9.0,) * 4, owner=1) == [(0, 0.0, 1.0)]


def test_slanting_faces_and_lines_are_compared_where_they_meet():
    # The line rises from 0 to 100 and passes x = 5 at 50; the face rises from 40 to 60 there.
    assert len(one((0.0, 100.0), (58.0, 62.0, 62.0, 58.0))) == 2
    assert len(one((0.0, 100.0), (38.0, 42.0, 42.0, 38.0))) == 1


def test_a_face_seen_from_its_edge_covers_nothing():
    got = uncovered(
        Segments(ends=np.array([[(0.0, 0.0), (10.0, 0.0)]]), near=np.zeros((1, 2)),
                 owner=np.array([1])),
        Faces(corners=np.array([[(4.0, -1.0), (4.0, 1.0), (4.0, 1.0), (4.0, -1.0)]]),
              near=np.full((1, 4), 9.0), owner=np.array([2])),
        0.0,
    )  # fmt: skip
    assert got == [(0, 0.0, 1.0)]


@pytest.mark.parametrize(
    ("tilted", "covers"),
    [
        # Corners run round from the lower left. In the middle of the face it lies 10 before the
        # line, or 10 behind it, half of the rise along either side.
        ((-10.0, 30.0, 30.0, -10.0), True),
        ((10.0, -30.0, -30.0, 10.0), False),
        ((-10.0, -10.0, 30.0, 30.0), True),
        ((10.0, 10.0, -30.0, -30.0), False),
    ],
)
def test_a_tilted_face_is_as_near_as_its_plane(tilted, covers: bool):
    left = one((0.0, 0.0), tilted)
    assert len(left) == (2 if covers else 1)
    assert sum(end - start for _, start, end in left) == pytest.approx(0.8 if covers else 1.0)
