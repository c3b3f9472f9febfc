"""Sheets that are printed apart: every drawing is in one of the sets, under its own number."""

from __future__ import annotations

from pathlib import Path

import pymupdf
import pytest
from revised_frames import revised

from frame3d.design.tables.whole_design import PrintedSet
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.sheet_files import printed_apart, write_sheet_files


@pytest.fixture(scope="module")
def sheets():
    wanted = [one.value for one in PrintedSet]
    return draw_sheets(revised(output={"units": "metric", "sets": wanted}))


def titles(sheets, one: PrintedSet) -> list[str]:
    return [sheet.title for sheet in printed_apart(sheets, one).sheets]


def test_every_sheet_is_in_a_set_and_the_cover_in_each(sheets) -> None:
    found = {one: printed_apart(sheets, one).sheets for one in PrintedSet}
    assert {s.number for those in found.values() for s in those} == {
        s.number for s in sheets.sheets
    }
    assert all(those[0] == sheets.sheets[0] for those in found.values())


def test_each_trade_has_what_it_needs_and_no_more(sheets) -> None:
    site, shop, erection = (titles(sheets, one) for one in PrintedSet)
    assert "Socket plan" in site and not any("H1" in title for title in site)
    assert (
        "Hoop piece H1" in shop
        and any("Rails" in title for title in shop)
        and "Socket plan" not in shop
    )
    assert any(title.startswith("Schedule of parts") for title in shop)
    assert {"Socket plan", "End elevation", "Details"} <= set(erection)
    assert "Hoop piece H1" not in erection


def test_the_files_have_those_sheets_under_their_numbers(sheets, tmp_path: Path) -> None:
    names = write_sheet_files(sheets, tmp_path)
    for one in PrintedSet:
        name = f"sheets/{one.value}.pdf"
        assert name in names
        apart = printed_apart(sheets, one).sheets
        with pymupdf.open(tmp_path / name) as pdf:
            assert len(pdf) == len(apart)
            for page, sheet in zip(pdf, apart, strict=True):
                assert page.get_label() == f"{sheet.block.number} {sheet.number}"
                assert sheet.block.sheet.replace(" ", "") in page.get_text().replace(" ", "")
                for link in page.get_links():  # none leads out of the file
                    assert 0 <= link["page"] < len(pdf)


def test_without_the_field_there_are_none() -> None:
    assert revised().design.output.sets == ()
