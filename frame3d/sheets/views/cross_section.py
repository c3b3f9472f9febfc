"""The cross sections: hoops with ties, their posts and webs, seen from the front."""

from __future__ import annotations

import math

from msgspec import Struct

from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role, Side
from frame3d.frame.space.crown import crown_of
from frame3d.geometry.placement import ALONG
from frame3d.sheets.annotation.annotations import (
    Angle,
    Annotation,
    Chain,
    Mark,
    Table,
    View,
    ViewEdge,
    Way,
)
from frame3d.sheets.annotation.pieces import piece_table
from frame3d.sheets.primitives.primitives import Layer, Point, Stroke, around
from frame3d.sheets.projection.ground_line import ground_line, sink
from frame3d.sheets.projection.hiding import visible
from frame3d.sheets.projection.projection import FRONT, Silhouette, axis_point
from frame3d.sheets.projection.silhouettes import reach_of, silhouette
from frame3d.sheets.views.end_elevation import spoken

_TRUSS = (Role.TIE, Role.KING_POST, Role.WEB)
_HOOP = (Role.SOCKET, Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT)
_LENGTHWISE = (Role.RAIL, Role.SILL_BOARD, Role.SKIRT_BOARD, Role.HIP_BOARD, Role.HIP_RAIL)
_NEAR_HOOP_MM = 250.0
"""Clamps farther from the hoop's plane along the tunnel belong to something else."""


class _Tie(Struct, frozen=True, kw_only=True):
    """A tie on the hoop that is shown: height of its centreline, its nodes, thickness; mm.

    ``source`` is the section of the design that asks for it.
    """

    height: float
    half: float
    od: float
    source: str


def sections(frame: Frame) -> list[tuple[int, tuple[int, ...]]]:
    """Which hoops to show, and with each those that have ties at the same heights.

    The first comes first; hoops without a tie are in none.
    """
    groups: dict[tuple[float, ...], list[int]] = {}
    for number in sorted({member.spot.hoop for member in frame.of(Role.TIE)}):
        heights = tuple(tie.height for tie in _ties(frame, number))
        groups.setdefault(heights, []).append(number)
    return [(hoops[0], tuple(hoops)) for hoops in groups.values()]


def notes(frame: Frame, hoops: tuple[int, ...]) -> tuple[str, ...]:
    """What is to be said about the section at these hoops."""
    where = f"Hoop {hoops[0]} is shown, seen from the front."
    if len(hoops) > 1:
        other = "hoop" if len(hoops) == 2 else "hoops"
        has = "has" if len(hoops) == 2 else "have"
        where = f"{where[:-1]}; {other} {spoken(hoops[1:])} {has} the same ties."
    webs = any(member.spot.hoop == hoops[0] for member in frame.of(Role.WEB))
    angle = "; the angle is between web and tie" if webs else ""
    return (
        f"{where} Tie height is to its centreline; nodes are where tube centrelines "
        f"meet{angle}. Bolts are not shown; clamps are shown as the space they take up.",
        "The height under the tie is to its tube; its clamps or plates hang lower: see the "
        "clearance sheets. Webs and posts are measured to the ends of their centrelines.",
    )


def pieces(frame: Frame, number: int) -> Table:
    """The pieces of the ties of hoop ``number``."""
    members = [member for member in frame.of(*_TRUSS) if member.spot.hoop == number]
    return piece_table("Pieces of this hoop's ties", members, _TRUSS)


def cross_section(frame: Frame, number: int) -> View:
    """Hoop ``number`` with its ties, post and webs, and what runs along there cut through."""
    shapes = _shapes(frame, number)
    left, bottom, right, top = around(shape.area.bounds for shape in shapes)
    high = crown_of(frame).over_all_mm
    top = max(top, high)
    margin = 0.015 * (right - left)
    ground, soil = ground_line(left - margin, right + margin)
    axis = Stroke(start=(0.0, 0.0), end=(0.0, 1.03 * top), layer=Layer.CENTRE)
    ties = _ties(frame, number)
    members = [shape.member for shape in shapes]
    return View(
        title=f"Cross section at hoop {number}",
        primitives=(*sink(visible(shapes)), *ground, *soil, axis),
        bounds=(left, bottom, right, top),
        annotations=(
            *_widths(members, ties),
            *_heights(frame, members, ties, high),
            *_angles(members),
            *_marks(shapes),
        ),
    )


def _shapes(frame: Frame, number: int) -> list[Silhouette]:
    y = frame.grid.hoop_y_mm[number - 1]
    shapes = []
    for member in frame.of(*_HOOP, *_TRUSS, Role.GUSSET, Role.CLAMP, *_LENGTHWISE):
        if member.role in _LENGTHWISE:
            low, high = reach_of(member, ALONG)
            there = low <= y < high
        elif member.role is Role.CLAMP:
            there = abs(member.placement.origin[1] - y) < _NEAR_HOOP_MM
        else:
            there = member.spot.hoop == number
        if there:
            shapes.append(silhouette(member, FRONT, small=member.role is Role.CLAMP))
    return [shape for shape in shapes if shape]


def _ties(frame: Frame, number: int) -> list[_Tie]:
    """The ties of a hoop from below; a tie of several tubes once."""
    found = {}
    for member in frame.of_kind(Tube, Role.TIE):
        if member.spot.hoop == number:
            height = member.placement.origin[2]
            found[round(height, 3)] = _Tie(
                height=height,
                half=frame.arch.half_width_at(height),
                od=member.part.section.od_mm,
                source=member.source,
            )
    return [tie for _, tie in sorted(found.items())]


def _axis(member: Member) -> tuple[Point, Point]:
    """The ends of a straight tube's axis on the sheet, the lower first."""
    length = with_part(member, Tube).part.length_mm
    ends = [FRONT.flat(member.placement.point((s, 0.0, 0.0))) for s in (0.0, length)]
    low, high = sorted(ends, key=lambda end: end[1])
    return low, high


def _foot(member: Member, height: float) -> Point:
    """Where the axis of a web or post meets that of its tie."""
    (u0, v0), (u1, v1) = _axis(member)
    return (u0 + (u1 - u0) * (height - v0) / (v1 - v0), height)


def _under(member: Member, ties: list[_Tie]) -> _Tie:
    """The tie that a web or post stands on: that of the same section of the design."""
    return next(tie for tie in ties if tie.source == member.source)


def _widths(members: list[Member], ties: list[_Tie]) -> list[Annotation]:
    """For each tie its nodes from end to end with webs and post between, and over them all."""
    annotations: list[Annotation] = []
    for rank, tie in enumerate(ties, start=1):
        ends = [(-tie.half, tie.height), (tie.half, tie.height)]
        feet = [
            _foot(member, tie.height)
            for member in members
            if member.role in (Role.WEB, Role.KING_POST) and _under(member, ties) is tie
        ]
        if feet:
            annotations.append(
                Chain(points=tuple(sorted((*ends, *feet))), edge=ViewEdge.BOTTOM, rank=2 * rank)
            )
        annotations.append(
            Chain(
                points=tuple(ends),
                edge=ViewEdge.BOTTOM,
                names=("between nodes",),
                rank=2 * rank + 1,
            )
        )
        tops = [
            _axis(member)[1]
            for member in members
            if member.role is Role.WEB and _under(member, ties) is tie
        ]
        if len(tops) > 1:
            annotations.append(
                Chain(
                    points=tuple(sorted(tops)), edge=ViewEdge.TOP, names=("over webs",), rank=rank
                )
            )
    return annotations


def _heights(
    frame: Frame, members: list[Member], ties: list[_Tie], high: float
) -> list[Annotation]:
    """Under the tie, tie and over all at the right; ends of webs and posts at the left."""
    ground = frame.arch.width_mm / 2
    annotations: list[Annotation] = []
    for rank, tie in enumerate(ties, start=1):
        for order, (z, name) in enumerate(
            ((tie.height - tie.od / 2, "under the tie"), (tie.height, "tie"))
        ):
            annotations.append(
                Chain(
                    points=((ground, 0.0), (tie.half, z)),
                    edge=ViewEdge.RIGHT,
                    names=(name,),
                    rank=2 * rank + order,
                )
            )
    annotations.append(
        Chain(points=((ground, 0.0), (0.0, high)), edge=ViewEdge.RIGHT, names=("overall",), rank=50)
    )
    tops = {}
    for member in members:
        if member.role is Role.KING_POST or (
            member.role is Role.WEB and member.spot.side is Side.LEFT
        ):
            name = "top of post" if member.role is Role.KING_POST else "top of web"
            tops[name, round(_axis(member)[1][1], 2)] = _axis(member)[1]
    for rank, ((name, _), top) in enumerate(sorted(tops.items(), key=lambda item: item[1][1]), 1):
        annotations.append(
            Chain(points=((-ground, 0.0), top), edge=ViewEdge.LEFT, names=(name,), rank=rank)
        )
    return annotations


def _angles(members: list[Member]) -> list[Annotation]:
    """The slope of each right-hand web."""
    annotations: list[Annotation] = []
    for member in members:
        if member.role is Role.WEB and member.spot.side is Side.RIGHT:
            low, high = _axis(member)
            slope = math.atan2(high[1] - low[1], high[0] - low[0])
            first, second = (0.0, slope) if slope < math.pi / 2 else (slope, math.pi)
            annotations.append(Angle(vertex=low, first_rad=first, second_rad=second, reach=15.0))
    return annotations


def _marks(shapes: list[Silhouette]) -> list[Annotation]:
    """Every kind of piece of the ties once on each side, and the pieces of the hoop."""
    annotations: list[Annotation] = []
    done: set[tuple[str, bool]] = set()
    for shape in sorted(shapes, key=lambda shape: _order(shape.member.role)):
        member = shape.member
        right = shape.area.centroid.x > 1.0
        if member.role not in (*_TRUSS, Role.GUSSET, Role.HOOP) or (member.mark, right) in done:
            continue
        done.add((member.mark, right))
        annotations.append(_mark(shape, right))
    return annotations


def _order(role: Role) -> int:
    return (
        [*_TRUSS, Role.HOOP, Role.GUSSET].index(role)
        if role in (*_TRUSS, Role.HOOP, Role.GUSSET)
        else 99
    )


def _mark(shape: Silhouette, right: bool) -> Mark:
    member, way = shape.member, 1 if right else -1
    ways: tuple[Way, ...]
    if member.role is Role.GUSSET:
        centre = shape.area.centroid
        ways = tuple((-way * i, j, d) for d in (4.0, 6.0, 8.0) for i, j in ((1, -1), (0.3, -1)))
        return Mark(text=member.mark, at=(centre.x, centre.y), ways=ways, leader=True)
    if member.role is Role.HOOP:
        piece = with_part(member, Tube)
        at = FRONT.flat(axis_point(piece, 0.5 * piece.part.length_mm))
        ways = tuple((way, up, d) for d in (3.0, 5.0, 7.0) for up in (0.5, 0))
        return Mark(text=member.mark, at=at, ways=ways, leader=True)
    low, high = _axis(member)
    half = with_part(member, Tube).part.section.od_mm / 2
    share = {Role.TIE: 0.28, Role.KING_POST: 0.4, Role.WEB: 0.5}[member.role]
    at = (low[0] + share * (high[0] - low[0]), low[1] + share * (high[1] - low[1]))
    if member.role is Role.TIE:
        return Mark(text=member.mark, at=at, ways=((0, -1, 0.8), (0, 1, 0.8)), half=(0.0, half))
    if member.role is Role.KING_POST:
        return Mark(text=member.mark, at=at, ways=((1, 0, 0.8), (-1, 0, 0.8)), half=(half, 0.0))
    ways = ((way, 0, 2.0), (-way, 0, 2.0), (way, 0, 4.0), (-way, 0, 4.0))
    return Mark(text=member.mark, at=at, ways=ways, half=(half, 0.0))
