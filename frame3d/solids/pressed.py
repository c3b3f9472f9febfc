"""The faces of tubes' ends that are pressed flat.

Every section is an oblong, two half circles joined by straight sides, whose half length
and radius change evenly along the axis. So its sides are planes, and each half circle
runs to the next along straight lines: a slanting cone, which is a rational surface and
therefore exact here. Where the bore closes its half circles shrink to points. The end
of a flat that is cut on a slant is its section pushed along the axis in proportion to the
distance across the flat: circles become ellipses, which the same surfaces hold exactly.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeWire,
)
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.GC import GC_MakeArcOfCircle
from OCP.Geom import Geom_BezierCurve, Geom_BezierSurface
from OCP.gp import gp_Pnt, gp_Vec
from OCP.TColgp import TColgp_Array1OfPnt, TColgp_Array2OfPnt
from OCP.TColStd import TColStd_Array1OfReal, TColStd_Array2OfReal
from OCP.TopoDS import TopoDS_Edge, TopoDS_Shape, TopoDS_Wire

from frame3d.frame.measures import Stretch, TubeStretch
from frame3d.frame.parts import Hole
from frame3d.geometry.paths import NEGLIGIBLE_MM, PlanePath, Station
from frame3d.geometry.placement import Vector, add
from frame3d.solids import kernel

_DEGENERATE_MM = 1e-7
_QUARTER_WEIGHTS = (1.0, math.sqrt(0.5), 1.0)
"""Of the poles of a quarter circle as a rational curve."""


class _Section:
    """An oblong across the axis: its middle, its directions, its two sizes and its lean."""

    def __init__(
        self, station: Station, clock_rad: float, half_mm: float, radius_mm: float, lean: float
    ) -> None:
        cos, sin = math.cos(clock_rad), math.sin(clock_rad)
        x, y = station.normal
        self.middle = (station.x_mm, station.y_mm, 0.0)
        self._out = (x * cos, y * cos, sin)
        self._wide = add((-x * sin, -y * sin, cos), (*station.tangent, 0.0), lean)
        self.half, self.radius, self.is_square = half_mm, radius_mm, lean == 0

    def point(self, along: float, out: float) -> Vector:
        """The point so far across the flat and out of it, mm."""
        return add(add(self.middle, self._wide, along), self._out, out)

    def rim(self, up: int, radius_mm: float) -> TopoDS_Wire:
        """The edge of a hole through the middle of the flat, on one of its faces."""
        centre = self.point(0.0, up * self.radius)
        return kernel.circle(centre, self._out, self._wide, radius_mm)

    def rounded(self, side: int, up: int, turn_rad: float) -> Vector:
        """The point of a rounded end, a turn from the flat's face toward its edge."""
        along = self.half + self.radius * math.sin(turn_rad)
        return self.point(side * along, up * self.radius * math.cos(turn_rad))


def pressed_faces(
    axis: PlanePath, stretch: TubeStretch, thinner_mm: float, holes: Sequence[Hole] = ()
) -> list[TopoDS_Shape]:
    """The faces of a pressed stretch: outside, or bore when ``thinner_mm`` is the wall.

    ``holes`` are those of a flat, square through both its walls, which are one there.
    """
    if stretch.kind is Stretch.FLAT and thinner_mm:
        return []
    first, last = (_section(axis, stretch, at_start, thinner_mm) for at_start in (True, False))
    middles = [_section_at(axis, stretch, hole.at_mm) for hole in holes]
    rims = {
        up: [m.rim(up, hole.diameter_mm / 2) for m, hole in zip(middles, holes, strict=True)]
        for up in (1, -1)
    }
    sides = [_side(first, last, up, rims[up]) for up in (1, -1)]
    for middle, rim in zip(middles, rims[-1], strict=True):
        through = gp_Vec(gp_Pnt(*middle.point(0.0, -middle.radius)),
                         gp_Pnt(*middle.point(0.0, middle.radius)))
        sides.append(BRepPrimAPI_MakePrism(rim, through).Shape())
    is_even = stretch.kind is Stretch.FLAT and first.is_square and last.is_square
    corner = _cylinder if is_even else _cone
    return sides + [corner(first, last, side, up) for side in (1, -1) for up in (1, -1)]


def pressed_end(axis: PlanePath, stretch: TubeStretch, *, at_start: bool) -> TopoDS_Shape:
    """The plane face that closes a flat, square or on a slant."""
    section = _section(axis, stretch, at_start, 0.0)
    edges = []
    for side, order in ((1, (1, -1)), (-1, (-1, 1))):
        edges += [_quarter(section, side, up) for up in order]
        ends = [section.point(side * section.half, order[1] * section.radius)]
        ends.append(section.point(-side * section.half, order[1] * section.radius))
        edges.append(BRepBuilderAPI_MakeEdge(*(gp_Pnt(*end) for end in ends)).Edge())
    wire = BRepBuilderAPI_MakeWire()
    for edge in edges:
        wire.Add(edge)
    return kernel.flat_face(wire.Wire())


def _section(axis: PlanePath, stretch: TubeStretch, at_start: bool, thinner: float) -> _Section:
    at, half, radius, lean = (
        (stretch.start_mm, stretch.start_half_mm, stretch.start_radius_mm, stretch.start_lean)
        if at_start
        else (stretch.end_mm, stretch.end_half_mm, stretch.end_radius_mm, stretch.end_lean)
    )
    return _Section(axis.at(at), stretch.clock_rad, half, radius - thinner, lean)


def _section_at(axis: PlanePath, flat: TubeStretch, at_mm: float) -> _Section:
    """The section of a flat at a distance along the axis, square to it."""
    return _Section(
        axis.at(at_mm), flat.clock_rad, flat.start_half_mm, flat.start_radius_mm, 0.0
    )


def _side(
    first: _Section, last: _Section, up: int, openings: Sequence[TopoDS_Wire]
) -> TopoDS_Shape:
    """The plane side, a triangle where one of the sections is round."""
    corners: list[Vector] = []
    for section, sides in ((first, (-1, 1)), (last, (1, -1))):
        for side in sides if section.half > NEGLIGIBLE_MM else (0,):
            corners.append(section.point(side * section.half, up * section.radius))
    return kernel.flat_face(kernel.polygon(corners), openings)


def _quarter(section: _Section, side: int, up: int) -> TopoDS_Edge:
    """A quarter circle, or on a slant a quarter ellipse, from the flat's face to its edge."""
    if not section.is_square:
        poles, weights = TColgp_Array1OfPnt(1, 3), TColStd_Array1OfReal(1, 3)
        for row, pole in enumerate(_poles(section, side, up), start=1):
            poles.SetValue(row, gp_Pnt(*pole))
            weights.SetValue(row, _QUARTER_WEIGHTS[row - 1])
        return BRepBuilderAPI_MakeEdge(Geom_BezierCurve(poles, weights)).Edge()
    points = [section.rounded(side, up, turn) for turn in (0.0, math.pi / 4, math.pi / 2)]
    return BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(*(gp_Pnt(*p) for p in points)).Value()).Edge()


def _poles(section: _Section, side: int, up: int) -> tuple[Vector, Vector, Vector]:
    """The poles of a quarter: its ends, and where the tangents there meet."""
    edge = section.half + section.radius
    return (
        section.point(side * section.half, up * section.radius),
        section.point(side * edge, up * section.radius),
        section.point(side * edge, 0.0),
    )


def _cylinder(first: _Section, last: _Section, side: int, up: int) -> TopoDS_Shape:
    """A quarter of a rounded edge where the section stays the same."""
    along = gp_Vec(gp_Pnt(*first.middle), gp_Pnt(*last.middle))
    return BRepPrimAPI_MakePrism(_quarter(first, side, up), along).Shape()


def _cone(first: _Section, last: _Section, side: int, up: int) -> TopoDS_Shape:
    """A quarter of a rounded edge, along straight lines from one section to the other."""
    poles, weights = TColgp_Array2OfPnt(1, 3, 1, 2), TColStd_Array2OfReal(1, 3, 1, 2)
    for column, section in enumerate((first, last), start=1):
        for row, pole in enumerate(_poles(section, side, up), start=1):
            poles.SetValue(row, column, gp_Pnt(*pole))
            weights.SetValue(row, column, _QUARTER_WEIGHTS[row - 1])
    return BRepBuilderAPI_MakeFace(Geom_BezierSurface(poles, weights), _DEGENERATE_MM).Face()


__all__ = ["pressed_end", "pressed_faces"]
