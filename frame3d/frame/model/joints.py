"""Joints: which members are held together, in which order, and by what.

Whoever makes a bolt, a screw or a coupler knows what it is for, and says so by structure: the
families of members are laid out each for itself, so a rail's bolt has no hoop at hand, but the
number of the hoop and the distance along it. When the families are put together
(:mod:`frame3d.frame.joining.recording`) these places become members.

Glossary
--------
run : a line of parts end to end, or one part alone, by its name: what joints are made to.
stretch : what one part covers of a run.
"""

from __future__ import annotations

import enum
import itertools
import math
from collections.abc import Hashable

from msgspec import Struct

from frame3d.frame.model.parts import Nut, Washer
from frame3d.frame.model.placed import Member
from frame3d.frame.model.roles import Role
from frame3d.geometry.placement import Placement


class JointKind(enum.Enum):
    """How members are held to each other."""

    BOLTED = "bolted"
    CLAMPED = "clamped"
    SCREWED = "screwed"
    NESTED = "nested"


class RunName(Struct, frozen=True, gc=False):
    """The name of a run.

    Distances along it are in mm: along a hoop from a leg end; else along the axis of the frame
    that it lies along, from the frame's origin. On a part alone any distance will do.

    Parameters
    ----------
    role : Role
    hoop : int or None
        Number of the hoop that it belongs to; None for one that goes along the tunnel.
    key : hashable
        Tells it from others of its role there.
    """

    role: Role
    hoop: int | None = None
    key: Hashable = ()


class Place(Struct, frozen=True, gc=False):
    """A place on a run, ``at_mm`` along it."""

    run: RunName
    at_mm: float = 0.0

    def at_hoop(self, hoop: int, along_mm: float) -> Place:
        """The same place at another hoop, ``along_mm`` farther along the tunnel."""
        run = self.run
        if run.hoop is None:
            return Place(run, self.at_mm + along_mm)
        return Place(RunName(run.role, hoop, run.key), self.at_mm)


class Stretch(Struct, frozen=True, gc=False):
    """What a part covers of a run: all of it, where it is alone."""

    run: RunName
    from_mm: float = -math.inf
    to_mm: float = math.inf

    def at_hoop(self, hoop: int, along_mm: float) -> Stretch:
        """The same stretch at another hoop, ``along_mm`` farther along the tunnel."""
        low, high = (
            Place(self.run, at).at_hoop(hoop, along_mm) for at in (self.from_mm, self.to_mm)
        )
        return Stretch(low.run, low.at_mm, high.at_mm)


class UnmarkedJoint(Struct, frozen=True, gc=False):
    """A joint as it is made: its fasteners are the unmarked members that name it.

    ``places`` are what it joins: from the head on, or from clamp to clamp.
    """

    kind: JointKind
    places: tuple[Place, ...]

    def at_hoop(self, hoop: int, along_mm: float) -> UnmarkedJoint:
        """The same joint at another hoop, ``along_mm`` farther along the tunnel."""
        return UnmarkedJoint(self.kind, tuple([p.at_hoop(hoop, along_mm) for p in self.places]))


class Joint(Struct, frozen=True, kw_only=True, gc=False):
    """A joint of a frame: one bolt, screw or coupler with what it holds, or a tube in a tube.

    Where planes lie along a bolt and which holes are drilled for it follows from what it
    joins: :mod:`frame3d.frame.joining.crossings` gives it.

    Parameters
    ----------
    kind : JointKind
    members : tuple of Member
        What is made and joined: from the head of a bolt or a screw on, an outer tube before
        the one in it; of a coupler the tube of its first half first.
    fasteners : tuple of Member
        In the order in which they are made: a bolt, its washers from the head on, its nut; a
        screw; a clamp half with its bolt and nut, then the other half. None of a nesting.
    source : str
        The section of the design that asks for it.
    """

    kind: JointKind
    members: tuple[Member, ...]
    fasteners: tuple[Member, ...]
    source: str

    def rings(self, bolt: Member) -> tuple[Member, ...]:
        """The washers and the nut on one of its bolts, from the head on."""
        after = itertools.dropwhile(lambda member: member is not bolt, self.fasteners)
        return tuple(itertools.takewhile(_is_ring, itertools.islice(after, 1, None)))

    @property
    def placement(self) -> Placement:
        """Where it is, along z the way of its bolt or screw: that of its first fastener.

        A nesting has that of the tube inside.
        """
        return (self.fasteners or self.members[-1:])[0].placement


def _is_ring(member: Member) -> bool:
    return isinstance(member.part, Nut | Washer)
