"""Boards with cut ends, laps and edge holes: volume and centre against closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh
from msgspec.structs import replace

from frame3d.catalog.sections import TimberSection
from frame3d.frame.measure.board_measures import blocks, corners, end_x_mm, passed_mm
from frame3d.frame.measure.measures import centre_mm, mass_kg, volume_mm3
from frame3d.frame.model.parts import Board, BoardEnd, BoardHole, EdgeHole

LONG, DEEP, THICK = 1000.0, 90.0, 40.0
SECTION = TimberSection(name="b", thickness_mm=THICK, depth_mm=DEEP, density_kg_per_m3=500.0)
WHOLE = LONG * DEEP * THICK
SQUARE = Board(section=SECTION, length_mm=LONG)
TAN = 0.5
SLANT = math.atan(TAN)
MITRE, BEVEL = BoardEnd(mitre_rad=SLANT), BoardEnd(bevel_rad=SLANT)
LAP = BoardEnd(bevel_rad=-SLANT, lap_mm=120.0, lap_depth_mm=38.0, lap_from_top=True)


def hull(points: list[tuple[float, float, float]]) -> trimesh.Trimesh:
    return trimesh.convex.convex_hull(np.array(points))


def test_mitre_takes_half_a_prism() -> None:
    board = replace(SQUARE, end=MITRE)
    # longest at y = 0: at y = depth the cut lies depth · tan behind it
    assert end_x_mm(board, 0.0, 0.0, at_start=False) == LONG
    assert end_x_mm(board, DEEP, 0.0, at_start=False) == pytest.approx(LONG - 45.0)
    assert volume_mm3(board) == pytest.approx(WHOLE - 90.0 * 45.0 / 2 * 40.0, rel=1e-12)


def test_bevel_takes_half_a_prism() -> None:
    board = replace(SQUARE, start=BEVEL)
    assert end_x_mm(board, 0.0, 0.0, at_start=True) == 0.0
    assert end_x_mm(board, 0.0, THICK, at_start=True) == pytest.approx(20.0)
    assert volume_mm3(board) == pytest.approx(WHOLE - 40.0 * 20.0 / 2 * 90.0, rel=1e-12)


@pytest.mark.parametrize("start", [MITRE, BoardEnd(mitre_rad=-SLANT), BEVEL, None])
@pytest.mark.parametrize("end", [MITRE, BEVEL, BoardEnd(bevel_rad=-SLANT), None])
def test_cut_board_is_the_hull_of_its_corners(start, end) -> None:
    """Corners worked out here from the meaning of the angles; the hull is trimesh's."""

    def recess(form, y, z):
        if form is None:
            return 0.0
        if form.mitre_rad:
            return TAN * (y if form.mitre_rad > 0 else DEEP - y)
        return TAN * (z if form.bevel_rad > 0 else THICK - z)

    points = [
        (x, y, z)
        for y in (0.0, DEEP)
        for z in (0.0, THICK)
        for x in (recess(start, y, z), LONG - recess(end, y, z))
    ]
    board = replace(SQUARE, start=start, end=end)
    judge = hull(points)
    assert volume_mm3(board) == pytest.approx(judge.volume, rel=1e-9)
    assert centre_mm(board) == pytest.approx(tuple(judge.center_mass), rel=1e-9)
    assert {tuple(np.round(p, 6)) for p in corners(board)} == {
        tuple(np.round(p, 6)) for p in points
    }


def test_lap_takes_a_slanting_block() -> None:
    board = replace(SQUARE, end=LAP)
    lap, wedge = 120.0 * 38.0 * 40.0, 40.0 * 20.0 / 2 * 90.0
    assert volume_mm3(board) == pytest.approx(WHOLE - wedge - lap, rel=1e-12)
    assert mass_kg(board) == pytest.approx((WHOLE - wedge - lap) * 500e-9, rel=1e-12)
    # the bevel's wedge is thick at z = 0; the lap's middle lies 10 + 60 from the end
    x, y, z = centre_mm(board)
    left = WHOLE - wedge - lap
    assert x == pytest.approx(
        (WHOLE * 500 - wedge * (1000 - 20 / 3) - lap * (1000 - 70)) / left, rel=1e-12
    )
    assert y == pytest.approx((WHOLE * 45 - wedge * 45 - lap * 71) / left, rel=1e-12)
    assert z == pytest.approx((WHOLE * 20 - wedge * 40 / 3 - lap * 20) / left, rel=1e-12)


def test_blocks_of_a_board_lapped_at_both_ends_cover_it_and_no_more() -> None:
    """Union by inclusion and exclusion over a fine lattice of points."""
    board = replace(SQUARE, start=replace(LAP, lap_from_top=False), end=LAP)
    steps = [
        np.linspace(0, size, n, endpoint=False) + size / n / 2
        for size, n in ((LONG, 601), (DEEP, 45), (THICK, 10))
    ]
    points = np.stack(np.meshgrid(*steps, indexing="ij"), axis=-1).reshape(-1, 3)
    inside = np.zeros(len(points), dtype=bool)
    for block in blocks(board):
        shape = hull(block)
        inside |= (
            shape.face_normals @ points.T
            <= np.sum(shape.face_normals * shape.triangles[:, 0], axis=1)[:, None] + 1e-9
        ).all(axis=0)
    share = inside.mean() * WHOLE
    # 601 steps along, so that no point lies on a cut, where it would count for both sides
    assert share == pytest.approx(volume_mm3(board), rel=1e-3)


def test_edge_hole_goes_through_the_depth() -> None:
    board = replace(SQUARE, edge_holes=(EdgeHole(along_mm=400, across_mm=15, diameter_mm=9),))
    gone = math.pi / 4 * 81 * DEEP
    assert volume_mm3(board) == pytest.approx(WHOLE - gone, rel=1e-12)
    x, y, z = centre_mm(board)
    assert x == pytest.approx((WHOLE * 500 - gone * 400) / (WHOLE - gone), rel=1e-12)
    assert y == DEEP / 2
    assert z == pytest.approx((WHOLE * 20 - gone * 15) / (WHOLE - gone), rel=1e-12)


@pytest.mark.parametrize(
    ("from_top", "across_mm", "along_mm", "low", "high"),
    [
        (True, 20.0, 930.0, 0.0, 52.0),
        (False, 20.0, 930.0, 38.0, 90.0),
        # the shoulder lies at 1000 - tan · (40 - z) - 120, here 870; a hole of 10 mm needs
        # 5 mm from it square to its slant, 5 / cos = 5.59 along the board
        (True, 20.0, 870.0 + 5.6, 0.0, 52.0),
        (True, 20.0, 870.0 + 5.5, 0.0, 90.0),
        # nearer to z = thickness the shoulder lies farther along: 877.5
        (True, 35.0, 870.0 + 5.6, 0.0, 90.0),
        (True, 20.0, 500.0, 0.0, 90.0),
    ],
)
def test_edge_hole_in_a_lap_passes_what_is_left(from_top, across_mm, along_mm, low, high):
    board = replace(SQUARE, end=replace(LAP, lap_from_top=from_top))
    hole = EdgeHole(along_mm=along_mm, across_mm=across_mm, diameter_mm=10.0)
    assert passed_mm(board, hole) == (low, high)
    gone = volume_mm3(board) - volume_mm3(replace(board, edge_holes=(hole,)))
    assert gone == pytest.approx(math.pi / 4 * 100 * (high - low), rel=1e-9)


def test_holes_both_ways() -> None:
    board = replace(
        SQUARE,
        holes=(BoardHole(along_mm=200, up_mm=30, diameter_mm=12),),
        edge_holes=(EdgeHole(along_mm=700, across_mm=20, diameter_mm=8),),
    )
    gone = math.pi / 4 * (144 * THICK + 64 * DEEP)
    assert volume_mm3(board) == pytest.approx(WHOLE - gone, rel=1e-12)
