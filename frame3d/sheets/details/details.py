"""Details at a large scale: where they are taken and what all of them share."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TypeGuard

import numpy as np
from msgspec import Struct

from frame3d.frame.describe.wording import describe, fine_lengths
from frame3d.frame.model.members import Frame, K, Member
from frame3d.frame.model.parts import Board, Bolt, Plate, Screw, Tube
from frame3d.frame.model.roles import Role
from frame3d.geometry import curves
from frame3d.geometry.placement import Vector, add, dot
from frame3d.sheets.annotation.annotations import Annotation, Note, View, ViewEdge
from frame3d.sheets.annotation.detail_places import Home
from frame3d.sheets.details.detail_windows import without_slivers
from frame3d.sheets.projection.projection import axis_point
from frame3d.sheets.projection.section_plane import Plane, Shown
from frame3d.sheets.projection.section_view import (
    HARDWARE_ROLES,
    Window,
    bounds_of,
    section,
    section_ink,
    uncut,
)
from frame3d.sheets.projection.silhouettes import reach_of
from frame3d.units import LengthFormat


class Detail(Struct, frozen=True, kw_only=True):
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
    wishes : tuple of Annotation
    ground : bool
        Draw the ground at height 0.
    largest : int
        It is drawn at most at 1 to this.
    home : Home
        In which views it is called out.
    """

    name: str
    where: str
    plane: Plane
    window: Window
    shown: tuple[Shown, ...]
    wishes: tuple[Annotation, ...]
    ground: bool = False
    largest: int = 2
    home: Home = Home.SECTION

    @property
    def middle(self) -> Vector:
        """The middle of what is shown, mm in the axes of the frame."""
        left, bottom, right, top = self.window
        eye, zero = self.plane.eye, (0.0, 0.0, 0.0)
        across = add(zero, eye.right, (left + right) / 2)
        return add(add(across, eye.up, (bottom + top) / 2), eye.toward, self.plane.at_mm)

    @property
    def diagonal_mm(self) -> float:
        """That of what is shown."""
        left, bottom, right, top = self.window
        return math.hypot(right - left, top - bottom)

    def view(self) -> View:
        """The detail as a view; its title has no number yet."""
        bounds = bounds_of(self.shown, self.window)
        return View(
            title=self.name,
            ink=tuple(section_ink(self.shown, self.window, ground=self.ground)),
            bounds=bounds,
            wishes=self.wishes,
            caption=(self.where,),
        )


class DetailContext(Struct, frozen=True, kw_only=True):
    """The frame seen by who draws details, and how lengths read."""

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


def near_to(point: Vector, reach_mm: float, members: Iterable[Member[K]]) -> list[Member[K]]:
    """Those of ``members`` that come as near to ``point`` as ``reach_mm`` along each axis."""
    return [member for member in members if _reaches(member, point, reach_mm)]


def _reaches(member: Member, point: Vector, reach_mm: float) -> bool:
    """Whether a member comes near; a long one along the tunnel, and is on that side of it."""
    if member.part.is_bought:
        origin = member.placement.origin
        return all(abs(a - b) < reach_mm for a, b in zip(origin, point, strict=True))
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
    site: DetailContext,
    name: str,
    where: str,
    plane: Plane,
    window: Window,
    wishes: Sequence[Annotation],
    *,
    of: Iterable[Member],
    whole: Iterable[Member] = (),
    ground: bool = False,
    largest: int = 2,
) -> Detail:
    """A detail of the members ``of``, as far as they show in its window.

    Those in ``whole`` are not cut. The window grows where its edge would leave a sliver of one.
    """
    cut, spared = list(of), list(whole)
    shown, window = without_slivers(
        lambda frame: (*section(cut, plane, frame), *uncut(spared, plane, frame)), window
    )
    return Detail(
        name=name,
        where=where,
        plane=plane,
        window=window,
        shown=shown,
        wishes=tuple(wishes),
        ground=ground,
        largest=largest,
    )


def bolt_note(
    site: DetailContext, members: Iterable[Member], plane: Plane, edge: ViewEdge
) -> list[Note]:
    """One note for each kind of bolt or screw, at the first of them."""
    members = list(members)
    groups: dict[str, list[Member[Bolt | Screw]]] = {}
    for member in members:
        if _has_shank(member):
            groups.setdefault(member.mark, []).append(member)
    notes = []
    for group in groups.values():
        first = min(group, key=lambda m: plane.eye.flat(m.placement.origin))
        length = 0.5 * first.part.length_mm
        at = plane.eye.flat(first.placement.point((0.0, 0.0, length)))
        count = f"{len(group)} x " if len(group) > 1 else ""
        said = f"{count}{describe(first.part, site.lengths)}{_fittings(first, members)}"
        notes.append(Note(text=f"{said[0].upper()}{said[1:]}", at=at, edge=edge))
    return notes


def _has_shank(member: Member) -> TypeGuard[Member[Bolt | Screw]]:
    return isinstance(member.part, Bolt | Screw)


def _fittings(bolt: Member[Bolt | Screw], members: Sequence[Member]) -> str:
    """What is put on a bolt, in words."""
    roles = [
        m.role
        for m in members
        if m.role in (Role.NUT, Role.WASHER) and _is_on_axis(bolt, m.placement.origin)
    ]
    washers = roles.count(Role.WASHER)
    words = ["nut"] if Role.NUT in roles else []
    if washers:
        words.append("washer" if washers == 1 else f"{washers} washers")
    return f" with {' and '.join(words)}" if words else ""


def _is_on_axis(bolt: Member[Bolt | Screw], point: Vector) -> bool:
    way = add(point, bolt.placement.origin, -1.0)
    along = dot(way, bolt.placement.z)
    off = math.dist(point, add(bolt.placement.origin, bolt.placement.z, along))
    return off < 0.5 and -10.0 < along < bolt.part.length_mm + 10.0


def ring_points(centre: tuple[float, float], tube: Tube) -> tuple[tuple[float, float], ...]:
    """Points in the wall of a tube that is seen from its end."""
    section = tube.section
    radius = (section.od_mm - section.wall_mm) / 2
    return tuple(
        (centre[0] + radius * math.cos(turn), centre[1] + radius * math.sin(turn))
        for turn in (math.pi * k / 4 for k in (1, 7, 3, 5, 2, 6, 0, 4))
    )


def nearest_on(member: Member[Tube], point: Vector) -> tuple[float, Vector]:
    """Where a tube's axis comes nearest to ``point``: distance from its start, and the point."""
    place = member.placement
    away = add(point, place.origin, -1.0)
    own = np.array([[dot(away, axis) for axis in (place.x, place.y, place.z)]])
    at = float(curves.nearest_on(curves.curves_of(member.part.axis), own)[1][0])
    return at, axis_point(member, at)


def opposite(way: Vector) -> Vector:
    """The other way."""
    return (-way[0], -way[1], -way[2])


def quiet_hoop(frame: Frame) -> int:
    """The number of the hoop nearest to the middle that holds neither tie nor brace."""
    count = len(frame.grid.hoop_y_mm)
    busy = {m.spot.hoop for m in frame.of(Role.TIE)}
    for member in frame.of(Role.BRACE, Role.WALL_BRACE):
        busy |= {member.spot.hoop, member.spot.to_hoop or member.spot.hoop}
    middle = (count + 1) / 2
    return min(
        range(1, count + 1),
        key=lambda n: (n in busy, n in (1, count), abs(n - middle)),
    )


def face_point(shown: Iterable[Shown], member: Member) -> tuple[float, float] | None:
    """A point within the cut face of ``member``; None where it is not cut."""
    for item in shown:
        if item.member is member and not item.face.is_empty:
            spot = item.face.representative_point()
            return spot.x, spot.y
    return None


__all__ = [
    "HARDWARE_ROLES",
    "Detail",
    "DetailContext",
    "bolt_note",
    "detail",
    "face_point",
    "near_to",
    "nearest_on",
    "opposite",
    "quiet_hoop",
    "ring_points",
]
