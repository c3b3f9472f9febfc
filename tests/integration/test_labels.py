"""Labels as they are printed: codes read back by another library, each in its place on the grid."""

from __future__ import annotations

import csv
from collections import Counter

import pypdfium2
import pytest
import zxingcpp

from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignFaults
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.ordering.labels import label_csv, label_pages, part_labels
from frame3d.ordering.work_tables import packed_parts, work_tables
from frame3d.takeoff.write.records import FIRST_LINE

DOTS = 4.0
"""Of the picture to a point of the page."""
PAPER = {"iso": (210.0, 297.0), "us": (215.9, 279.4)}  # ISO 216, ASME Y14.1


def design(sheets: str = "iso", number: str = "T-7", **labels) -> dict:
    return {
        "project": {"number": number},
        "output": {"units": "metric", "sheets": sheets},
        "profile": {
            "style": "quonset", "width": "4 m", "ridge_height": "2.6 m", "leg_height": "0.6 m",
        },
        "bays": {"count": 3, "spacing": "1.2 m"},
        "rail": [{"at": "ridge"}, {"at": "sides", "fraction": 0.5}],
        "sill_board": {},
        "end_wall": [{"at": "front"}],
        "labels": labels,
    }  # fmt: skip


def frame_of(**given) -> Frame:
    return lay_out(design_from_mapping(design(**given)))


def codes(pdf: bytes) -> list[tuple[int, float, float, str]]:
    """Page, middle of the code from the upper left corner in mm, and text of each code."""
    found = []
    for number, page in enumerate(pypdfium2.PdfDocument(pdf)):
        picture = page.render(scale=DOTS).to_pil()
        for one in zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode):
            place = one.position
            corners = (place.top_left, place.top_right, place.bottom_left, place.bottom_right)
            across, down = (sum(getattr(c, axis) for c in corners) / 4 for axis in "xy")
            mm = 25.4 / 72 / DOTS
            found.append((number, across * mm, down * mm, one.text))
    return sorted(found, key=lambda one: (one[0], round(one[2]), one[1]))


@pytest.mark.parametrize(
    ("sheets", "labels"),
    [
        ("iso", {}),
        ("us", {"rows": 5, "columns": 2, "margin_top": "20 mm", "margin_side": "9 mm",
                "gap_down": "4 mm", "gap_across": "6 mm", "skip": 3}),
        ("iso", {"rows": 12, "columns": 4, "each": "piece"}),
    ],
)  # fmt: skip
def test_every_label_is_in_its_cell_and_its_code_is_read_back(sheets: str, labels: dict) -> None:
    """The grid by hand: a cell is what margins and gaps leave of the paper, by rows and columns."""
    frame = frame_of(sheets=sheets, **labels)
    grid, (wide, high) = frame.design.labels, PAPER[sheets]
    cell = ((wide - 2 * grid.margin_side - (grid.columns - 1) * grid.gap_across) / grid.columns,
            (high - 2 * grid.margin_top - (grid.rows - 1) * grid.gap_down) / grid.rows)  # fmt: skip
    found = codes(label_pages(frame))
    wanted = part_labels(frame)
    assert [text for *_, text in found] == [f"T-7 {one.mark}" for one in wanted]
    for number, (page, across, down, _) in enumerate(found, start=grid.skip):
        sheet, place = divmod(number, grid.rows * grid.columns)
        row, column = divmod(place, grid.columns)
        left = grid.margin_side + column * (cell[0] + grid.gap_across)
        top = grid.margin_top + row * (cell[1] + grid.gap_down)
        assert page == sheet
        assert left < across < left + cell[0] / 2 and down == pytest.approx(
            top + cell[1] / 2, abs=0.5
        )


def test_labels_and_bundles_hold_every_member_once() -> None:
    frame = frame_of()
    made = Counter(m.mark for m in frame.members if not m.part.is_bought)
    for each in ("bundle", "piece"):
        labelled: Counter[str] = Counter()
        for one in part_labels(frame_of(each=each)):
            labelled[one.mark] += one.count
        assert labelled == made
    packed = [id(member) for one in packed_parts(frame) for member in one.members]
    assert sorted(packed) == sorted(id(member) for member in frame.members)
    bundles = work_tables(frame)[0]
    assert sum(row["count"] for row in bundles.rows) == len(frame.members)


def test_the_list_says_what_the_labels_say_and_is_no_formula() -> None:
    frame = frame_of(number="=1+1")
    caution, head, *rows = csv.reader(label_csv(frame).removeprefix("\ufeff").splitlines())
    assert caution == [FIRST_LINE] and head[0] == "label"
    assert [row[2] for row in rows] == [one.mark for one in part_labels(frame)]
    assert {row[1] for row in rows} == {"'=1+1"}
    assert not any(cell[:1] in "=+-@" for row in rows for cell in row if cell)
    assert codes(label_pages(frame))[0][3].startswith("=1+1 ")


@pytest.mark.parametrize(
    ("labels", "told"),
    [
        (
            {"rows": 40},
            "labels.rows: with 40 the labels would be too small for their code",
        ),
        (
            {"columns": 10},
            "labels.columns: with 10 the labels would be too small for their code",
        ),
        ({"margin_side": "105 mm"}, "labels.margin_side: leaves no room for labels"),
        ({"skip": 24}, "labels.skip: is 24, but a sheet has 24 labels; make it at most 23"),
    ],
)
def test_a_grid_that_cannot_be_is_told(labels: dict, told: str) -> None:
    with pytest.raises(DesignFaults) as found:
        design_from_mapping(design(**labels))
    assert str(found.value.faults[0]).startswith(told)


def test_a_long_place_gives_way_to_the_step() -> None:
    """A label too small for all of its text still says mark, count and step."""
    frame = frame_of(rows=18, columns=5)
    text = pypdfium2.PdfDocument(label_pages(frame))[0].get_textpage().get_text_bounded()
    labels = part_labels(frame)[:20]
    assert all(one.mark in text and f"step {one.step}" in text for one in labels)
    assert "of the guide" in text
