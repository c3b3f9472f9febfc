"""A bolt whose thread does not reach is due to what it goes through and to its size: both told."""

from __future__ import annotations

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Severity
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out

DEEP_STUDS = {
    "output": {"units": "imperial"},
    "profile": {"style": "gothic", "width": "2770 mm", "ridge_height": "7086 mm",
                "leg_lean": "4 deg", "ridge_slope": "27 deg"},
    "bays": {"count": 2, "spacing": "600 mm"},
    "hoop": {"tube": "2 in x 13 ga BWG", "pieces": 2, "ridge_joint": "sleeve"},
    "socket": {"tube": "NPS 2 STD"},
    "end_wall": [{"at": "front", "studs": "timber", "top": "bolted", "braces": "none",
                  "timber": {"thickness": "30 mm", "depth": "194 mm"},
                  "largest_spacing": "2473 mm", "foot": "ground"}],
}  # fmt: skip
"""A bolt of 12 in through studs 194 mm deep: a design that a campaign drew."""


def test_thread_that_begins_behind_the_nut_names_what_it_holds_and_its_size() -> None:
    found = check_frame(lay_out(design_from_mapping(DEEP_STUDS)))
    shanks = [f for f in found if f.rule.name == "nut-on-shank"]
    assert shanks
    assert {f.fields for f in shanks} == {("end_wall[1].timber", "hardware.frame_bolt")}
    errors = [f for f in found if f.severity is Severity.ERROR]
    assert [f.rule.name for f in errors if len(f.fields) != 2] == []
