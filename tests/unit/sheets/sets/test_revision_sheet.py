"""The set of a frame that was changed: revisions, boxed marks, notes, schedules."""

from __future__ import annotations

import pytest
from drawing_judge import judge
from revised_frames import revised

from frame3d.frame.model.members import Frame
from frame3d.frame.revisions.former import Former
from frame3d.frame.revisions.keeping import kept_marks
from frame3d.frame.revisions.records import records_of
from frame3d.sheets.layout.sheet import Sheet, SheetSet
from frame3d.sheets.primitives.primitives import Label, Layer, Stroke
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.sets.revision_sheet import ON_COVER, REVISIONS_TITLE
from frame3d.sheets.write.dxf_write import write_dxf

REVISIONS = [
    {"mark": "A", "date": "2026-10-01", "what": "First issue", "who": "A. Maker"},
    {"mark": "B", "date": "2026-11-30", "what": "Ties lowered to 2100 mm " * 6, "who": "B. M."},
]
LOWER = [{"height": "2.1 m", "every": 1, "post": "king post", "webs": 0}]


@pytest.fixture(scope="module")
def frame() -> Frame:
    former = Former(revision="A", parts=records_of(revised()))
    return kept_marks(revised(tie=LOWER, revision=REVISIONS), former)


@pytest.fixture(scope="module")
def sheets(frame: Frame) -> SheetSet:
    return draw_sheets(frame)


def words(sheet: Sheet) -> str:
    inside = (item for one in sheet.views for item in one.view.primitives)
    return "\n".join(i.text for i in (*sheet.labels, *inside) if isinstance(i, Label))


def boxes(sheet: Sheet) -> dict[str, int]:
    """For each mark on a sheet how many of it have a closed box of four lines round them."""
    found: dict[str, int] = {}
    for one in sheet.views:
        lines = [
            item for item in one.view.primitives
            if isinstance(item, Stroke) and item.layer is Layer.MARKS
        ]  # fmt: skip
        for item in one.view.primitives:
            if not isinstance(item, Label) or item.layer is not Layer.MARKS:
                continue
            x, y = item.at
            reach = 2.0 * item.height * one.view.scale
            near = [s for s in lines if max(abs(s.start[0] - x), abs(s.end[0] - x)) < 3 * reach
                    and max(abs(s.start[1] - y), abs(s.end[1] - y)) < reach]  # fmt: skip
            closed = [a for a in near if any(b.start == a.end for b in near)]
            found[item.text] = found.get(item.text, 0) + (len(closed) == 4)
    return found


def test_every_title_block_has_the_last_revision(sheets: SheetSet) -> None:
    assert {sheet.block.revision for sheet in sheets.sheets} == {"B"}


def test_the_cover_has_them_the_last_first(sheets: SheetSet) -> None:
    cover = words(sheets.sheets[0])
    assert cover.index("2026-11-30") < cover.index("2026-10-01") < cover.index("Key figures")
    assert "A. Maker" in cover and "What changed since revision A is on the sheet" in cover


def test_more_of_them_than_the_cover_takes_have_a_sheet() -> None:
    many = [{"mark": str(n), "what": f"Change {n}"} for n in range(1, ON_COVER + 3)]
    drawn = draw_sheets(revised(revision=many, rail=[], tie=[]))
    cover = words(drawn.sheets[0])
    assert f"Change {len(many)}" in cover and "Change 1\n" not in cover
    (page,) = [sheet for sheet in drawn.sheets if sheet.title == REVISIONS_TITLE]
    assert all(f"Change {n}" in words(page) for n in range(1, len(many) + 1))


def test_without_revisions_nothing_is_said_of_any() -> None:
    drawn = draw_sheets(revised(rail=[], tie=[]))
    assert {sheet.block.revision for sheet in drawn.sheets} == {"-"}
    assert all(sheet.title != REVISIONS_TITLE for sheet in drawn.sheets)
    assert "Revisions" not in words(drawn.sheets[0])


def test_marks_of_what_changed_stand_in_a_box_and_no_others(frame: Frame, sheets: SheetSet) -> None:
    altered = frame.since.altered
    assert {"T2", "KP2"} <= altered
    seen: dict[str, set[bool]] = {}
    for sheet in sheets.sheets:
        for text, boxed in boxes(sheet).items():
            seen.setdefault(text.split(" ")[0], set()).add(boxed > 0)
    assert {mark for mark, found in seen.items() if found == {True}} == altered & seen.keys()
    assert all(found == {False} for mark, found in seen.items() if mark not in altered)
    assert {"T2", "KP2"} <= seen.keys()


def test_sheets_of_changed_parts_say_so(sheets: SheetSet) -> None:
    note = "Changed since revision A, marks in a box"
    told = [sheet.title for sheet in sheets.sheets if note in words(sheet)]
    assert told and all("straight tubes" in title.lower() for title in told)
    (page,) = [sheet for sheet in sheets.sheets if sheet.title == REVISIONS_TITLE]
    assert "T2 (was T1)" in words(page)


def test_schedules_say_it_beside_the_part(sheets: SheetSet) -> None:
    text = "\n".join(words(s) for s in sheets.sheets if s.block.kind == "Parts list")
    assert "instead of T1" in text and "instead of KP1" in text
    assert "Schedule of parts no longer made" in text


def test_the_drawing_of_it_is_sound(frame: Frame, sheets: SheetSet, tmp_path) -> None:
    assert sheets.findings == ()
    path = tmp_path / "sheets.dxf"
    write_dxf(sheets, path)
    assert judge(path, marks={g.mark for g in frame.parts() if not g.part.is_bought}) == []
