"""The steps of the work: what each puts up, and with what hardware.

Every member of a frame belongs to exactly one step. A made part belongs where its role
has it; hardware goes with the last of the parts that it holds, since it cannot be put in
before.

Glossary
--------
step : one phase of the work, or one phase at one end.
moved : members of an earlier step that this one handles again, as hoops that are raised.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

from msgspec import Struct

from frame3d.design.tables.ends import End
from frame3d.frame.model.joints import Joint, JointKind
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.roles import Role
from frame3d.guide.steps.phases import (
    PHASE_OF_ROLE,
    Phase,
    made_members,
    phase_of_made,
    place_of_made,
)

T = TypeVar("T")

_ALWAYS = (
    Phase.PREPARE, Phase.STAKE, Phase.RAISE, Phase.INSPECT, Phase.CHANNEL, Phase.COVER,
)  # fmt: skip
"""Phases that are work even where they have no member of their own."""
_PHASES = tuple(Phase)
_HOOP = (Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT)


class HeldHardware(Struct, frozen=True, kw_only=True):
    """A piece of hardware with the joint that it is of; None for one that somebody added."""

    member: Member
    joint: Joint | None

    @property
    def held(self) -> tuple[Member, ...]:
        """The made members that it holds, from its head on; of a clamp half its own tube first."""
        if self.joint is None:
            return ()
        halves = [one for one in self.joint.fasteners if one.role is Role.CLAMP]
        members = self.joint.members
        return members[::-1] if any(self.member is one for one in halves[1:]) else members

    @property
    def in_clamp(self) -> bool:
        """True for bolts and nuts that draw a clamp together and no more."""
        is_clamped = self.joint is not None and self.joint.kind is JointKind.CLAMPED
        return is_clamped and self.member.role is not Role.CLAMP


class Step(Struct, frozen=True, kw_only=True):
    """One step of the work.

    Parameters
    ----------
    number : int
        From 1.
    phase : Phase
    end : End or None
        For work that is done end by end.
    members : tuple of Member
        Made parts that are put up in this step.
    fixings : tuple of HeldHardware
        Its hardware.
    moved : tuple of Member
    """

    number: int
    phase: Phase
    end: End | None
    members: tuple[Member, ...]
    fixings: tuple[HeldHardware, ...]
    moved: tuple[Member, ...]

    @property
    def all_members(self) -> tuple[Member, ...]:
        """Made parts and hardware that this step puts in."""
        return (*self.members, *(fixing.member for fixing in self.fixings))


def given(value: T | None) -> T:
    """``value``, which a step of this kind cannot be without.

    Raises
    ------
    ValueError
        If there is none.
    """
    if value is None:
        raise ValueError("a step is without what it is about")
    return value


def legs_bolted(steps: Iterable[Step]) -> list[int]:
    """The numbers of the steps that bolt hoop legs to their sockets, in order."""
    return [
        step.number
        for step in steps
        if any(
            {Role.SOCKET, Role.HOOP} <= {member.role for member in fixing.held}
            for fixing in step.fixings
        )
    ]


def steps_of(frame: Frame) -> tuple[Step, ...]:
    """The steps of ``frame`` in order: only those that it has something for."""
    made, phases = made_members(frame), phase_of_made(frame)
    places = {id(m): place_of_made(frame, m, phases[id(m)]) for m in made}
    members: dict[tuple[Phase, End | None], list[Member]] = {}
    for member in made:
        members.setdefault(places[id(member)], []).append(member)
    fixings: dict[tuple[Phase, End | None], list[HeldHardware]] = {}
    own = {id(member) for member in made}
    for member in frame.members:
        if id(member) in own:
            continue
        fixing = HeldHardware(member=member, joint=frame.joint_of.get(id(member)))
        fixings.setdefault(_place_of(fixing, places), []).append(fixing)
    keys = {*members, *fixings, *((phase, None) for phase in _ALWAYS)}
    ordered = sorted(keys, key=_rank)
    raised = tuple(member for member in made if member.role in _HOOP)
    return tuple(
        Step(
            number=number, phase=phase, end=end,
            members=tuple(members.get((phase, end), ())),
            fixings=tuple(fixings.get((phase, end), ())),
            moved=raised if phase is Phase.RAISE else (),
        )
        for number, (phase, end) in enumerate(ordered, start=1)
    )  # fmt: skip


def _rank(place: tuple[Phase, End | None]) -> tuple[int, int]:
    phase, end = place
    return _PHASES.index(phase), list(End).index(end) if end else 0


def _place_of(
    fixing: HeldHardware, places: dict[int, tuple[Phase, End | None]]
) -> tuple[Phase, End | None]:
    """The step of a piece of hardware: that of the last member it holds."""
    if not fixing.held and fixing.member.role in PHASE_OF_ROLE:
        return PHASE_OF_ROLE[fixing.member.role], None
    if not fixing.held:
        # Nothing is known of it, so it is looked at when everything else is.
        return Phase.INSPECT, None
    last = max((places[id(member)] for member in fixing.held), key=_rank)
    roles = {member.role for member in fixing.held}
    if last[0] is Phase.HOOPS and Role.SOCKET in roles:
        return Phase.RAISE, None  # a hoop meets its sockets when it stands
    return last
