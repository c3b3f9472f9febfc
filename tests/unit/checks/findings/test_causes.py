"""What two values of a design bring together is told once, and names both fields."""

from __future__ import annotations

import pytest
from finding_links import unlinked
from walks import start

from frame3d.checks.all_checks import check_frame
from frame3d.checks.assembly.clashes import each_clash, reach_of
from frame3d.checks.findings.finding import Finding, Severity
from frame3d.checks.measured.near_pairs import survey
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

BRACE = {"from_height": "1 ft 6 in", "to_height": "6 ft"}
CASES: dict[str, tuple[dict, set[str]]] = {
    "two braces cross": (
        {"brace": [BRACE, {**BRACE, "from_hoop": 4, "to_hoop": 2}]}, {"brace[1]", "brace[2]"}
    ),
    "braces of one table meet in a short tunnel": (
        {"bays": {"count": 4, "spacing": "4 ft"}, "side_opening": None,
         "brace": [{**BRACE, "corners": ["front left", "back left"],
                    "from_hoop": 1, "to_hoop": 4}]},
        {"brace[1].to_hoop", "brace[1].corners"},
    ),
    "a rail lies outside at the hip board": (
        {"rail": [{"at": "sides", "height": "4 ft 8 in", "face": "outside"}], "side_opening": {}},
        {"rail[1].height", "side_opening.height"},
    ),
    "a tie is clamped where a rail is": (
        {"rail": [{"at": "sides", "height": "8 ft", "fixing": "clamped"}],
         "tie": [{"height": "7 ft 11 in"}]},
        {"rail[1].height", "tie[1].height"},
    ),
    "a rail lies inside behind an opening's end stop": (
        {"rail": [{"at": "sides", "height": "4 ft", "fixing": "bolted"}], "brace": [],
         "side_opening": {"height": "5 ft", "end_stop": "2 ft"}},
        {"rail[1].height", "side_opening.end_stop"},
    ),
    "a brace is clamped at the hip board": (
        {"brace": [{**BRACE, "to_height": "4 ft 6 in"}], "side_opening": {"end_stop": "0 in"}},
        {"brace[1]", "side_opening.height"},
    ),
}  # fmt: skip


def frame_of(changes: dict) -> Frame:
    design = start(ArchStyle.QUONSET, UnitSystem.IMPERIAL, walls=False)
    return lay_out(design_from_mapping({**design, **changes}))


def errors(frame: Frame) -> list[Finding]:
    return [f for f in check_frame(frame) if f.severity is Severity.ERROR]


@pytest.mark.parametrize("name", CASES)
def test_two_values_that_bring_parts_together_are_told_once(name: str) -> None:
    changes, fields = CASES[name]
    frame = frame_of(changes)
    each = [f for f in each_clash(survey(frame, reach_of(frame)))
            if f.finding.severity is Severity.ERROR]  # fmt: skip
    found = errors(frame)
    assert [set(f.fields) for f in found] == [fields]
    # Everything that meets is in the one finding, which is about the largest overlap of bodies.
    met = {id(member) for one in each for member in one.finding.members}
    assert {id(member) for member in found[0].members} == met
    bodies = [one.finding.provided for one in each
              if one.finding.where == found[0].where.split(":")[0]]  # fmt: skip
    assert found[0].provided == pytest.approx(min(bodies), abs=0.06)
    assert unlinked(frame, found) == []


def test_either_of_the_two_fields_mends_it() -> None:
    """The rail half a foot above the board, or the board half a foot lower."""
    rail = {"at": "sides", "height": "4 ft 8 in", "face": "outside"}
    assert errors(frame_of({"rail": [rail], "side_opening": {}, "brace": []}))
    mended = {**rail, "height": "5 ft 2 in"}
    assert errors(frame_of({"rail": [mended], "side_opening": {}, "brace": []})) == []
    lower = {"height": "4 ft"}
    assert errors(frame_of({"rail": [rail], "side_opening": lower, "brace": []})) == []


def test_a_rail_that_ends_at_its_bolt_names_overhang_and_bolt() -> None:
    """10 mm past the hoop, and a 3/8 in bolt's hole of 13/32 in needs 1.5 of it, 15.5 mm."""
    rail = {"at": "sides", "fraction": 0.5, "overhang": "10 mm"}
    found = errors(frame_of({"rail": [rail], "brace": []}))
    assert {f.fields for f in found} == {("rail[1].overhang", "hardware.frame_bolt")}
    assert {f.rule.name for f in found} == {"hole-near-edge"}
