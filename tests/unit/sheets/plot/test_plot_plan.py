"""The plot plan as drawn: what is on it, where, and with which figures."""

from __future__ import annotations

import math

import pytest
from shapely import LineString, Polygon

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.sheets.annotation.annotations import Aligned, LengthCell
from frame3d.sheets.plot.paths import machine_paths
from frame3d.sheets.plot.plan import plot_plan
from frame3d.sheets.plot.plot_sheet import add_plot_plan, notes, tables
from frame3d.sheets.plot.signs import north_arrow, scale_bar
from frame3d.sheets.primitives.primitives import Label, Layer, LinearDimension, Stroke
from frame3d.sheets.sets.draw import builder_for, draw_sheets
from frame3d.site.plot.plot import plot_of
from frame3d.units import LengthFormat, UnitSystem

PLAIN = {
    "project": {"name": "Lot"},
    "output": {"units": "metric"},
    "profile": {"style": "quonset", "width": "4 m", "ridge_height": "2.6 m", "leg_height": "0.6 m"},
    "bays": {"count": 4, "spacing": "1.2 m"},
    "hoop": {"tube": "42 x 2 mm"},
    "socket": {"tube": "50 x 3 mm"},
}
LOT = {
    "boundary": [
        {"corner": c, "name": n}
        for c, n in (
            ("-8 m by -6 m", "Lane"), ("14 m by -5 m", "East"), ("12 m by 16 m", "Brook"),
            ("-6 m by 14 m", "West"),
        )
    ],
    "surroundings": {"setback": "2 m", "front_faces": "south-west"},
    "service": [
        {"name": "Main", "points": ["-3 m by -5 m", "-3 m by 13 m"], "kind": "water"},
        {"name": "Wire", "points": ["-9 m by 12 m", "13 m by 14 m"], "laid": "overhead"},
    ],
    "nearby": [
        {"name": "Barn", "kind": "building", "side": "right", "distance": "4 m", "length": "5 m",
         "depth": "3 m", "starts": "1 m"},
        {"name": "Oak", "kind": "tree", "side": "back", "distance": "4 m", "length": "3 m"},
    ],
    "machine": [{"name": "Cart"}],
}  # fmt: skip


def framed(**more: object) -> Frame:
    return lay_out(design_from_mapping({**PLAIN, **more}))


@pytest.fixture(scope="module")
def frame() -> Frame:
    return framed(**LOT)


@pytest.fixture(scope="module")
def sheet(frame):
    builder = builder_for(frame)
    add_plot_plan(builder)
    return builder


def plan_of(sheet):
    return sheet.drafts[0].views[0]


def test_all_lines_are_on_their_layers(sheet):
    layers = {one.layer for one in plan_of(sheet).primitives if isinstance(one, Stroke)}
    assert layers >= {
        Layer.BOUNDARY, Layer.SETBACK, Layer.BURIED, Layer.OVERHEAD, Layer.PATHS, Layer.OUTLINE,
    }  # fmt: skip
    assert sheet.findings == []


def test_everything_has_its_name_on_the_plan(sheet):
    texts = {one.text for one in plan_of(sheet).primitives if isinstance(one, Label)}
    assert texts >= {
        "B1 Lane", "B2 East", "B3 Brook", "B4 West", "S1 Main, buried", "S2 Wire, overhead",
        "N1 Barn", "N2 Oak", "Tunnel", "Cart", "N", "boundary", "setback",
        "buried service, not proven", "overhead line", "path of a machine with its margin",
    }  # fmt: skip


def test_dimensions_to_the_boundary_are_the_distances_of_shapely(frame, sheet):
    """What a dimension measures, what it says, and what the list says are one figure."""
    plot = plot_of(frame)
    body = Polygon(plot.outline)
    wanted = sorted(body.distance(LineString(line.ends)) for line in plot.lines)
    drawn = [one for one in plan_of(sheet).primitives if isinstance(one, LinearDimension)]
    assert sorted(math.dist(one.first, one.second) for one in drawn) == pytest.approx(wanted)
    assert sorted(int(one.text) for one in drawn) == [round(value) for value in wanted]
    listed = [row[3] for row in tables(frame)[0].rows]
    assert sorted(c.mm for c in listed if isinstance(c, LengthCell)) == pytest.approx(wanted)


def test_the_boundary_is_drawn_where_the_corners_are(frame, sheet):
    """The plan has the tunnel to the right and its left side on top: (x, y) is seen at (y, -x)."""
    drawn = [one for one in plan_of(sheet).primitives
             if isinstance(one, Stroke) and one.layer is Layer.BOUNDARY][:4]  # fmt: skip
    # Places of the design are from socket 1L, at x = -2 m.
    wanted = [(-6.0, 10.0), (-5.0, -12.0), (16.0, -10.0), (14.0, 8.0)]
    for one, place in zip(drawn, wanted, strict=True):
        assert tuple(value / 1000 for value in one.start) == pytest.approx(place)


def test_the_plan_is_to_scale_and_its_bar_tells_it():
    lengths = LengthFormat(system=UnitSystem.METRIC, denominator=16, decimals=0)
    lines = [one for one in scale_bar((0.0, 0.0), 200, lengths) if isinstance(one, Stroke)]
    long = max(one.end[0] for one in lines)
    texts = [one.text for one in scale_bar((0.0, 0.0), 200, lengths) if isinstance(one, Label)]
    assert texts[-1] == f"{long:g} mm" and 25.0 <= long / 200 <= 45.0
    at = [one.at[0] for one in scale_bar((0.0, 0.0), 200, lengths) if isinstance(one, Label)]
    assert [float(text.split()[0]) for text in texts] == pytest.approx(at)


def test_the_arrow_points_north():
    north = (0.6, 0.8)
    shaft = north_arrow((0.0, 0.0), north, 100)[0]
    assert isinstance(shaft, Stroke)
    way = (shaft.end[0] - shaft.start[0], shaft.end[1] - shaft.start[1])
    assert way[0] / math.hypot(*way) == pytest.approx(0.6)
    assert way[1] / math.hypot(*way) == pytest.approx(0.8)


def test_the_tunnel_that_faces_south_west_runs_north_east(frame):
    """So north is 45 degrees to the left of the way along, which is to the right on the plan."""
    strokes = [one for one in plot_plan(frame, 100).primitives if isinstance(one, Stroke)]
    head = [one for one in strokes if one.layer is Layer.DIMENSIONS]
    shaft = max(
        head, key=lambda one: abs(one.end[0] - one.start[0]) * abs(one.end[1] - one.start[1])
    )
    assert (shaft.end[0] - shaft.start[0]) == pytest.approx(shaft.end[1] - shaft.start[1])
    assert shaft.end[0] > shaft.start[0]


def test_levels_are_shown_where_they_were_taken(frame):
    view = plot_plan(frame, 100, [(1000.0, 2000.0, 153.0)])
    mark = next(one for one in view.annotations if getattr(one, "text", "") == "153")
    assert mark.at == (2000.0, -1000.0)
    assert any("benchmark" in note for note in notes(frame, [(0.0, 0.0, 0.0)]))


def test_cautions_and_what_is_not_known_are_told(frame):
    told = " ".join(notes(frame))
    assert "no proof of where it lies" in told and "located and marked" in told
    assert "no survey" in told and "eighth of the compass" in told
    bare = " ".join(notes(framed(boundary=[{}])))
    assert "No setback is given" in bare and "North was not given" in bare


def test_a_path_goes_through_the_door_as_wide_as_the_machine_with_its_margin(frame):
    (path,) = machine_paths(frame)
    machine = frame.design.machine[0]
    across = [x for x, _ in machine.outline]
    assert path.right_mm - path.left_mm == pytest.approx(
        max(across) - min(across) + 2 * machine.margin
    )
    # No end has a wall, so it drives right through and out at both ends.
    assert path.from_mm < 0.0 and path.to_mm > frame.grid.length_mm


def test_no_two_figures_tell_the_same_place(frame):
    """Where the boundary juts in, one corner is the nearest place of two lines."""
    places = ["-30 m by -30 m", "40 m by -30 m", "40 m by 40 m", "2 m by 10 m", "-30 m by 40 m"]
    jutting = framed(boundary=[{"corner": place} for place in places])
    aligned = [one for one in plot_plan(jutting, 500).annotations if isinstance(one, Aligned)]
    assert len(plot_of(jutting).lines) == 5 and len(aligned) == 4


@pytest.mark.parametrize(
    ("places", "units", "paper"),
    [
        (["-9 m by -6 m", "20 m by -4 m", "2 m by 30 m"], "metric", "A4"),
        (["-400 m by -300 m", "500 m by -320 m", "420 m by 600 m", "-450 m by 500 m"], "metric",
         "A3"),
        (["-30 ft by -20 ft", "50 ft by -20 ft", "60 ft by 900 ft", "-30 ft by 900 ft"],
         "imperial", "A"),
    ],
)  # fmt: skip
def test_odd_plots_have_a_plan_without_a_trouble(places, units, paper):
    sheets = "us" if paper == "A" else "iso"
    frame = framed(
        output={"units": units, "sheets": sheets, "sheet_size": paper},
        boundary=[{"corner": place} for place in places],
        service=[{}],
    )
    builder = builder_for(frame)
    add_plot_plan(builder)
    assert builder.findings == [] and builder.drafts[0].title == "Plot plan"


def test_the_set_has_the_plan_only_where_there_is_a_plot():
    assert "Plot plan" not in {sheet.title for sheet in draw_sheets(framed()).sheets}
    assert "Plot plan" in {sheet.title for sheet in draw_sheets(framed(service=[{}])).sheets}
