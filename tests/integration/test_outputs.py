"""What outputs/ keeps of the examples is what the program makes now.

Remake it with ``python tests/remake_outputs.py``. The pictures differ a little from
one graphics library to the next, so only their size is looked at.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import openpyxl
import pymupdf
import pytest
from remake_outputs import KEPT_SHEETS, kept_pictures, picture_of

from frame3d.checks.all_checks import check_frame
from frame3d.checks.report import status_of
from frame3d.design.reading.reader import read_design
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.pdf_write import write_pdf
from frame3d.summary import summary_of, summary_text
from frame3d.takeoff.take_off import take_off
from frame3d.takeoff.write.cut_lists import sawn_bars
from frame3d.takeoff.write.part_lists import tables_of
from frame3d.takeoff.write.workbook import FIRST_ROW, sheet_name
from frame3d.units.data_tables import Units

OUTPUTS = Path(__file__).parents[2] / "outputs"
MOST_BYTES = 4_000_000


def words(pdf: Path) -> list[list]:
    """Every word of every page with its place to a tenth of a point."""
    with pymupdf.open(pdf) as document:
        return [
            sorted([round(c, 1) for c in word[:4]] + [word[4]] for word in page.get_text("words"))
            for page in document
        ]


@pytest.mark.parametrize("name", sorted(example_paths()))
def test_kept_drawings_and_summary_are_current(name: str, tmp_path: Path) -> None:
    frame = lay_out(read_design(example_paths()[name]))
    kept = json.loads((OUTPUTS / name / "summary.json").read_text(encoding="utf-8"))
    status = status_of(check_frame(frame))
    now = json.loads(summary_text(summary_of(frame, status)))
    for key in set(now) - {"files", "findings", "sheet_findings"}:
        assert kept[key] == now[key], f"{key}: run python tests/remake_outputs.py"
    # By its plan, as in a build: without one the schedule of cuts may take a sheet less.
    sheets = draw_sheets(frame, sawn_bars(take_off(frame)), status)
    write_pdf(sheets, tmp_path / "sheets.pdf")
    kept_words, now_words = words(OUTPUTS / name / "sheets.pdf"), words(tmp_path / "sheets.pdf")
    # The last sheets are the schedule of cuts, which a build makes of the plan it has.
    cuts = sum("cuts" in sheet.title for sheet in sheets.sheets)
    assert cuts >= 1
    assert kept_words[:-cuts] == now_words[:-cuts]


@pytest.mark.parametrize("name", sorted(example_paths()))
def test_kept_take_off_is_current(name: str) -> None:
    """All but the cutting plans, of which another release of the solver may find an equal one."""
    takeoff = take_off(lay_out(read_design(example_paths()[name])))
    units = Units(system=takeoff.frame.design.output.units, currency=takeoff.currency)
    book = openpyxl.load_workbook(OUTPUTS / name / "takeoff.xlsx", data_only=True)
    for table in tables_of(takeoff):
        if table.key in ("stock", "cuts", "plans", "cost"):
            continue
        rows = book[sheet_name(table)].iter_rows(min_row=FIRST_ROW + 1, values_only=True)
        kept = [["" if value is None else value for value in row] for row in rows]
        now = [["" if v is None else v for v in row] for row in table.values(units)]
        assert kept == now, f"{table.key}: run python tests/remake_outputs.py"
    picture = (OUTPUTS / name / "takeoff-cuts.svg").read_text("utf-8")
    for section in takeoff.sections:
        assert section.section.name in picture


@pytest.mark.parametrize("name", sorted(example_paths()))
def test_kept_pictures_show_the_sheets_that_they_are_named_by(name: str, tmp_path: Path) -> None:
    pixels = pymupdf.Pixmap(str(OUTPUTS / name / "model.png"))
    assert pixels.w > 800 and pixels.h > 500
    kept_pictures(OUTPUTS / name / "sheets.pdf", tmp_path)
    drawn = sorted(path.name for path in tmp_path.iterdir())
    assert drawn == sorted(path.name for path in (OUTPUTS / name).glob("sheet-*.png"))
    # The end walls have one sheet, or the front one its own.
    assert len(drawn) == 3 and set(drawn) <= set(map(picture_of, KEPT_SHEETS))
    for picture in drawn:
        now, kept = (
            np.frombuffer(pymupdf.Pixmap(str(folder / picture)).samples, dtype=np.uint8)
            for folder in (tmp_path, OUTPUTS / name)
        )
        # Another release of what draws may shade edges otherwise; another sheet is off by far more.
        assert len(now) == len(kept), picture
        assert np.abs(now.astype(int) - kept).mean() < 0.5, picture


def test_kept_files_are_small_enough_for_git() -> None:
    kept = [
        path
        for name in example_paths()
        for pattern in (
            "model.png",
            "sheet-*.png",
            "takeoff-cuts.svg",
            "sheets.pdf",
            "summary.json",
            "takeoff.xlsx",
        )
        for path in (OUTPUTS / name).glob(pattern)
    ]
    assert sum(path.stat().st_size for path in kept) < MOST_BYTES
