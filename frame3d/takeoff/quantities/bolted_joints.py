"""Bolted joints: grip, drill, thread and shear planes of each kind of joint.

Glossary
--------
grip : from under the head to the nut, washers included.
shear plane : where two parts that the bolt holds would slide on each other.
thread start : distance from under the head at which the thread begins.
"""

from __future__ import annotations

from collections.abc import Hashable

from msgspec import Struct

from frame3d.catalog import thread_length_mm
from frame3d.frame.joining.crossings import BoltPath, passages
from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.parts import Board, Bolt, ClampHalf, Part, Plate, Tube

_SAME_MM = 0.05
_EARS = "ears of a clamp half"


class BoltedJoint(Struct, frozen=True, kw_only=True):
    """Joints that are made the same way, with the same bolt.

    Parameters
    ----------
    bolt : Bolt
    mark : str
        Of the bolt.
    held : tuple of str
        What the bolt goes through, from its head on: names of sections and plates.
    grip_mm : float or None
        None where no nut is on the bolt.
    washers : int
    drills_mm : tuple of float
        Diameters of the holes, rising.
    planes_mm : tuple of float
        Shear planes, from under the head, rising.
    members : tuple of Member
        The bolts.
    """

    bolt: Bolt
    mark: str
    held: tuple[str, ...]
    grip_mm: float | None
    washers: int
    drills_mm: tuple[float, ...]
    planes_mm: tuple[float, ...]
    members: tuple[Member, ...]

    @property
    def thread_from_mm(self) -> float:
        """Thread start, mm."""
        return _thread_start(self.bolt, self.bolt.length_mm)

    @property
    def is_thread_sheared(self) -> bool:
        """True when thread lies in a shear plane."""
        return any(self.thread_from_mm < plane - _SAME_MM for plane in self.planes_mm)

    @property
    def is_clash(self) -> bool:
        """True when two couplers stand in each other's place."""
        places = {tuple(round(c, 1) for c in m.placement.origin) for m in self.members}
        return self.held == (_EARS,) and len(places) < len(self.members)

    @property
    def can_tighten(self) -> bool:
        """False when the nut would come to the end of the thread before it holds."""
        return self.grip_mm is None or self.thread_from_mm <= self.grip_mm + _SAME_MM

    @property
    def better_mm(self) -> float | None:
        """Shortest stocked length that keeps thread out of every shear plane, mm.

        The nut must still have thread where it sits. None where there is no such
        length, or nothing to mend.
        """
        if not self.is_thread_sheared or self.grip_mm is None:
            return None
        last = max(self.planes_mm)
        for length in self.bolt.size.lengths_mm:
            start = _thread_start(self.bolt, length)
            if length > self.bolt.length_mm and last - _SAME_MM <= start <= self.grip_mm:
                return length
        return None


def bolted_joints(frame: Frame) -> tuple[BoltedJoint, ...]:
    """Every kind of bolted joint of ``frame`` once, in the order of the members."""
    found: dict[tuple[Hashable, ...], list[BoltPath]] = {}
    for passage in passages(frame):
        found.setdefault(_gist(passage), []).append(passage)
    return tuple(_joint(group) for group in found.values())


def _gist(passage: BoltPath) -> tuple[Hashable, ...]:
    """Equal for bolts whose joints are the same to a tenth of a millimetre."""
    grip = None if passage.nut_mm is None else round(passage.nut_mm, 1)
    planes = tuple(round(plane, 1) for plane in passage.planes_mm)
    return (passage.bolt.mark, _held(passage), grip, passage.washers, _drills(passage), planes)


def _joint(group: list[BoltPath]) -> BoltedJoint:
    first = group[0]
    return BoltedJoint(
        bolt=with_part(first.bolt, Bolt).part,
        mark=first.bolt.mark,
        held=_held(first),
        grip_mm=first.nut_mm,
        washers=first.washers,
        drills_mm=_drills(first),
        planes_mm=first.planes_mm,
        members=tuple(passage.bolt for passage in group),
    )


def _held(passage: BoltPath) -> tuple[str, ...]:
    return tuple(_name(member.part) for member in passage.held)


def _drills(passage: BoltPath) -> tuple[float, ...]:
    return tuple(sorted({round(crossing.hole_mm, 6) for crossing in passage.crossings}))


def _name(part: Part) -> str:
    match part:
        case Tube():
            return f"{part.section.name} tube"
        case Board():
            return f"{part.section.name} board"
        case Plate():
            return part.name
        case ClampHalf():
            return _EARS
    return type(part).__name__.lower()


def _thread_start(bolt: Bolt, length_mm: float) -> float:
    return length_mm - thread_length_mm(bolt.size, length_mm)
