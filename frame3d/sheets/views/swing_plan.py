"""A hinged door from above: its leaves with their hardware, shut, and how they swing open."""

from __future__ import annotations

import math
from collections.abc import Iterator

from frame3d.design.tables.whole_design import DoorKind, End
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.openings import DoorOpening, Leaf
from frame3d.frame.model.roles import Role
from frame3d.frame.space.sweeps import opened
from frame3d.sheets.annotation.annotations import Annotation, Chain, Radius, View, ViewEdge
from frame3d.sheets.primitives.primitives import (
    ArcStroke,
    CircleStroke,
    Layer,
    Point,
    Primitive,
    Stroke,
    around,
)
from frame3d.sheets.projection.hiding import visible
from frame3d.sheets.projection.projection import Projection, Silhouette
from frame3d.sheets.projection.silhouettes import silhouette

_PLAN = Projection(right=(1.0, 0.0, 0.0), up=(0.0, 1.0, 0.0))
"""From above, the front of the tunnel below."""
_SHOWN = (Role.DOOR_LEAF, Role.HINGE, Role.DOOR_JAMB)
_PIN_MM = 4.0
_BESIDE_MM = 120.0
_QUARTER = math.pi / 2

__all__ = ["swing_plans"]


def swing_plans(frame: Frame) -> list[View]:
    """A view of every hinged door; one for both ends where they look the same."""
    return [_plan(frame, door) for door in frame.doors if door.kind is DoorKind.HINGED]


def _plan(frame: Frame, door: DoorOpening) -> View:
    shapes = _shapes(frame, door)
    primitives: list[Primitive] = list(visible(shapes))
    annotations: list[Annotation] = []
    bounds = [shape.area.bounds for shape in shapes]
    told: set[float] = set()
    for leaf in door.leaves:
        swing, arc = _swing(door, leaf)
        primitives += [*swing, arc]
        middle = (arc.start_rad + arc.end_rad) / 2
        turns = [middle + more for more in (0.0, 0.2, -0.2, 0.4, -0.4)]
        on_arc = tuple(
            (arc.centre[0] + arc.radius * math.cos(t), arc.centre[1] + arc.radius * math.sin(t))
            for t in turns
        )
        size = round(arc.radius, 2)
        if size not in told:  # both leaves of a pair are alike
            annotations.append(Radius(centre=arc.centre, on_arc=on_arc, outside_first=True))
        told.add(size)
        bounds += [(x, y, x, y) for x, y in opened(door, leaf, _QUARTER)]
        bounds += [(x, y, x, y) for x, y in on_arc]
    edge = ViewEdge.TOP if door.end is End.FRONT else ViewEdge.BOTTOM
    left, right = ((x, door.wall_y_mm) for x in (door.left_x_mm, door.right_x_mm))
    annotations.append(Chain(points=(left, right), edge=edge, names=("opening",)))
    which = "bottom" if door.end is End.FRONT else "top"
    return View(
        title=f"Door swing, {door.end.value} end",
        primitives=tuple(primitives),
        bounds=around(bounds),
        annotations=tuple(annotations),
        caption=(
            f"From above, outside at the {which}: leaves shut with bands, eyes and pins, dashed "
            f"where they stand open. They open {door.swing.value}; keep what they sweep free.",
        ),
    )


def _shapes(frame: Frame, door: DoorOpening) -> list[Silhouette]:
    """The leaves, their hinges and the jambs beside the opening, as seen from above."""
    hoop = 1 if door.end is End.FRONT else len(frame.grid.hoop_y_mm)
    low, high = door.left_x_mm - _BESIDE_MM, door.right_x_mm + _BESIDE_MM

    def is_near(member: Member) -> bool:
        return member.spot.hoop == hoop and low < member.placement.origin[0] < high

    members = [m for m in frame.of(*_SHOWN) if is_near(m)]
    return [shape for m in members if (shape := silhouette(m, _PLAN))]


def _swing(door: DoorOpening, leaf: Leaf) -> tuple[list[Primitive], ArcStroke]:
    """The open leaf and its pin, and the arc of its farthest corner."""
    shut, wide = opened(door, leaf, 0.0), opened(door, leaf, _QUARTER)
    _, axis = leaf.hung_at
    far = max(range(4), key=lambda i: math.dist(shut[i], axis))
    primitives: list[Primitive] = [
        Stroke(start=a, end=b, layer=Layer.HIDDEN) for a, b in _sides(wide)
    ]
    primitives.append(CircleStroke(centre=axis, radius=_PIN_MM))
    angles = [math.atan2(p[1] - axis[1], p[0] - axis[0]) for p in (shut[far], wide[far])]
    turn = (angles[1] - angles[0]) % (2 * math.pi)
    start, more = (angles[0], turn) if turn < math.pi else (angles[1], 2 * math.pi - turn)
    arc = ArcStroke(
        centre=axis,
        radius=math.dist(shut[far], axis),
        start_rad=start,
        end_rad=start + more,
        layer=Layer.OPENING,
    )
    return primitives, arc


def _sides(corners: list[Point]) -> Iterator[tuple[Point, Point]]:
    """The sides of a leaf, whose corners come edge by edge."""
    ring = [corners[0], corners[1], corners[3], corners[2]]
    yield from zip(ring, [*ring[1:], ring[0]], strict=True)
