"""A bored tube made length by length, for those that the kernel cannot bore whole.

The kernel now and then gets a bent tube with several holes wrong and never yet a
length of it with one hole. So the tube is divided between its holes, each length is
bored by itself, and the lengths are sewn together without the rings between them.
"""

from __future__ import annotations

import itertools
import math

from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape

from frame3d.frame.measures import Stretch, TubeStretch, stretches
from frame3d.frame.parts import Tube
from frame3d.geometry.paths import Station
from frame3d.solids import kernel
from frame3d.solids.shells import closed
from frame3d.solids.tubes import bore_of, face_across, refuse, seam_clock, skin_of

_LEAST_MM = 0.5
_BESIDE = 1.5
"""Outside diameters from the middle of a hole to where the tube is divided."""
_DIVIDED = (Stretch.BODY, Stretch.REDUCED)
"""The stretches that may be divided: their section stays the same, and is a ring."""


def tube_by_lengths(tube: Tube, seam_turn_rad: float = 0.0) -> TopoDS_Shape:
    """The shape of ``tube`` in its own axes, unchecked; see :func:`tubes.tube_shape`."""
    refuse(tube)
    seam = seam_clock(tube) + seam_turn_rad
    stops = [0.0, *_divisions(tube), tube.length_mm]
    faces: list[TopoDS_Shape] = []
    for low, high in zip(stops, stops[1:], strict=False):
        body = _length(tube, low, high, seam)
        inner = [tube.axis.at(stop) for stop in (low, high) if 0 < stop < tube.length_mm]
        faces += [face for face in _faces(body) if not any(_is_ring(face, s) for s in inner)]
    return closed(faces)


def _divisions(tube: Tube) -> list[float]:
    """Where to divide: beside each hole, midway where two are near; clear of tapers and flats.

    The lengths with a hole are short, since the kernel's volume of a long curved face with a
    hole in it is good to four digits only.
    """
    tapers = [s for s in stretches(tube) if s.kind not in _DIVIDED]
    beside = _BESIDE * tube.section.od_mm
    ends = [(0.0, 0.0), *((h.at_mm, h.diameter_mm) for h in tube.holes), (tube.length_mm, 0.0)]
    found = []
    for (low, first), (high, second) in itertools.pairwise(ends):
        places = [low + beside, high - beside]
        if high - low < 3 * beside:
            places = [(low + high) / 2]
        room = high - low - (first + second) / 2
        if room <= 2 * _LEAST_MM or 0.0 == first == second:
            continue
        found += [
            place for place in places
            if not any(t.start_mm <= place <= t.end_mm for t in tapers)
            # The tube's own ends need no length to themselves.
            and not (first == 0.0 and place == low + beside)
            and not (second == 0.0 and place == high - beside)
        ]
    return found


def _length(tube: Tube, low: float, high: float, seam: float) -> TopoDS_Shape:
    faces: list[TopoDS_Shape] = []
    for stretch in stretches(tube):
        start, end = max(stretch.start_mm, low), min(stretch.end_mm, high)
        if end - start <= 1e-6:
            continue
        part = stretch
        if stretch.kind in _DIVIDED:
            part = TubeStretch(
                kind=stretch.kind,
                start_mm=start,
                end_mm=end,
                start_radius_mm=stretch.start_radius_mm,
                end_radius_mm=stretch.end_radius_mm,
            )
        for thinner in (0.0, tube.section.wall_mm):
            faces += skin_of(tube.axis, part, thinner, seam)
    faces += [face_across(tube, along, seam) for along in (low, high)]
    body = closed(faces)
    for hole in tube.holes:
        if low < hole.at_mm < high:
            body = kernel.cut(body, [bore_of(tube, hole)])
    return body


def _faces(shape: TopoDS_Shape) -> list[TopoDS_Face]:
    explorer, found = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_FACE), []
    while explorer.More():
        found.append(TopoDS.Face_s(explorer.Current()))
        explorer.Next()
    return found


def _is_ring(face: TopoDS_Face, station: Station) -> bool:
    """True for the plane face across the tube at ``station``."""
    surface = BRepAdaptor_Surface(face)
    if surface.GetType() != GeomAbs_SurfaceType.GeomAbs_Plane:
        return False
    axis = surface.Plane().Axis()
    direction, point = axis.Direction(), surface.Plane().Location()
    x, y = station.tangent
    square = abs(direction.X() * x + direction.Y() * y) > 1 - 1e-9
    off = (point.X() - station.x_mm) * x + (point.Y() - station.y_mm) * y
    return square and math.fabs(off) < 1e-4
