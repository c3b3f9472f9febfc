"""Tubes as solids: cylinders along lines, tori along arcs, tapers ruled, holes bored.

The outer and the inner surface are made stretch by stretch from circles square to
the axis, closed by rings at the ends and sewn. All holes are then bored in one
operation, which costs the kernel 30 to 70 ms for each hole.
"""

from __future__ import annotations

import math

from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeSolid, BRepBuilderAPI_Sewing
from OCP.BRepLib import BRepLib
from OCP.BRepOffsetAPI import BRepOffsetAPI_ThruSections
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism, BRepPrimAPI_MakeRevol
from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt, gp_Vec
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopoDS import TopoDS, TopoDS_Shape, TopoDS_Wire

from frame3d.errors import SolidError
from frame3d.frame.measures import Stretch, TubeStretch, radii_at, stretches
from frame3d.frame.parts import Hole, Tube
from frame3d.geometry.paths import NEGLIGIBLE_MM, Line, PlanePath, Segment, Station, advance
from frame3d.geometry.placement import Vector
from frame3d.solids import kernel

_SEWING_MM = 1e-5
_CLOCKS_TRIED = 36
SEAM_TURNS_RAD = (0.0, 0.7, 1.2, 2.0, 0.35, 2.6)
"""How far to turn the seam from where it should lie, in the order of trying.

The kernel's intersection of a torus with a cylinder fails for about one tube in
fifty; as a rule it succeeds once the torus starts elsewhere.
"""


def tube_shape(tube: Tube, seam_turn_rad: float = 0.0) -> TopoDS_Shape:
    """The shape of ``tube`` in its own axes, unchecked.

    Parameters
    ----------
    tube : Tube
    seam_turn_rad : float
        How far to turn the line along which its surfaces are joined up from the
        place that is farthest from the holes.

    Raises
    ------
    SolidError
        If its swages cannot be drawn, or a hole does not lie on it.
    """
    _refuse(tube)
    seam = seam_clock(tube) + seam_turn_rad
    wall = tube.section.wall_mm
    faces: list[TopoDS_Shape] = []
    for stretch in stretches(tube):
        for thinner in (0.0, wall):
            faces += skin_of(tube.axis, stretch, thinner, seam)
    for along in (0.0, tube.length_mm):
        outside, inside = radii_at(tube, along)
        station = tube.axis.at(along)
        faces.append(
            kernel.flat_face(
                ring_of(station, outside, seam),
                [ring_of(station, inside, seam)],
            )
        )
    body = closed(faces)
    return kernel.cut(body, [bore_of(tube, hole) for hole in tube.holes]) if tube.holes else body


def seam_clock(tube: Tube) -> float:
    """The clock angle farthest from every hole, where the surfaces are joined up, rad."""
    clocks = [hole.clock_rad for hole in tube.holes]
    step = math.pi / _CLOCKS_TRIED

    def clearance(clock: float) -> float:
        return min((abs((clock - c + math.pi / 2) % math.pi - math.pi / 2) for c in clocks))

    return max((k * step for k in range(_CLOCKS_TRIED)), key=clearance) if clocks else 0.0


def clock_direction(station: Station, clock_rad: float) -> Vector:
    """The direction of a clock angle at ``station``, in the tube's own axes."""
    cos, sin = math.cos(clock_rad), math.sin(clock_rad)
    return (station.normal[0] * cos, station.normal[1] * cos, sin)


def _refuse(tube: Tube) -> None:
    """Refuse what the kernel would make nonsense of."""
    for swage in (tube.start, tube.end):
        if swage and not swage.taper_mm > NEGLIGIBLE_MM:
            raise SolidError(f"a swage needs a taper longer than 0 mm, got {swage.taper_mm} mm")
        if swage and not swage.od_mm > 2 * tube.section.wall_mm:
            raise SolidError(
                f"a swage of {swage.od_mm} mm leaves no bore in a wall of "
                f"{tube.section.wall_mm} mm; it must be wider than two walls"
            )
    if any(s.end_mm - s.start_mm <= NEGLIGIBLE_MM for s in stretches(tube)):
        raise SolidError(
            f"the swages and tapers do not fit on a tube of {tube.length_mm} mm; "
            "make it longer or them shorter"
        )
    for hole in tube.holes:
        if not 0 < hole.at_mm < tube.length_mm:
            raise SolidError(
                f"a hole at {hole.at_mm} mm is not on a tube of {tube.length_mm} mm"
            )


def skin_of(
    axis: PlanePath, stretch: TubeStretch, thinner_mm: float, seam: float
) -> list[TopoDS_Shape]:
    """The faces of one stretch, outer surface or (``thinner_mm`` by the wall) inner."""
    start_radius = stretch.start_radius_mm - thinner_mm
    if stretch.kind is Stretch.TAPER:
        sections = BRepOffsetAPI_ThruSections(False, True)
        sections.AddWire(ring_of(axis.at(stretch.start_mm), start_radius, seam))
        sections.AddWire(
            ring_of(axis.at(stretch.end_mm), stretch.end_radius_mm - thinner_mm, seam)
        )
        sections.Build()
        return [sections.Shape()]
    return [
        _swept(ring_of(station, start_radius, seam), station, piece)
        for station, piece in _pieces(axis, stretch.start_mm, stretch.end_mm)
    ]


def _pieces(axis: PlanePath, low_mm: float, high_mm: float) -> list[tuple[Station, Segment]]:
    """The stretch of the axis between two distances, as segments with their stations."""
    found = []
    for (start, station), segment in zip(axis.starts(), axis.segments, strict=True):
        low = max(low_mm, start)
        high = min(high_mm, start + segment.length_mm)
        if high - low <= NEGLIGIBLE_MM:
            continue
        part = PlanePath((segment,)).cut(low - start, high - start).segments[0]
        found.append((advance(station, segment, low - start), part))
    return found


def _swept(ring: TopoDS_Wire, station: Station, piece: Segment) -> TopoDS_Shape:
    """The cylinder or torus that ``ring`` sweeps along ``piece``."""
    if isinstance(piece, Line):
        x, y = station.tangent
        along = gp_Vec(x * piece.length_mm, y * piece.length_mm, 0)
        return BRepPrimAPI_MakePrism(ring, along).Shape()
    turn = math.copysign(1.0, piece.angle_rad)
    centre = gp_Pnt(
        station.x_mm + turn * piece.radius_mm * station.normal[0],
        station.y_mm + turn * piece.radius_mm * station.normal[1],
        0,
    )
    return BRepPrimAPI_MakeRevol(
        ring, gp_Ax1(centre, gp_Dir(0, 0, turn)), abs(piece.angle_rad)
    ).Shape()


def ring_of(station: Station, radius_mm: float, seam: float) -> TopoDS_Wire:
    return kernel.circle(
        (station.x_mm, station.y_mm, 0.0),
        (*station.tangent, 0.0),
        clock_direction(station, seam),
        radius_mm,
    )


def closed(faces: list[TopoDS_Shape]) -> TopoDS_Shape:
    """The solid inside ``faces``."""
    sewing = BRepBuilderAPI_Sewing(_SEWING_MM)
    for face in faces:
        sewing.Add(face)
    sewing.Perform()
    sewn = sewing.SewedShape()
    if sewn.ShapeType() != TopAbs_ShapeEnum.TopAbs_SHELL:
        raise SolidError("the surfaces of a tube do not close; look for a bend tighter than it")
    solid = BRepBuilderAPI_MakeSolid(TopoDS.Shell_s(sewn)).Solid()
    BRepLib.OrientClosedSolid_s(solid)
    return solid


def bore_of(tube: Tube, hole: Hole) -> TopoDS_Shape:
    """The bar that takes ``hole`` out of both walls."""
    station = tube.axis.at(hole.at_mm)
    direction = clock_direction(station, hole.clock_rad)
    # Reaches beyond the outside by the hole's own radius, which is enough on any bend.
    reach = radii_at(tube, hole.at_mm)[0] + hole.diameter_mm / 2
    base = (
        station.x_mm - reach * direction[0],
        station.y_mm - reach * direction[1],
        -reach * direction[2],
    )
    return kernel.cylinder(base, direction, hole.diameter_mm / 2, 2 * reach)
