"""Members: parts in their places; and the frame, which is all of them.

Glossary
--------
member : a part placed, with its mark and where it stands in the grid.
mark : the short name that stands on the part, the drawings and the lists; equal
    parts have equal marks.
side : left is x < 0, right is x > 0, looking along +y from the first hoop.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from functools import cached_property
from typing import Any, Generic

from msgspec import Struct
from typing_extensions import TypeVar

from frame3d.design.tables.whole_design import Design
from frame3d.frame.model.openings import DoorOpening, SideVent
from frame3d.frame.model.parts import Part
from frame3d.frame.model.roles import Grid, Role, Spot
from frame3d.geometry.arch.arch import Arch
from frame3d.geometry.placement import Placement

P = TypeVar("P", bound=Part, covariant=True, default=Part)
K = TypeVar("K", bound=Part)


class Member(Struct, Generic[P], frozen=True, kw_only=True):
    """A part placed.

    ``Member[Tube]`` is one whose part is a tube; ``Member`` alone has a part of any kind.

    Parameters
    ----------
    mark : str
        For example ``H1``; equal parts have equal marks.
    role : Role
    part : Part
    placement : Placement
        The part's own axes in the frame's axes, mm.
    spot : Spot
    source : str
        The section of the design that asks for it, such as ``rail[2]``; hardware has that of
        what it holds.
    """

    mark: str
    role: Role
    part: P
    placement: Placement
    spot: Spot
    source: str = ""


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
    :mod:`frame3d.frame.model.openings`.
    """

    design: Design
    grid: Grid
    arch: Arch
    members: tuple[Member, ...]
    doors: tuple[DoorOpening, ...] = ()
    vents: tuple[SideVent, ...] = ()

    @cached_property
    def worked_out(self) -> dict[Hashable, Any]:  # of each function what it returns
        """What :mod:`frame3d.frame.model.cached` has kept of it so far."""
        return {}

    def of(self, *roles: Role) -> Iterator[Member]:
        """The members with one of ``roles``, in order."""
        return (member for member in self.members if member.role in roles)

    def of_kind(self, kind: type[K], *roles: Role) -> Iterator[Member[K]]:
        """The members with one of ``roles`` whose part is of ``kind``, in order.

        ``frame.of_kind(Tube, Role.STUD)`` are the studs that are tubes; without roles all tubes.
        """
        return (
            member  # type: ignore[misc]  # the part has just been looked at
            for member in self.members
            if isinstance(member.part, kind) and (not roles or member.role in roles)
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


def with_part(member: Member, kind: type[K]) -> Member[K]:
    """``member``, whose part is known to be of ``kind``.

    Raises
    ------
    TypeError
        If it is of another.
    """
    if not isinstance(member.part, kind):
        raise TypeError(f"{member.mark}: {type(member.part).__name__}, not {kind.__name__}")
    return member  # type: ignore[return-value]  # the part has just been looked at
