"""A sheet chosen for the frame where the design names none."""

from __future__ import annotations

import pytest

from frame3d.design.reading.reader import design_from_mapping, notes_of
from frame3d.design.tables.whole_design import SheetStandard
from frame3d.design.values.following import PLAN_REACH_MM
from frame3d.sheets.primitives.paper import PAPERS

_BESIDE_MM = 30.0
_MARGINS_MM = 8.0
"""On both sides of what is drawn, within the frame of the sheet."""
_SCALE = {SheetStandard.ISO: 100, SheetStandard.US: 96}


def size(*, metric: bool = False, bays: object, **output: object) -> str:
    base = {"units": "metric"} if metric else {}
    design = design_from_mapping(
        {
            "output": {**base, **output},
            "profile": {"style": "quonset", "width": "20 ft"},
            "bays": bays,
        }
    )
    return design.output.sheet_size


@pytest.mark.parametrize("standard", list(SheetStandard))
def test_the_reach_of_a_sheet_is_that_of_its_paper(standard):
    """What the drawing space holds at 1:100 or 1:96, rounded down to 0.1 m."""
    sizes = {paper.name: paper for paper in PAPERS[standard]}
    for name, reach in PLAN_REACH_MM[standard.value]:
        left, _, right, _ = sizes[name].frame
        room = (right - left - _MARGINS_MM - _BESIDE_MM) * _SCALE[standard]
        assert 0.0 <= room - reach < 100.0


@pytest.mark.parametrize(
    ("bays", "us", "iso"),
    [
        ({"count": 24, "spacing": "4 ft"}, "B", "A3"),  # 29.3 m
        ({"count": 29, "spacing": "4 ft"}, "C", "A2"),  # 35.4 m
        ({"length": "150 ft"}, "C", "A2"),  # 45.7 m
        ({"length": "160 ft"}, "B", "A2"),  # 48.8 m: two pieces on B and on C
        ({"length": "240 ft"}, "C", "A2"),  # 73.2 m: three on B or A3, two on C or A2
        ({"length": "220 ft"}, "B", "A3"),  # 67.1 m: two on B and on C
    ],
)
def test_the_larger_is_taken_where_the_plan_is_in_fewer_pieces(bays, us, iso):
    assert size(bays=bays) == us
    assert size(metric=True, bays=bays) == iso
    assert size(bays=bays, sheets="iso") == iso


def test_one_that_is_named_stays():
    assert size(bays={"count": 60, "spacing": "4 ft"}, sheet_size="B") == "B"
    assert size(bays={"count": 60, "spacing": "4 ft"}, sheet_size="A4") == "A4"


def test_older_files_are_told():
    """Format 1 had B or A3 for any length."""
    long = {
        "profile": {"style": "quonset", "width": "20 ft"},
        "bays": {"count": 35, "spacing": "4 ft"},
    }
    (note,) = notes_of(design_from_mapping({"format": 1, **long}))
    assert "sheet_size" in note and 'sheet_size = "B"' in note
    assert notes_of(design_from_mapping({"format": 2, **long})) == ()
    short = {**long, "bays": {"count": 10, "spacing": "4 ft"}}
    assert notes_of(design_from_mapping({"format": 1, **short})) == ()
