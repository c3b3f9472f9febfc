"""What names a sheet in the PDF leads there, as another library reads the file."""

from __future__ import annotations

import re

import pymupdf
import pytest
from revised_frames import revised

from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.pdf_write import pdf_bytes


@pytest.fixture(scope="module")
def made():
    sheets = draw_sheets(revised(output={"units": "metric", "sheet_size": "A4"}))
    return sheets, pymupdf.open(stream=pdf_bytes(sheets))


def told(page, link) -> str:
    # Rows are close, and what touches the box would be read with it.
    return " ".join(page.get_textbox(link["from"] + (0, 2, 0, -2)).split())


def test_every_row_of_the_list_of_sheets_leads_to_its_sheet(made) -> None:
    sheets, pdf = made
    reached = {}
    for sheet, page in zip(sheets.sheets, pdf, strict=True):
        if sheet.title not in ("Cover", "List of sheets"):
            continue
        for link in page.get_links():
            assert link["kind"] == pymupdf.LINK_GOTO
            words = told(page, link)
            if found := re.match(r"(\d+) (.+)", words):
                assert link["page"] + 1 == int(found[1]), words
                reached[int(found[1])] = found[2]
    own = {sheet.number for sheet in sheets.sheets if sheet.title in ("Cover", "List of sheets")}
    for sheet in sheets.sheets:
        if sheet.number not in own:
            assert sheet.title.startswith(reached[sheet.number].split("\n")[0][:10])
    assert len(reached) >= len(sheets.sheets) - len(own)


def test_every_text_that_names_another_sheet_leads_there(made) -> None:
    sheets, pdf = made
    count = 0
    for sheet, page in zip(sheets.sheets, pdf, strict=True):
        links = [(told(page, link), link["page"] + 1) for link in page.get_links()]
        for words in re.findall(r"Detail \d+, sheet \d+", page.get_text()):
            number = int(words.split()[-1])
            assert any(words in text and at == number for text, at in links), words
            count += 1
        assert all(at != sheet.number for _, at in links)
        assert all(pymupdf.Rect(link["from"]) in page.rect for link in page.get_links())
    assert count > 3


def test_the_same_sheets_give_the_same_file(made) -> None:
    sheets, _ = made
    assert pdf_bytes(sheets) == pdf_bytes(sheets)
