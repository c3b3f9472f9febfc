"""The frames of doors: clear opening, header, and where the hinges hook in."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace
from shapely import box

from frame3d.design.tables.whole_design import DoorKind, End
from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.model.parts import Plate
from frame3d.frame.model.roles import Role
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
from frame3d.sheets.primitives.hatching import BreakLine
from frame3d.sheets.primitives.primitives import Point, Primitive, around
from frame3d.sheets.projection.hiding import inside, visible
from frame3d.sheets.projection.projection import FRONT, Silhouette
from frame3d.sheets.projection.section_view import Window
from frame3d.sheets.projection.silhouettes import silhouette
from frame3d.sheets.shop.door_views import centre_of, is_on
from frame3d.sheets.views.seen_wall import BACK

_FRAME_ROLES = (Role.DOOR_JAMB, Role.DOOR_HEADER, Role.THRESHOLD, Role.WALL_SILL)
_SAME_HEIGHT_MM = 2.0
_ABOVE_MM, _BESIDE_MM, _BELOW_MM = 250.0, 150.0, 100.0
"""How much more than the opening is shown of a door frame."""


def frame_views(frame: Frame) -> list[View]:
    """The frame of every door; those that look and measure the same once, for both ends."""
    views: list[View] = []
    for door in frame.doors:
        view = frame_view(frame, door)
        same = next((v for v in views if _as_seen(v) == _as_seen(view)), None)
        if same is None:
            views.append(view)
        else:
            words = "both ends" if door.end.value not in same.title else door.end.value + " end"
            title = f"{same.title.rsplit(', ', 1)[0]}, {words}"
            views[views.index(same)] = replace(same, title=title)
    return views


def _as_seen(view: View) -> tuple[str, tuple[str, ...], tuple[str, ...]]:
    """What a view of a door frame says, its figures to a tenth of a millimetre."""
    said = []
    for annotation in view.annotations:
        if isinstance(annotation, Mark):
            said.append(annotation.text)
        elif isinstance(annotation, Chain | Running):
            ends = [(round(u, 1) + 0.0, round(v, 1) + 0.0) for u, v in annotation.points]
            left = min(u for u, _ in ends)
            points = sorted((round(u - left, 1), v) for u, v in ends)
            said.append(f"{annotation.edge.name} {points}")
    return (view.title.rsplit(", ", 1)[0], view.caption, tuple(sorted(said)))


def frame_view(frame: Frame, door: DoorOpening) -> View:
    """The frame of a door from outside: opening, header, places of hinges."""
    projection = FRONT if door.end is End.FRONT else BACK
    hoop = 1 if door.end is End.FRONT else len(frame.grid.hoop_y_mm)
    left, right = sorted(
        projection.flat((x, 0.0, 0.0))[0] for x in (door.left_x_mm, door.right_x_mm)
    )
    window = (left - _BESIDE_MM, -_BELOW_MM, right + _BESIDE_MM, door.top_mm + _ABOVE_MM)
    shapes = [
        shape
        for member in frame.of(*_FRAME_ROLES, Role.HINGE, Role.CLAMP)
        if member.spot.hoop == hoop
        and not _is_on_leaf(member, door)
        and (shape := silhouette(member, projection, small=member.role is Role.CLAMP))
        and shape.area.intersects(box(*window))
        and (member.role is not Role.CLAMP or _is_near(shape, left, right))
    ]
    lines: list[Primitive | BreakLine] = []
    for line in visible(shapes):
        lines += inside(line, window)
    for shape in shapes:
        lines += _breaks(shape, window)
    low = max(0.0, door.bottom_mm)
    middle_u, middle_v = (left + right) / 2, (low + door.top_mm) / 2
    annotations: list[Annotation] = [
        Chain(points=((left, low), (right, low)), edge=ViewEdge.BOTTOM, names=("opening",)),
        Chain(points=((right, low), (right, door.top_mm)), edge=ViewEdge.RIGHT, names=("clear",)),
        Aligned(first=(left, low), second=(right, door.top_mm), name="diagonal", share=0.4),
        *_hook_places(frame, door, shapes, middle_u),
        *_frame_marks(shapes, (middle_u, middle_v), window),
    ]
    return View(
        title=f"Door frame, {door.kind.value}, {door.end.value} end",
        primitives=tuple(lines),
        bounds=_drawn(shapes, window),
        annotations=tuple(annotations),
        caption=(_frame_words(door),),
    )


def _is_on_leaf(member: Member, door: DoorOpening) -> bool:
    return isinstance(member.part, Plate) and any(
        is_on(with_part(member, Plate), leaf) for leaf in door.leaves
    )


def _frame_words(door: DoorOpening) -> str:
    text = "Seen from outside. What is above the door is on the end wall sheet."
    if door.kind is DoorKind.HINGED:
        text += " Running dimensions: from the ground to the hinge centres."
    return text


def _is_near(shape: Silhouette, left: float, right: float) -> bool:
    middle = shape.area.centroid.x
    return bool(min(abs(middle - left), abs(middle - right)) < _BESIDE_MM)


def _drawn(shapes: Sequence[Silhouette], window: Window) -> Window:
    return around(shape.area.intersection(box(*window)).bounds for shape in shapes)


def _breaks(shape: Silhouette, window: Window) -> list[BreakLine]:
    """Where a member goes on past the window."""
    left, bottom, right, top = window
    cut = shape.area.intersection(box(*window).exterior)
    found = []
    for part in getattr(cut, "geoms", (cut,)):
        if part.length > 1.0:
            u0, v0, u1, v1 = part.bounds
            found.append(BreakLine(start=(u0, v0), end=(u1, v1)))
    return found


def _hook_places(
    frame: Frame, door: DoorOpening, shapes: Sequence[Silhouette], middle: float
) -> list[Annotation]:
    """Heights above the ground of what the hinges hook into, on the side of each."""
    bands = [
        centre_of(m)[2]
        for m in frame.of_kind(Plate, Role.HINGE)
        for leaf in door.leaves
        if is_on(m, leaf)
    ]
    hinged = door.kind is DoorKind.HINGED
    points: dict[ViewEdge, dict[float, Point]] = {ViewEdge.LEFT: {}, ViewEdge.RIGHT: {}}
    for shape in shapes:
        if not hinged or shape.member.role not in (Role.CLAMP, Role.HINGE):
            continue
        u0, v0, u1, v1 = shape.area.bounds
        at = ((u0 + u1) / 2, (v0 + v1) / 2)
        if any(abs(at[1] - z) < _SAME_HEIGHT_MM for z in bands):
            points[ViewEdge.LEFT if at[0] < middle else ViewEdge.RIGHT][round(at[1], 1)] = at
    if set(points[ViewEdge.LEFT]) == set(points[ViewEdge.RIGHT]):
        points[ViewEdge.RIGHT] = {}
    return [
        Running(datum=(middle, 0.0), points=tuple(found.values()), edge=edge)
        for edge, found in points.items()
        if found
    ]


def _frame_marks(shapes: Sequence[Silhouette], middle: Point, window: Window) -> list[Annotation]:
    annotations: dict[str, Annotation] = {}
    for shape in shapes:
        if shape.member.mark in annotations or shape.member.role is Role.CLAMP:
            continue
        u0, v0, u1, v1 = shape.area.intersection(box(*window)).bounds
        at, half = ((u0 + u1) / 2, (v0 + v1) / 2), ((u1 - u0) / 2, 0.0)
        inward = 1 if at[0] < middle[0] else -1
        ways: tuple[Way, ...] = ((inward, 0, 1.0), (inward, 0, 2.5), (-inward, 0, 1.0))
        if v1 - v0 < u1 - u0:
            half = (0.0, (v1 - v0) / 2)
            ways = ((0, -1, 1.0), (0, 1, 1.0), (0, -1, 3.0), (0, 1, 3.0))
        if shape.member.role is Role.HINGE:
            ways, half = ((inward, -0.6, 6.0), (inward, 0.6, 6.0), (inward, 0.6, 9.0)), (0.0, 0.0)
        annotations[shape.member.mark] = Mark(
            text=shape.member.mark,
            at=at,
            ways=ways,
            half=half,
            leader=shape.member.role is Role.HINGE,
        )
    return list(annotations.values())
