"""Use of paper, of typical tunnels, and that what measures it finds sheets that are spare."""

from __future__ import annotations

import pytest
from drawing_paper import packed, share, spare_sheets
from msgspec.structs import replace

from frame3d.design.reading.reader import read_design
from frame3d.examples import example_paths, typical_paths
from frame3d.frame.lay_out import lay_out
from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.sets import draw
from frame3d.sheets.sets.draw import draw_sheets


@pytest.mark.parametrize("name", typical_paths())
def test_no_typical_tunnel_has_a_sheet_that_another_has_room_for(name):
    assert spare_sheets(draw_sheets(lay_out(read_design(typical_paths()[name])))) == []


@pytest.fixture(scope="module")
def without() -> SheetSet:
    """The quonset example with nothing joined: two boards alone on a sheet."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(draw, "join_sheets", lambda builder: None)
        path = example_paths()["long_meadow_quonset"]
        return draw_sheets(lay_out(read_design(path)))


def test_what_is_spare_is_found(without):
    assert any(one.startswith("End wall lumber would stand on") for one in spare_sheets(without))


def test_shares_are_those_of_the_boxes_of_the_views(without):
    [lumber] = [one for one in without.sheets if one.title == "End wall lumber"]
    assert share(lumber) == pytest.approx(0.13, abs=0.03)  # two boards, by eye
    assert share(replace(lumber, views=lumber.views[:1])) < share(lumber)


def test_boxes_are_packed_in_rows():
    """Two of 190 mm and one of 380 mm side by side and below each other in 400 x 200."""
    found = [(0.0, 0.0, 190.0, 90.0), (0.0, 0.0, 190.0, 90.0), (0.0, 0.0, 380.0, 90.0)]
    assert packed(found, (400.0, 200.0)) == 1
    assert packed(found, (400.0, 185.0)) == 2
