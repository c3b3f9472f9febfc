"""Details at a large scale: where they are taken and what all of them share."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from frame3d.frame.members import Frame, Member, Role
from frame3d.frame.parts import Board, Bolt, Plate, Tube
from frame3d.frame.wording import describe, fine_lengths
from frame3d.geometry.placement import Vector, dot
from frame3d.sheets.section_plane import Plane, Shown
from frame3d.sheets.section_view import Window, bounds_of, section, section_ink, uncut
from frame3d.sheets.silhouettes import reach_of
from frame3d.sheets.wishes import Edge, Note, View, Wish
from frame3d.units import LengthFormat


@dataclass(frozen=True, slots=True, kw_only=True)
class Detail:
    """A detail before it has its number.

    Parameters
    ----------
    name : str
        For example ``Socket, leg and sill board``.
    where : str
        In which place of the frame it is taken.
    plane : Plane
    window : left, bottom, right, top
        What is shown, mm in the plane of the view.
    shown : tuple of Shown
    wishes : tuple of Wish
    ground : bool
        Draw the ground at height 0.
    """

    name: str
    where: str
    plane: Plane
    window: Window
    shown: tuple[Shown, ...]
    wishes: tuple[Wish, ...]
    ground: bool = False

    def view(self, number: int) -> View:
        """The detail as a view."""
        bounds = bounds_of(self.shown, self.window)
        return View(
            title=f"Detail {number}: {self.name}",
            ink=tuple(section_ink(self.shown, self.window, ground=self.ground)),
            bounds=bounds,
            wishes=self.wishes,
            caption=(self.where,),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """The frame seen by who draws details: its members near a place, and how lengths read."""

    frame: Frame
    lengths: LengthFormat

    def say(self, length_mm: float) -> str:
        """A length in words."""
        return self.lengths.text(length_mm, unit=True)

    def fine(self, length_mm: float) -> str:
        """A length in words, as finely as things are sold."""
        return fine_lengths(self.lengths).text(length_mm, unit=True)

    def name(self, member: Member) -> str:
        """Mark and section of a member."""
        part = member.part
        if isinstance(part, Tube | Board):
            return f"{member.mark}, {part.section.name}"
        if isinstance(part, Plate):
            return f"{member.mark}, {self.fine(part.thickness_mm)} thick"
        text = describe(part, self.lengths)
        return f"{text[0].upper()}{text[1:]}"

    def near(self, point: Vector, reach_mm: float, *roles: Role) -> list[Member]:
        """Members that come as near to ``point`` as ``reach_mm`` along each axis."""
        found = []
        for member in self.frame.members:
            if roles and member.role not in roles:
                continue
            if not isinstance(member.part, Tube | Board | Plate):
                origin = member.placement.origin
                if all(abs(a - b) < reach_mm for a, b in zip(origin, point, strict=True)):
                    found.append(member)
                continue
            if _reaches(member, point, reach_mm):
                found.append(member)
        return found


def _reaches(member: Member, point: Vector, reach_mm: float) -> bool:
    """Whether a long member comes near along the tunnel, and is on that side of it."""
    low, high = reach_of(member, (0.0, 1.0, 0.0))
    if not low - reach_mm < point[1] < high + reach_mm:
        return False
    if isinstance(member.part, Tube) and not member.part.axis.is_straight:
        return True
    for axis in ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0)):
        low, high = reach_of(member, axis)
        if not low - reach_mm < dot(point, axis) < high + reach_mm:
            return False
    return True


def detail(
    site: Site, name: str, where: str, plane: Plane, window: Window, wishes: Sequence[Wish],
    *, ground: bool = False, of: Iterable[Member], whole: Iterable[Member] = (),
) -> Detail:
    """A detail of the members ``of``, as far as they show in its window.

    Those in ``whole`` are not cut.
    """
    shown = (*section(of, plane, window), *uncut(whole, plane, window))
    return Detail(
        name=name, where=where, plane=plane, window=window, shown=shown, wishes=tuple(wishes),
        ground=ground,
    )


def bolt_note(site: Site, members: Iterable[Member], plane: Plane, edge: Edge) -> list[Note]:
    """One note for each kind of bolt or screw, at the first of them."""
    groups: dict[str, list[Member]] = {}
    for member in members:
        if member.role in (Role.BOLT, Role.SCREW):
            groups.setdefault(member.mark, []).append(member)
    notes = []
    for group in groups.values():
        first = min(group, key=lambda m: plane.eye.flat(m.placement.origin))
        length = 0.5 * first.part.length_mm
        at = plane.eye.flat(first.placement.point((0.0, 0.0, length)))
        count = f"{len(group)} x " if len(group) > 1 else ""
        text = describe(first.part, site.lengths)
        extra = " with nut and washers" if isinstance(first.part, Bolt) else ""
        said = f"{count}{text}{extra}"
        notes.append(Note(text=f"{said[0].upper()}{said[1:]}", at=at, edge=edge))
    return notes


def axis_point(member: Member, at_mm: float) -> Vector:
    """The point of a tube's axis at a distance from its start, in the frame's axes."""
    station = member.part.axis.at(at_mm)
    return member.placement.point((station.x_mm, station.y_mm, 0.0))


def axis_way(member: Member, at_mm: float) -> Vector:
    """The direction of a tube's axis at a distance from its start, a unit vector."""
    x, y = member.part.axis.at(at_mm).tangent
    return member.placement.direction((x, y, 0.0))


def nearest_on(member: Member, point: Vector) -> tuple[float, Vector]:
    """Where a tube's axis comes nearest to ``point``: distance from its start, and the point."""
    length = member.part.length_mm

    def gap(at: float) -> float:
        return math.dist(axis_point(member, at), point)

    count = 60
    best = min((length * i / count for i in range(count + 1)), key=gap)
    low, high = max(0.0, best - length / count), min(length, best + length / count)
    for _ in range(60):
        a, b = low + (high - low) / 3, high - (high - low) / 3
        low, high = (low, b) if gap(a) < gap(b) else (a, high)
    at = (low + high) / 2
    return at, axis_point(member, at)


def quiet_hoop(frame: Frame) -> int:
    """The number of a hoop in the middle of the tunnel."""
    return (len(frame.grid.hoop_y_mm) + 1) // 2


HARDWARE_ROLES = (Role.BOLT, Role.NUT, Role.WASHER, Role.SCREW)

__all__ = [
    "HARDWARE_ROLES",
    "Detail",
    "Site",
    "axis_point",
    "axis_way",
    "bolt_note",
    "detail",
    "nearest_on",
    "quiet_hoop",
]
