"""How the flat ends of tubes look: from each side as wide as their section is there.

A pressed section is an oblong, so square to the tube's axis it reaches as far as half its
straight sides, seen aslant, and its radius. Both change evenly along a transition, which
is therefore a trapezoid from any side, and the flat a rectangle. One whose end is cut on
a slant is the hull of the ends of its section, seen from any side.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator

from msgspec import Struct
from msgspec.structs import replace
from shapely import LineString, MultiPoint, Polygon
from shapely import Point as ShapelyPoint
from shapely.ops import unary_union

from frame3d.frame.measure.measures import PRESSED, ProfileStretch, TubeStretch, stretches
from frame3d.frame.model.bodies import SweptRing
from frame3d.geometry.placement import Placement, Vector, add, dot
from frame3d.sheets.primitives.primitives import ArcStroke, Layer, Point, Stroke
from frame3d.sheets.projection.projection import CENTRE_LINES_DOWN_TO, Lines, Projection, Silhouette

_OVERLAP_MM = 0.05
"""How far a piece's area reaches into the next one's, so that they become one area."""
_ALIKE_MM2 = 1e-3
_ALONG = 1e-6
_CHORDS = 16
"""Chords of each half circle at a aligned end, where it is seen as a curve."""
_STRAIGHT_MM = 0.005
"""A corner that lies no farther from the line between its neighbours is left out."""
_LINES_OF_CENTRES_FROM = 0.5
"""A stretch that is foreshortened to less shows no centre line, as the tube itself."""


class _End(Struct, frozen=True, kw_only=True):
    """A section of a pressed stretch in the frame: its middle, directions and sizes, mm.

    ``lean`` is how far it runs on along the axis for each mm across the flat.
    """

    middle: Vector
    along: Vector
    wide: Vector
    out: Vector
    lean: float
    half: float
    radius: float

    def reach(self, direction: Vector) -> float:
        """How far the section reaches from its middle along a direction square to the axis."""
        return self.half * abs(dot(self.wide, direction)) + self.radius

    def rim(self, direction: Vector) -> list[Vector]:
        """Points round it, among them those that reach farthest along ``direction``, either way."""
        turns = [math.pi * (k / _CHORDS - 0.5) for k in range(_CHORDS + 1)]
        wide, out = dot(self.wide, direction), dot(self.out, direction)
        turns.append(math.atan2(math.copysign(1.0, wide) * out, abs(wide)))
        points = []
        for side, turn in itertools.product((1.0, -1.0), turns):
            across = side * (self.half + self.radius * math.cos(turn))
            point = add(self.middle, self.wide, across)
            point = add(point, self.out, side * self.radius * math.sin(turn))
            points.append(add(point, self.along, self.lean * across))
        return points


class _Piece(Struct, frozen=True, kw_only=True):
    """What one pressed stretch adds to a silhouette."""

    lines: tuple[Lines, ...]
    area: Polygon
    nearness: Callable[[Point], float]
    holds: Callable[[Point], bool]


def with_flats(seen: Silhouette, tube: SweptRing, projection: Projection) -> Silhouette:
    """``seen``, the round body of ``tube``, with its flat ends and transitions added."""
    found: list[_Piece] = []
    for stretch, at_start in _pressed(tube):
        outer, inner = _ends(seen.member.placement, tube, stretch, at_start)
        piece = _piece(outer, inner, projection)
        # Seen along the tube, pieces that lie behind each other look the same.
        if not any(_alike(piece, other) for other in found):
            found.append(piece)
    if not found:
        return seen

    def nearness(place: Point) -> float:
        return next((p.nearness(place) for p in found if p.holds(place)), seen.nearness(place))

    return replace(
        seen,
        lines=(*seen.lines, *(line for piece in found for line in piece.lines)),
        area=unary_union([seen.area, *(piece.area for piece in found)]),
        nearness=nearness,
    )


def _pressed(tube: SweptRing) -> Iterator[tuple[TubeStretch, bool]]:
    """The pressed stretches, each with whether it is one of the tube's start."""
    at_start = True
    for stretch in stretches(tube):
        if stretch.kind is ProfileStretch.BODY:
            at_start = False
        elif stretch.kind in PRESSED:
            yield stretch, at_start


def _alike(one: _Piece, other: _Piece) -> bool:
    return float(one.area.symmetric_difference(other.area).area) < _ALIKE_MM2


def _ends(
    placement: Placement, tube: SweptRing, stretch: TubeStretch, at_start: bool
) -> tuple[_End, _End]:
    """The outer and the inner end of a pressed stretch."""
    found = []
    for at, half, radius, lean in (
        (stretch.start_mm, stretch.start_half_mm, stretch.start_radius_mm, stretch.start_lean),
        (stretch.end_mm, stretch.end_half_mm, stretch.end_radius_mm, stretch.end_lean),
    ):
        station = tube.axis.at(at)
        sin, cos = math.sin(stretch.clock_rad), math.cos(stretch.clock_rad)
        x, y = station.normal
        found.append(
            _End(
                middle=placement.point((station.x_mm, station.y_mm, 0.0)),
                along=placement.direction((*station.tangent, 0.0)),
                wide=placement.direction((-x * sin, -y * sin, cos)),
                out=placement.direction((x * cos, y * cos, sin)),
                lean=lean,
                half=half,
                radius=radius,
            )
        )
    return (found[0], found[1]) if at_start else (found[1], found[0])


def _piece(outer: _End, inner: _End, projection: Projection) -> _Piece:
    (u0, v0), (u1, v1) = projection.flat(outer.middle), projection.flat(inner.middle)
    run = math.hypot(u1 - u0, v1 - v0)
    length = math.dist(outer.middle, inner.middle)
    if run < _ALONG * length:
        return _end_on(outer, inner, projection)
    along = ((u1 - u0) / run, (v1 - v0) / run)
    beside = (-along[1], along[0])
    across = add((0.0, 0.0, 0.0), projection.right, beside[0])
    across = add(across, projection.up, beside[1])
    reach0, reach1 = outer.reach(across), inner.reach(across)
    near0, near1 = projection.near(outer.middle), projection.near(inner.middle)
    deep0, deep1 = (end.reach(_square(projection.toward, outer, inner)) for end in (outer, inner))

    def corner(on: float, off: float) -> Point:
        return (u0 + on * along[0] + off * beside[0], v0 + on * along[1] + off * beside[1])

    sides = [Stroke(start=corner(0.0, w * reach0), end=corner(run, w * reach1)) for w in (1, -1)]
    lines: list[Lines] = [Stroke(start=corner(0.0, reach0), end=corner(0.0, -reach0)), *sides]
    shape = [(0.0, reach0), (run, reach1), (run + _OVERLAP_MM, reach1)]
    area = Polygon([corner(*at) for at in (*shape, *((on, -off) for on, off in reversed(shape)))])
    rim = [projection.flat(point) for point in outer.rim(across)] if outer.lean else []
    if rim:
        lines = _open_outline(rim, [corner(run, reach1), corner(run, -reach1)])
        lap = [corner(run + _OVERLAP_MM, side * reach1) for side in (1, -1)]
        area = MultiPoint([*rim, *lap]).convex_hull
    if run > _LINES_OF_CENTRES_FROM * length:
        lines.append(
            Stroke(start=(u0, v0), end=(u1, v1), layer=Layer.CENTRE, smallest=CENTRE_LINES_DOWN_TO)
        )

    def share(place: Point) -> float:
        return ((place[0] - u0) * along[0] + (place[1] - v0) * along[1]) / run

    first = min(map(share, rim), default=0.0)

    def holds(place: Point) -> bool:
        off = abs((place[0] - u0) * beside[0] + (place[1] - v0) * beside[1])
        return first <= share(place) <= 1.0 and off <= max(reach0, reach1)

    def nearness(place: Point) -> float:
        t = share(place)
        return near0 + t * (near1 - near0) + deep0 + t * (deep1 - deep0)

    return _Piece(lines=tuple(lines), area=area, nearness=nearness, holds=holds)


def _open_outline(rim: list[Point], joint: list[Point]) -> list[Lines]:
    """The outline of a stretch from the points of its outer end and its two inner corners.

    Without the line between those two, which the next stretch draws.
    """
    corners = list(MultiPoint([*rim, *joint]).convex_hull.exterior.coords)[:-1]
    kept = [
        here
        for k, here in enumerate(corners)
        if not _is_between(here, corners[k - 1], corners[(k + 1) % len(corners)])
    ]
    ends = zip(kept, [*kept[1:], kept[0]], strict=True)
    return [Stroke(start=a, end=b) for a, b in ends if not (a in joint and b in joint)]


def _is_between(here: Point, before: Point, after: Point) -> bool:
    return float(LineString([before, after]).distance(ShapelyPoint(here))) < _STRAIGHT_MM


def _square(direction: Vector, outer: _End, inner: _End) -> Vector:
    """What of ``direction`` is square to the axis between two sections."""
    axis = add(inner.middle, outer.middle, -1.0)
    return add(direction, axis, -dot(direction, axis) / dot(axis, axis))


def _end_on(outer: _End, inner: _End, projection: Projection) -> _Piece:
    """A pressed stretch seen along the tube: an oblong, or what joins it to the round tube.

    The sections of a transition, laid over each other, fill the hull of the outermost
    two, so its edges are the tangents of their rounded ends.
    """
    near, turn = projection.near(outer.middle), math.atan2(*reversed(projection.flat(outer.wide)))
    places = [_oblong(end, projection) for end in (outer, inner)]
    if math.isclose(outer.half, inner.half):
        area = MultiPoint(places[0]).convex_hull.buffer(outer.radius, 32)
        lines = _oblong_lines(outer, places[0], turn)
    else:
        ovals = [
            MultiPoint(one).convex_hull.buffer(end.radius, 32)
            for one, end in zip(places, (outer, inner), strict=True)
        ]
        area = unary_union(ovals).convex_hull
        lines = _tangents(outer, inner, places, turn)
    return _Piece(lines=lines, area=area, nearness=lambda place: near, holds=lambda place: False)


def _oblong(end: _End, projection: Projection) -> list[Point]:
    """The middles of the rounded ends of a section that is seen square."""
    (u, v), wide = projection.flat(end.middle), projection.flat(end.wide)
    return [(u + w * end.half * wide[0], v + w * end.half * wide[1]) for w in (1, -1)]


def _away(place: Point, angle: float, distance: float) -> Point:
    return (place[0] + distance * math.cos(angle), place[1] + distance * math.sin(angle))


def _oblong_lines(end: _End, places: list[Point], turn: float) -> tuple[Lines, ...]:
    quarter = math.pi / 2
    sides = [
        Stroke(
            start=_away(places[0], turn + w * quarter, end.radius),
            end=_away(places[1], turn + w * quarter, end.radius),
        )
        for w in (1, -1)
    ]
    starts = (turn - quarter, turn + quarter)
    return (
        *sides,
        *(
            ArcStroke(centre=place, radius=end.radius, start_rad=low, end_rad=low + math.pi)
            for place, low in zip(places, starts, strict=True)
        ),
    )


def _tangents(
    outer: _End, inner: _End, places: list[list[Point]], turn: float
) -> tuple[Lines, ...]:
    lean = math.acos((inner.radius - outer.radius) / (outer.half - inner.half))
    lines = []
    for k, way in enumerate((turn, turn + math.pi)):
        for angle in (way + lean, way - lean):
            ends = [
                _away(one[k], angle, end.radius)
                for one, end in zip(places, (outer, inner), strict=True)
            ]
            lines.append(Stroke(start=ends[0], end=ends[1]))
    return tuple(lines)
