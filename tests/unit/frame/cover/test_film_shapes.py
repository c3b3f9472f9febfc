"""Film, wire and cords as shapes of the model: as large as the figures say, and nothing besides."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from curtain_designs import BASE, ROLL_UP
from shapely import Polygon

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.cover.film_shapes import FILM_MM, FilmShape, Rod, film_members, with_film
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.frame.skin.cover_film import cover_lines
from frame3d.frame.skin.curtain_figures import curtains_of
from frame3d.frame.skin.door_curtains import door_curtains
from frame3d.summary import summary_of
from frame3d.view.scene_file import scene_of


@pytest.fixture(scope="module", params=["curtains", "roll-up"])
def frame(request) -> Frame:
    design = ROLL_UP if request.param == "roll-up" else BASE | {
        "bays": {"count": 3, "spacing": "1.5 m"}, "curtain": {}, "cover": {"listed_as": "parts"},
        "end_wall": [{"at": "front"}], "door": [{"kind": "hinged", "height": "1900 mm"}],
    }  # fmt: skip
    return lay_out(design_from_mapping(design))


def films(frame: Frame, beginning: str) -> list[FilmShape]:
    parts = [m.part for m in film_members(frame) if m.role is Role.FILM]
    return [part for part in parts if part.name.startswith(beginning)]


def along(part: FilmShape) -> float:
    """Length of a strip: its area by its thickness."""
    return Polygon(part.outline).area / FILM_MM


def test_outlines_are_sound(frame: Frame) -> None:
    for member in film_members(frame):
        if isinstance(member.part, FilmShape):
            outline = Polygon(member.part.outline)
            assert outline.is_valid and outline.exterior.is_ccw


def test_film_over_the_hoops_is_as_long_as_their_girth(frame: Frame) -> None:
    (over,), lines = films(frame, "film over the hoops"), cover_lines(frame)
    curtains = curtains_of(frame)
    if curtains is None:
        assert along(over) == pytest.approx(lines.girth_mm, rel=2e-3)
    else:
        assert along(over) < lines.girth_mm - 2000.0  # the curtains are apart
    assert over.length_mm == pytest.approx(frame.grid.length_mm + frame.arch.tube_od_mm)


def test_end_walls_have_their_doors_cut_out(frame: Frame) -> None:
    for wall in cover_lines(frame).walls:
        (sheet,) = films(frame, f"film, {wall.end.value}")
        assert Polygon(sheet.outline).area == pytest.approx(wall.covered_mm2, rel=2e-3)


def test_curtains_hang_as_they_are_told(frame: Frame) -> None:
    curtains = curtains_of(frame)
    if curtains is not None:
        for one in films(frame, "curtain, "):
            line = [*curtains.section.taut, curtains.section.shut]
            assert along(one) == pytest.approx(sum(map(lambda p: math.dist(*p), pairwise(line))),
                                               rel=0.02)  # fmt: skip
        cords = [m.part for m in film_members(frame) if m.role is Role.CORD]
        # But for half a metre at each end, to tie it with.
        assert sum(c.length_mm for c in cords) == pytest.approx(
            2 * curtains.cord_mm - 2000, rel=0.01
        )
    for one, sheet in zip(door_curtains(frame), films(frame, "curtain of a door"), strict=True):
        assert Polygon(sheet.outline).area == pytest.approx(one.width_mm * one.hangs_mm)


def test_wire_runs_through_all_channel(frame: Frame) -> None:
    rods = [m.part for m in film_members(frame) if m.role is Role.WIRE]
    assert all(isinstance(rod, Rod) for rod in rods)
    told = sum(run.length_mm * run.count for run in cover_lines(frame).channel)
    assert sum(rod.length_mm for rod in rods) == pytest.approx(told, rel=0.01)


def test_it_is_in_the_model_alone_and_only_where_it_is_asked_for(frame: Frame) -> None:
    assert with_film(frame) is frame
    output = {"units": "metric", "film": "shown"}
    shown = lay_out(design_from_mapping(ROLL_UP | {"output": output}))
    plain = lay_out(design_from_mapping(ROLL_UP))
    assert [m.mark for m in shown.members] == [m.mark for m in plain.members]
    assert summary_of(shown)["parts"] == summary_of(plain)["parts"]
    names = [role["role"] for role in scene_of(shown).members["roles"]]
    assert {"film", "film wire"} <= set(names)
    assert "film" not in [role["role"] for role in scene_of(plain).members["roles"]]
