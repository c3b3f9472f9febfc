"""Each rule of curtains has a design that breaks it, and no other rule of curtains."""

from __future__ import annotations

import pytest
from curtain_designs import BASE
from finding_links import of_one_value

from frame3d.checks.rules.curtains import RULES, check_curtains
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out

CLOSED = {"side_opening": {**BASE["side_opening"], "end_stop": "500 mm"}}
WALL = {"end_wall": [{"at": "front", "timber": "47x100"}]}
DOOR = {"kind": "hinged", "at": "front", "width": "1200 mm", "height": "1900 mm"}


def found(curtain: dict, **more) -> list:
    design = design_from_mapping(BASE | CLOSED | {"curtain": curtain} | more)
    return check_curtains(lay_out(design))


def test_a_plain_curtain_has_no_finding() -> None:
    assert found({}) == []
    assert found({"winder": "gear", "winder_end": "back"}) == []


BROKEN = {
    "curtain-lap": ({"overlap": "60 mm"}, {}),
    "curtain-low": ({"overlap": "190 mm"}, {}),
    "curtain-roll": (
        {"tube": "EN 10255 DN32 medium", "film_thickness": "3 mm", "film_density": 100.0},
        {"side_opening": {**CLOSED["side_opening"], "height": "500 mm"}},
    ),
    "curtain-pocket": ({"pocket": "1500 mm"}, {}),
    "curtain-film": ({"hangs": "one sheet"}, {"cover": {"side_allowance": "150 mm"}}),
    "curtain-crank": ({"shaft": "0 mm"}, {}),
    "curtain-reach": (
        {"crank_radius": "600 mm"},
        {"side_opening": {**CLOSED["side_opening"], "height": "1700 mm"}},
    ),
    "curtain-force": ({"tube": "EN 10255 DN32 medium", "crank_radius": "50 mm"}, {}),
}


@pytest.mark.parametrize("name", BROKEN)
def test_each_rule_has_a_design_that_breaks_it_alone(name: str) -> None:
    curtain, more = BROKEN[name]
    findings = found(curtain, **more)
    assert {one.rule.name for one in findings} == {name}
    assert all(one.message and one.advice and one.field and one.members for one in findings)
    assert of_one_value(findings) == []


def test_every_rule_is_broken_here() -> None:
    assert set(BROKEN) == {rule.name for rule in RULES}


def test_a_door_beside_the_crank() -> None:
    wide = {**DOOR, "width": "1600 mm", "position": "-1400 mm"}
    (finding,) = found({}, **WALL, door=[wide])
    assert finding.rule.name == "curtain-crank" and "front door" in finding.message
    assert found({"winder_end": "back"}, **WALL, door=[wide]) == []
    assert found({}, **WALL, door=[DOOR]) == []


def test_figures_of_a_finding_are_those_of_its_sentence() -> None:
    (finding,) = found({"overlap": "60 mm"})
    assert (finding.required, finding.provided) == (100.0, 60.0)
    assert "60 mm" in finding.message and "100 mm" in finding.message
