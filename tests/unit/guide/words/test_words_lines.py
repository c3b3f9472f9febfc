"""What the guide says of braces, against the direction of each tube."""

from __future__ import annotations

import math
import re

import pytest

from frame3d.design.reading.reader import read_design
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role
from frame3d.guide.make_guide import guide_of


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
