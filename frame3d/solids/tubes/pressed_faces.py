"""The faces of tubes' ends that are pressed flat.

Every section is an oblong, two half circles joined by straight sides, whose half length
and radius change evenly along the axis. So its sides are planes, and each half circle
runs to the next along straight lines: a slanting cone, which is a rational surface and
therefore exact here. Where the bore closes its half circles shrink to points. The end
of a flat that is cut on a slant is its section pushed along the axis in proportion to the
distance across the flat: circles become ellipses, which the same surfaces hold exactly.

Glossary
--------
corner : where a straight side of a section meets its half circle; one for each side of the
    flat (1 or -1 across it) and each of its faces (1 or -1 out of it).
tip : the point of a half circle farthest across the flat.
quarter : a half circle's half, from corner to tip.
rounded side : the surface between the quarters of two sections.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

import numpy as np
from msgspec import Struct
from OCP.Geom import (
    Geom_BezierCurve,
    Geom_BezierSurface,
    Geom_Circle,
    Geom_Curve,
    Geom_CylindricalSurface,
    Geom_Line,
    Geom_Plane,
)
from OCP.Geom2d import Geom2d_Curve
from OCP.gp import gp_Ax2, gp_Ax3, gp_Dir, gp_Pnt
from OCP.TColgp import TColgp_Array1OfPnt, TColgp_Array2OfPnt
from OCP.TColStd import TColStd_Array1OfReal, TColStd_Array2OfReal
from OCP.TopoDS import TopoDS_Face

from frame3d.frame.measure.measures import TubeStretch
from frame3d.frame.model.bodies import Hole
from frame3d.geometry.paths import NEGLIGIBLE_MM, PlanePath, Station
from frame3d.solids.kernel.brep import Edge, EdgeUse, Vertex, face, straight
from frame3d.solids.kernel.splines import fit
from frame3d.solids.tubes.bore_edges import FULL
from frame3d.solids.tubes.circuits import FOLLOWED_MM
from frame3d.solids.tubes.tube_surfaces import QUARTER, quarter_share

_QUARTER_WEIGHTS = (1.0, math.sqrt(0.5), 1.0)
"""Of the poles of a quarter circle as a rational curve."""
_QUARTERS = ((1, 1), (1, -1), (-1, -1), (-1, 1))
"""The sides of the quarters, across the flat and out of it, in the order of the clock."""
_Lines = dict[tuple[int, int], Edge]  # from section to section, by side and face


class _Run(Struct, frozen=True, kw_only=True):
    """An edge of a quarter, run from corner to tip.

    ``share`` gives how far between corner and tip, 0 to 1, each parameter of the edge lies
    on the rational quarter; None where they are the same.
    """

    edge: Edge
    forward: bool
    share: Callable[[np.ndarray], np.ndarray] | None = None


class Oblong:
    """An oblong across the axis, with the vertices and edges that its faces share.

    Parameters
    ----------
    station : Station
    clock_rad : float
        Of the direction square to the flat.
    half_mm, radius_mm : float
        Half the length of its straight sides, 0 where it is round, and the radius of its half
        circles, 0 where the bore is shut.
    lean : float
        How far it runs on along the axis for each mm across the flat.
    ring : sequence of Edge
        Of a round one: the edges of the ring that it is, in the order of the clock.
    """

    def __init__(
        self, station: Station, clock_rad: float, half_mm: float, radius_mm: float,
        lean: float = 0.0, ring: Sequence[Edge] = (),
    ) -> None:  # fmt: skip
        cos, sin = math.cos(clock_rad), math.sin(clock_rad)
        x, y = station.normal
        self.tangent = np.array((*station.tangent, 0.0))
        self.middle = np.array((station.x_mm, station.y_mm, 0.0))
        self.out = np.array((x * cos, y * cos, sin))
        self.wide = np.array((-x * sin, -y * sin, cos)) + lean * self.tangent
        self.half, self.radius, self.is_square = half_mm, radius_mm, lean == 0
        self._clock, self._ring = clock_rad, ring
        self._vertices: dict[tuple[int, int], Vertex] = {}
        self._straights: dict[int, Edge] = {}
        self._runs: dict[tuple[int, int], list[_Run]] = {}

    def point(self, along: float, out: float) -> np.ndarray:
        """The point so far across the flat and out of it, mm."""
        return self.middle + along * self.wide + out * self.out

    def place(self, side: int, up: int) -> np.ndarray:
        """A corner; with ``up`` 0 a tip."""
        along = self.half if up else self.half + self.radius
        return self.point(side * along, up * self.radius)

    def vertex(self, side: int, up: int) -> Vertex:
        """The vertex of a corner or a tip: one for all that are one point."""
        key = (side if self.half > NEGLIGIBLE_MM or not up else 0, up if self.radius else 0)
        if key not in self._vertices:
            turn = (1 - up) * QUARTER if up else side * QUARTER
            self._vertices[key] = self._on_ring(turn) or Vertex(self.place(side, up))
        return self._vertices[key]

    def _on_ring(self, turn: float) -> Vertex | None:
        clock = self._clock + turn
        starts = (e.start for e in self._ring if abs(math.remainder(e.low - clock, FULL)) < 1e-9)
        return next(starts, None)

    def straight(self, up: int) -> Edge | None:
        """The straight side of one face, from side -1 to side 1; None where it is round."""
        if self.half <= NEGLIGIBLE_MM:
            return None
        key = up if self.radius else 0
        if key not in self._straights:
            self._straights[key] = _line(self.vertex(-1, up), self.vertex(1, up))
        return self._straights[key]

    def quarter(self, side: int, up: int) -> list[_Run]:
        """The edges of a quarter."""
        if (side, up) not in self._runs:
            if not self.radius:
                corner = self.vertex(side, up)
                runs = [_Run(edge=Edge(None, 0.0, 1.0, corner, corner), forward=True)]
            elif not self.is_square:
                ends = (self.vertex(side, up), self.vertex(side, 0))
                edge = Edge(self._rational(side, up), 0.0, 1.0, *ends)
                runs = [_Run(edge=edge, forward=True)]
            else:
                runs = self._circular(side, up)
            self._runs[side, up] = runs
        return self._runs[side, up]

    def _circular(self, side: int, up: int) -> list[_Run]:
        number = _QUARTERS.index((side, up))
        forward, low = number % 2 == 0, number * QUARTER
        if self._ring:
            begin = self._clock + low
            edges = [
                edge for edge in self._ring if ((edge.low + edge.high) / 2 - begin) % FULL < QUARTER
            ]
            edges.sort(key=lambda edge: ((edge.low + edge.high) / 2 - begin) % FULL)
        else:
            centre = _point(self.point(side * self.half, 0.0))
            circle = Geom_Circle(gp_Ax2(centre, _way(self.tangent), _way(self.out)), self.radius)
            ends = (self.vertex(side, up), self.vertex(side, 0))
            edges = [Edge(circle, low, low + QUARTER, *(ends if forward else ends[::-1]))]
            begin = low

        def share(edge: Edge) -> Callable[[np.ndarray], np.ndarray]:
            back = round(((edge.low + edge.high) / 2 - begin - QUARTER / 2) / FULL) * FULL + begin
            if forward:
                return lambda at: quarter_share(at - back)
            return lambda at: quarter_share(QUARTER - (at - back))

        runs = [_Run(edge=edge, forward=forward, share=share(edge)) for edge in edges]
        return runs if forward else runs[::-1]

    def poles(self, side: int, up: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """The poles of a quarter: corner, where the tangents of both ends meet, tip."""
        edge = side * (self.half + self.radius)
        return self.place(side, up), self.point(edge, up * self.radius), self.place(side, 0)

    def _rational(self, side: int, up: int) -> Geom_Curve:
        poles, weights = TColgp_Array1OfPnt(1, 3), TColStd_Array1OfReal(1, 3)
        for row, pole in enumerate(self.poles(side, up), start=1):
            poles.SetValue(row, _point(pole))
            weights.SetValue(row, _QUARTER_WEIGHTS[row - 1])
        return Geom_BezierCurve(poles, weights)


def pressed_faces(
    axis: PlanePath, changing: TubeStretch, flat: TubeStretch, wall_mm: float,
    rings: Sequence[Sequence[Edge]], holes: Sequence[Hole],
) -> tuple[list[TopoDS_Face], list[TopoDS_Face]]:  # fmt: skip
    """The faces of a pressed end from where the round tube begins: outside, and of the bore.

    Parameters
    ----------
    axis : PlanePath
    changing, flat : TubeStretch
        The transition and the flat beside it.
    wall_mm : float
    rings : two sequences of Edge
        The outer and the inner ring, with vertices at the clock angle of the flat and at each
        quarter turn from there.
    holes : sequence of Hole
        Those in the flat.
    """
    at_start = flat.end_mm <= changing.start_mm
    joint_mm, end_mm, lean = flat.end_mm, flat.start_mm, flat.start_lean
    round_mm, radius = changing.end_mm, changing.end_radius_mm
    if not at_start:
        joint_mm, end_mm, lean = flat.start_mm, flat.end_mm, flat.end_lean
        round_mm, radius = changing.start_mm, changing.start_radius_mm
    clock, half, thick = flat.clock_rad, flat.start_half_mm, flat.start_radius_mm
    outer = Oblong(axis.at(round_mm), clock, 0.0, radius, ring=rings[0])
    bore = Oblong(axis.at(round_mm), clock, 0.0, radius - wall_mm, ring=rings[1])
    joint = Oblong(axis.at(joint_mm), clock, half, thick)
    shut = Oblong(axis.at(joint_mm), clock, half, 0.0)
    end = Oblong(axis.at(end_mm), clock, half, thick, lean)
    way = 1 if at_start else -1
    rims, walls = _bored(axis, flat, holes)
    outside = [
        *_between(*(joint, outer)[::way], turned=False),
        *_between(*(end, joint)[::way], turned=False, rims=rims),
        *walls,
        _closing(end, at_start=at_start),
    ]
    return outside, list(_between(*(shut, bore)[::way], turned=True))


def _between(
    first: Oblong, last: Oblong, *, turned: bool, rims: dict[int, list[Edge]] | None = None
) -> Iterator[TopoDS_Face]:
    """The faces between two sections, of which the first comes first along the axis."""
    is_even = first.is_square and last.is_square and first.half == last.half > 0
    is_even = is_even and first.radius == last.radius
    lines = {
        (side, up): _line(first.vertex(side, up), last.vertex(side, up), even=is_even)
        for side in (1, -1)
        for up in (1, 0, -1)
    }
    for up in (1, -1):
        yield _side(first, last, up, lines, turned, (rims or {}).get(up, ()))
    for side, up in _QUARTERS:
        rounded = _cylinder if is_even else _cone
        yield rounded(first, last, side, up, lines, turned)


def _side(
    first: Oblong, last: Oblong, up: int, lines: _Lines, turned: bool, rims: Sequence[Edge]
) -> TopoDS_Face:
    """The plane side, a triangle where one of the sections is round."""
    uses = [
        (first.straight(up), True), (lines[1, up], True),
        (last.straight(up), False), (lines[-1, up], False),
    ]  # fmt: skip
    ahead = last.point(0.0, up * last.radius) - first.point(0.0, up * first.radius)
    circuit = [
        EdgeUse(edge=edge, forward=run == (up > 0)) for edge, run in uses if edge is not None
    ]
    plane = _plane(first.place(1, up), up * np.cross(first.wide, ahead), first.wide)
    openings = [[EdgeUse(edge=rim, forward=up < 0)] for rim in rims]
    return face(plane, [circuit[::up], *openings], turned=turned)


def _cone(
    first: Oblong, last: Oblong, side: int, up: int, lines: _Lines, turned: bool
) -> TopoDS_Face:
    """A quarter of a rounded edge, along straight lines from one section to the other."""
    poles, weights = TColgp_Array2OfPnt(1, 3, 1, 2), TColStd_Array2OfReal(1, 3, 1, 2)
    for column, section in enumerate((first, last), start=1):
        for row, pole in enumerate(section.poles(side, up), start=1):
            poles.SetValue(row, column, _point(pole))
            weights.SetValue(row, column, _QUARTER_WEIGHTS[row - 1])
    rows = []
    for level, section in ((0.0, first), (1.0, last)):
        rows.append([
            EdgeUse(edge=run.edge, forward=run.forward, curve=_rational_curve(run, level, section))
            for run in section.quarter(side, up)
        ])  # fmt: skip
    ends = [np.array((k, v)) for k in (0.0, 1.0) for v in (0.0, 1.0)]
    left = EdgeUse(edge=lines[side, up], forward=False, curve=straight(0.0, 1.0, *ends[:2]))
    right = EdgeUse(edge=lines[side, 0], forward=True, curve=straight(0.0, 1.0, *ends[2:]))
    circuit = [*rows[0], right, *_back(rows[1]), left]
    return face(Geom_BezierSurface(poles, weights), [circuit], turned=turned != (side * up < 0))


def _rational_curve(run: _Run, level: float, section: Oblong) -> Geom2d_Curve:
    """The curve of a quarter's edge along the border of a rational surface."""
    low, high, share = run.edge.low, run.edge.high, run.share
    if share is None:
        return straight(low, high, np.array((0.0, level)), np.array((1.0, level)))

    def exact(at: np.ndarray) -> np.ndarray:
        return np.column_stack([share(at), np.full(len(at), level)])

    scales = np.array((2 * section.radius, 1.0))
    return fit(exact, low, high, scales, FOLLOWED_MM).flat_curve(slice(0, 2))


def _cylinder(
    first: Oblong, last: Oblong, side: int, up: int, lines: _Lines, turned: bool
) -> TopoDS_Face:
    """A quarter of a rounded edge where the section stays the same."""
    centre = first.point(side * first.half, 0.0)
    surface = Geom_CylindricalSurface(
        gp_Ax3(_point(centre), _way(first.tangent), _way(first.out)), first.radius
    )
    length = float((last.middle - first.middle) @ first.tangent)
    rows = []
    for level, section in ((0.0, first), (length, last)):
        run = section.quarter(side, up)[0]
        low, high = run.edge.low, run.edge.high
        curve = straight(low, high, np.array((low, level)), np.array((high, level)))
        rows.append(EdgeUse(edge=run.edge, forward=True, curve=curve))
    ends = (lines[side, up], lines[side, 0])[:: side * up]
    sides = [
        EdgeUse(edge=edge, forward=forward,
            curve=straight(0.0, length, np.array((turn, 0.0)), np.array((turn, length))))
        for edge, forward, turn in ((ends[1], True, high), (ends[0], False, low))
    ]  # fmt: skip
    circuit = [rows[0], sides[0], *_back(rows[1:]), sides[1]]
    return face(surface, [circuit], turned=turned)


def _closing(section: Oblong, *, at_start: bool) -> TopoDS_Face:
    """The plane face that closes a flat, square or on a slant."""
    circuit = []
    for number, (side, up) in enumerate(_QUARTERS):
        uses = [EdgeUse(edge=run.edge, forward=run.forward) for run in section.quarter(side, up)]
        circuit += uses if number % 2 == 0 else _back(uses)
        if number % 2 and (line := section.straight(up)) is not None:
            circuit.append(EdgeUse(edge=line, forward=up > 0))
    plane = _plane(section.middle, np.cross(section.out, section.wide), section.out)
    return face(plane, [circuit], turned=at_start)


def _bored(
    axis: PlanePath, flat: TubeStretch, holes: Sequence[Hole]
) -> tuple[dict[int, list[Edge]], list[TopoDS_Face]]:
    """The edges of holes on either face of a flat, and their walls."""
    rims: dict[int, list[Edge]] = {1: [], -1: []}
    walls = []
    for hole in holes:
        middle = Oblong(axis.at(hole.at_mm), flat.clock_rad, 0.0, hole.diameter_mm / 2)
        thick = flat.start_radius_mm
        places = {up: middle.point(0.0, up * thick) for up in (-1, 1)}
        for up, place in places.items():
            axes = gp_Ax2(_point(place), _way(middle.out), _way(middle.wide))
            vertex = Vertex(place + middle.radius * middle.wide)
            circle = Geom_Circle(axes, middle.radius)
            rims[up].append(Edge(circle, 0.0, FULL, vertex, vertex))
        low, high = rims[-1][-1], rims[1][-1]
        seam = _line(low.start, high.start, even=True)
        turns = [
            straight(0.0, FULL, np.array((0.0, level)), np.array((FULL, level)))
            for level in (0.0, 2 * thick)
        ]
        seams = [
            straight(0.0, 2 * thick, np.array((turn, 0.0)), np.array((turn, 2 * thick)))
            for turn in (0.0, FULL)
        ]
        axes = gp_Ax3(_point(places[-1]), _way(middle.out), _way(middle.wide))
        circuit = [
            EdgeUse(edge=low, forward=True, curve=turns[0]),
            EdgeUse(edge=seam, forward=True, curve=seams[1]),
            EdgeUse(edge=high, forward=False, curve=turns[1]),
            EdgeUse(edge=seam, forward=False, curve=seams[0]),
        ]
        walls.append(face(Geom_CylindricalSurface(axes, middle.radius), [circuit], turned=True))
    return rims, walls


def _line(start: Vertex, end: Vertex, *, even: bool = False) -> Edge:
    """A straight edge, its parameter from 0 to 1, or with ``even`` to its length."""
    if even:
        way = end.place - start.place
        curve = Geom_Line(_point(start.place), _way(way))
        return Edge(curve, 0.0, float(np.linalg.norm(way)), start, end)
    poles = TColgp_Array1OfPnt(1, 2)
    poles.SetValue(1, _point(start.place))
    poles.SetValue(2, _point(end.place))
    return Edge(Geom_BezierCurve(poles), 0.0, 1.0, start, end)


def _back(uses: Sequence[EdgeUse]) -> list[EdgeUse]:
    """The same edges run the other way."""
    return [EdgeUse(edge=u.edge, forward=not u.forward, curve=u.curve) for u in reversed(uses)]


def _plane(place: np.ndarray, up: np.ndarray, first: np.ndarray) -> Geom_Plane:
    return Geom_Plane(gp_Ax3(_point(place), _way(up), _way(first)))


def _point(place: np.ndarray) -> gp_Pnt:
    return gp_Pnt(*map(float, place))


def _way(way: np.ndarray) -> gp_Dir:
    return gp_Dir(*map(float, way))
