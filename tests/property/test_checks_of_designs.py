"""Checks of whole designs at random: they always come to an end, and say what can be read."""

from __future__ import annotations

import json

import pytest
from campaign import examples
from finding_links import of_one_value, unlinked
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st
from odd_designs import frame_within, odd_designs
from whole_designs import designs

from frame3d.checks.all_checks import check_frame, rules
from frame3d.checks.report import finding_row, report_of, report_text, room_tables
from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.lay_out import lay_out
from frame3d.frame.space.headroom import headroom_of
from frame3d.frame.space.inside import Inside


@st.composite
def machines(draw) -> dict:
    width, height = draw(st.integers(300, 4000)), draw(st.integers(300, 3500))
    machine = {
        "width": f"{width} mm", "height": f"{height} mm",
        "margin": f"{draw(st.integers(0, 400))} mm",
        "passes": draw(st.sampled_from(["one", "every", "none"])),
    }  # fmt: skip
    if draw(st.booleans()):
        machine["top_width"] = f"{draw(st.integers(0, width))} mm"
        machine["shoulder_height"] = f"{draw(st.integers(0, height))} mm"
    if draw(st.booleans()):
        machine["wall_distance"] = f"{draw(st.integers(0, 2000))} mm"
    return machine


def laid_out(mapping):
    try:
        return lay_out(design_from_mapping(mapping))
    except (DesignError, DesignFaults):
        assume(False)


SETTINGS = {
    "max_examples": examples(20),
    # Shrinking whole designs takes minutes; the one that fails is printed in any case.
    "phases": [Phase.explicit, Phase.generate],
    "deadline": None, "derandomize": True, "database": None,
    "suppress_health_check": list(HealthCheck),
}  # fmt: skip


@settings(**SETTINGS)
@given(odd_designs(most_bays=8), st.lists(machines(), max_size=2))
def test_any_frame_can_be_checked(mapping: dict, wanted: list[dict]) -> None:
    made = frame_within({**mapping, "machine": wanted})
    assume(made is not None)
    frame, _ = made
    found = check_frame(frame)
    assert found == check_frame(frame)
    names = {rule.name for rule in rules()}
    for finding in found:
        assert finding.rule.name in names
        assert finding.where and finding.message.endswith((".", "?")) and finding.advice
        assert all(line for cell in finding_row(frame, finding) for line in cell)
    assert unlinked(frame, found) == []
    assert of_one_value(found) == []
    report = json.loads(report_text(report_of(frame, found)))
    assert [row["marks"] for row in report["findings"]] == [list(f.marks) for f in found]
    assert sum(report["counts"].values()) == len(report["findings"]) == len(found)
    for _, header, rows in room_tables(frame):
        assert all(len(row) == len(header) for row in rows)


@settings(**SETTINGS)
@given(designs(most_bays=3, furnished=True))
def test_the_room_is_within_the_hoops_and_never_wider_with_members(mapping: dict) -> None:
    frame = laid_out(mapping)
    inside, rooms = Inside(frame.arch), headroom_of(frame)
    inset = frame.arch.tube_od_mm / 2
    half = inside.wall_x_mm()
    heights = [inside.height_at(half * share, inset) for share in (0.0, 0.3, 0.6, 0.9)]
    assert heights == sorted(heights, reverse=True)
    for share, height in zip((0.0, 0.3, 0.6, 0.9), heights, strict=True):
        x = half * share
        assert rooms.over(x).height_mm <= height
        assert inside.height_at(-x, inset) == height
        if height > 0:
            assert inside.distance(x, height) == pytest.approx(inset, abs=1e-5)
    widths = [rooms.width_between_hoops(z) for z in (0.0, 500.0, 1000.0, 1800.0)]
    assert widths == sorted(widths, reverse=True)
    assert all(
        rooms.width_at(z) <= width + 1e-9
        for z, width in zip((0.0, 500.0, 1000.0, 1800.0), widths, strict=True)
    )
