"""Doors from above: leaves with their hardware, shut, and how they swing or slide open."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

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
_SLIDES_IN = (Role.DOOR_TRACK, Role.BRACKET, Role.FLOOR_GUIDE)
_PIN_MM = 4.0
_BESIDE_MM = 120.0
_QUARTER = math.pi / 2


def door_plans(frame: Frame) -> list[View]:
    """A view of every door with leaves."""
    plans = {DoorKind.HINGED: _plan, DoorKind.SLIDING: _travel}
    return [plans[door.kind](frame, door) for door in frame.doors if door.kind in plans]


def _travel(frame: Frame, door: DoorOpening) -> View:
    """A sliding door: its leaves shut, where they stand open, and how far they travel."""
    shut = _ends(door.leaves)
    wide = [(x + leaf.slide_mm, y) for leaf, x, y in shut]
    low, high = (pick(x for x, _ in (*wide, *((x, y) for _, x, y in shut))) for pick in (min, max))
    shapes = _shapes(frame, door, (*_SHOWN, *_SLIDES_IN), (low, high))
    primitives: list[Primitive] = list(visible(shapes))
    outside = ViewEdge.BOTTOM if door.end is End.FRONT else ViewEdge.TOP
    annotations: list[Annotation] = [_opening(door)]
    for leaf in door.leaves:
        ends = (leaf.low_x_mm + leaf.slide_mm, leaf.high_x_mm + leaf.slide_mm)
        corners = [(x, y) for x in ends for y in (leaf.near_y_mm, leaf.far_y_mm)]
        primitives += [Stroke(start=a, end=b, layer=Layer.HIDDEN) for a, b in _sides(corners)]
        # From the edge that leads, shut, to the same edge open.
        lead = leaf.high_x_mm if leaf.slide_mm > 0 else leaf.low_x_mm
        y = leaf.near_y_mm if outside is ViewEdge.BOTTOM else leaf.far_y_mm
        points = tuple(sorted(((lead, y), (lead + leaf.slide_mm, y))))
        annotations.append(Chain(points=points, edge=outside, names=("travel",)))
    bounds = [shape.area.bounds for shape in shapes]
    bounds += [(x, y, x, y) for x, y in wide]
    which = "bottom" if door.end is End.FRONT else "top"
    return View(
        title=f"Door travel, {door.end.value} end",
        primitives=tuple(primitives),
        bounds=around(bounds),
        annotations=tuple(annotations),
        caption=(
            f"From above, outside at the {which}: leaves shut with track, brackets and hangers, "
            "dashed where they stand open. Keep the wall beside the opening free of what they "
            "pass.",
        ),
    )


def _ends(leaves: Sequence[Leaf]) -> list[tuple[Leaf, float, float]]:
    """Each leaf with its corners as it is shut."""
    return [
        (leaf, x, y)
        for leaf in leaves
        for x in (leaf.low_x_mm, leaf.high_x_mm)
        for y in (leaf.near_y_mm, leaf.far_y_mm)
    ]


def _opening(door: DoorOpening) -> Chain:
    edge = ViewEdge.TOP if door.end is End.FRONT else ViewEdge.BOTTOM
    left, right = ((x, door.wall_y_mm) for x in (door.left_x_mm, door.right_x_mm))
    return Chain(points=(left, right), edge=edge, names=("opening",))


def _plan(frame: Frame, door: DoorOpening) -> View:
    shapes = _shapes(frame, door, _SHOWN, (door.left_x_mm, door.right_x_mm))
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
    annotations.append(_opening(door))
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


def _shapes(
    frame: Frame, door: DoorOpening, roles: Sequence[Role], reach: tuple[float, float]
) -> list[Silhouette]:
    """Members of ``roles`` at the door, between two places across the tunnel and a little more."""
    hoop = 1 if door.end is End.FRONT else len(frame.grid.hoop_y_mm)
    low, high = reach[0] - _BESIDE_MM, reach[1] + _BESIDE_MM

    def is_near(member: Member) -> bool:
        return member.spot.hoop == hoop and low < member.placement.origin[0] < high

    members = [m for m in frame.of(*roles) if is_near(m)]
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
