"""Sheets of whole designs at random: drawn, written, and judged by what reads only the file."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from drawing_judge import judge
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from odd_designs import frame_within, odd_designs
from whole_designs import designs

from frame3d.frame.lay_out import lay_out
from frame3d.frame.members import Role
from frame3d.sheets import draw_sheets, write_dxf
from frame3d.spec.reader import design_from_mapping


@settings(
    max_examples=15,
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=list(HealthCheck),
)
@given(st.one_of(designs(most_bays=12), odd_designs(most_bays=6)))
def test_sheets_of_any_design_are_drawn_and_what_is_crowded_is_told(mapping: dict) -> None:
    # The judge knows the layers by their plain names.
    mapping["output"].pop("layers", None)
    made = frame_within(mapping)
    assume(made is not None)
    frame, _ = made
    sheets = draw_sheets(frame)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "sheets.dxf"
        write_dxf(sheets, path)
        sizes_mm = [frame.grid.length_mm, *frame.arch.widths(), frame.arch.ridge_height_mm]
        sizes_mm += [size for door in frame.doors for size in (door.width_mm, door.height_mm)]
        sizes_mm += [tie.height for tie in frame.design.tie]
        found = judge(path, sizes_mm=sizes_mm)
    # Whatever is not crowding may never happen; crowding only where a finding says so.
    crowded = {"text on text", "text on line"}
    assert [fault for fault in found if fault.rule not in crowded] == []
    told = {
        f"{f.sheet} {sheets.sheets[f.sheet - 1].title}".replace(",", "") for f in sheets.findings
    }
    assert [fault for fault in found if fault.sheet not in told] == []


@pytest.mark.parametrize("joint", ["plates", "sleeve"])
def test_ridge_joints_of_both_kinds_are_drawn(joint: str) -> None:
    """Ridge plates once stopped the drawings."""
    frame = lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "gothic", "width": "6 m", "ridge_height": "4.6 m",
                    "leg_height": "1.2 m"},
        "bays": {"count": 3, "spacing": "1.5 m"},
        "hoop": {"tube": "42 x 2 mm", "ridge_tube": "50 x 3 mm", "ridge_joint": joint},
        "socket": {"tube": "50 x 3 mm"},
    }))
    marks = {m.mark for m in frame.of(Role.RIDGE_JOINT)}
    text = str(draw_sheets(frame))
    assert all(mark in text for mark in marks)
