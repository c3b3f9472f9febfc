"""Members: parts in their places; and the frame, which is all of them and their joints.

Glossary
--------
side : left is x < 0, right is x > 0, looking along +y from the first hoop.
"""

from __future__ import annotations

import heapq
from collections.abc import Hashable, Iterator
from functools import cached_property
from typing import Any, Generic

from msgspec import Struct

from frame3d.design.tables.whole_design import Design
from frame3d.frame.model.joints import Joint
from frame3d.frame.model.openings import DoorOpening, SideVent
from frame3d.frame.model.part_records import Since
from frame3d.frame.model.placed import K, Member, P, with_part
from frame3d.frame.model.roles import Grid, Role
from frame3d.frame.model.surveyed import GroundUnder, Survey
from frame3d.geometry.arch.arch import Arch


class PartCount(Struct, Generic[P], frozen=True, kw_only=True):
    """A distinct part with its mark, role and the members that are made of it."""

    mark: str
    role: Role
    part: P
    members: tuple[Member[P], ...]

    @property
    def count(self) -> int:
        """How many are needed."""
        return len(self.members)


class Frame(Struct, frozen=True, kw_only=True, dict=True):
    """Everything that gets built: the design it came from, the grid, the arch, the members.

    ``doors`` and ``vents`` are the openings that the members leave, from
    :mod:`frame3d.frame.model.openings`; ``joints`` hold the members together, those without
    fasteners last. ``since`` is there where it has the marks of an older build,
    ``survey`` once the lists of what was measured have been asked for, ``ground`` where there are
    levels among them: what the members were laid out on. ``designed`` is the frame of the design
    where this one is laid out on the sockets as they were driven, ``unbuilt`` says why it is not.
    """

    design: Design
    grid: Grid
    arch: Arch
    members: tuple[Member, ...]
    doors: tuple[DoorOpening, ...] = ()
    vents: tuple[SideVent, ...] = ()
    joints: tuple[Joint, ...] = ()
    since: Since | None = None
    survey: Survey | None = None
    ground: GroundUnder | None = None
    designed: Frame | None = None
    unbuilt: str = ""

    @cached_property
    def worked_out(self) -> dict[Hashable, Any]:  # of each function what it returns
        """What :mod:`frame3d.frame.model.cached` has kept of it so far."""
        return {}

    @cached_property
    def joint_of(self) -> dict[int, Joint]:
        """The joint that each fastener is of, by the identity of the fastener."""
        return {id(member): joint for joint in self.joints for member in joint.fasteners}

    @cached_property
    def _joints(self) -> dict[int, list[Joint]]:
        found: dict[int, list[Joint]] = {}
        for joint in self.joints:
            for member in joint.members:
                found.setdefault(id(member), []).append(joint)
        return found

    @cached_property
    def _of_role(self) -> dict[Role, list[int]]:
        """The numbers of the members of each role: long frames are asked for them very often."""
        found: dict[Role, list[int]] = {}
        for number, member in enumerate(self.members):
            found.setdefault(member.role, []).append(number)
        return found

    def joints_with(self, member: Member, *roles: Role) -> list[Joint]:
        """The joints of a made member, in order; with roles those with one of these besides."""
        return [
            joint
            for joint in self._joints.get(id(member), ())
            if not roles or any(m.role in roles for m in joint.members if m is not member)
        ]

    def of(self, *roles: Role) -> Iterator[Member]:
        """The members with one of ``roles``, in order."""
        rows = [self._of_role.get(role, []) for role in dict.fromkeys(roles)]
        return (self.members[number] for number in heapq.merge(*rows))

    def of_kind(self, kind: type[K], *roles: Role) -> Iterator[Member[K]]:
        """The members with one of ``roles`` whose part is of ``kind``, in order.

        ``frame.of_kind(Tube, Role.STUD)`` are the studs that are tubes; without roles all tubes.
        """
        return (
            member  # type: ignore[misc]  # the part has just been looked at
            for member in (self.of(*roles) if roles else self.members)
            if isinstance(member.part, kind)
        )

    def parts_of_kind(self, kind: type[K]) -> tuple[PartCount[K], ...]:
        """Those of :meth:`parts` that are of ``kind``."""
        return tuple(
            group  # type: ignore[misc]  # the part has just been looked at
            for group in self.parts()
            if isinstance(group.part, kind)
        )

    def parts(self) -> tuple[PartCount, ...]:
        """Every distinct part once, with its members, in the order of the marks' first use."""
        found: dict[str, list[Member]] = {}
        for member in self.members:
            found.setdefault(member.mark, []).append(member)
        return tuple(
            PartCount(mark=mark, role=group[0].role, part=group[0].part, members=tuple(group))
            for mark, group in found.items()
        )


__all__ = ["Frame", "K", "Member", "P", "PartCount", "with_part"]
