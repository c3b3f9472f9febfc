"""The cover and the schedules: what they say is what the frame and the take-off have."""

from __future__ import annotations

import math
import re
from collections import Counter

import drawn_frames as drawn
import pytest
from msgspec import structs

from frame3d.design.reading.reader import read_design
from frame3d.design.tables.whole_design import SheetStandard
from frame3d.examples import example_paths
from frame3d.frame.describe.key_figures import main_figures
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.roles import Role
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import Placement
from frame3d.sheets.layout.border import border
from frame3d.sheets.layout.compose import ground_of, note_height_mm
from frame3d.sheets.layout.listing import Column, Listing, filled, fitted
from frame3d.sheets.primitives.lettering import TITLE_MM, text_width_mm
from frame3d.sheets.primitives.paper import PAPERS, paper_of
from frame3d.sheets.primitives.primitives import Align, ArcStroke, Bubble, Label, Layer, Stroke
from frame3d.sheets.sets.cover_sheet import cover_pages
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.sets.schedules import schedule_pages
from frame3d.sheets.views.isometric import ISOMETRIC, isometric
from frame3d.takeoff.take_off import take_off
from frame3d.takeoff.write.cut_lists import sawn_bars
from frame3d.units import LengthFormat, UnitSystem

FLAT_BAR = {"BK1", "BK2", "FG1", "FG2", "FG3", "HI1", "HI2", "HI3", "HI4"}
"""Plates of the example that are 1 1/2 in wide, or are bent with such; eyes and hooks are not."""


@pytest.fixture(scope="module")
def gothic():
    """The example in feet and inches, its take-off, and its sheets with the cutting plan."""
    frame = lay_out(read_design(example_paths()["long_meadow_gothic"]))
    takeoff = take_off(frame)
    return frame, takeoff, draw_sheets(frame, sawn_bars(takeoff))


def rows_of(sheets, title: str) -> list[list[Label]]:
    """The rows of a schedule: all texts between two of its rules."""
    found = []
    for sheet in sheets.sheets:
        labels = [label for label in sheet.labels if isinstance(label, Label)]
        starts = [
            label for label in labels if label.text.startswith(title) and label.height == TITLE_MM
        ]
        for start in starts:
            rules = sorted(
                (s.start[1] for s in sheet.strokes
                 if s.start[0] == start.at[0] and s.start[1] == s.end[1]), reverse=True
            )  # fmt: skip
            rules = [y for y in rules if y < start.at[1]]
            right = max(s.end[0] for s in sheet.strokes if s.start == (start.at[0], rules[0]))
            for top, bottom in zip(rules, rules[1:], strict=False):
                cells = [
                    label
                    for label in labels
                    if bottom < label.at[1] < top and start.at[0] <= label.at[0] <= right
                ]
                if any(cell.height != cells[0].height for cell in cells) or not cells:
                    break  # the next table begins
                found.append(cells)
    return found


@pytest.mark.parametrize("on_cover", [True, False])
def test_every_sheet_is_listed_by_its_number(gothic, on_cover):
    """On the cover; where that has no room, on the sheet that the cover names."""
    letter = drawn.design(UnitSystem.IMPERIAL, SheetStandard.US, "A")
    sheets = gothic[2] if on_cover else draw_sheets(drawn.frame(bays=24, the_design=letter))
    texts = [label.text for label in sheets.sheets[0].labels]
    told = re.search(r"The list of sheets is on sheet (\d+)\.", " ".join(texts))
    assert (told is None) == on_cover
    if told is not None:
        texts = [label.text for label in sheets.sheets[int(told[1]) - 1].labels]
    for sheet in sheets.sheets:
        # A long title goes on on the next line.
        assert str(sheet.number) in texts
        assert sheet.title in texts or sheet.title in " ".join(texts)
    assert [sheet.number for sheet in sheets.sheets] == list(range(1, len(sheets.sheets) + 1))


def test_the_cover_says_what_the_summary_says(gothic):
    frame, _, sheets = gothic
    texts = " ".join(label.text for label in sheets.sheets[0].labels)
    for name, figure in main_figures(frame):
        assert name in texts and figure in texts
    assert "30'-0\" centres, 30'-2\" outside, 29'-10\" clear inside" in texts
    for words in (
        "buried cables",
        "overhead lines",
        "wind",
        "ladders",
        "Lift long tubes and hoops with enough people",
        "local codes",
        "licensed professional",
        "suppliers' instructions",
        "third-angle",
        "between the centres",
    ):
        assert words in texts
    assert " safe" not in texts.lower()


def test_the_box_round_the_cautions_holds_them(gothic):
    _, _, sheets = gothic
    cover = sheets.sheets[0]
    box = [s for s in cover.strokes if s.layer is Layer.BORDER]
    xs = [p[0] for s in box for p in (s.start, s.end)]
    ys = [p[1] for s in box for p in (s.start, s.end)]
    inside = [
        label
        for label in cover.labels
        if min(xs) < label.at[0] < max(xs) and min(ys) < label.at[1] < max(ys)
    ]
    assert inside[0].text == "Cautions"
    for label in inside:
        assert label.at[0] + text_width_mm(label.text, label.height) < max(xs)


def test_every_part_stands_in_the_schedule_once_with_its_count(gothic):
    frame, takeoff, sheets = gothic
    rows = rows_of(sheets, "Schedule of parts")
    said = {}
    for cells in rows:
        texts = [cell.text for cell in sorted(cells, key=lambda c: (c.at[0], -c.at[1]))]
        number = next(c.text for c in cells if c.align is Align.RIGHT and c.text.isdigit())
        assert texts[0] not in said
        said[texts[0]] = int(number)
    made = {g.mark: g.count for g in frame.parts() if not g.part.is_bought}
    assert said == made
    # the take-off's own table
    assert {c.group.mark for c in takeoff.carried} == set(made)


def plain_pieces(sheet) -> set[str]:
    """The words of the table of plain pieces of a sheet, marks among them."""
    return {
        item.text
        for view in sheet.views
        if any(
            isinstance(i, Label) and i.text.startswith("Plain pieces") for i in view.view.primitives
        )
        for item in view.view.primitives if isinstance(item, Label)
    }  # fmt: skip


def test_sheets_named_in_the_schedule_show_the_mark(gothic):
    _, _, sheets = gothic
    shown = {
        sheet.number: {
            item.text.split(" × ")[0]
            for view in sheet.views for item in view.view.primitives
            if isinstance(item, Label) and item.layer is Layer.MARKS
        } | set(re.findall(r"[A-Z]+\d+", " ".join(
            [sheet.title, *(view.view.title for view in sheet.views)]
        ))) | plain_pieces(sheet)
        for sheet in sheets.sheets
    }  # fmt: skip
    checked = plain = 0
    heads = [
        label
        for sheet in sheets.sheets
        for label in sheet.labels
        if label.text == "Sheets" and sheet.title.startswith("Schedule of parts")
    ]
    for cells in rows_of(sheets, "Schedule of parts"):
        mark = min(cells, key=lambda c: c.at[0]).text
        for cell in cells:
            if any(abs(cell.at[0] - head.at[0]) < 1e-6 for head in heads):
                for number in re.findall(r"\d+", cell.text):
                    assert mark in shown[int(number)]
                    checked += 1
                if any(mark in plain_pieces(sheet) for sheet in sheets.sheets):
                    # The schedule leads to where a plain tube's length is, not to a view of it.
                    number = int(cell.text.split(",")[0])
                    assert mark in plain_pieces(sheets.sheets[number - 1])
                    plain += 1
    assert checked > 40
    assert plain >= 4  # tie, web, king post, brace


def test_the_hardware_is_that_of_the_take_off(gothic):
    _, takeoff, sheets = gothic
    said = {}
    for cells in rows_of(sheets, "Schedule of hardware"):
        item = min(cells, key=lambda c: (c.at[0], -c.at[1])).text
        said[item] = int(next(c.text for c in cells if c.align is Align.RIGHT))
    assert said == {row.item: row.needed for row in takeoff.hardware}


def test_the_cuts_hold_every_piece_that_is_made(gothic):
    """Bars times pieces of each, added up, against the count of each part."""
    frame, _, sheets = gothic
    counts: dict[str, int] = {}
    for cells in rows_of(sheets, "Schedule of cuts"):
        ordered = sorted(cells, key=lambda c: (c.at[0], -c.at[1]))
        bars = int(next(c.text for c in ordered if c.align is Align.RIGHT))
        words = " ".join(c.text for c in ordered)
        for times, marks in re.findall(r"(\d+) × ((?:[A-Z]+\d+-?)+) ", words):
            for mark in marks.split("-"):  # of a piece that is bent into several plates
                counts[mark] = counts.get(mark, 0) + bars * int(times)
    made = {
        g.mark: g.count
        for g in frame.parts()
        if not g.part.is_bought and (hasattr(g.part, "section") or g.mark in FLAT_BAR)
    }
    assert counts == made


def test_without_a_plan_the_pieces_of_each_section_are_listed():
    frame = drawn.frame()
    sheets = draw_sheets(frame)
    rows = rows_of(sheets, "Schedule of")
    texts = [{cell.text for cell in cells} for cells in rows]
    # five hoops of two halves; two sockets each
    assert any({"H1", "10", "42.4 x 3.2"} <= row for row in texts)
    assert any({"S1", "10", "1000", "10000"} <= row for row in texts)


def test_wrapped_cells_stay_in_their_columns():
    listing = Listing(
        title="Words",
        columns=(Column(head="a"), Column(head="b", wraps=True), Column(head="c", wraps=True)),
        rows=tuple((f"row {i}", "some words " * 12, "others of them " * 9) for i in range(9)),
    )
    table = fitted(listing, 120.0, 2.5)
    assert table.width_mm <= 120.0 + 1e-6
    primitives, after, low = filled(table, (0.0, 0.0, 120.0, 150.0))
    assert 0 < after < 9 and low >= 0.0
    for label in primitives:
        if isinstance(label, Label):
            assert label.at[0] + text_width_mm(label.text, label.height) < 120.0
    rest, last, _ = filled(table, (0.0, 0.0, 120.0, 500.0), after)
    assert last == 9
    assert any(label.text == "Words (continued)" for label in rest if isinstance(label, Label))


@pytest.mark.parametrize("words", ["Sheets", "A list with a long name"])
def test_blocks_beside_each_other_have_titles_that_fit_over_them(words):
    listing = Listing(
        title=words,
        columns=(Column(head="No."), Column(head="Title", wraps=True)),
        rows=tuple((str(i), "Cover and more") for i in range(30)),
    )
    table = fitted(listing, 28.0, 2.5)
    primitives, after, _ = filled(table, (0.0, 0.0, 200.0, 60.0))
    titles = [x for x in primitives if isinstance(x, Label) and x.height == TITLE_MM]
    assert after > 10 and len(titles) > 3
    for title in titles[1:]:
        assert title.text in ("(continued)", "")
        assert text_width_mm(title.text, TITLE_MM) <= table.width_mm


def test_a_cell_larger_than_a_sheet_is_broken():
    listing = Listing(
        title="Long", columns=(Column(head="x", wraps=True),), rows=(("word " * 900,),)
    )
    table = fitted(listing, 60.0, 2.5)
    number, words = 0, 0
    while number < len(table.rows):
        primitives, after, _ = filled(table, (0.0, 0.0, 60.0, 90.0), number)
        assert after > number
        number = after
        words += sum(i.text.split().count("word") for i in primitives if isinstance(i, Label))
    assert words == 900


@pytest.mark.parametrize("standard", list(SheetStandard))
def test_zones_on_all_but_the_smallest_sheets(standard):
    """ISO 5457 (from memory): fields of 50 mm from the middle, none on A4, no I and no O."""
    for paper in PAPERS[standard]:
        labels = [item for item in border(paper) if isinstance(item, Label)]
        if paper.name in ("A4", "A"):
            assert labels == []
            continue
        names = [label.text for label in labels]
        assert not {"I", "O"} & set(names)
        assert all(names.count(name) == 2 for name in names)  # on both sides
        for label in labels:
            assert 0 < label.at[0] < paper.width_mm and 0 < label.at[1] < paper.height_mm
    a3 = paper_of(SheetStandard.ISO, "A3")
    numbers = {i.text for i in border(a3) if isinstance(i, Label) and i.text.isdigit()}
    letters = {i.text for i in border(a3) if isinstance(i, Label) and i.text.isalpha()}
    # ISO 5457, table 3: A3 has 8 fields on the long side and 6 on the short one (from memory).
    assert (len(numbers), len(letters)) == (8, 6)


# --- the isometric view -----------------------------------------------------------------


def test_the_three_axes_are_foreshortened_alike():
    """ISO 5456-3: in isometry each axis is drawn at sqrt(2/3) of its length, 120° apart."""
    axes = [ISOMETRIC.flat(axis) for axis in ((1, 0, 0), (0, 1, 0), (0, 0, 1))]
    assert [math.hypot(*axis) for axis in axes] == pytest.approx([math.sqrt(2 / 3)] * 3)
    turns = sorted(math.degrees(math.atan2(v, u)) % 360 for u, v in axes)
    assert turns == pytest.approx([30.0, 90.0, 330.0])


def test_a_hoop_is_drawn_where_its_axis_is():
    """One hoop alone at a small scale: its line is as long as the axis seen at a slant."""
    frame = drawn.frame(bays=1)
    primitives = isometric(frame, 200, 2)
    outline = [s for s in primitives if isinstance(s, Stroke) and s.layer is Layer.OUTLINE]
    points = [p for s in outline for p in (s.start, s.end)]
    top = max(v for _, v in points)
    # The left half is an arc of 4 m about (1 m, leg); the farthest point of a circle in the
    # direction d is its centre plus R d / |d|. Chords lie within 0.05 mm on paper, 10 mm.
    y, leg, radius = frame.grid.hoop_y_mm[-1], 1200.0, 4000.0
    wanted = (-1000.0 + 2 * leg + y + radius * math.sqrt(5)) / math.sqrt(6)
    assert wanted - 10.0 < top < wanted + 1e-6
    assert not any(isinstance(item, ArcStroke) for item in primitives)
    # 1200 mm at 1:200 is 5 mm on paper, too near for two bubbles of 7 mm
    assert {item.text for item in primitives if isinstance(item, Bubble)} == {"1"}


def test_what_lies_behind_is_interrupted():
    """The far rail passes behind the near hoops: it is in pieces; the near rail less so."""
    frame = drawn.frame(bays=8)
    whole = sum(1 for m in frame.members if m.role is Role.RAIL)
    fine = [s for s in isometric(frame, 100, 9) if isinstance(s, Stroke) and s.layer is Layer.FINE]
    assert len(fine) > 4 * whole


def test_below_ground_is_drawn_hidden():
    frame = drawn.frame(bays=2)
    hidden = [s for s in isometric(frame, 100, 3) if getattr(s, "layer", None) is Layer.HIDDEN]
    lowest = min(min(s.start[1], s.end[1]) for s in hidden)
    # sockets reach 700 mm into the ground; sqrt(2/3) of it is seen
    foot = ISOMETRIC.flat((frame.grid.socket_x_mm, 0.0, -700.0))
    assert lowest == pytest.approx(foot[1], abs=1e-6)


def test_of_a_very_long_tunnel_the_first_hoops_are_shown_and_the_sheet_says_so():
    design = drawn.design(UnitSystem.IMPERIAL, SheetStandard.US, "B")
    frame = drawn.frame(bays=240, the_design=design)
    (cover,) = cover_pages(frame, paper_of(SheetStandard.US, "B"), 2.5, ["Cover"])
    words = " ".join(item.text for item in cover.primitives if isinstance(item, Label))
    shown = re.search(r"the first (\d+) of 241 hoops, not to scale", words)
    assert shown and 4 <= int(shown[1]) < 241
    bubbles = [i.text for i in cover.views[0].view.primitives if isinstance(i, Bubble)]
    assert bubbles == ["1", shown[1]]


def test_numbers_of_hoops_that_stand_close_do_not_collide():
    """Two hoops 300 mm apart and 30 m wide: only the first is numbered."""
    frame = drawn.frame(drawn.round_arch(30000, 100), 1, 300)
    primitives = isometric(frame, 250, 2)
    assert [item.text for item in primitives if isinstance(item, Bubble)] == ["1"]


def test_a_list_of_sheets_too_long_for_the_cover_has_sheets_of_its_own():
    paper = paper_of(SheetStandard.ISO, "A4")
    titles = [f"Sheet of the number {i}" for i in range(1, 301)]
    cover, *lists = cover_pages(drawn.frame(), paper, 1.8, titles)
    assert len(lists) > 1
    assert any("on sheet 2" in i.text for i in cover.primitives if isinstance(i, Label))
    said = [i.text for page in lists for i in page.primitives if isinstance(i, Label)]
    assert [title for title in titles if said.count(title) != 1] == []


@pytest.mark.parametrize(
    "standard, size",
    [
        (SheetStandard.US, "A"),
        (SheetStandard.US, "B"),
        (SheetStandard.ISO, "A4"),
    ],
)
def test_schedules_stand_clear_of_their_notes_however_many_share_a_sheet(gothic, standard, size):
    """On small paper the notes of several schedules together once reached into the last."""
    frame, *_ = gothic
    paper = paper_of(standard, size)
    pages = schedule_pages(
        frame,
        paper,
        LengthFormat(system=UnitSystem.METRIC),
        note_height_mm(paper),
        sheets={},
        sawn=(),
    )
    for page in pages:
        foot = ground_of(paper, page.notes).views[1]
        assert min(item.at[1] for item in page.primitives if isinstance(item, Label)) > foot


def test_the_list_of_sheets_stands_in_columns_about_equally_long(gothic):
    frame, *_ = gothic
    paper = paper_of(SheetStandard.ISO, "A3")
    (page,) = cover_pages(frame, paper, note_height_mm(paper), [f"Sheet {n}" for n in range(1, 47)])
    columns = Counter(
        round(label.at[0], 3)
        for label in page.primitives
        if isinstance(label, Label) and label.text.startswith("Sheet ")
    )
    assert len(columns) > 1 and max(columns.values()) - min(columns.values()) < len(columns)


def test_what_is_below_ground_by_rounding_alone_is_drawn_above_it():
    """A tube whose lower end lies 1e-13 mm too low: a tube that stands on the ground."""
    frame = drawn.frame()
    hoop = next(frame.of(Role.HOOP))
    inks = []
    for z in (0.0, -1e-13):
        stand = Placement.of(origin=(0.0, 0.0, z), x=(0.0, 0.0, 1.0), y=(1.0, 0.0, 0.0))
        tube = structs.replace(hoop.part, axis=PlanePath((Line(3000.0),)), holes=())
        member = structs.replace(hoop, part=tube, placement=stand)
        inks.append(isometric(structs.replace(frame, members=(member,)), 20, 3))
    assert len(inks[0]) == len(inks[1]) > 2
    layers = [{one.layer for one in primitives if isinstance(one, Stroke)} for primitives in inks]
    assert layers[0] == layers[1] == {Layer.OUTLINE, Layer.GRID}
