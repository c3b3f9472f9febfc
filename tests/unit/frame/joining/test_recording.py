"""What joints hold, against distances worked out here from the members alone."""

from __future__ import annotations

import math
from collections import Counter

import pytest
from walled_designs import DESIGNS

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.end_forms import Swage
from frame3d.frame.model.joints import JointKind
from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.parts import ClampHalf, Tube
from frame3d.frame.model.roles import Role

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
    halves = [m for m in frame.members if isinstance(m.part, ClampHalf)]
    assert len(halves) >= 8
    for half in halves:
        pair = [other for other in halves if math.dist(rivet(other), rivet(half)) < ON_AXIS_MM]
        assert len(pair) == 2
        wanted = gripped(frame, pair[0]) | gripped(frame, pair[1])
        assert {id(m) for m in frame.joint_of[id(half)].members} == wanted
        assert len(wanted) == 2


@pytest.fixture(scope="module", params=["gothic example", "quonset example"])
def frame(request) -> Frame:
    return lay_out(design_from_mapping(DESIGNS[request.param]))


def test_every_piece_of_hardware_is_of_one_joint(frame: Frame) -> None:
    counts = Counter(id(member) for joint in frame.joints for member in joint.fasteners)
    assert counts == Counter(id(m) for m in frame.members if m.part.is_bought)


def test_a_joint_is_where_its_members_are(frame: Frame) -> None:
    """A rail lies along the tunnel, from its origin on (EN or inch alike): straight and level."""
    seen = 0
    for joint in frame.joints:
        for rail in joint.members:
            if rail.role is Role.RAIL and isinstance(rail.part, Tube) and joint.fasteners:
                start = rail.placement.origin[1]
                ends = sorted((start, start + rail.placement.x[1] * rail.part.length_mm))
                assert ends[0] < joint.placement.origin[1] < ends[1]
                seen += 1
            if rail.role in (Role.HOOP, Role.SOCKET, Role.RIDGE_JOINT):
                hoop = frame.grid.hoop_y_mm[rail.spot.hoop - 1]
                # No coupler of these frames reaches farther than its two rings and bosses.
                assert abs(joint.placement.origin[1] - hoop) < 120.0
    assert seen > 30


def test_an_outer_tube_stands_before_the_one_in_it(frame: Frame) -> None:
    nested = [joint for joint in frame.joints if joint.kind is JointKind.NESTED]
    assert {tuple(m.role for m in joint.members) for joint in nested} >= {
        (Role.SOCKET, Role.HOOP), (Role.RAIL, Role.RAIL),
    }  # fmt: skip
    for joint in nested:
        outer, inner = (with_part(member, Tube).part for member in joint.members)
        swages = [end.od_mm for end in (inner.start, inner.end) if isinstance(end, Swage)]
        assert min([inner.section.od_mm, *swages]) < outer.section.inside_mm
    for joint in frame.joints:
        roles = [member.role for member in joint.members]
        if Role.SOCKET in roles:
            assert roles.index(Role.SOCKET) == roles.index(Role.HOOP) - 1


def test_what_is_joined_is_told_from_the_head_on(frame: Frame) -> None:
    """The head of a rail's bolt is outside, where the cover is, and its nut inside."""
    for joint in frame.joints:
        if [m.role for m in joint.members] == [Role.HOOP, Role.RAIL] and len(joint.fasteners) == 4:
            rail = joint.members[1].placement.origin
            bolt, _, _, nut = joint.fasteners
            assert [m.role for m in joint.fasteners[1:3]] == [Role.WASHER] * 2
            across = [math.dist(m.placement.origin[::2], rail[::2]) for m in (bolt, nut)]
            assert across[0] > across[1]
            assert joint.rings(bolt) == joint.fasteners[1:]
