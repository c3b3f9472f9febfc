"""Whatever part the model lacks: the cover and the sheets of that part say so, and no others."""

from __future__ import annotations

import pytest
from walled_designs import DESIGNS

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.describe.set_status import SetStatus
from frame3d.frame.describe.unmade import Lack, Unmade
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame, PartCount
from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.layout.sheet_set_builder import ASSEMBLY, PART
from frame3d.sheets.primitives.primitives import Label
from frame3d.sheets.sets.draw import draw_sheets


@pytest.fixture(scope="module")
def frame() -> Frame:
    return lay_out(design_from_mapping(DESIGNS["metric on US paper"]))


def made(frame: Frame) -> list[PartCount]:
    return [count for count in frame.parts() if not count.part.is_bought]


@pytest.fixture(scope="module")
def sheets(frame: Frame) -> SheetSet:
    """Every part that is made, as if all had failed."""
    unmade = tuple(
        Unmade(mark=count.mark, role=count.role, lack=Lack.NOT_BORED, reason="on purpose")
        for count in made(frame)
    )
    return draw_sheets(frame, status=SetStatus(unmade=unmade))


def _words(labels) -> str:
    return " ".join(label.text for label in labels if isinstance(label, Label))


def test_every_part_is_told_on_its_sheet(frame: Frame, sheets: SheetSet) -> None:
    told: dict[str, set[str]] = {count.mark: set() for count in made(frame)}
    for sheet in sheets.sheets[1:]:
        words = _words(sheet.labels)
        for mark in told:
            if f"NOT BORED {mark}: " in words:
                told[mark].add(sheet.block.kind)
    for mark, kinds in told.items():
        assert kinds and kinds <= {PART, ASSEMBLY}, mark


def test_the_cover_names_them_all(frame: Frame, sheets: SheetSet) -> None:
    cover = _words(sheets.sheets[0].labels)
    for count in made(frame):
        assert f"NOT BORED {count.mark}," in cover or f"NOT BORED {count.mark}:" in cover


def test_without_a_lack_nothing_is_told(frame: Frame) -> None:
    assert not any("NOT BORED" in _words(sheet.labels) for sheet in draw_sheets(frame).sheets)
