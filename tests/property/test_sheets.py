"""Sheets over many frames: nothing is wrong with them that they don't tell themselves."""

from __future__ import annotations

import drawn_frames as drawn
import pytest
from campaign import examples
from drawing_judge import judge
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from frame3d.design.tables.whole_design import SheetStandard
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.dxf_write import document_of
from frame3d.units import UnitSystem

PAPERS = [
    (SheetStandard.ISO, "A4"),
    (SheetStandard.ISO, "A3"),
    (SheetStandard.ISO, "A1"),
    (SheetStandard.US, "A"),
    (SheetStandard.US, "B"),
    (SheetStandard.US, "D"),
]


@st.composite
def frames(draw):
    """Frames from small to very wide, low to steep, one bay to 24, on every kind of paper."""
    width = draw(st.floats(1000, 30000))
    leg = draw(st.one_of(st.just(0.5), st.floats(100, 4000)))
    if draw(st.booleans()):
        arch = drawn.round_arch(width, leg)
    else:
        arch = drawn.gothic_arch(width, width * draw(st.floats(0.55, 3.0)), leg)
    standard, size = draw(st.sampled_from(PAPERS))
    design = drawn.design(draw(st.sampled_from(list(UnitSystem))), standard, size)
    bays = draw(st.one_of(st.integers(1, 6), st.just(24)))
    return drawn.frame(arch, bays, draw(st.floats(300, 4000)), design)


# Shrinking would draw sheets for minutes; the frame that fails is printed in any case.
quick = settings(
    deadline=None, derandomize=True, phases=[Phase.explicit, Phase.reuse, Phase.generate]
)
GOTHIC = (6096, 4064, 1219.2)
ODD = {
    "24 bays": (drawn.gothic_arch(*GOTHIC), 24, 1219.2),
    "wide and low": (drawn.round_arch(30000, 100), 1, 300, drawn.design(sheet_size="A4")),
    "240 bays": (
        drawn.gothic_arch(*GOTHIC),
        240,
        1219.2,
        drawn.design(UnitSystem.IMPERIAL, SheetStandard.US, "B"),
    ),
}


@pytest.mark.parametrize("name", ODD)
def test_what_is_wrong_with_odd_frames_is_told(name):
    what_is_wrong_is_told(drawn.frame(*ODD[name]))


@given(frames())
@settings(quick, max_examples=examples(20))
def test_what_is_wrong_is_told(frame):
    what_is_wrong_is_told(frame)


def what_is_wrong_is_told(frame):
    sheets = draw_sheets(frame)
    doc = document_of(sheets).doc
    faults = judge(
        doc,
        marks={member.mark for member in frame.members},
        sizes_mm=(
            frame.grid.length_mm,
            *frame.arch.widths(),
            frame.arch.ridge_height_mm,
            frame.arch.top_radius_mm,
        ),
    )
    crowded = {"text on text", "text on line", "leader through figures"}
    # Whatever is not crowding may never happen; crowding only where a finding says so.
    assert [fault for fault in faults if fault.rule not in crowded] == []
    told = {name_of(sheets, finding.sheet) for finding in sheets.findings}
    assert [fault for fault in faults if fault.sheet not in told] == []


def name_of(sheets, number):
    """The layout's name of a sheet."""
    return f"{number} {sheets.sheets[number - 1].title}".replace(",", "")


@given(frames())
@settings(quick, max_examples=examples(6))
def test_mirrored_frames_have_the_same_sizes(frame):
    """Left and right exchanged: every sheet says the same numbers."""
    sheets = draw_sheets(frame)
    right = [s for s in sheets.sheets if "right side" in s.title]
    left = [s for s in sheets.sheets if "left side" in s.title]
    assert len(right) == len(left)
    for a, b in zip(right, left, strict=True):
        assert {v.view.scale for v in a.views} == {v.view.scale for v in b.views}


@given(st.sampled_from([drawn.round_arch, drawn.gothic_arch]), st.integers(2, 30))
@settings(quick, max_examples=examples(6))
def test_common_frames_are_clean_on_common_paper(shape, bays):
    """A 6 m tunnel on A3 needs no finding at any length."""
    frame = drawn.frame(shape(6000.0), bays=bays)
    if shape is drawn.gothic_arch:
        frame = drawn.frame(shape(6000.0, 4000.0), bays=bays)
    sheets = draw_sheets(frame)
    assert sheets.findings == ()
    assert judge(document_of(sheets).doc) == []
