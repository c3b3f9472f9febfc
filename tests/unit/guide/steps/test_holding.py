"""What clamps and bolts hold, against distances worked out here from the members alone."""

from __future__ import annotations

import math

import pytest
from walled_designs import DESIGNS

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import ClampHalf, Tube
from frame3d.guide.steps.holding import held_by

ON_AXIS_MM = 0.01


def off_axis_mm(tube: Member, point: tuple[float, float, float]) -> float:
    """Distance of a point from the centreline of a tube: fine steps, then finer about the best."""
    length, place = tube.part.length_mm, tube.placement

    def gap(at: float) -> float:
        station = tube.part.axis.at(at)
        return math.dist(place.point((station.x_mm, station.y_mm, 0.0)), point)

    best, step = length / 2, length / 2
    while step > 1e-4:
        steps = (best + k * step / 20 for k in range(-20, 21))
        best = min((at for at in steps if 0 <= at <= length), key=gap)
        step /= 10
    return gap(best)


def gripped(frame: Frame, half: Member) -> set[int]:
    """Identities of the tubes on whose axis a clamp half sits."""
    reach = half.part.tube_od_mm
    return {
        id(m)
        for m in frame.members
        if isinstance(m.part, Tube)
        and abs(m.part.section.od_mm - reach) < 1.0
        and off_axis_mm(m, half.placement.origin) < ON_AXIS_MM
    }


def rivet(half: Member) -> tuple[float, float, float]:
    return half.placement.point((0.0, 0.0, half.part.face_mm))


@pytest.mark.parametrize(
    "name",
    [
        "tiny",
        "quonset example",
        "wide and low, double sliding door",
        "clamped tubes, sliding and roll-up",
    ],
)
def test_a_coupler_holds_the_tubes_of_its_two_halves_and_nothing_else(name: str) -> None:
    frame = lay_out(design_from_mapping({**DESIGNS[name], "bays": {"count": 2, "spacing": "1.2 m"},
                                         "brace": []}))  # fmt: skip
    held = held_by(frame).held
    halves = [m for m in frame.members if isinstance(m.part, ClampHalf)]
    assert len(halves) >= 8
    for half in halves:
        pair = [other for other in halves if math.dist(rivet(other), rivet(half)) < ON_AXIS_MM]
        assert len(pair) == 2
        wanted = gripped(frame, pair[0]) | gripped(frame, pair[1])
        assert {id(m) for m in held[id(half)]} == wanted
        assert len(wanted) == 2
