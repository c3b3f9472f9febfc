"""Views in rows: each has its ground, none is lost, none leaves the sheet."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.design.tables.whole_design import SheetStandard
from frame3d.sheets.annotation.annotated_view import PlacedView
from frame3d.sheets.layout.compose import ground_of
from frame3d.sheets.layout.shelves import in_rows, shelved
from frame3d.sheets.primitives.lettering import TEXT_MM, text_width_mm
from frame3d.sheets.primitives.paper import paper_of
from frame3d.units import LengthFormat, UnitSystem

MM = LengthFormat(system=UnitSystem.METRIC)
GROUND = ground_of(paper_of(SheetStandard.ISO, "A3"), ("A note.",))
WIDE, HIGH = GROUND.view_size


def view(number: int, width: float, height: float, caption: str = "") -> PlacedView:
    return PlacedView(
        title=f"V{number}",
        scale=1,
        primitives=(),
        bounds=(0.0, 0.0, width, height),
        problems=(),
        caption=(caption,) if caption else (),
    )


@given(
    st.lists(
        st.tuples(st.floats(5, WIDE), st.floats(5, HIGH - 30), st.integers(0, 60)),
        min_size=1,
        max_size=25,
    )
)
@settings(max_examples=60, deadline=None, derandomize=True)
def test_views_in_rows_keep_apart_and_on_the_sheet(sizes):
    views = [view(n, w, h, "word " * k) for n, (w, h, k) in enumerate(sizes)]
    pages = shelved(views, GROUND, MM)
    flat = [one for rows in pages for row in rows for one in row]
    assert sorted(one.title for one in flat) == sorted(one.title for one in views)
    left, bottom, right, top = GROUND.views
    for rows in pages:
        placed = in_rows(rows, GROUND, MM)
        assert placed is not None
        boxes = []
        for one in placed[0]:
            w, h = one.view.paper_size
            boxes.append(
                (
                    one.centre[0] - w / 2,
                    one.centre[1] - h / 2,
                    one.centre[0] + w / 2,
                    one.centre[1] + h / 2,
                )
            )
        for label in placed[1]:
            half = text_width_mm(label.text, label.height) / 2
            boxes.append(
                (
                    label.at[0] - half,
                    label.at[1] - label.height / 2,
                    label.at[0] + half,
                    label.at[1] + label.height / 2,
                )
            )
        slack = 1e-6
        for a in boxes:
            assert left - slack <= a[0] and a[2] <= right + slack
            assert bottom - slack <= a[1] and a[3] <= top + slack
        for a, b in itertools.combinations(boxes, 2):
            apart = (
                a[2] <= b[0] + slack
                or b[2] <= a[0] + slack
                or a[3] <= b[1] + slack
                or b[3] <= a[1] + slack
            )
            assert apart, (a, b)


def test_titles_of_a_row_stand_level():
    rows = [[view(1, 50, 80, "short"), view(2, 60, 20, "also short")]]
    _, labels = in_rows(rows, GROUND, MM)
    titles = [label for label in labels if label.text.startswith("V")]
    assert titles[0].at[1] == pytest.approx(titles[1].at[1])
    assert {label.height for label in titles} == {TEXT_MM}


def test_what_does_not_fit_is_told():
    assert in_rows([[view(1, WIDE + 1, 10)]], GROUND, MM) is None
    assert in_rows([[view(1, 10, HIGH + 10)]], GROUND, MM) is None
