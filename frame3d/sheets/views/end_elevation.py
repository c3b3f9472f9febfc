"""The end elevation: the shape of a hoop with the sizes that make it."""

from __future__ import annotations

import math

from frame3d.design.tables.whole_design import End
from frame3d.frame.model.channel import Channel
from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.parts import Board, Plate, Tube
from frame3d.frame.model.roles import Role, Side
from frame3d.frame.space.crown import Crown, crown_of
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.geometry.arch.arch_curve import ArchPoint
from frame3d.geometry.paths import Arc
from frame3d.geometry.placement import Vector
from frame3d.sheets.annotation.annotations import (
    Angle,
    Annotation,
    Chain,
    Mark,
    Radius,
    View,
    ViewEdge,
    Way,
)
from frame3d.sheets.primitives.primitives import Layer, Point, Stroke, around
from frame3d.sheets.projection.ground_line import ground_before, ground_line, sink
from frame3d.sheets.projection.hiding import visible
from frame3d.sheets.projection.projection import axis_point
from frame3d.sheets.projection.silhouettes import FRONT, reach_of, silhouette
from frame3d.site.write.ground_words import heights_note

_RADII = (
    "Radii are to the tube centreline. Widths are at ground level. Ridge or crown height "
    "is to the tube centreline (at a ridge, where the two meet); clear height is under the "
    "hoop there."
)
_END_WALL = (
    Role.STUD,
    Role.GIRT,
    Role.WALL_SILL,
    Role.DOOR_JAMB,
    Role.DOOR_HEADER,
    Role.DOOR_LEAF,
)

_ROLES = (
    Role.SOCKET,
    Role.HOOP,
    Role.SPLICE,
    Role.RIDGE_JOINT,
    Role.RAIL,
    Role.SILL_BOARD,
    Role.SKIRT_BOARD,
    Role.CHANNEL,
)
_RADIUS_SHARES = (0.5, 0.6, 0.4, 0.7, 0.3, 0.8, 0.2)
"""Where along an arc the line of its radius may end."""
_BOARD_WAYS = ((-1, 4.0), (1, 6.0), (1, 9.0), (-1, 3.0))
"""Outward (-1) or inward (1) with a distance, paper mm."""


def notes(frame: Frame) -> tuple[str, ...]:
    """What is to be said about the end elevation of ``frame``."""
    walled = any(member.spot.hoop == 1 for member in frame.of(*_END_WALL))
    wall = "its end wall, " if walled else ""
    shown = f"The first hoop is shown; {wall}what is behind it and hardware are not."
    kinds = hoop_kinds(frame)
    if len(kinds) > 1:
        said = "; ".join(
            f"{'hoop' if len(hoops) == 1 else 'hoops'} {spoken(hoops)}: {' '.join(marks)}"
            for marks, hoops in kinds
        )
        shown += f" Pieces of the hoops from left to right: {said}."
    return _RADII, shown, heights_note(frame)


def hoop_kinds(frame: Frame) -> list[tuple[tuple[str, ...], tuple[int, ...]]]:
    """The marks of a hoop's pieces from left to right, with the numbers of the hoops so made."""
    pieces: dict[int, list[tuple[float, str]]] = {}
    for member in frame.of_kind(Tube, Role.HOOP):
        across = _along(member, 0.5)[0]
        pieces.setdefault(member.spot.hoop, []).append((across, member.mark))
    kinds: dict[tuple[str, ...], list[int]] = {}
    for number, row in sorted(pieces.items()):
        kinds.setdefault(tuple(mark for _, mark in sorted(row)), []).append(number)
    return [(marks, tuple(hoops)) for marks, hoops in kinds.items()]


def spoken(numbers: tuple[int, ...]) -> str:
    """Numbers in words; those in even steps, if many, as a range."""
    steps = {b - a for a, b in zip(numbers, numbers[1:], strict=False)}
    if len(numbers) > 3 and len(steps) == 1:
        step = steps.pop()
        every = "" if step == 1 else f" in steps of {step}"
        return f"{numbers[0]} to {numbers[-1]}{every}"
    return " and ".join(filter(None, (", ".join(map(str, numbers[:-1])), str(numbers[-1]))))


def end_elevation(frame: Frame) -> View:
    """The first hoop from the front."""
    members = [member for member in frame.of(*_ROLES) if _at_first_hoop(member)]
    shapes = [shape for shape in (silhouette(member, FRONT) for member in members) if shape]
    under = ground_before(frame, End.FRONT, FRONT)
    lines = sink(visible(shapes), under)
    crown = crown_of(frame)
    left, bottom, right, top = around(shape.area.bounds for shape in shapes)
    top = max(top, crown.over_all_mm)
    margin = 0.015 * (right - left)
    ground, soil = ground_line(left - margin, right + margin, under)
    axis = Stroke(start=(0.0, 0.0), end=(0.0, top + 0.03 * top), layer=Layer.CENTRE)
    return View(
        title="End elevation, from the first hoop",
        primitives=(*lines, *ground, *soil, axis),
        bounds=(left, bottom, right, top),
        annotations=(
            *_widths(frame, bottom),
            *_heights(frame, crown),
            *_bends(frame),
            *_marks(members),
        ),
    )


def _at_first_hoop(member: Member) -> bool:
    if member.role in (Role.RAIL, Role.SILL_BOARD):
        low, high = reach_of(member, (0.0, 1.0, 0.0))
        return low <= 0.0 < high
    if isinstance(member.part, Channel) and member.part.axis.is_straight:
        return False  # along hips, sills and doors
    return member.spot.hoop == 1


def _widths(frame: Frame, bottom: float) -> list[Annotation]:
    widths = frame.arch.widths()
    named = (
        (widths.inside_mm, "clear inside"),
        (widths.centres_mm, "between centres"),
        (widths.outside_mm, "outside of the hoop"),
    )
    return [
        Chain(
            points=((-width / 2, bottom), (width / 2, bottom)),
            edge=ViewEdge.BOTTOM,
            names=(name,),
            rank=rank,
        )
        for rank, (width, name) in enumerate(named, start=1)
    ]


def _heights(frame: Frame, crown: Crown) -> list[Annotation]:
    """Of the leg, of the ridge's axis, and of the steel there."""
    arch = frame.arch
    x = arch.width_mm / 2
    ground = (x, 0.0)
    annotations: list[Annotation] = []
    if arch.leg_height_mm > 1.0:
        springing = (arch.half_width_at(arch.leg_height_mm), arch.leg_height_mm)
        annotations.append(Chain(points=(ground, springing), edge=ViewEdge.RIGHT, names=("leg",)))
    top = "ridge" if arch.style is ArchStyle.GOTHIC else "crown"
    for rank, (height, name) in enumerate(
        (
            (crown.clear_mm, "clear"),
            (crown.axis_mm, top),
            (crown.over_all_mm, "overall"),
        ),
        start=2,
    ):
        annotations.append(
            Chain(points=(ground, (0.0, height)), edge=ViewEdge.RIGHT, names=(name,), rank=rank)
        )
    annotations += [
        _socket_heights(member)
        for member in frame.of_kind(Tube, Role.SOCKET)
        if member.spot.hoop == 1 and member.spot.side is Side.LEFT
    ]
    return annotations


def _socket_heights(member: Member[Tube]) -> Chain:
    length = member.part.length_mm
    ends = sorted(
        (FRONT.flat(member.placement.point((s, 0.0, 0.0))) for s in (0.0, length)),
        key=lambda end: end[1],
    )
    # Embedded and exposed are lengths of tube; of one that leans the drawing shows heights.
    upright = abs(ends[0][0] - ends[1][0]) < 0.5
    return Chain(
        points=(ends[0], (ends[0][0], 0.0), ends[1]),
        edge=ViewEdge.LEFT,
        names=("embedded", "exposed") if upright else ("deep", "high"),
    )


def _bends(frame: Frame) -> list[Annotation]:
    """Radii of the arcs, the eave's on the left half and the top's on the right; ridge slope."""
    arch = frame.arch
    gothic = arch.style is ArchStyle.GOTHIC
    top = "rafter" if gothic else "crown"
    annotations: list[Annotation] = []
    along = 0.0
    segments = arch.half.segments
    for index, segment in enumerate(segments):
        if isinstance(segment, Arc):
            is_top = index == len(segments) - 1
            side = -1 if is_top else 1
            points = []
            for share in _RADIUS_SHARES:
                place = arch.point_at(along + share * segment.length_mm)
                (u, v), (x, z) = _arc_points(place, segment.radius_mm)
                points.append((side * u, v))
            annotations.append(
                Radius(centre=(side * x, z), on_arc=tuple(points), name=top if is_top else "eave")
            )
        along += segment.length_mm
    if gothic and arch.ridge_slope_rad > 1e-6:
        ridge = (0.0, arch.ridge_height_mm)
        annotations.append(
            Angle(
                vertex=ridge,
                first_rad=math.pi,
                second_rad=math.pi + arch.ridge_slope_rad,
                name="at the ridge",
            )
        )
    return annotations


def _arc_points(place: ArchPoint, radius: float) -> tuple[Point, Point]:
    """A point of the left half and the centre of its arc, which lies to the right of the way up."""
    sin, cos = math.sin(place.heading_rad), math.cos(place.heading_rad)
    return (
        (place.x_mm, place.z_mm),
        (place.x_mm + radius * sin, place.z_mm - radius * cos),
    )


def _marks(members: list[Member]) -> list[Annotation]:
    annotations: list[Annotation] = []
    for member in members:
        left = member.spot.side is not Side.RIGHT
        inward = 1 if left else -1
        at = _middle(member)
        ways: tuple[Way, ...]
        if member.role is Role.RAIL:
            ways = tuple((way * inward, 0, d) for way in (1, -1) for d in (3.0, 6.0, 9.0))
        elif member.role is Role.RIDGE_JOINT:
            ways = tuple((0, -1, d) for d in (5.0, 8.0, 11.0))
        elif member.role is Role.SILL_BOARD:
            ways = tuple((way * inward, up, d) for up in (0.0, 0.4) for way, d in _BOARD_WAYS)
        elif member.role is Role.SOCKET:
            ways = tuple((inward, 0, d) for d in (3.0, 5.0, 7.0))
        else:
            ways = tuple((way * inward, 0, d) for way in (-1, 1) for d in (3.0, 5.0, 7.0, 9.0))
        annotations.append(Mark(text=member.mark, at=at, ways=ways, leader=True))
    return annotations


def _middle(member: Member) -> Point:
    if isinstance(member.part, Tube):
        return _middle_of_tube(with_part(member, Tube))
    if isinstance(member.part, Channel):
        at = member.part.axis.at(0.35 * member.part.length_mm)
        return FRONT.flat(member.placement.point((at.x_mm, at.y_mm, 0.0)))
    points = [member.placement.point(p) for p in ((0.0, 0.0, 0.0), _far_corner(member))]
    flats = [FRONT.flat(point) for point in points]
    return ((flats[0][0] + flats[1][0]) / 2, (flats[0][1] + flats[1][1]) / 2)


def _middle_of_tube(member: Member[Tube]) -> Point:
    if member.role is Role.SOCKET:
        lower = min((0.25, 0.75), key=lambda s: _along(member, s)[1])
        return _along(member, lower)
    if member.role is Role.HOOP:
        return _along(member, 0.42 if member.spot.side is Side.RIGHT else 0.58)
    return _along(member, 0.5 if member.role is not Role.RAIL else 0.0)


def _far_corner(member: Member) -> Vector:
    part = member.part
    if isinstance(part, Plate):
        xs, ys = zip(*part.outline, strict=True)
        return (sum(xs) / len(xs) * 2, sum(ys) / len(ys) * 2, part.thickness_mm)
    section = with_part(member, Board).part.section
    return (0.0, section.depth_mm, section.thickness_mm)


def _along(member: Member[Tube], share: float) -> Point:
    return FRONT.flat(axis_point(member, share * member.part.length_mm))
