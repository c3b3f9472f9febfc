"""Frames spoilt on purpose: a member moved, dropped, doubled, or made another way."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace

from frame3d.frame.model.joints import Joint
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Part
from frame3d.frame.model.roles import Role, Side
from frame3d.geometry.placement import Placement, add

Pick = Callable[[Member], bool]
Change = Callable[[Member], Member | list[Member] | None]


def tampered(frame: Frame, pick: Pick, change: Change) -> Frame:
    """``frame`` with ``change`` made to every member that ``pick`` is true for.

    Raises
    ------
    AssertionError
        If there is none: a test that spoils nothing proves nothing.
    """
    members: list[Member] = []
    became: dict[int, list[Member]] = {}
    for member in frame.members:
        if pick(member):
            new = change(member)
            became[id(member)] = [] if new is None else new if isinstance(new, list) else [new]
        members += became.get(id(member), [member])
    assert became, "nothing was picked"
    return replace(frame, members=tuple(members), joints=joined(frame, became))


def joined(frame: Frame, became: dict[int, list[Member]]) -> tuple[Joint, ...]:
    """The joints of ``frame`` after its members became others: of several the first is joined.

    A fastener that is gone joins nothing, and a tube that is gone is in no other.
    """

    def now(members: tuple[Member, ...]) -> tuple[Member, ...]:
        return tuple(new for old in members for new in became.get(id(old), [old])[:1])

    changed = (
        replace(joint, members=now(joint.members), fasteners=now(joint.fasteners))
        for joint in frame.joints
    )
    return tuple(joint for joint in changed if joint.fasteners or len(joint.members) > 1)


def at(role: Role, hoop: int | None = None, side: Side | None = None, mark: str = "") -> Pick:
    """Picks members of a role at a place; with ``mark``, of one mark."""

    def pick(member: Member) -> bool:
        spot = member.spot
        return (
            member.role is role
            and (hoop is None or spot.hoop == hoop)
            and (side is None or spot.side is side)
            and (not mark or member.mark == mark)
        )

    return pick


def near(member: Member, role: Role, reach_mm: float) -> Pick:
    """Picks members of a role that start within ``reach_mm`` of where ``member`` does."""

    def pick(other: Member) -> bool:
        gap = add(other.placement.origin, member.placement.origin, -1.0)
        return other.role is role and sum(c * c for c in gap) < reach_mm**2

    return pick


def moved(member: Member, dx: float = 0.0, dy: float = 0.0, dz: float = 0.0) -> Member:
    """The member shifted in the frame's axes."""
    origin = add(member.placement.origin, (dx, dy, dz))
    return replace(member, placement=replace(member.placement, origin=origin))


def shifted(member: Member, along: tuple[float, float, float]) -> Member:
    """The member shifted in its own axes."""
    return replace(member, placement=member.placement.then(Placement(origin=along)))


def remade(member: Member, **changes) -> Member:
    """The member made another way: fields of its part changed, and a mark of its own."""
    return with_part(member, replace(member.part, **changes))


def with_part(member: Member, part: Part) -> Member:
    """The member with another part, marked as such."""
    return replace(member, part=part, mark=f"{member.mark}x")
