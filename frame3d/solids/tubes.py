"""Tubes as solids: cylinders along lines, tori along arcs, tapers ruled, holes bored.

Ends that are pressed flat are made in :mod:`frame3d.solids.pressed`.

The outer and the inner surface are made stretch by stretch from circles square to
the axis, closed by rings at the ends and sewn. All holes are then bored in one
operation, which costs the kernel 30 to 70 ms for each hole.
"""

from __future__ import annotations

import math

from OCP.BRepOffsetAPI import BRepOffsetAPI_ThruSections
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism, BRepPrimAPI_MakeRevol
from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt, gp_Vec
from OCP.TopoDS import TopoDS_Shape, TopoDS_Wire

from frame3d.errors import SolidError
from frame3d.frame.end_forms import flat_width_mm, overhang_mm
from frame3d.frame.measures import (
    PRESSED,
    Stretch,
    TubeStretch,
    hole_clock_rad,
    radii_at,
    stretches,
)
from frame3d.frame.parts import Flat, Hole, Swage, Tube
from frame3d.geometry.paths import NEGLIGIBLE_MM, Arc, Line, PlanePath, Segment, Station, advance
from frame3d.geometry.placement import Vector
from frame3d.solids import kernel
from frame3d.solids.pressed import pressed_end, pressed_faces
from frame3d.solids.shells import closed

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
        If its swages or flats cannot be drawn, or a hole does not lie on it.
    """
    refuse(tube)
    seam = seam_clock(tube) + seam_turn_rad
    wall = tube.section.wall_mm
    faces: list[TopoDS_Shape] = []
    for stretch in stretches(tube):
        for thinner in (0.0, wall):
            faces += skin_of(tube.axis, stretch, thinner, seam)
    faces += [face_across(tube, along, seam) for along in (0.0, tube.length_mm)]
    body = closed(faces)
    return kernel.cut(body, [bore_of(tube, hole) for hole in tube.holes]) if tube.holes else body


def seam_clock(tube: Tube) -> float:
    """The clock angle farthest from every hole, where the surfaces are joined up, rad."""
    clocks = [hole_clock_rad(tube, hole) for hole in tube.holes]
    step = math.pi / _CLOCKS_TRIED

    def clearance(clock: float) -> float:
        return min((abs((clock - c + math.pi / 2) % math.pi - math.pi / 2) for c in clocks))

    return max((k * step for k in range(_CLOCKS_TRIED)), key=clearance) if clocks else 0.0


def clock_direction(station: Station, clock_rad: float) -> Vector:
    """The direction of a clock angle at ``station``, in the tube's own axes."""
    cos, sin = math.cos(clock_rad), math.sin(clock_rad)
    return (station.normal[0] * cos, station.normal[1] * cos, sin)


def refuse(tube: Tube) -> None:
    """Refuse what the kernel would make nonsense of.

    Raises
    ------
    SolidError
        If the swages or flats of ``tube`` cannot be drawn, or a hole does not lie on it.
    """
    for end in (tube.start, tube.end):
        if isinstance(end, Swage):
            _refuse_swage(end, tube.section.wall_mm)
        elif isinstance(end, Flat) and not min(end.length_mm, end.transition_mm) > NEGLIGIBLE_MM:
            raise SolidError(
                f"a flat needs a length and a transition longer than 0 mm, got {end.length_mm} "
                f"and {end.transition_mm} mm"
            )
    if any(s.end_mm - s.start_mm <= NEGLIGIBLE_MM for s in stretches(tube)):
        raise SolidError(
            f"the swages, flats and tapers do not fit on a tube of {tube.length_mm} mm; "
            "make it longer or them shorter"
        )
    _refuse_bent_flats(tube)
    _refuse_slants(tube)
    for hole in tube.holes:
        _refuse_hole(tube, hole)


def _refuse_swage(swage: Swage, wall_mm: float) -> None:
    if not swage.taper_mm > NEGLIGIBLE_MM:
        raise SolidError(f"a swage needs a taper longer than 0 mm, got {swage.taper_mm} mm")
    if not swage.od_mm > 2 * wall_mm:
        raise SolidError(
            f"a swage of {swage.od_mm} mm leaves no bore in a wall of "
            f"{wall_mm} mm; it must be wider than two walls"
        )


def _refuse_bent_flats(tube: Tube) -> None:
    for stretch in stretches(tube):
        pieces = _pieces(tube.axis, stretch.start_mm, stretch.end_mm)
        if stretch.kind in PRESSED and any(isinstance(piece, Arc) for _, piece in pieces):
            raise SolidError(
                f"a tube is pressed flat only where it is straight; from {stretch.start_mm} to "
                f"{stretch.end_mm} mm it bends, so make the straight end longer"
            )


def _refuse_slants(tube: Tube) -> None:
    for end in (tube.start, tube.end):
        over = overhang_mm(tube.section, end)
        if over > 0 and over > end.length_mm - NEGLIGIBLE_MM:
            most = math.atan(end.length_mm * 2 / flat_width_mm(tube.section))
            raise SolidError(
                f"a flat of {end.length_mm} mm cut on a slant of "
                f"{math.degrees(abs(end.slant_rad)):.2f}° would be cut {over:.3f} mm back at its "
                f"short edge, past the flat; make it longer than that, or the slant less than "
                f"{math.degrees(most):.2f}°"
            )


def _refuse_hole(tube: Tube, hole: Hole) -> None:
    if not 0 < hole.at_mm < tube.length_mm:
        raise SolidError(f"a hole at {hole.at_mm} mm is not on a tube of {tube.length_mm} mm")
    reach = hole.diameter_mm / 2
    for end, to_end_mm in ((tube.start, hole.at_mm), (tube.end, tube.length_mm - hole.at_mm)):
        if isinstance(end, Flat) and to_end_mm * math.cos(end.slant_rad) <= reach:
            raise SolidError(
                f"a hole of {hole.diameter_mm} mm at {hole.at_mm} mm runs out of the end of the "
                "flat; drill it farther in"
            )
    for stretch in stretches(tube):
        low, high = stretch.start_mm - reach, stretch.end_mm + reach
        if stretch.kind is Stretch.TRANSITION and low < hole.at_mm < high:
            raise SolidError(
                f"a hole of {hole.diameter_mm} mm at {hole.at_mm} mm runs into where the tube is "
                f"pressed, from {stretch.start_mm} to {stretch.end_mm} mm; drill the flat or "
                "the round tube"
            )


def skin_of(
    axis: PlanePath, stretch: TubeStretch, thinner_mm: float, seam: float
) -> list[TopoDS_Shape]:
    """The faces of one stretch, outer surface or (``thinner_mm`` by the wall) inner."""
    if stretch.kind in PRESSED:
        return pressed_faces(axis, stretch, thinner_mm)
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
    for (start, station), segment in zip(axis.starts, axis.segments, strict=True):
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


def face_across(tube: Tube, along_mm: float, seam: float) -> TopoDS_Shape:
    """The plane face across the tube: a ring, or an oblong at an end that is pressed flat."""
    for stretch in stretches(tube):
        for at_start, end_mm in ((True, stretch.start_mm), (False, stretch.end_mm)):
            at_end = end_mm in (0.0, tube.length_mm)
            if stretch.kind is Stretch.FLAT and at_end and along_mm == end_mm:
                return pressed_end(tube.axis, stretch, at_start=at_start)
    station = tube.axis.at(along_mm)
    outer, inner = (ring_of(station, radius, seam) for radius in radii_at(tube, along_mm))
    return kernel.flat_face(outer, [inner])


def bore_of(tube: Tube, hole: Hole) -> TopoDS_Shape:
    """The bar that takes ``hole`` out of both walls."""
    station = tube.axis.at(hole.at_mm)
    direction = clock_direction(station, hole_clock_rad(tube, hole))
    # Reaches beyond the outside by the hole's own radius, which is enough on any bend.
    reach = radii_at(tube, hole.at_mm)[0] + hole.diameter_mm / 2
    base = (
        station.x_mm - reach * direction[0],
        station.y_mm - reach * direction[1],
        -reach * direction[2],
    )
    return kernel.cylinder(base, direction, hole.diameter_mm / 2, 2 * reach)
