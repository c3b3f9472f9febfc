"""What closes an end wall: the film that it is cut from, or stiff sheets and how they are sawn."""

from __future__ import annotations

import math

from frame3d.design.tables.whole_design import End, WallCover
from frame3d.frame.model.members import Frame
from frame3d.frame.skin.channel_runs import outer_half
from frame3d.frame.skin.cover_film import cover_lines
from frame3d.frame.skin.wall_sheets import SheetPiece, wall_sheets
from frame3d.geometry.arch.arch_curve import HalfCurve
from frame3d.geometry.paths import Line
from frame3d.sheets.annotation.annotations import (
    Annotation,
    Chain,
    LengthCell,
    Mark,
    Table,
    View,
    ViewEdge,
)
from frame3d.sheets.primitives.primitives import (
    ArcStroke,
    Layer,
    Primitive,
    Stroke,
    polyline,
)

_SHEETS = (
    "Seen from outside. Sheets are trimmed to the hoop and round the door on site.",
    "Pieces with one number are sawn from one sheet.",
)
_FILM = (
    "Seen from outside; dashed: the hoop and the door. The film is trimmed to them on site.",
    "Film under wind is for its supplier.",
)


def notes(frame: Frame) -> tuple[str, ...]:
    """What is to be said about what closes the end walls."""
    return _FILM if frame.design.cover.wall_cover is WallCover.FILM else _SHEETS


def wall_covers(frame: Frame) -> tuple[tuple[View, tuple[Table, ...]], ...]:
    """A view of each end wall that is closed, with the table of its pieces."""
    if frame.design.cover.wall_cover is WallCover.FILM:
        return tuple(
            (_film(frame, wall.end, wall.width_mm, wall.height_mm), ())
            for wall in cover_lines(frame).walls
        )
    return tuple(
        (_sheets(frame, wall.end, wall.pieces), (_table(frame, wall.pieces),))
        for wall in wall_sheets(frame)
    )


def _film(frame: Frame, end: End, wide: float, high: float) -> View:
    more = frame.design.cover.wall_allowance
    left, right, bottom, top = -wide / 2, wide / 2, -more, high - more
    cut = polyline([(left, bottom), (right, bottom), (right, top), (left, top), (left, bottom)])
    return View(
        title=f"{end.value.capitalize()} end wall, film",
        primitives=(*cut, *_wall(frame, end)),
        bounds=(left, bottom, right, top),
        annotations=(
            Chain(points=((left, bottom), (right, bottom)), edge=ViewEdge.BOTTOM, names=("film",)),
            Chain(points=((left, bottom), (left, top)), edge=ViewEdge.LEFT, names=("film",)),
        ),
    )


def _sheets(frame: Frame, end: End, pieces: tuple[SheetPiece, ...]) -> View:
    # From outside the back wall has its right side at the left.
    sign = 1.0 if end is End.FRONT else -1.0
    primitives: list[Primitive] = list(_wall(frame, end))
    annotations: list[Annotation] = []
    for piece in pieces:
        low, high = sorted((sign * piece.left_mm, sign * piece.right_mm))
        corners = ((low, piece.bottom_mm), (high, piece.bottom_mm), (high, piece.top_mm),
                   (low, piece.top_mm), (low, piece.bottom_mm))  # fmt: skip
        primitives += polyline(corners)
        middle = ((low + high) / 2, (piece.bottom_mm + piece.top_mm) / 2)
        ways = ((0, 0, 0), (1, 0, 1.0), (-1, 0, 1.0), (0, 1, 1.0), (0, -1, 1.0))
        annotations.append(Mark(text=str(piece.sheet), at=middle, ways=ways, layer=Layer.TEXT))
    edges = sorted({round(sign * x, 3) for one in pieces for x in (one.left_mm, one.right_mm)})
    top = max(piece.top_mm for piece in pieces)
    annotations += [
        Chain(points=tuple((x, 0.0) for x in edges), edge=ViewEdge.BOTTOM),
        Chain(points=((edges[0], 0.0), (edges[0], top)), edge=ViewEdge.LEFT),
    ]
    return View(
        title=f"{end.value.capitalize()} end wall, sheets",
        primitives=tuple(primitives),
        bounds=(edges[0], 0.0, edges[-1], top),
        annotations=tuple(annotations),
    )


def _wall(frame: Frame, end: End) -> list[Primitive]:
    """The hoop's outer face and the doors."""
    sign = 1.0 if end is End.FRONT else -1.0
    found = _hoop(outer_half(frame.arch))
    for door in frame.doors:
        if door.end is end:
            left, right = sign * door.left_x_mm, sign * door.right_x_mm
            low, high = door.bottom_mm, door.top_mm
            ring = [(left, low), (left, high), (right, high), (right, low)]
            found += [
                Stroke(start=a, end=b, layer=Layer.OPENING)
                for a, b in zip(ring, ring[1:], strict=False)
            ]
    return found


def _hoop(half: HalfCurve) -> list[Primitive]:
    """A left half and its mirror image, by whole arcs: short chords would show no dashes."""
    found: list[Primitive] = []
    for piece in half.pieces:
        far = half.point_at(piece.along + piece.segment.length_mm)
        for sign in (1.0, -1.0):
            if isinstance(piece.segment, Line):
                start, end = (sign * piece.x, piece.z), (sign * far.x_mm, far.z_mm)
                found.append(Stroke(start=start, end=end, layer=Layer.HIDDEN))
                continue
            radius = piece.segment.radius_mm
            x, z = piece.x + radius * math.sin(piece.heading), piece.z
            # From the crown's end of the arc down to its start; its mirror image the other way.
            first, last = (far.heading_rad, piece.heading)
            angles = (first, last) if sign > 0 else (-last, -first)
            found.append(
                ArcStroke(
                    centre=(sign * x, z - radius * math.cos(piece.heading)), radius=radius,
                    start_rad=math.pi / 2 + angles[0], end_rad=math.pi / 2 + angles[1],
                    layer=Layer.HIDDEN,
                )
            )  # fmt: skip
    return found


def _table(frame: Frame, pieces: tuple[SheetPiece, ...]) -> Table:
    """The pieces of each sheet, alike ones together."""
    counts: dict[tuple[int, float, float], int] = {}
    for one in sorted(pieces, key=lambda piece: (piece.sheet, -piece.height_mm)):
        key = (one.sheet, round(one.right_mm - one.left_mm, 2), round(one.height_mm, 2))
        counts[key] = counts.get(key, 0) + 1
    return Table(
        title=f"Sheets of {frame.design.cover.wall_cover.value}",
        head=("Sheet", "Qty", "Width", "Height"),
        rows=tuple(
            (str(sheet), str(count), LengthCell(wide), LengthCell(high))
            for (sheet, wide, high), count in counts.items()
        ),
    )
