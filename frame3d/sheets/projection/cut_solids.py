"""Boards and plates in a section."""

from __future__ import annotations

import itertools
import math

from shapely import LineString, MultiPoint, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from frame3d.frame.measure.board_measures import blocks
from frame3d.frame.measure.bores import Bore, bores_in
from frame3d.frame.measure.outer_points import outline_corners
from frame3d.frame.model.bodies import ExtrudedOutline, SawnTimber
from frame3d.frame.model.members import Member
from frame3d.geometry.placement import Placement, Vector, add
from frame3d.sheets.projection.section_plane import CUT_MM, Plane, Shown, band, shape
from frame3d.sheets.projection.silhouettes import (
    Silhouette,
    board_outline,
    plate_outline,
)

_TOUCH_MM = 1e-6
_FAR_MM = 1e5
_PAST_MM = 1e-3


def cut_board(member: Member, board: SawnTimber, plane: Plane) -> Shown | None:
    """A board of ``member`` in a section; None where it lies before the plane."""
    corners = [
        [member.placement.point(corner) for corner in block.tolist()] for block in blocks(board)
    ]
    faces = [face for points in corners if (face := _hull_face(points, plane))]
    if not faces:
        seen = board_outline(member, board, plane.projection)
        return _behind(seen, plane, [point for points in corners for point in points])
    whole: BaseGeometry = unary_union(faces)
    drilled = whole
    for bore in bores_in(board):
        hole = _bored(member, plane, bore)
        if hole is not None:
            drilled = drilled.difference(hole)
    back = shape(member, whole, plane.at_mm + CUT_MM - 1.0, lines=[])
    front = shape(member, drilled, plane.at_mm + CUT_MM)
    return Shown(member=member, shapes=(back, front), face=drilled)


def _hull_face(points: list[Vector], plane: Plane) -> Polygon | None:
    """The face of the convex hull of ``points`` in the plane."""
    found = []
    for a, b in itertools.combinations(points, 2):
        before, after = plane.depth(a), plane.depth(b)
        if before * after < 0.0:
            share = before / (before - after)
            found.append(plane.projection.flat(add(a, add(b, a, -1.0), share)))
    hull = MultiPoint(found).convex_hull if len(found) > 2 else None
    return hull if isinstance(hull, Polygon) else None


def _behind(seen: Silhouette, plane: Plane, points: list[Vector]) -> Shown | None:
    if max(plane.depth(point) for point in points) > _TOUCH_MM + 1.0:
        return None
    return Shown(member=seen.member, shapes=(seen,), face=Polygon())


def _bored(member: Member, plane: Plane, bore: Bore) -> Polygon | None:
    """What a hole takes from the face; None where it does not meet the plane."""
    middle, along = member.placement.point(bore.middle), member.placement.direction(bore.way)
    if abs(plane.leans(along)) > 0.99:
        return MultiPoint([plane.projection.flat(middle)]).buffer(bore.diameter_mm / 2)
    off, radius = plane.depth(middle), bore.diameter_mm / 2
    if abs(plane.leans(along)) > 1e-6 or abs(off) >= radius:
        return None
    # A hair past both faces, or rounding would shut the mouths of some holes.
    half = bore.depth_mm / 2 + _PAST_MM
    ends = [plane.projection.flat(add(middle, along, side * half)) for side in (-1, 1)]
    return band(ends, math.sqrt(radius * radius - off * off))


def cut_plate(member: Member, plate: ExtrudedOutline, plane: Plane) -> Shown | None:
    """A flat plate of ``member`` in a section; None where it lies before the plane."""
    place = member.placement
    points = [place.point(corner) for corner in outline_corners(plate)]
    depths = [plane.depth(point) for point in points]
    if max(depths) <= _TOUCH_MM:
        return _behind(plate_outline(member, plate, plane.projection), plane, points)
    if min(depths) >= -_TOUCH_MM:
        return None
    face: BaseGeometry | None
    if abs(plane.leans(place.z)) > 1 - 1e-9:
        face = plate_outline(member, plate, plane.projection).area
    else:
        face = _edge_face(place, plate, plane)
    if face is None or face.is_empty:
        return None
    return Shown(member=member, shapes=(shape(member, face, plane.at_mm + CUT_MM),), face=face)


def _edge_face(place: Placement, plate: ExtrudedOutline, plane: Plane) -> BaseGeometry | None:
    """A plate cut from edge to edge: its thickness along the line of the cut."""
    nx, ny = plane.leans(place.x), plane.leans(place.y)
    size = math.hypot(nx, ny)
    if size < 1e-6:
        return None
    off = -plane.depth(place.origin) / size
    nx, ny = nx / size, ny / size
    line = LineString([(off * nx - s * _FAR_MM * ny, off * ny + s * _FAR_MM * nx) for s in (-1, 1)])
    cut = line.intersection(Polygon(plate.outline))
    faces = []
    for piece in getattr(cut, "geoms", (cut,)):
        if piece.is_empty or piece.length < _TOUCH_MM:
            continue
        (x0, y0), (x1, y1) = piece.coords[0], piece.coords[-1]
        corners = [
            (x0, y0, plate.low_mm),
            (x1, y1, plate.low_mm),
            (x1, y1, plate.high_mm),
            (x0, y0, plate.high_mm),
        ]
        faces.append(Polygon([plane.projection.flat(place.point(corner)) for corner in corners]))
    return unary_union(faces) if faces else None
