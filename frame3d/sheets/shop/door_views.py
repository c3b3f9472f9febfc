"""Doors: each distinct leaf put together.

Glossary
--------
opposite hand : the mirror image of what is drawn.
show side : the side of a leaf that its hinges or straps lie on, from which it is drawn.
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct
from msgspec.structs import replace

from frame3d.design.tables.whole_design import DoorKind, End
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.openings import DoorOpening, Leaf
from frame3d.frame.model.parts import Board, Plate
from frame3d.frame.model.roles import Role
from frame3d.geometry.placement import Vector
from frame3d.sheets.annotation.annotations import (
    Aligned,
    Annotation,
    Chain,
    Mark,
    Running,
    View,
    ViewEdge,
    Way,
)
from frame3d.sheets.primitives.primitives import Point, around
from frame3d.sheets.projection.hiding import visible
from frame3d.sheets.projection.projection import FRONT, Projection, Silhouette
from frame3d.sheets.projection.silhouettes import silhouette
from frame3d.sheets.views.seen_wall import BACK

_SAME_MM = 0.05
_LEVEL = 1e-6
_WAYS: tuple[Way, ...] = tuple((x, y, d) for d in (1.0, 3.0, 5.0) for x, y in
                               ((1, 0), (-1, 0), (0, 1), (0, -1)))  # fmt: skip


class LeafSeen(Struct, frozen=True, kw_only=True):
    """A leaf with its boards and its hardware, from its show side.

    Parameters
    ----------
    door : DoorOpening
    leaf : Leaf
    projection : Projection
    boards, plates : tuple of Silhouette
        From the left and from below; plates are what is bolted to the leaf.
    """

    door: DoorOpening
    leaf: Leaf
    projection: Projection
    boards: tuple[Silhouette, ...]
    plates: tuple[Silhouette, ...]

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Left, bottom, right and top edge of the leaf as it is seen, mm."""
        ends = sorted(
            self.projection.flat((x, 0.0, 0.0))[0]
            for x in (self.leaf.low_x_mm, self.leaf.high_x_mm)
        )
        return ends[0], self.leaf.bottom_mm, ends[1], self.leaf.top_mm

    def gist(self, mirrored: bool = False) -> tuple[tuple[str, tuple[int, ...]], ...]:
        """What is seen, from the lower left corner of the leaf, or from the lower right."""
        left, bottom, right, _ = self.bounds
        found = []
        for shape in (*self.boards, *self.plates):
            u0, v0, u1, v1 = shape.area.bounds
            ends = (right - u1, right - u0) if mirrored else (u0 - left, u1 - left)
            numbers = (*ends, v0 - bottom, v1 - bottom)
            found.append((shape.member.mark, tuple(round(n / _SAME_MM) for n in numbers)))
        return tuple(sorted(found))


def leaves_seen(frame: Frame) -> list[LeafSeen]:
    """Every leaf of every door."""
    return [_leaf_seen(frame, door, leaf) for door in frame.doors for leaf in door.leaves]


def _leaf_seen(frame: Frame, door: DoorOpening, leaf: Leaf) -> LeafSeen:
    boards = [m for m in frame.of_kind(Board, Role.DOOR_LEAF) if _is_in(m, leaf)]
    plates = [m for m in frame.of_kind(Plate, Role.HINGE) if is_on(m, leaf)]
    middle = (leaf.near_y_mm + leaf.far_y_mm) / 2
    outward = -1.0 if door.end is End.FRONT else 1.0
    faces = [centre_of(plate)[1] - middle for plate in plates]
    way = outward if not faces or sum(faces) * outward > 0 else -outward
    projection = FRONT if way < 0 else BACK

    def ordered(members: Iterable[Member]) -> tuple[Silhouette, ...]:
        shapes = [shape for member in members if (shape := silhouette(member, projection))]
        return tuple(sorted(shapes, key=lambda shape: [round(b, 1) for b in shape.area.bounds]))

    return LeafSeen(
        door=door, leaf=leaf, projection=projection, boards=ordered(boards), plates=ordered(plates)
    )


def centre_of(member: Member[Board | Plate]) -> Vector:
    """The middle of a board or a plate, in the frame's axes, mm."""
    part = member.part
    if isinstance(part, Board):
        section = part.section
        local = (part.length_mm / 2, section.depth_mm / 2, section.thickness_mm / 2)
    else:
        xs, ys = zip(*part.outline, strict=True)
        local = (sum(xs) / len(xs), sum(ys) / len(ys), part.thickness_mm / 2)
    return member.placement.point(local)


def _is_in(member: Member[Board], leaf: Leaf) -> bool:
    x, y, z = centre_of(member)
    return (
        leaf.low_x_mm < x < leaf.high_x_mm
        and leaf.bottom_mm < z < leaf.top_mm
        and leaf.near_y_mm - 1.0 < y < leaf.far_y_mm + 1.0
    )


def is_on(member: Member[Plate], leaf: Leaf) -> bool:
    """Whether a plate has holes over the leaf and lies on one of its faces."""
    part = member.part
    points = [member.placement.point((x, y, 0.0)) for x, y, _ in part.holes]
    reach = part.thickness_mm + 1.0
    return any(
        leaf.low_x_mm < x < leaf.high_x_mm
        and leaf.bottom_mm < z < leaf.top_mm
        and leaf.near_y_mm - reach < y < leaf.far_y_mm + reach
        for x, y, z in points
    )


class LeafKind(Struct, frozen=True, kw_only=True):
    """Leaves that are made the same way, and those that are their mirror image."""

    drawn: LeafSeen
    alike: tuple[LeafSeen, ...]
    opposite: tuple[LeafSeen, ...]


def leaf_kinds(frame: Frame) -> list[LeafKind]:
    """The distinct leaves of a frame."""
    kinds: list[LeafKind] = []
    for leaf in leaves_seen(frame):
        for index, kind in enumerate(kinds):
            if leaf.gist() == kind.drawn.gist():
                kinds[index] = replace(kind, alike=(*kind.alike, leaf))
                break
            if leaf.gist(mirrored=True) == kind.drawn.gist():
                kinds[index] = replace(kind, opposite=(*kind.opposite, leaf))
                break
        else:
            kinds.append(LeafKind(drawn=leaf, alike=(leaf,), opposite=()))
    return kinds


def leaf_view(kind: LeafKind) -> View:
    """A leaf with its sizes and the places of what is bolted to it."""
    seen = kind.drawn
    shapes = (*seen.boards, *seen.plates)
    count = f"{len(kind.alike)} as drawn"
    if kind.opposite:
        count += f", {len(kind.opposite)} opposite hand"
    return View(
        title=f"Door leaf, {seen.door.kind.value}, {_ends(kind)}: {count}",
        primitives=tuple(visible(shapes)),
        bounds=around((seen.bounds, *(shape.area.bounds for shape in shapes))),
        annotations=(*_leaf_sizes(seen), *_plate_places(seen), *_leaf_marks(seen)),
        caption=(_leaf_words(seen),),
    )


def _ends(kind: LeafKind) -> str:
    ends = {leaf.door.end.value for leaf in (*kind.alike, *kind.opposite)}
    return "both ends" if len(ends) == 2 else f"{next(iter(ends))} end"


def _leaf_words(seen: LeafSeen) -> str:
    outside = (seen.projection is FRONT) is (seen.door.end is End.FRONT)
    text = f"Seen from {'outside' if outside else 'inside'}, the hardware side."
    if seen.door.kind is DoorKind.HINGED:
        side = "right" if _hangs_right(seen) else "left"
        text += f" Dimensions at the {side} are to the hinge centres."
    elif seen.plates:
        text += " Dimensions at the top are to the strap centres."
    return f"{text} Make both diagonals equal before fixing the braces."


def _leaf_sizes(seen: LeafSeen) -> list[Annotation]:
    """Over all, between the stiles, to the lower edges of the ledges, and a diagonal."""
    left, bottom, right, top = seen.bounds
    annotations: list[Annotation] = [
        Chain(
            points=((left, bottom), (right, bottom)),
            edge=ViewEdge.BOTTOM,
            names=("overall",),
            rank=2,
        ),
        Chain(
            points=((right, bottom), (right, top)), edge=ViewEdge.RIGHT, names=("overall",), rank=2
        ),
        Aligned(first=(left, bottom), second=(right, top), name="diagonal", share=0.35),
    ]
    stiles = [shape.area.bounds for shape in seen.boards if _is_upright(shape)]
    if len(stiles) == 2:
        inner = ((stiles[0][2], bottom), (stiles[1][0], bottom))
        annotations.append(
            Chain(points=inner, edge=ViewEdge.BOTTOM, names=("between stiles",), rank=1)
        )
    ledges = {round(s.area.bounds[1], 2): s.area.bounds for s in seen.boards if _is_level(s)}
    edge = ViewEdge.LEFT if _hangs_right(seen) else ViewEdge.RIGHT
    side = 0 if edge is ViewEdge.LEFT else 2
    points = tuple((b[side], b[1]) for b in ledges.values() if b[1] > bottom + _SAME_MM)
    if points:
        annotations.append(Running(datum=(right, bottom), points=points, edge=edge))
    return annotations


def _hangs_right(seen: LeafSeen) -> bool:
    """Whether the hinges lie on the right half as the leaf is seen."""
    middle = (seen.bounds[0] + seen.bounds[2]) / 2
    return seen.door.kind is DoorKind.HINGED and any(
        shape.area.centroid.x > middle for shape in seen.plates
    )


def _along(shape: Silhouette) -> Point:
    x = shape.member.placement.x
    return x[0], x[2]


def _is_upright(shape: Silhouette) -> bool:
    return abs(_along(shape)[0]) < _LEVEL


def _is_level(shape: Silhouette) -> bool:
    return abs(_along(shape)[1]) < _LEVEL


def _plate_places(seen: LeafSeen) -> list[Annotation]:
    """Heights of hinges from the foot of the leaf; straps from its left edge."""
    left, bottom, _, top = seen.bounds
    if not seen.plates:
        return []
    middles = [
        ((s.area.bounds[0] + s.area.bounds[2]) / 2, (s.area.bounds[1] + s.area.bounds[3]) / 2)
        for s in seen.plates
    ]
    if seen.door.kind is DoorKind.HINGED:
        edge, side = (ViewEdge.RIGHT, 2) if _hangs_right(seen) else (ViewEdge.LEFT, 0)
        points = tuple(
            (s.area.bounds[side], v) for s, (_, v) in zip(seen.plates, middles, strict=True)
        )
        return [Running(datum=(left, bottom), points=points, edge=edge)]
    points = tuple((u, s.area.bounds[3]) for s, (u, _) in zip(seen.plates, middles, strict=True))
    return [Running(datum=(left, top), points=points, edge=ViewEdge.TOP)]


def _leaf_marks(seen: LeafSeen) -> list[Annotation]:
    """Every kind of board and plate once."""
    annotations: dict[str, Annotation] = {}
    for shape in (*seen.boards, *seen.plates):
        if shape.member.mark in annotations:
            continue
        spot = shape.area.representative_point()
        u0, v0, u1, v1 = shape.area.bounds
        at = (spot.x, spot.y)
        ways = _WAYS
        half = (0.0, 0.0)
        if isinstance(shape.member.part, Plate):
            ways = tuple((x, y, d) for d in (6.0, 9.0, 12.0) for x in (0.6, -0.6) for y in (-1, 1))
            annotations[shape.member.mark] = Mark(
                text=shape.member.mark, at=at, ways=ways, leader=True
            )
            continue
        if _is_upright(shape):
            at, half = (at[0], v0 + 0.62 * (v1 - v0)), ((u1 - u0) / 2, 0.0)
            inward = 1 if u0 < sum(seen.bounds[::2]) / 2 else -1
            ways = ((inward, 0, 1.0), (inward, 0, 2.5), (-inward, 0, 1.0))
        elif _is_level(shape):
            at, half = ((u0 + u1) / 2, at[1]), (0.0, (v1 - v0) / 2)
            ways = ((0, 1, 1.0), (0, 1, 2.5), (0, -1, 1.0))
        annotations[shape.member.mark] = Mark(text=shape.member.mark, at=at, ways=ways, half=half)
    return list(annotations.values())
