"""Boards, plates and leaves of whole designs: each is on exactly one sheet with its count."""

from __future__ import annotations

import math
import re
from collections import Counter

from campaign import examples
from drawing_judge import judge, value_of
from hypothesis import HealthCheck, Phase, assume, given, settings
from some_sheets import sheets_by
from whole_designs import designs

from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Board, Plate
from frame3d.sheets.details.detail_sheets import detail_sheets
from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.primitives.primitives import Label, LinearDimension, RunningDimension
from frame3d.sheets.shop.door_sheets import door_sheets
from frame3d.sheets.shop.plate_pieces import plate_sheets
from frame3d.sheets.shop.timber_sheets import side_boards, wall_timber
from frame3d.sheets.write.dxf_write import document_of

_PIECE = re.compile(r"([A-Z]+\d+) × (\d+)")
_MAKERS = (side_boards, wall_timber, door_sheets, plate_sheets, detail_sheets)
_TITLES = ("Side boards", "End wall lumber", "Doors", "Plates", "Details")


@settings(
    max_examples=examples(12), deadline=None, derandomize=True, database=None,
    # Shrinking whole designs takes minutes; the one that fails is printed in any case.
    phases=[Phase.explicit, Phase.generate], suppress_health_check=list(HealthCheck),
)  # fmt: skip
@given(designs(most_bays=8, furnished=True))
def test_boards_plates_and_details_of_any_design(mapping: dict) -> None:
    try:
        frame = lay_out(design_from_mapping(mapping))
    except (DesignError, DesignFaults):
        assume(False)
    sheets = sheets_by(frame, *_MAKERS)
    every_mark_once_with_its_count(frame, sheets)
    figures_are_those_of_the_boards(frame, sheets)
    nothing_wrong_that_is_not_told(sheets)


def every_mark_once_with_its_count(frame: Frame, sheets: SheetSet) -> None:
    """No mark twice, none that is no part, no count but the true one."""
    wanted = Counter(
        (count.mark, str(count.count))
        for count in frame.parts()
        if isinstance(count.part, Board | Plate)
    )
    marks = {mark for mark, _ in wanted}
    said = Counter(
        match.groups()
        for sheet in sheets.sheets
        if sheet.title.startswith(_TITLES)
        for label in sheet.labels
        for match in _PIECE.finditer(label.text)
    )
    left_out = " ".join(finding.message for finding in sheets.findings)
    assert [mark for mark, _ in (wanted - said) if f"{mark} ×" not in left_out] == []
    assert not said - wanted
    assert {mark for mark, _ in said} <= marks


def figures_are_those_of_the_boards(frame: Frame, sheets: SheetSet) -> None:
    """Length overall and every distance of holes, as written, within the rounding."""
    parts = {count.mark: count.part for count in frame.parts()}
    step = sheets.lengths.step_mm / 2 + 1e-6
    for sheet in sheets.sheets:
        for placed in sheet.views:
            match = _PIECE.match(placed.view.title)
            if not match or not isinstance(parts[match[1]], Board):
                continue
            part, primitives = parts[match[1]], placed.view.primitives
            spans = [value_of(i.text) for i in primitives if isinstance(i, LinearDimension)]
            assert any(math.isclose(v, part.length_mm, abs_tol=step) for v in spans)
            runs = [i for i in primitives if isinstance(i, RunningDimension)]
            along = [value_of(i.text) for i in runs if i.along_x]
            up = [value_of(i.text) for i in runs if not i.along_x]
            up += [
                value_of(i.text) for i in primitives if isinstance(i, Label) and _is_figure(i.text)
            ]
            for hole in (*part.holes, *part.edge_holes):
                assert any(math.isclose(v, hole.along_mm, abs_tol=step) for v in along)
            for hole in part.holes:
                assert any(math.isclose(v, hole.up_mm, abs_tol=step) for v in up)


def _is_figure(text: str) -> bool:
    """Whether a cell of a table of holes reads as a length."""
    return bool(re.fullmatch(r"[\d'\" /-]+[\"\d]", text)) and text[0].isdigit()


def nothing_wrong_that_is_not_told(sheets: SheetSet) -> None:
    """The judge's faults on these sheets: crowding at most, and only where a finding says so."""
    names = {
        f"{sheet.number} {sheet.title}".replace(",", ""): sheet.number
        for sheet in sheets.sheets
        if sheet.title.startswith(_TITLES)
    }
    told = {finding.sheet for finding in sheets.findings}
    for fault in judge(document_of(sheets).doc):
        if fault.sheet in names:
            assert fault.rule in ("text on text", "text on line", "leader through figures"), fault
            assert names[fault.sheet] in told, fault
        else:
            assert fault.sheet, fault
