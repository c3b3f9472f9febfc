"""Film by the widths sold, wire, and stiff sheets on end walls."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.tables.whole_design import End
from frame3d.frame.describe.closing import bought_cover
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.skin.cover_film import cover_lines
from frame3d.frame.skin.film_sheets import film_sheets, wire_pieces
from frame3d.frame.skin.wall_sheets import wall_sheets
from frame3d.geometry.arch.arch_curve import height_at_x

BASE = {
    "output": {"units": "metric"},
    "profile": {"style": "quonset", "width": "6 m", "leg_height": "0.6 m", "ridge_height": "3.6 m"},
    "bays": {"count": 4, "spacing": "1.5 m"},
    "hoop": {"tube": "EN 10255 DN32 medium"},
    "end_wall": [{"at": "both", "timber": "47x100"}],
    "door": [{"kind": "hinged", "at": "front", "width": "1200 mm"}],
}


def frame_with(**cover) -> Frame:
    return lay_out(design_from_mapping(BASE | {"cover": {"listed_as": "parts", **cover}}))


def test_film_is_as_wide_as_needed_where_no_widths_are_given() -> None:
    over, *walls = film_sheets(frame_with())
    assert (over.strips, over.seams) == (1, 0) and over.sold_mm == over.across_mm
    assert len(walls) == 2


def test_the_narrowest_width_that_does() -> None:
    over = film_sheets(frame_with(film_widths=["8 m", "14 m", "12 m"]))[0]
    assert 8000 < over.across_mm < 12000
    assert (over.sold_mm, over.strips) == (12000.0, 1)


@pytest.mark.parametrize("widths", [["3 m"], ["2 m", "3.5 m"], ["4 m", "2500 mm"]])
def test_widths_are_joined_with_the_least_film(widths: list[str]) -> None:
    """Against all combinations of one width, tried one by one."""
    over = film_sheets(frame_with(film_widths=widths, film_seam="200 mm", layers=2))[0]
    sizes = [float(w.removesuffix(" mm")) if "mm" in w else 1000 * float(w[:-2]) for w in widths]
    options = []
    for size in sizes:
        strips = next(n for n in itertools.count(1) if n * size - (n - 1) * 200 >= over.across_mm)
        options.append((strips * size, strips, size))
    _, strips, size = min(options)
    assert (over.strips, over.sold_mm, over.count) == (strips, size, 2 * strips)
    assert over.strips * over.sold_mm - over.seams * over.seam_mm >= over.across_mm


def test_wire_is_counted_run_by_run() -> None:
    frame = frame_with(wire_length="2 m")
    lines = cover_lines(frame)
    expected = 0
    for run in lines.channel:
        left, pieces = run.length_mm, 0
        while left > 1e-6:
            left, pieces = left - 2000, pieces + 1
        expected += pieces * run.count
    assert wire_pieces(frame, lines) == expected


def test_an_end_wall_takes_film_one_way_or_the_other() -> None:
    frame = frame_with(film_widths=["5 m", "7 m"])
    wall = cover_lines(frame).walls[0]
    sheet = film_sheets(frame)[1]
    assert {round(sheet.across_mm), round(sheet.along_mm)} == {
        round(wall.width_mm), round(wall.height_mm)
    }  # fmt: skip
    assert sheet.sold_mm >= sheet.across_mm and sheet.strips == 1


def test_sheets_cover_the_wall_but_for_the_door() -> None:
    """A grid of points within the hoop: each lies in just one piece, or in the doorway."""
    frame = frame_with(wall_cover="twin-wall", sheet_width="500 mm", sheet_length="2400 mm")
    curve = frame.arch.half_offset(-frame.arch.tube_od_mm / 2)
    for wall in wall_sheets(frame):
        door = next((d for d in frame.doors if d.end is wall.end), None)
        for x in np.arange(curve.x_mm + 3.3, -curve.x_mm, 97.1).tolist():
            for z in np.arange(1.7, height_at_x(curve, x), 101.3).tolist():
                there = sum(
                    p.left_mm < x < p.right_mm and p.bottom_mm < z < p.top_mm for p in wall.pieces
                )
                in_door = door and door.left_x_mm < x < door.right_x_mm and z < door.top_mm
                assert there == 1 or (in_door and there == 0)


def test_pieces_of_one_sheet_come_out_of_it() -> None:
    frame = frame_with(wall_cover="board", sheet_width="1200 mm", sheet_length="2400 mm")
    for wall in wall_sheets(frame):
        for number in range(1, wall.count + 1):
            own = [p for p in wall.pieces if p.sheet == number]
            assert own and math.fsum(p.height_mm for p in own) <= 2400 + 1e-6
            assert max(p.right_mm - p.left_mm for p in own) <= 1200 + 1e-6
        # No two sheets could have been one.
        used = [math.fsum(p.height_mm for p in wall.pieces if p.sheet == n + 1)
                for n in range(wall.count)]  # fmt: skip
        assert all(a + b > 2400 for a, b in itertools.combinations(used, 2))


@pytest.mark.parametrize(("kind", "films"), [("film", 3), ("none", 1), ("board", 1)])
def test_what_closes_the_walls(kind: str, films: int) -> None:
    frame = frame_with(wall_cover=kind)
    things = bought_cover(frame)
    assert sum(one.item.startswith("film,") for one in things) == films
    assert sum(kind in one.item for one in things if "sheet" in one.item) == 2 * (kind == "board")
    assert bool(wall_sheets(frame)) == (kind == "board")
    assert {w.end for w in cover_lines(frame).walls} == ({*End} if kind == "film" else set())


def test_figures_alone_are_not_bought() -> None:
    assert bought_cover(lay_out(design_from_mapping(BASE))) == ()
