"""The clearance drawing: its numbers are those of the checks, and it can be read."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from drawing_judge import judge
from some_sheets import sheets_by
from sound_design import frame_of

from frame3d.errors import OutputError
from frame3d.frame.space.headroom import headroom_of
from frame3d.frame.space.passage import ways
from frame3d.sheets.annotation.annotations import Aligned, Chain
from frame3d.sheets.primitives.primitives import LinearDimension
from frame3d.sheets.sets import draw
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.views.clearance_views import clearance_sheets, clearance_views
from frame3d.sheets.write.dxf_write import write_dxf
from frame3d.sheets.write.svg_write import write_svg

MACHINES = [
    {"name": "Cart", "width": "0.8 m", "height": "1.6 m"},
    {"name": "Tractor", "width": "1.4 m", "height": "1.9 m", "shoulder_height": "1 m",
     "top_width": "0.9 m", "passes": "none"},
]  # fmt: skip


@pytest.fixture(scope="module")
def frame():
    return frame_of(machine=MACHINES, door=[{"at": "both"}])


@pytest.fixture(scope="module")
def sheets(frame):
    return draw_sheets(frame)


def view_of(frame, title):
    return next(view for view in clearance_views(frame) if view.title == title)


def chains(view):
    """Distances of every chain by name, mm."""
    found = {}
    for annotation in view.annotations:
        if isinstance(annotation, Chain):
            axis = 0 if annotation.edge.runs_along_x else 1
            steps = zip(annotation.points, annotation.points[1:], strict=False)
            for name, (a, b) in zip(annotation.names or [""] * 9, steps, strict=False):
                found.setdefault(name, []).append(b[axis] - a[axis])
        elif isinstance(annotation, Aligned):
            found.setdefault(annotation.name, []).append(annotation.second[1] - annotation.first[1])
    return found


def test_there_is_a_sheet_for_the_section_each_machine_and_each_wall(sheets):
    titles = [sheets.sheets[number - 1].title for number in clearance_sheets(sheets)]
    assert titles == [
        "Clearance, cross section", "Clearance, Cart", "Clearance, Tractor",
        "Clearance, front wall, Cart", "Clearance, back wall, Cart",
    ]  # fmt: skip
    assert sheets.findings == ()


def test_without_walls_and_machines_there_is_the_section_alone():
    frame = frame_of(machine=None, door=None, end_wall=None)
    assert [view.title for view in clearance_views(frame)] == ["Clearance, cross section"]


def test_the_section_shows_the_headroom_of_the_checks(frame):
    found, rooms = chains(view_of(frame, "Clearance, cross section")), headroom_of(frame)
    assert found["headroom"] == [rooms.over(0.0, width_mm=450.0).height_mm]
    assert found["to bed"] == [pytest.approx(600.0)]
    wall = rooms.inside.wall_x_mm()
    assert found["over bed"] == [min(rooms.over(x).height_mm for x in (600.0 - wall, wall - 600.0))]
    # Tube of 42.4 mm, 6 m between axes, legs plumb.
    assert found["clear inside"] == [pytest.approx(6000 - 42.4)]


def test_a_machine_stands_as_near_to_the_wall_as_it_comes(frame):
    (_, way) = ways(frame, frame.design.machine)
    found = chains(view_of(frame, "Clearance, Tractor"))
    near, _ = way.wall_distance_mm(headroom_of(frame).inside.wall_x_mm())
    assert found["to wall"] == [pytest.approx(near)]
    assert found["Tractor"] == [pytest.approx(1400.0), pytest.approx(1900.0)]
    assert found["margin"] == [pytest.approx(150.0)]


@pytest.mark.parametrize("end", ["front", "back"])
def test_a_wall_shows_the_clear_opening_and_what_is_left_beside_the_machine(frame, end):
    found = chains(view_of(frame, f"Clearance, {end} wall, Cart"))
    assert found["clear"] == [pytest.approx(1200.0), pytest.approx(2050.0)]
    # 200 mm to either side, 450 mm over it: door less machine.
    assert found[""] == [pytest.approx(v) for v in (200.0, 800.0, 200.0, 1600.0, 450.0)]


def test_a_wall_that_no_machine_passes_shows_its_openings_alone():
    frame = frame_of(machine=MACHINES[1:])
    assert chains(view_of(frame, "Clearance, front wall")) == {
        "clear": [pytest.approx(1200.0), pytest.approx(2050.0)]
    }


def test_a_machine_that_does_not_fit_says_so():
    frame = frame_of(machine=[{"name": "Giant", "width": "1 m", "height": "3.5 m"}])
    assert view_of(frame, "Clearance, Giant, does not fit")


@pytest.mark.parametrize("units, size", [("metric", "A3"), ("imperial", "B")])
def test_the_judge_finds_nothing_on_these_sheets(units, size, tmp_path: Path):
    frame = frame_of(
        machine=MACHINES, door=[{"at": "both"}], output={"units": units, "sheet_size": size}
    )
    sheets = sheets_by(frame, draw._clearances)
    assert len(sheets.sheets) == len(clearance_sheets(sheets)) == 5
    write_dxf(sheets, tmp_path / "sheets.dxf")
    assert judge(tmp_path / "sheets.dxf") == []
    assert sheets.findings == ()


def test_every_wish_is_drawn(frame, sheets):
    for number in clearance_sheets(sheets):
        sheet = sheets.sheets[number - 1]
        (view,) = sheet.views
        drawn = [item for item in view.view.primitives if isinstance(item, LinearDimension)]
        wanted = chains(view_of(frame, sheet.title))
        assert len(drawn) == sum(map(len, wanted.values()))


def test_the_svg_holds_all_sheets_one_under_the_other(sheets, tmp_path: Path):
    numbers = clearance_sheets(sheets)
    text = write_svg(sheets, numbers, tmp_path / "c.svg").read_text("utf-8")
    root = ElementTree.fromstring(text)
    # A3 lying, five times: 420 by 297 mm in points.
    assert float(root.get("width")) == pytest.approx(420 / 25.4 * 72, abs=0.1)
    assert float(root.get("height")) == pytest.approx(5 * 297 / 25.4 * 72, abs=0.5)
    names = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(names) == len(set(names))
    colours = set(re.findall(r'stroke="([^"]*)"', text))
    assert colours and all(re.fullmatch("#[0-9a-f]{6}|none", colour) for colour in colours)
    words = " ".join("".join(root.itertext()).split())
    for title in ("cross section", "Tractor", "front wall", "back wall", "headroom"):
        assert title in words
    with pytest.raises(OutputError, match="there is no sheet 99"):
        write_svg(sheets, [1, 99], tmp_path / "d.svg")


def test_the_same_frame_gives_the_same_svg(frame, tmp_path: Path):
    one, other = (sheets_by(frame, draw._clearances) for _ in range(2))
    numbers = clearance_sheets(one)
    first = write_svg(one, numbers, tmp_path / "a.svg").read_bytes()
    assert write_svg(other, numbers, tmp_path / "b.svg").read_bytes() == first
