"""What the guide says of end walls, against where their parts are."""

from __future__ import annotations

import pytest
from walled_designs import DESIGNS, walled

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.guide.make_guide import guide_of
from frame3d.guide.steps.phases import Phase
from frame3d.guide.steps.step_content import StepContent


def front_wall(mapping: dict) -> StepContent:
    guide = guide_of(lay_out(design_from_mapping(mapping)), drawn=False)
    return next(told for told in guide.steps if told.step.phase is Phase.WALLS)


@pytest.mark.parametrize(
    ("wall", "foot"),
    [({}, "sill"), ({"foot": "ground"}, "ground"), ({"studs": "tube"}, "ground")],
)
def test_studs_rise_from_what_they_stand_on(wall: dict, foot: str) -> None:
    told = front_wall(walled(end_wall=[wall]))
    assert told.words.aim.startswith(f"Studs from the {foot} to the hoop")


def test_heights_in_the_list_say_that_they_are_to_centres() -> None:
    """The girts of this design are given at 1.2 m and 2.6 m, to their centres."""
    told = front_wall(DESIGNS["clamped tubes, sliding and roll-up"])
    girts = [line.where for line in told.parts if "girt" in line.role]
    assert girts
    assert {place for where in girts for place in where.split(", ")} == {
        "centre 1200 mm above ground", "centre 2600 mm above ground",
    }  # fmt: skip
    assert "Fit the girts level; the heights listed are to their centres." in told.words.do


@pytest.mark.parametrize("studs", ["timber", "tube"])
def test_short_studs_come_after_the_header_that_they_stand_on(studs: str) -> None:
    """A wide, low door leaves room over it; without a door no stud is short."""
    wall = [{"studs": studs, "largest_spacing": "600 mm"}]
    low = [{"width": "2 m", "height": "1.9 m", "leaves": 2}]
    do = front_wall(walled(end_wall=wall, door=low)).words.do
    header, short = (
        next(i for i, text in enumerate(do) if text.startswith(start))
        for start in ("Fit the header", "Then set the short studs that stand on the header")
    )
    assert short == header + 1
    closed = front_wall(walled(end_wall=wall, door=[])).words.do
    assert not any("short studs" in text for text in closed)
