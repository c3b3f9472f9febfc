"""The cover unfolded: the film with its widths, hoops and ridge on it, and the channel by pieces.

Glossary
--------
unfolded : the outer face of the hoops laid flat; along the tunnel to the right, the left side up.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from msgspec import Struct

from frame3d.design.tables.whole_design import CoverListed, Hip
from frame3d.frame.describe.closing import bought_cover
from frame3d.frame.describe.wording import describe, lengths_of
from frame3d.frame.model.channel import Channel
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.roles import Role, Side
from frame3d.frame.skin.channel_runs import film_foot_mm, outer_half
from frame3d.frame.skin.cover_film import cover_lines
from frame3d.frame.skin.film_sheets import film_sheets
from frame3d.geometry.arch.arch_curve import HalfCurve, distance_at_height
from frame3d.sheets.annotation.annotations import (
    Annotation,
    Chain,
    GridBubbles,
    LengthCell,
    Mark,
    MarkRow,
    Table,
    View,
    ViewEdge,
)
from frame3d.sheets.primitives.primitives import Layer, Point, Primitive, Stroke, polyline

NOTES = (
    "The film is laid flat as seen from outside. Heavy lines are channel, with a tick at each "
    "joint. Channel round doors stands in the table only.",
    "Heights of hips and sills are along the outer face of the hoops. Film under wind is for its "
    "supplier.",
)
CHANNEL_PIECES = "Channel, overall lengths"
"""The title of the table that lists every piece."""
_TICK_MM = 120.0
"""Half a tick at a joint."""


def is_listed(frame: Frame) -> bool:
    """Whether the cover is parts, and has sheets."""
    return frame.design.cover.listed_as is CoverListed.PARTS


class _Laid(Struct, frozen=True, kw_only=True):
    """A piece of channel on the unfolded cover, its ends."""

    member: Member[Channel]
    start: Point
    end: Point


def cover_plan(frame: Frame) -> View:
    """The film over the hoops, flat."""
    lines, cover = cover_lines(frame), frame.design.cover
    half, length, od = lines.girth_mm / 2, frame.grid.length_mm, frame.arch.tube_od_mm
    left, right = -od / 2 - cover.end_allowance, length + od / 2 + cover.end_allowance
    top = lines.film_width_mm / 2
    primitives: list[Primitive] = [
        *polyline([(left, -top), (right, -top), (right, top), (left, top), (left, -top)]),
        Stroke(start=(left, 0.0), end=(right, 0.0), layer=Layer.CENTRE),
    ]
    for y in frame.grid.hoop_y_mm:
        primitives.append(Stroke(start=(y, -half), end=(y, half), layer=Layer.GRID))
    for v in _seams(frame, top):
        primitives.append(Stroke(start=(left, v), end=(right, v), layer=Layer.HIDDEN))
    laid = list(_laid(frame, half))
    for piece in laid:
        primitives.append(Stroke(start=piece.start, end=piece.end, layer=Layer.GROUND))
        primitives += _ticks(piece)
    hips = sorted({round(abs(p.start[1]), 3) for p in laid if _is_hip(frame, p)})
    bottom = max([top, *(abs(v) for piece in laid for v in (piece.start[1], piece.end[1]))])
    return View(
        title="Cover, unfolded",
        primitives=tuple(primitives),
        bounds=(left, -bottom, right, bottom),
        annotations=(
            *_sizes(frame, (left, right, top), half, hips),
            GridBubbles(
                places=tuple((str(n), (y, top)) for n, y in enumerate(frame.grid.hoop_y_mm, 1)),
                edge=ViewEdge.TOP,
            ),
            *_marks(frame, laid, hips),
        ),
    )


def _seams(frame: Frame, top: float) -> Iterator[float]:
    """Edges of the overlaps where widths of film are joined, from the left side down."""
    sheet = film_sheets(frame)[0]
    for number in range(1, sheet.strips):
        begins = top - number * (sheet.sold_mm - sheet.seam_mm)
        yield from (begins, begins - sheet.seam_mm)


def _laid(frame: Frame, half: float) -> Iterator[_Laid]:
    """Every piece of channel but those round doors."""
    curve = outer_half(frame.arch)
    start = distance_at_height(curve, _foot(frame))
    doors = {"front": frame.grid.hoop_y_mm[0], "back": frame.grid.length_mm}
    for member in frame.of_kind(Channel, Role.CHANNEL):
        x, y, z = member.placement.origin
        sign = -1.0 if member.spot.side is Side.RIGHT else 1.0
        long = member.part.length_mm
        if not member.part.axis.is_straight:
            near = doors["front"] if member.spot.hoop == 1 else doors["back"]
            up = distance_at_height(curve, z) - start
            ends = (sign * (half - up), sign * (half - up - long))
            yield _Laid(member=member, start=(near, ends[0]), end=(near, ends[1]))
        elif abs(member.placement.x[1]) > 0.5:
            v = sign * (half - _along_face(frame, curve, member, start))
            yield _Laid(member=member, start=(y, v), end=(y + long, v))


def _foot(frame: Frame) -> float:
    return film_foot_mm(frame.design, frame.ground) * math.cos(frame.arch.leg_lean_rad)


def _along_face(frame: Frame, curve: HalfCurve, member: Member[Channel], start: float) -> float:
    """How far along the outer face, from the film's foot, a lengthwise piece lies, mm."""
    _, _, z = member.placement.origin
    opening, out = frame.design.side_opening, member.placement.z[2]
    foot = _foot(frame)
    if opening is None or z < foot:
        return (z - foot) / math.cos(frame.arch.leg_lean_rad)
    thick = opening.timber.thickness_mm if opening.hip is Hip.BOARD else opening.tube.od_mm
    return distance_at_height(curve, min(max(z - out * thick, 0.0), curve.end.z_mm)) - start


def _is_hip(frame: Frame, piece: _Laid) -> bool:
    lengthwise = piece.start[1] == piece.end[1]
    return lengthwise and piece.member.placement.origin[2] > _foot(frame)


def _ticks(piece: _Laid) -> Iterator[Stroke]:
    (u0, v0), (u1, v1) = piece.start, piece.end
    across = (0.0, _TICK_MM) if v0 == v1 else (_TICK_MM, 0.0)
    for u, v in ((u0, v0), (u1, v1)):
        yield Stroke(
            start=(u - across[0], v - across[1]), end=(u + across[0], v + across[1]),
            layer=Layer.FINE,
        )  # fmt: skip


def _sizes(
    frame: Frame, film: tuple[float, float, float], half: float, hips: list[float]
) -> Iterator[Annotation]:
    """Length and width of the film, and where on it the frame lies."""
    left, right, top = film
    length, od = frame.grid.length_mm, frame.arch.tube_od_mm
    ends = ((left, -top), (-od / 2, -top), (length + od / 2, -top), (right, -top))
    points = [p for n, p in enumerate(ends) if n == 0 or p[0] - ends[n - 1][0] > 1.0]
    if len(points) > 2:
        yield Chain(points=tuple(points), edge=ViewEdge.BOTTOM)
    yield Chain(points=(ends[0], ends[3]), edge=ViewEdge.BOTTOM, names=("film",), rank=2)
    if top - half > 1.0:
        yield Chain(
            points=((left, -half), (left, half)), edge=ViewEdge.LEFT, names=("over the hoops",)
        )
    yield Chain(points=((left, -top), (left, top)), edge=ViewEdge.LEFT, names=("film",), rank=2)
    for v in hips:
        yield Chain(points=((right, v), (right, half)), edge=ViewEdge.RIGHT, names=("to the hip",))


def _marks(frame: Frame, laid: list[_Laid], hips: list[float]) -> Iterator[Annotation]:
    """A mark at each piece; of those along a hip one for neighbours that are alike."""
    rows: dict[float, list[Mark]] = {}
    for piece in laid:
        (u0, v0), (u1, v1) = piece.start, piece.end
        text = piece.member.mark
        if v0 != v1:
            ways = tuple((way, 0.0, d) for d in (1.0, 2.5) for way in (1.0, -1.0))
            yield Mark(text=text, at=((u0 + u1) / 2, (v0 + v1) / 2), ways=ways)
            continue
        at = (_clear_of_hoops(frame, u0, u1), v0)
        ways = tuple((side, way, d) for d in (0.8, 2.0) for side in (0.0, 0.5, -0.5)
                     for way in (-1.0, 1.0))  # fmt: skip
        mark = Mark(text=text, at=at, ways=ways)
        if round(abs(v0), 3) in hips:
            rows.setdefault(round(v0, 1), []).append(mark)
        else:
            yield mark
    for row in rows.values():
        yield MarkRow(marks=tuple(sorted(row, key=lambda mark: mark.at)))


def _clear_of_hoops(frame: Frame, low: float, high: float) -> float:
    """The middle of the bay nearest to the middle of a piece, or that where it spans none."""
    middle, ys = (low + high) / 2, frame.grid.hoop_y_mm
    bays = [(a + b) / 2 for a, b in itertools.pairwise(ys)]
    return min((bay for bay in bays if low < bay < high), key=lambda bay: abs(bay - middle),
               default=middle)  # fmt: skip


def tables(frame: Frame) -> tuple[Table, ...]:
    """The pieces of channel, and what is bought besides."""
    groups = [g for g in frame.parts_of_kind(Channel) if g.role is Role.CHANNEL]
    rows = []
    for group in groups:
        first = group.members[0]
        mitres = [math.degrees(a) for a in (group.part.start_rad, group.part.end_rad) if a]
        rows.append((
            group.mark, LengthCell(group.part.over_all_mm), str(group.count),
            "bent" if not group.part.axis.is_straight else "straight",
            ", ".join(f"{abs(angle):.1f}°" for angle in mitres), _place(first),
        ))  # fmt: skip
    form = lengths_of(frame)
    screws = [
        (describe(group.part, form), str(group.count), "channel")
        for group in frame.parts()
        if group.role is Role.CHANNEL_SCREW
    ]
    bought = [(one.item, str(one.count), one.use) for one in bought_cover(frame)]
    return (
        Table(
            title=CHANNEL_PIECES,
            head=("Mark", "Length", "Qty", "Shape", "Mitres", "Place"),
            rows=tuple(rows), words=(3, 4, 5),
        ),
        Table(
            title="Film, wire, sheets and screws", head=("Item", "Qty", "Use"),
            rows=(*bought, *screws),
            words=(2,),
        ),
    )  # fmt: skip


def _place(member: Member[Channel]) -> str:
    if not member.part.axis.is_straight:
        return "end hoop"
    if abs(member.placement.x[1]) > 0.5:
        return "along a side"
    return "round a door"
