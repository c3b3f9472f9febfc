"""Frames spoilt on purpose: a member moved, dropped, doubled, or made another way."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace

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
    hit = 0
    for member in frame.members:
        if not pick(member):
            members.append(member)
            continue
        hit += 1
        new = change(member)
        members += [] if new is None else new if isinstance(new, list) else [new]
    assert hit, "nothing was picked"
    return replace(frame, members=tuple(members))


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
