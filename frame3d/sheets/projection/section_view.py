"""Sections put together: what is seen in a window, hatched, with breaks at its edges.

References
----------
ISO 128-50: neighbouring parts are hatched in other directions or spacings (from memory).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

from shapely import LineString, Polygon, STRtree, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import linemerge, unary_union

from frame3d.frame.model.bodies import (
    Body,
    ExtrudedOutline,
    SawnTimber,
    SplitRing,
    SweptRing,
    TurnedProfile,
)
from frame3d.frame.model.members import Member
from frame3d.frame.model.roles import Role
from frame3d.sheets.primitives.hatching import BreakLine, Hatch
from frame3d.sheets.primitives.primitives import Layer, Point, Primitive, Stroke, around
from frame3d.sheets.projection.cut_solids import cut_board, cut_plate
from frame3d.sheets.projection.cut_tubes import cut_tube
from frame3d.sheets.projection.hardware_outlines import cut_fastener, cut_split_ring
from frame3d.sheets.projection.hiding import inside, visible
from frame3d.sheets.projection.projection import Silhouette
from frame3d.sheets.projection.section_plane import Plane, Shown
from frame3d.sheets.projection.silhouettes import silhouette

Window = tuple[float, float, float, float]
_TINY_MM = 0.5
_HATCHES = (
    (math.radians(45), 1.2),
    (math.radians(-45), 1.2),
    (math.radians(45), 2.4),
    (math.radians(-45), 2.4),
    (math.radians(30), 1.7),
    (math.radians(-30), 1.7),
)
"""Angle and spacing, paper mm, of the parts of a section, in turn."""
_SOIL_MM = 22.0
HARDWARE_ROLES = (Role.BOLT, Role.NUT, Role.WASHER, Role.SCREW)


def section(members: Iterable[Member], plane: Plane, window: Window) -> list[Shown]:
    """How ``members`` show in a section, those that are not in the window left out."""
    left, bottom, right, top = window
    frame = box(*window)
    middle = ((left + right) / 2, (bottom + top) / 2)
    reach = (middle, math.dist(middle, (left, bottom)))
    found = []
    for member in members:
        shown = _shown(member, plane, reach)
        if shown and any(one.area.intersects(frame) for one in shown.shapes):
            found.append(shown)
    return found


def uncut(members: Iterable[Member], plane: Plane, window: Window) -> list[Shown]:
    """How ``members`` show in the window when the plane of the section spares them."""
    frame = box(*window)
    found = []
    for member in members:
        seen = silhouette(member, plane.projection)
        if seen and seen.area.intersects(frame):
            found.append(Shown(member=member, shapes=(seen,), face=Polygon()))
    return found


def _shown(member: Member, plane: Plane, reach: tuple[Point, float]) -> Shown | None:
    bodies = member.part.bodies
    if member.part.is_bought:
        fastened = [body for body in bodies if isinstance(body, ExtrudedOutline | TurnedProfile)]
        if len(fastened) == len(bodies):
            return cut_fastener(member, fastened, plane)
    found = [cut for body in bodies if (cut := _cut(member, body, plane, reach)) is not None]
    if len(found) < 2:
        return found[0] if found else None
    return Shown(
        member=member,
        shapes=tuple(one for cut in found for one in cut.shapes),
        face=unary_union([cut.face for cut in found]),
    )


def _cut(member: Member, body: Body, plane: Plane, reach: tuple[Point, float]) -> Shown | None:
    match body:
        case SweptRing():
            return cut_tube(member, body, plane, reach)
        case SawnTimber():
            return cut_board(member, body, plane)
        case ExtrudedOutline():
            return cut_plate(member, body, plane)
        case TurnedProfile():
            return cut_fastener(member, [body], plane)
        case SplitRing():
            return cut_split_ring(member, body, plane)


def section_primitives(
    shown: Sequence[Shown], window: Window, *, ground: bool = False
) -> list[Primitive | Hatch | BreakLine]:
    """The lines of a section in its window, hatches of what is cut, breaks, and the ground."""
    frame = box(*window)
    shapes = [one for item in shown for one in item.shapes]
    primitives: list[Primitive | Hatch | BreakLine] = []
    for line in visible(shapes):
        primitives += inside(line, window)
    for face, (angle, spacing) in zip(
        _open_faces(shown, frame), itertools.cycle(_HATCHES), strict=False
    ):
        primitives.append(Hatch(area=face, angle_rad=angle, spacing=spacing))
    primitives += _breaks(shapes, window)
    if ground and window[1] < 0.0 < window[3]:
        primitives += _ground(shapes, window)
    return primitives


def _open_faces(shown: Sequence[Shown], frame: Polygon) -> list[BaseGeometry]:
    """What of every cut face is not covered by something nearer."""
    shapes = [one for item in shown for one in item.shapes]
    tree = STRtree([one.area for one in shapes])
    faces = []
    for item in shown:
        if item.face.is_empty:
            continue
        own = max(item.shapes, key=lambda one: one.nearness(one.area.centroid.coords[0]))
        level = own.nearness(own.area.centroid.coords[0])
        nearer = [
            shapes[i].area
            for i in tree.query(item.face)
            if shapes[i].member is not item.member
            and shapes[i].nearness(shapes[i].area.centroid.coords[0]) > level + _TINY_MM
        ]
        face = item.face.intersection(frame).difference(unary_union(nearer))
        faces.append(face)
    return faces


def _breaks(shapes: Sequence[Silhouette], window: Window) -> list[BreakLine]:
    """Where members go on past the window; members side by side share one break."""
    whole = unary_union([one.area for one in shapes if one.member.role not in HARDWARE_ROLES])
    left, bottom, right, top = window
    sides = [
        ((left, bottom), (right, bottom)),
        ((right, bottom), (right, top)),
        ((left, top), (right, top)),
        ((left, bottom), (left, top)),
    ]
    found = []
    for side in sides:
        cut = whole.intersection(LineString(side))
        lines = [part for part in getattr(cut, "geoms", (cut,)) if isinstance(part, LineString)]
        merged = linemerge(lines) if len(lines) > 1 else (lines[0] if lines else LineString())
        for part in getattr(merged, "geoms", (merged,)):
            if part.length > 1.0:
                u0, v0, u1, v1 = part.bounds
                found.append(BreakLine(start=(u0, v0), end=(u1, v1)))
    return found


def _ground(shapes: Sequence[Silhouette], window: Window) -> list[Primitive | Hatch]:
    """The line of the ground and soil below it, beside what stands in it."""
    left, bottom, right, _ = window
    deep = max(bottom, -_SOIL_MM)
    taken = unary_union([one.area for one in shapes])
    line = LineString([(left, 0.0), (right, 0.0)]).difference(taken)
    made: list[Primitive | Hatch] = [
        Stroke(start=part.coords[0], end=part.coords[-1], layer=Layer.GROUND)
        for part in getattr(line, "geoms", (line,))
        if part.length > _TINY_MM
    ]
    soil = box(left, deep, right, 0.0).difference(taken.buffer(1.0))
    return [*made, Hatch(area=soil, angle_rad=math.radians(60), spacing=2.8)]


def shows_something(shown: Sequence[Shown], window: Window) -> bool:
    """Whether any of it lies in the window."""
    return bool(_in_window(shown, window))


def _in_window(shown: Sequence[Shown], window: Window) -> list[Window]:
    frame = box(*window)
    return [one.area.intersection(frame).bounds for item in shown for one in item.shapes
            if one.area.intersects(frame)]  # fmt: skip


def bounds_of(shown: Sequence[Shown], window: Window) -> Window:
    """The bounds of what shows in the window."""
    return around(_in_window(shown, window))
