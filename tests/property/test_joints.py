"""Joints of whole designs: what is recorded is what is measured, and nothing is left out."""

from __future__ import annotations

from collections import Counter

import pytest
from campaign import examples
from hypothesis import HealthCheck, Phase, assume, given, settings
from odd_designs import frame_within, odd_designs
from walks import Walk
from whole_designs import designs

from frame3d.checks.assembly.fit import find_misfits
from frame3d.checks.assembly.recorded_joints import RULES
from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.joining.crossings import passages
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.joints import JointKind
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Board
from frame3d.frame.model.roles import SKIN

joined = settings(
    max_examples=examples(16), deadline=None, derandomize=True, database=None,
    phases=[Phase.explicit, Phase.generate], suppress_health_check=list(HealthCheck),
)  # fmt: skip


def check(frame: Frame) -> None:
    """Assert what joints are of any frame."""
    fasteners = Counter(id(member) for joint in frame.joints for member in joint.fasteners)
    # What is put on with the cover is fitted on site, and what it holds is not recorded; but for
    # the screws in the joints of a roll tube.
    own = {id(m) for m in frame.members if m.role in SKIN}
    assert Counter({k: n for k, n in fasteners.items() if k not in own}) == Counter(
        id(m) for m in frame.members if m.part.is_bought and id(m) not in own
    )
    there = {id(member) for member in frame.members}
    for joint in frame.joints:
        assert joint.members and {id(member) for member in joint.members} <= there
        assert len(joint.members) == 2 or joint.kind in (JointKind.BOLTED, JointKind.SCREWED)
        assert all(not member.part.is_bought for member in joint.members)
    # Measured without a word of the joints, and told where the two differ.
    names = {rule.name for rule in RULES}
    assert [f.message for f in find_misfits(frame) if f.rule.name in names] == []
    for passage in passages(frame):
        # From the head on, as the material lies along the bolt; a notched stud begins where the
        # hoop in its notch does.
        order = list(dict.fromkeys(id(layer.member) for layer in passage.crossings))
        notched = any(is_notched(member) for member in passage.held)
        held = [id(member) for member in passage.held]
        assert sorted(order) == sorted(held) if notched else order == held
        assert passage.nut_mm is not None


def is_notched(member: Member) -> bool:
    """Whether a board has a lap at an end."""
    part = member.part
    ends = (part.start, part.end) if isinstance(part, Board) else ()
    return any(end is not None and end.lap_mm > 0 for end in ends)


@joined
@given(odd_designs(most_bays=5))
def test_joints_of_odd_designs(mapping: dict) -> None:
    made = frame_within(mapping)
    assume(made is not None)
    check(made[0])


@joined
@given(designs(most_bays=5, furnished=True))
def test_joints_of_furnished_designs(mapping: dict) -> None:
    try:
        frame = lay_out(design_from_mapping(mapping))
    except (DesignError, DesignFaults):
        assume(False)
    check(frame)


@pytest.mark.parametrize("seed", range(0, examples(8)))
def test_joints_of_walks(seed: int) -> None:
    try:
        frame = lay_out(design_from_mapping(Walk(seed).design))
    except (DesignError, DesignFaults):
        return  # told by other tests
    check(frame)
