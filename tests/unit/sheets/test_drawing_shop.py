"""What a shop would ring up for is left out on purpose once, and seen by the judge."""

from __future__ import annotations

import ezdxf
import pytest
from drawing_judge import Page, Text, judge, pages_of
from drawing_shop import shop_faults
from shapely import box
from some_sheets import sheets_by
from sound_design import frame_of

from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.shop.part_sheets import add_part_sheets
from frame3d.sheets.write.dxf_write import write_dxf


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    """The whole set of a small design, seen."""
    path = tmp_path_factory.mktemp("shop") / "set.dxf"
    write_dxf(draw_sheets(frame_of(bays={"count": 3}, brace=[], machine=None)), path)
    return pages_of(ezdxf.readfile(path))


def told(pages) -> set[str]:
    return {rule for rule, _, _ in shop_faults(pages)}


def left_out(pages, *words: str):
    """The pages without the texts that have one of some words."""
    return [
        Page(name=page.name, texts=[t for t in page.texts if not any(w in t.text for w in words)])
        for page in pages
    ]


def test_a_set_has_all_that_a_shop_asks(pages):
    assert told(pages) == set()


def test_a_part_sheet_that_refers_to_no_notes(pages):
    assert "no make note" in told(left_out(pages, "notes of make on sheet", "on sheet 2"))


@pytest.mark.parametrize("words", ["ISO 2768-1", "ISO 13715", "springback", "Bolts and nuts"])
def test_notes_of_make_that_leave_something_out(pages, words):
    assert "no general notes" in told(left_out(pages, words))


def test_a_tube_without_its_size(pages):
    spoilt = left_out(pages, " OD × ", " needed, ")
    for page in spoilt:
        page.texts.append(Text("S1, 8 needed", "text", box(0, 0, 1, 1)))
    assert "no tube size" in told(spoilt)


def test_a_bracket_that_does_not_close(pages):
    text = next(
        t for p in pages for t in p.texts if t.text.startswith("(") and t.text.endswith(")")
    )  # fmt: skip
    was, text.text = text.text, text.text[:-1]
    found = told(pages)
    text.text = was
    assert "loose bracket" in found


def test_a_straight_that_is_told_by_a_radius(pages):
    page = next(p for p in pages if any(t.text.startswith("Arcs: chord") for t in p.texts))
    head = next(t for t in page.texts if t.text.startswith("Arcs: chord"))
    left, _, _, top = head.ground.bounds
    text = next(
        t for t in page.texts
        if t.text.startswith("(") and left - 5 < t.ground.centroid.x < left + 120
        and top - 60 < t.ground.centroid.y < top
    )  # fmt: skip
    was, text.text = text.text, "(0)"
    found = told(pages)
    text.text = was
    assert "radius of a straight" in found


def test_the_judge_holds_sheets_to_them(tmp_path):
    """Through the judge itself, on part sheets alone, whose notes are not among them."""
    path = tmp_path / "parts.dxf"
    write_dxf(sheets_by(frame_of(bays={"count": 3}, brace=[], machine=None), add_part_sheets), path)
    assert judge(path) == []
    spoilt = path.read_text().replace("notes of make on sheet", "notes on")
    path.write_text(spoilt)
    assert "no make note" in {finding.rule for finding in judge(path)}
