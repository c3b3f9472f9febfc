"""Sheets of whole designs at random: drawn, and judged by what reads only the drawing."""

from __future__ import annotations

import pytest
from campaign import examples
from drawing_judge import judge
from drawing_paper import spare_sheets
from hypothesis import HealthCheck, Phase, assume, given, settings
from odd_designs import frame_within, odd_designs
from whole_designs import designs

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.dxf_write import document_of

KINDS = {
    "gothic": (2, designs(most_bays=6, style="gothic")),
    "quonset": (2, designs(most_bays=6, style="quonset")),
    "gothic, furnished": (3, designs(most_bays=6, style="gothic", furnished=True)),
    "quonset, furnished": (3, designs(most_bays=6, style="quonset", furnished=True)),
    "odd": (5, odd_designs(most_bays=6)),
}
"""How many designs of a kind are tried, and where they come from."""


@pytest.mark.parametrize("kind", KINDS)
def test_sheets_of_any_design_are_drawn_and_what_is_crowded_is_told(kind: str) -> None:
    """Several tests of a few designs each, so that they can be shared between processes.

    Six bays are enough for braces that cross, boards with joints and ties on some hoops;
    long frames are drawn by hand in test_sheets.py and in the walled sheets.
    """
    usual, mappings = KINDS[kind]

    @settings(
        max_examples=examples(usual), deadline=None, derandomize=True, database=None,
        # Shrinking would draw sheets for minutes; the design that fails is printed in any case.
        phases=[Phase.explicit, Phase.generate], suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(mappings)
    def drawn_and_told(mapping: dict) -> None:
        # The judge knows the layers by their plain names.
        mapping["output"].pop("layers", None)
        made = frame_within(mapping)
        assume(made is not None)
        what_is_crowded_is_told(made[0])

    drawn_and_told()


def what_is_crowded_is_told(frame: Frame) -> None:
    sheets = draw_sheets(frame)
    sizes_mm = [frame.grid.length_mm, *frame.arch.widths(), frame.arch.ridge_height_mm]
    sizes_mm += [size for door in frame.doors for size in (door.width_mm, door.height_mm)]
    sizes_mm += [tie.height for tie in frame.design.tie]
    found = judge(document_of(sheets).doc, sizes_mm=sizes_mm)
    assert spare_sheets(sheets) == []
    # Whatever is not crowding may never happen; crowding only where a finding says so.
    crowded = {"text on text", "text on line", "leader through figures"}
    assert [fault for fault in found if fault.rule not in crowded] == []
    told = {
        f"{f.sheet} {sheets.sheets[f.sheet - 1].title}".replace(",", "") for f in sheets.findings
    }
    assert [fault for fault in found if fault.sheet not in told] == []


@pytest.mark.parametrize("joint", ["plates", "sleeve"])
def test_ridge_joints_of_both_kinds_are_drawn(joint: str) -> None:
    """Ridge plates once stopped the drawings."""
    frame = lay_out(
        design_from_mapping(
            {
                "output": {"units": "metric"},
                "profile": {
                    "style": "gothic",
                    "width": "6 m",
                    "ridge_height": "4.6 m",
                    "leg_height": "1.2 m",
                },
                "bays": {"count": 3, "spacing": "1.5 m"},
                "hoop": {"tube": "42 x 2 mm", "ridge_tube": "50 x 3 mm", "ridge_joint": joint},
                "socket": {"tube": "50 x 3 mm"},
            }
        )
    )
    marks = {m.mark for m in frame.of(Role.RIDGE_JOINT)}
    text = str(draw_sheets(frame))
    assert all(mark in text for mark in marks)
