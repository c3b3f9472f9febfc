"""The inspection record: blank, dated, and only about what the frame has."""

from __future__ import annotations

import csv
import io

import pytest
from pypdf import PdfReader

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.guide.write.inspection import inspection_csv, inspection_pdf

BASE = {
    "output": {"units": "metric"},
    "profile": {"style": "quonset", "width": "4 m", "ridge_height": "2.6 m", "leg_height": "0.6 m"},
    "bays": {"count": 2, "spacing": "1.2 m"},
    "hoop": {"tube": "42 x 2 mm"},
    "socket": {"tube": "50 x 3 mm"},
}
OCCASIONS = ["Every month", "Before a storm", "After a storm", "Before snow"]


def framed(**more: object):
    return lay_out(design_from_mapping({**BASE, **more}))


def rows_of(frame) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(inspection_csv(frame))))


def test_it_has_every_occasion_and_is_blank():
    rows = rows_of(framed())
    assert list(dict.fromkeys(row["occasion"] for row in rows)) == OCCASIONS
    assert {row[key] for row in rows for key in ("ok", "found", "mended", "date", "by")} == {""}
    assert all(row["what"] and row["should_be"] for row in rows)


def test_months_are_dated_from_the_last_day_of_work():
    """One day of work on 31 January 2027, so the months end on their own last days."""
    frame = framed(crew={"people": 60, "hours": 14.0, "start": "2027-01-31", "pace": "quick"})
    due = list(dict.fromkeys(row["due"] for row in rows_of(frame) if row["due"]))
    assert len(due) == 12
    # Film takes a morning of its own, so the second day of two, 1 February, is the last.
    assert due[:2] == ["2027-03-01", "2027-04-01"] and due[-1] == "2028-02-01"
    undated = list(dict.fromkeys(row["due"] for row in rows_of(framed()) if row["due"]))
    assert undated == [f"month {number}" for number in range(1, 13)]


@pytest.mark.parametrize(
    ("more", "what"),
    [
        ({"brace": [{"tube": "32 x 2 mm", "to_hoop": 3, "from_hoop": 1, "to_height": "1.5 m"}]},
         "Braces"),
        ({"rail": [{"at": "ridge", "tube": "32 x 2 mm"}]}, "Rails"),
        ({"sill_board": {"timber": "47x200"}}, "Sill boards"),
        ({"nearby": [{}]}, "What stands nearby"),
    ],
)  # fmt: skip
def test_it_asks_for_what_there_is_and_nothing_else(more, what):
    assert what in {row["what"] for row in rows_of(framed(**more))}
    assert what not in {row["what"] for row in rows_of(framed())}


def test_it_prints_a_page_for_each_occasion_with_its_cautions():
    frame = framed(project={"name": "Lower tunnel"})
    reader = PdfReader(io.BytesIO(inspection_pdf(frame)))
    texts = [" ".join(page.extract_text().split()) for page in reader.pages]
    assert len(texts) == len(OCCASIONS)
    for text, occasion in zip(texts, OCCASIONS, strict=True):
        assert f"Lower tunnel: inspection record, {occasion.lower()}" in text
        assert "says nothing about strength" in text and "professional" in text
    assert inspection_pdf(frame) == inspection_pdf(frame)  # two runs, the same bytes


def test_the_diagonals_to_measure_after_a_storm_are_those_set_out():
    """Sockets 4 m by 2.4 m apart: Pythagoras."""
    (row,) = [row for row in rows_of(framed()) if row["what"].startswith("Diagonals")]
    assert row["should_be"].startswith(f"both {round((4000**2 + 2400**2) ** 0.5)} mm")
