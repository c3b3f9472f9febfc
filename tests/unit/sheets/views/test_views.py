"""What the three kinds of view say, against the frame that they show."""

from __future__ import annotations

import math

import drawn_frames as drawn
import pytest

from frame3d.design.tables.whole_design import SheetStandard
from frame3d.frame.model.roles import Side
from frame3d.sheets.annotation.annotated_view import place
from frame3d.sheets.primitives.primitives import (
    AngleDimension,
    ArcStroke,
    Bubble,
    Dimension,
    Label,
    Layer,
    LinearDimension,
    RunningDimension,
)
from frame3d.sheets.projection.stretch import stretches, whole
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.views import side_elevation as sides
from frame3d.sheets.views import socket_plan as plan
from frame3d.sheets.views.end_elevation import end_elevation
from frame3d.units import LengthFormat, UnitSystem

MM = LengthFormat(system=UnitSystem.METRIC)


def texts(view, kind=Dimension):
    return [item.text for item in place(view, 50, MM).primitives if isinstance(item, kind)]


def test_heights_of_a_round_hoop():
    # 1200 mm leg and 3000 mm radius: crown at 4200, steel 42.4 mm thick about it
    found = texts(end_elevation(drawn.frame(drawn.round_arch())))
    for text in ("1200 leg", "4200 crown", "4179 clear", "4221 overall", "R3000 crown"):
        assert text in found


def test_widths_are_named():
    # 6000 between centres, tube 42.4
    found = texts(end_elevation(drawn.frame()))
    for text in ("6000 between centres", "5958 clear inside", "6042 outside of the hoop"):
        assert text in found


def test_socket_heights_and_ridge_slope():
    found = texts(end_elevation(drawn.frame()))
    assert "300 exposed" in found and "700 embedded" in found
    # two-centred, s = 6, R = 4: slope at the ridge 14.47751219 degrees (worked by closed form)
    [angle] = texts(end_elevation(drawn.frame()), AngleDimension)
    assert angle.startswith("14.5°")


def test_height_of_a_gothic_ridge():
    # two-centred, s = 6, R = 4: rise 3.872983346, on a leg of 1.2
    assert "5073 ridge" in texts(end_elevation(drawn.frame()))


def test_only_the_first_hoop_is_in_the_end_elevation():
    arcs = [i for i in end_elevation(drawn.frame(bays=9)).primitives if isinstance(i, ArcStroke)]
    outlines = [arc for arc in arcs if arc.layer is Layer.OUTLINE]
    assert len(outlines) == 4  # two edges of two halves


def test_what_is_under_ground_is_hidden():
    lines = [
        i for i in end_elevation(drawn.frame()).primitives if getattr(i, "layer", 0) is Layer.HIDDEN
    ]
    assert lines
    assert all(max(line.start[1], line.end[1]) <= 1e-9 for line in lines)


@pytest.fixture
def the_plan():
    frame = drawn.frame(bays=6)
    return place(plan.socket_plan(frame, whole(frame.grid), plan.seen(frame)), 50, MM)


def test_running_dimensions_of_the_plan(the_plan):
    running = [i.text for i in the_plan.primitives if isinstance(i, RunningDimension)]
    assert running == ["0", "1200", "2400", "3600", "4800", "6000", "7200"]


def test_diagonals_of_the_plan(the_plan):
    diagonals = [
        i.text
        for i in the_plan.primitives
        if isinstance(i, LinearDimension) and "diagonal" in i.text
    ]
    expected = round(math.hypot(6000, 7200))
    assert diagonals == [f"{expected} diagonal"] * 2


def test_every_hoop_has_its_bubble_and_every_socket_its_mark(the_plan):
    bubbles = [i.text for i in the_plan.primitives if isinstance(i, Bubble)]
    assert bubbles == [str(n) for n in range(1, 8)]
    marks = [i.text for i in the_plan.primitives if isinstance(i, Label) and i.layer is Layer.MARKS]
    assert marks.count("S1") == 14
    assert marks.count("B1") == marks.count("B2") == 2


@pytest.mark.parametrize(("side", "way"), [(Side.RIGHT, 1), (Side.LEFT, -1)])
def test_the_side_elevations_run_the_way_one_sees_them(side, way):
    frame = drawn.frame(bays=6)
    view = sides.side_elevation(frame, side, whole(frame.grid), sides.seen(frame, side))
    bubbles = {i.text: i.at[0] for i in place(view, 50, MM).primitives if isinstance(i, Bubble)}
    assert (bubbles["7"] - bubbles["1"]) * way == pytest.approx(7200)


def test_boards_are_dimensioned_end_to_end():
    frame = drawn.frame(bays=4)
    view = sides.side_elevation(frame, Side.RIGHT, whole(frame.grid), sides.seen(frame, Side.RIGHT))
    lengths = [t for t in texts(view, LinearDimension) if t.isdigit()]
    # joint in the middle of the second bay, 1800, ends 50 past the hoops: 1850 and 3050
    assert sorted(lengths) == ["1850", "3050"]
    assert "(4900) boards" in texts(view)


def test_stretches_share_out_the_hoops():
    frame = drawn.frame(bays=10)
    parts = stretches(frame.grid, 3)
    hoops = [number for part in parts for number, _ in part.hoops(frame.grid)]
    assert hoops == list(range(1, 12))
    for a, b in zip(parts, parts[1:], strict=False):
        assert a.high_mm == b.low_mm
        # cut in the middle of a bay of 1200
        assert a.high_mm % 1200 == pytest.approx(600)


def test_stretches_keep_the_datum_of_running_dimensions():
    frame = drawn.frame(bays=10)
    last = stretches(frame.grid, 2)[1]
    placed = place(plan.socket_plan(frame, last, plan.seen(frame)), 50, MM)
    running = [i.text for i in placed.primitives if isinstance(i, RunningDimension)]
    assert running[-1] == "12000"
    assert {i.layer for i in placed.primitives if hasattr(i, "layer")} >= {Layer.MATCH}


def test_every_sheet_carries_the_cautions_and_never_calls_the_frame_safe():
    sheets = draw_sheets(drawn.frame()).sheets
    for sheet in sheets:
        notes = " ".join(label.text for label in sheet.labels)
        for words in ("buried cables", "overhead", "Brace the frame before", "licensed", "permits"):
            assert words in notes
        assert " safe" not in notes.lower()


def test_the_title_block_has_the_fields_of_iso_7200():
    # ISO 7200: owner, number, date, sheet, title, approval, creator, document type
    cover, _, plan_sheet = draw_sheets(drawn.frame()).sheets[:3]
    assert (cover.title, cover.block.scale) == ("Cover", "none")
    block = plan_sheet.block
    assert (block.owner, block.number, block.date) == ("The grower", "T-01", "2024-05-01")
    assert (block.title, block.approved_by, block.drawn_by) == ("Socket plan", "-", "A. N. Other")
    assert block.sheet.startswith("3 / ") and block.kind and block.revision == "A"
    assert block.dimensions == "millimetres" and block.scale.startswith("1:")
    assert block.first_angle


def test_a_tunnel_too_large_for_the_paper_is_told():
    design = drawn.design(sheet_size="A4")
    sheets = draw_sheets(drawn.frame(drawn.gothic_arch(30000, 90000), 1, 300, design))
    assert all("choose a larger sheet_size" in str(f) for f in sheets.findings)
    assert sheets.findings


def test_us_sheets_are_third_angle():
    design = drawn.design(UnitSystem.METRIC, SheetStandard.US, "C")
    sheets = draw_sheets(drawn.frame(the_design=design)).sheets
    block = sheets[0].block
    assert not block.first_angle
    assert block.sheet == f"1 of {len(sheets)}"
    assert block.dimensions == "millimetres"
