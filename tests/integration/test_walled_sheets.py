"""Sheets of designs with walls, doors, ties and openings, judged by what reads only the file."""

from __future__ import annotations

import pytest
from drawing_judge import Page, judge, pages_of
from drawing_paper import spare_sheets
from ezdxf.document import Drawing
from walled_designs import DESIGNS, example

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.dxf_write import document_of

UPRIGHTS = (Role.STUD, Role.DOOR_JAMB)


@pytest.fixture(scope="module", params=list(DESIGNS))
def drawn(request) -> tuple[Frame, SheetSet, Drawing, list[Page]]:
    """In memory: that a file says the same is held by the tests of its readers."""
    frame = lay_out(design_from_mapping(DESIGNS[request.param]))
    sheets = draw_sheets(frame)
    doc = document_of(sheets).doc
    return frame, sheets, doc, pages_of(doc)


def test_the_judge_finds_nothing_and_every_size_is_given(drawn):
    frame, sheets, doc, pages = drawn
    sizes = [frame.grid.length_mm, frame.arch.widths().centres_mm]
    sizes += [size for door in frame.doors for size in (door.width_mm, door.height_mm)]
    sizes += [abs(door.left_x_mm + door.right_x_mm) / 2 for door in frame.doors]
    sizes += [tie.height for tie in frame.design.tie]
    sizes += [tie.height - tie.tube.od_mm / 2 for tie in frame.design.tie]
    sizes += [girt for wall in frame.design.end_wall for girt in wall.girts]
    sizes += [z for vent in frame.vents for z in (vent.bottom_mm, vent.top_mm)]
    assert sheets.findings == ()
    assert judge(doc, pages=pages, sizes_mm=[size for size in sizes if size > 0.5]) == []


def test_no_sheet_is_nearly_empty_that_another_has_room_for(drawn):
    _, sheets, *_ = drawn
    assert spare_sheets(sheets) == []


def test_every_piece_has_its_mark_on_a_sheet(drawn):
    """Those of hoops that differ from the first, and of joint blocks, stand in the notes."""
    frame, _, _, pages = drawn
    texts = [text for page in pages for text in page.texts]
    marks = {text.text.split(" × ")[0] for text in texts if text.layer == "marks"}
    words = {word.strip(".;,") for text in texts for word in text.text.split()}
    for member in frame.members:
        if member.part.is_bought:
            continue
        known = words if member.role in (Role.HOOP, Role.JOINT_BLOCK) else marks
        assert member.mark in known, f"{member.mark}, a {member.role.value}"


def test_crowding_is_told_and_the_table_gets_a_sheet_of_its_own():
    """Studs every 2 ft in a tunnel of 30 ft, on a sheet of 11 by 8.5 in."""
    mapping = example(
        "long_meadow_gothic",
        bays={"count": 3, "spacing": "4 ft"},
        output={"units": "imperial", "sheets": "us", "sheet_size": "A"},
        end_wall=[{"girts": ["3 ft"], "largest_spacing": "2 ft"}],
        door=[{"at": "both"}],
    )
    sheets = draw_sheets(lay_out(design_from_mapping(mapping)))
    titles = [sheet.title for sheet in sheets.sheets]
    assert "End walls, front and back, pieces" in titles
    words = sheets.sheets[titles.index("End walls, front and back, pieces")]
    assert words.block.scale == "none"
    # A call-out that is left out is told too, and crowds nothing.
    told = {f.sheet for f in sheets.findings if "call-out" not in f.message}
    assert told == {titles.index("End walls, front and back") + 1}
    # What overlaps does so on the sheet that is told of, and nowhere else.
    wall = f"{titles.index('End walls, front and back') + 1} End walls front and back"
    faults = judge(document_of(sheets).doc)
    assert {fault.sheet for fault in faults} <= {wall}
    assert {fault.rule for fault in faults} <= {"text on text", "text on line"}
