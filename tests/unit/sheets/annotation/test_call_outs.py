"""Rows of figures that lines of call-outs keep off."""

from __future__ import annotations

from shapely import Point

from frame3d.sheets.annotation.call_outs import rows_of_figures
from frame3d.sheets.primitives.primitives import RunningDimension

SCALE = 10


def figures(texts: list[str], apart: float) -> list[RunningDimension]:
    """Upright figures that far apart, mm of the frame at 1:10."""
    return [
        RunningDimension(
            datum=(0.0, 0.0), feature=(x, 0.0), knee=(x, 100.0), foot=(x, 100.0), end=(x, 150.0),
            along_x=True, text=text, text_at=(x - 20.0, 130.0),
        )
        for x, text in zip((apart * k for k in range(len(texts))), texts, strict=True)
    ]  # fmt: skip


def test_a_row_is_figures_that_are_read_together() -> None:
    """7 mm of paper apart they are one row, 12 mm apart they are not.

    Between two equal figures lies what both run from: one row ends there and another begins.
    """
    rows = rows_of_figures(figures(["20", "10", "10", "20"], 70.0), SCALE)
    between = [Point(15.0 + 70.0 * k, 130.0) for k in range(3)]
    assert [rows.intersects(place) for place in between] == [True, False, True]
    assert rows_of_figures(figures(["10", "20", "30"], 145.0), SCALE).is_empty
