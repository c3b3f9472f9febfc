"""A sheet that is drawn before its set is the one that the set holds."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

import frame3d
from frame3d.design.reading.reader import design_from_text
from frame3d.examples import typical_paths
from frame3d.frame.describe.set_status import UNCHECKED
from frame3d.frame.model.members import Frame
from frame3d.sheets.layout.sheet import Sheet, SheetSet
from frame3d.sheets.primitives.primitives import Label, Layer
from frame3d.sheets.sets.cover_sheet import COVER
from frame3d.sheets.sets.draw import draw_one, draw_sheets


@pytest.fixture(scope="module")
def frame() -> Frame:
    """Roll-up sides, ties, end walls with doors: every family but those of ground and film."""
    text = typical_paths()["tomatoes"].read_text("utf-8").replace('"30 m"', '"6 m"')
    return frame3d.lay_out(design_from_text(text))


@pytest.fixture(scope="module")
def drawn(frame: Frame) -> SheetSet:
    return draw_sheets(frame)


def unnumbered(sheet: Sheet) -> Sheet:
    """The sheet without what only the whole set tells."""
    views = tuple(
        replace(
            one,
            view=replace(
                one.view,
                primitives=tuple(
                    replace(item, text=item.text.partition(", sheet")[0])
                    if isinstance(item, Label) and item.layer is Layer.CALL_OUTS
                    else item
                    for item in one.view.primitives
                ),
            ),
        )
        for one in sheet.views
    )
    return replace(sheet, number=0, views=views, block=replace(sheet.block, sheet=""))


def test_every_family_is_as_in_the_set(frame: Frame, drawn: SheetSet) -> None:
    families = [sheet.family for sheet in drawn.sheets if sheet.family not in ("", COVER)]
    assert len(set(families)) >= 9
    for family in dict.fromkeys(families):
        alike = [sheet for sheet in drawn.sheets if sheet.family == family]
        # The last one, which is also what is drawn where there are fewer than there were.
        (alone,) = draw_one(frame, UNCHECKED, family, 99).sheets
        assert unnumbered(alone) == unnumbered(alike[-1]), family
        assert alone.block.sheet == "? / ?"
        assert all(text.endswith(", sheet ?") for text in called_out(alone))
        assert len(called_out(alone)) == len(called_out(alike[-1]))
    assert any(called_out(sheet) for sheet in drawn.sheets)


def test_sheets_of_a_family_go_by_their_place(frame: Frame, drawn: SheetSet) -> None:
    second = [sheet for sheet in drawn.sheets if sheet.family == "parts"][1]
    (alone,) = draw_one(frame, UNCHECKED, "parts", 1).sheets
    assert unnumbered(alone) == unnumbered(second)


def test_the_cover_lacks_only_its_list_of_sheets(frame: Frame, drawn: SheetSet) -> None:
    (alone,) = draw_one(frame, UNCHECKED, COVER, 0).sheets
    whole = drawn.sheets[0]
    assert alone.views == whole.views
    assert {label.text for label in alone.labels} < {label.text for label in whole.labels}
    listed = {"End elevation", "Socket plan", "Schedule of parts"}
    assert listed <= {label.text for label in whole.labels}
    assert not listed & {label.text for label in alone.labels}


def test_what_tells_of_the_whole_set_is_not_drawn_alone(frame: Frame) -> None:
    assert draw_one(frame, UNCHECKED, "", 0) is None
    assert draw_one(frame, UNCHECKED, "cover plan", 0) is None  # no film is listed


def called_out(sheet: Sheet) -> list[str]:
    found = (item for one in sheet.views for item in one.view.primitives)
    return [i.text for i in found if isinstance(i, Label) and i.layer is Layer.CALL_OUTS]
