"""What the guide says of braces, against the direction of each tube."""

from __future__ import annotations

import math
import re

import pytest
from walled_designs import example

from frame3d.design.reading.reader import design_from_mapping, read_design
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role
from frame3d.guide.make_guide import guide_of
from frame3d.guide.steps.phases import Phase


@pytest.mark.parametrize("name", ["long_meadow_gothic", "long_meadow_quonset"])
def test_a_brace_rises_as_its_tube_does(name: str) -> None:
    """The sine of its rise is the upward part of the tube's direction."""
    frame = lay_out(read_design(example_paths()[name]))
    rises = {
        member.mark: round(math.degrees(math.asin(abs(member.placement.x[2]))), 1)
        for member in frame.of_kind(Tube, Role.BRACE)
    }
    told: dict[str, set[float]] = {}
    for step in guide_of(frame, drawn=False).steps:
        for line in step.words.do:
            if found := re.match(r"(\w+), .* it rises at ([\d.]+)°", line):
                told.setdefault(found[1], set()).add(float(found[2]))
    assert told == {mark: {rise} for mark, rise in rises.items()}
    assert told


@pytest.mark.parametrize("sills", [True, False])
def test_temporary_braces_stay_until_the_legs_are_bolted(sills: bool) -> None:
    """Sill boards come after the braces, and their bolts are those of the legs."""
    mapping = example("long_meadow_gothic")
    if not sills:
        for table in ("sill_board", "side_opening"):
            mapping.pop(table, None)
    frame = lay_out(design_from_mapping(mapping))
    told = {step.step.phase: step for step in guide_of(frame, drawn=False).steps}
    assert (Phase.SILLS in told) is sills
    words = told[Phase.BRACES].words
    places = (*words.cautions, *words.do, words.checks[-1].figure, *told[Phase.RAISE].words.do)
    said = [text for text in places if "every leg is bolted to its socket (step" in text]
    assert len(said) == (4 if sills else 0)
    if sills:
        number = told[Phase.SILLS].step.number
        assert all(f"bolted to its socket (step {number})" in text for text in said)
        (off,) = (text for text in told[Phase.SILLS].words.do if "temporary" in text)
        assert f"the braces of step {told[Phase.BRACES].step.number} are tight" in off
