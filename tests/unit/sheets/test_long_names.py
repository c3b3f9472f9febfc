"""Long names of the user's on the sheets: they are broken, and nothing is written over."""

from __future__ import annotations

import pytest
from drawing_judge import judge

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.sheets.primitives.lettering import text_width_mm, wrapped
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.dxf_write import document_of


@pytest.mark.parametrize("text", ["M" * 40, "a " + "W" * 25 + " b", "MM" * 30 + " and more"])
def test_a_word_wider_than_a_line_is_broken_and_none_of_it_is_lost(text: str) -> None:
    lines = wrapped(text, 30.0, 2.5)
    assert all(text_width_mm(line, 2.5) <= 30.0 for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_a_line_narrower_than_a_letter_still_takes_one() -> None:
    assert wrapped("MMM", 0.5, 2.5) == ["M", "M", "M"]


@pytest.mark.parametrize("size", ["A4", "A3"])
@pytest.mark.parametrize("name", ["M" * 60, "Long name " * 5])
def test_long_names_stay_clear_on_the_cover(size: str, name: str) -> None:
    frame = lay_out(design_from_mapping({
        "project": {"name": name}, "output": {"units": "metric", "sheet_size": size},
        "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.6 m",
                    "leg_height": "0.8 m"},
        "bays": {"count": 2, "spacing": "1.5 m"},
        "hoop": {"tube": "42 x 2 mm"}, "socket": {"tube": "50 x 2 mm"},
        "machine": [{"name": "M" * 40, "width": "1 m", "height": "1 m"}],
    }))  # fmt: skip
    assert judge(document_of(draw_sheets(frame)).doc) == []
