"""Where the lines of a note break: never inside of a size."""

from __future__ import annotations

import pytest

from frame3d.frame.describe.wording import tied
from frame3d.sheets.primitives.lettering import TEXT_MM, text_width_mm, wrapped

TEXT = (
    'Dig up to 2 7/16" away, or 62 mm; fill 0.7 yd³ over 12 m² at 1.5 % with a 3\'-0 1/4" board '
    "of 8.4 lb each"
)
SIZES = ['2 7/16"', "62 mm", "0.7 yd³", "12 m²", "1.5 %", "3'-0 1/4\"", "8.4 lb"]


@pytest.mark.parametrize("width_mm", [25.0, 31.0, 38.0, 47.0, 60.0, 90.0])
def test_a_size_is_never_broken(width_mm: float) -> None:
    lines = wrapped(TEXT, width_mm, TEXT_MM)
    assert " ".join(lines) == TEXT
    assert all(text_width_mm(line, TEXT_MM) <= width_mm for line in lines)
    assert [size for size in SIZES if not any(size in line for line in lines)] == []


def test_a_size_wider_than_the_line_is_broken_at_its_space_first() -> None:
    narrow = text_width_mm('7/16"', TEXT_MM)
    assert wrapped('2 7/16"', narrow, TEXT_MM) == ["2", '7/16"']


def test_words_that_only_begin_like_a_unit_are_not_tied() -> None:
    assert tied("2 inner tubes, 3 goods") == "2 inner tubes, 3 goods"
