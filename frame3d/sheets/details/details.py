"""Details at a large scale: where they are taken and what all of them share."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TypeGuard

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from frame3d.frame.describe.wording import describe, sold_text
from frame3d.frame.model.joints import Joint
from frame3d.frame.model.members import Frame, K, Member, with_part
from frame3d.frame.model.parts import Board, Bolt, ClampHalf, Plate, Screw, Tube
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
    section_primitives,
    uncut,
)
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
    annotations : tuple of Annotation
    ground : bool
        Draw the ground at height 0.
    largest : int
        It is drawn at most at 1 to this.
    home : Home
        In which views it is called out.
    on_plan : bool
        Whether the socket plan calls it out too.
    """

    name: str
    where: str
    plane: Plane
    window: Window
    shown: tuple[Shown, ...]
    annotations: tuple[Annotation, ...]
    ground: bool = False
    largest: int = 2
    home: Home = Home.SECTION
    on_plan: bool = False

    @property
    def middle(self) -> Vector:
        """The middle of what is shown, mm in the axes of the frame."""
        left, bottom, right, top = self.window
        projection, zero = self.plane.projection, (0.0, 0.0, 0.0)
        across = add(zero, projection.right, (left + right) / 2)
        return add(
            add(across, projection.up, (bottom + top) / 2), projection.toward, self.plane.at_mm
        )

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
            primitives=tuple(section_primitives(self.shown, self.window, ground=self.ground)),
            bounds=bounds,
            annotations=self.annotations,
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
        return sold_text(self.lengths, length_mm)

    def name(self, member: Member) -> str:
        """Mark and section of a member."""
        part = member.part
        if isinstance(part, Tube | Board):
            return f"{member.mark}, {part.section.name}"
        if isinstance(part, Plate):
            return f"{member.mark}, {self.fine(part.thickness_mm)} thick"
        text = describe(part, self.lengths)
        return f"{text[0].upper()}{text[1:]}"


def of_role(joints: Iterable[Joint], kind: type[K], *roles: Role) -> list[Member[K]]:
    """What of a kind and with one of ``roles`` is joined by ``joints``, each once, in order."""
    found = {
        id(member): with_part(member, kind)
        for joint in joints
        for member in joint.members
        if member.role in roles and isinstance(member.part, kind)
    }
    return list(found.values())


def bolts_of(joints: Iterable[Joint]) -> list[Member]:
    """The bolts of ``joints`` with their washers and nuts, and their screws."""
    return [m for joint in joints for m in joint.fasteners if m.role in HARDWARE_ROLES]


def clamps_of(joints: Iterable[Joint]) -> list[Member[ClampHalf]]:
    """The clamp halves of ``joints``."""
    return [with_part(m, ClampHalf) for j in joints for m in j.fasteners if m.role is Role.CLAMP]


def detail(
    site: DetailContext,
    name: str,
    where: str,
    plane: Plane,
    window: Window,
    annotations: Sequence[Annotation],
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
        annotations=tuple(filter(None, (_seen(one, window) for one in annotations))),
        ground=ground,
        largest=largest,
    )


def _seen(one: Annotation, window: Window) -> Annotation | None:
    """A note with the points that the window shows, None where it shows none; all else as it is."""
    if not isinstance(one, Note):
        return one
    left, bottom, right, top = window
    points = [(u, v) for u, v in (one.at, *one.others) if left <= u <= right and bottom <= v <= top]
    return replace(one, at=points[0], others=tuple(points[1:])) if points else None


def bolt_note(
    site: DetailContext, members: Iterable[Member], plane: Plane, edge: ViewEdge
) -> list[Note]:
    """One note for each kind of bolt or screw, at the first of them or, off figures, at another."""
    groups: dict[str, list[Member[Bolt | Screw]]] = {}
    for member in members:
        if _has_shank(member):
            groups.setdefault(member.mark, []).append(member)
    notes = []
    for group in groups.values():
        group.sort(key=lambda m: plane.projection.flat(m.placement.origin))
        first = group[0]
        at, *others = (
            plane.projection.flat(m.placement.point((0.0, 0.0, 0.5 * m.part.length_mm)))
            for m in group
        )
        count = f"{len(group)} x " if len(group) > 1 else ""
        said = f"{count}{describe(first.part, site.lengths)}{_fittings(site.frame, first)}"
        text = f"{said[0].upper()}{said[1:]}"
        notes.append(Note(text=text, at=at, edge=edge, others=tuple(others)))
    return notes


def _has_shank(member: Member) -> TypeGuard[Member[Bolt | Screw]]:
    return isinstance(member.part, Bolt | Screw)


def _fittings(frame: Frame, bolt: Member[Bolt | Screw]) -> str:
    """What is put on a bolt, in words."""
    roles = [ring.role for ring in frame.joint_of[id(bolt)].rings(bolt)]
    washers = roles.count(Role.WASHER)
    words = ["nut"] if Role.NUT in roles else []
    if washers:
        words.append("washer" if washers == 1 else f"{washers} washers")
    return f" with {' and '.join(words)}" if words else ""


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
    "bolts_of",
    "clamps_of",
    "detail",
    "face_point",
    "nearest_on",
    "of_role",
    "quiet_hoop",
    "ring_points",
]
