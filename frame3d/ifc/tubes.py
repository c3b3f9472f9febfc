"""Tubes in IFC: swept where they are round, turned where they taper, raised where they are flat.

Between round and flat nothing that a file can say is exact, so that stretch is triangles.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from frame3d.frame.measure.bores import bores_in
from frame3d.frame.measure.measures import ProfileStretch, stretches
from frame3d.frame.measure.tube_measures import TubeStretch
from frame3d.frame.model.bodies import SweptRing
from frame3d.geometry.paths import Line, Station, advance
from frame3d.geometry.placement import Placement, Vector, add, opposite
from frame3d.ifc.easing import eased
from frame3d.ifc.solids import Item, Solids

_BEYOND_MM = 1.0
_NEGLIGIBLE_MM = 1e-6
_FLATTEST_MM = 1e-4
"""An arc that leaves its chord by less than this is written as the chord, as readers look for
three points that are not in line."""
_AROUND, _RINGS = 32, 5
_SLIT_MM = 0.01
"""Half of what is left of the bore where it closes, so that no two triangles lie on each other."""


def tube_items(solids: Solids, tube: SweptRing) -> Iterator[Item]:
    """The stretches of ``tube``, each with its bores."""
    bores = tuple(bores_in(tube))
    for stretch in stretches(tube):
        if stretch.end_mm - stretch.start_mm <= _NEGLIGIBLE_MM:
            continue
        item = _stretch(solids, tube, stretch)
        gone = []
        for bore in bores:
            half = bore.diameter_mm / 2
            if stretch.start_mm - half < bore.along_mm < stretch.end_mm + half:
                reach = bore.stretches[-1][1] + _BEYOND_MM
                start = add(bore.middle, bore.way, -reach)
                gone.append(solids.bar(start, bore.way, bore.diameter_mm, 2 * reach))
        yield solids.less(item, *gone)


def _stretch(solids: Solids, tube: SweptRing, stretch: TubeStretch) -> Item:
    wall = tube.section.wall_mm
    match stretch.kind:
        case ProfileStretch.TAPER:
            return _taper(solids, tube, stretch)
        case ProfileStretch.TRANSITION:
            return _transition(solids, tube, stretch)
        case ProfileStretch.FLAT:
            return _flat(solids, tube, stretch)
    points, segments = _curve(tube, stretch)
    radius = stretch.start_radius_mm
    return solids.tube(points, segments, radius, radius - wall)


def _curve(tube: SweptRing, stretch: TubeStretch) -> tuple[list[Vector], list[tuple[int, ...]]]:
    """The points of the axis of a stretch, and which of them are lines and which arcs."""
    start = tube.axis.at(stretch.start_mm)
    points: list[Vector] = [_point(start)]
    segments: list[tuple[int, ...]] = []
    part = tube.axis.cut(stretch.start_mm, stretch.end_mm)
    for segment in eased(part, [(h.at_mm - stretch.start_mm, h.diameter_mm) for h in tube.holes]):
        number, long = len(points), segment.length_mm
        if isinstance(segment, Line) or long * abs(segment.angle_rad) / 8 < _FLATTEST_MM:
            segments.append((number, number + 1))
        else:
            points.append(_point(advance(start, segment, long / 2)))
            segments.append((number, number + 1, number + 2))
        start = advance(start, segment, long)
        points.append(_point(start))
    return points, segments


def _taper(solids: Solids, tube: SweptRing, stretch: TubeStretch) -> Item:
    """Turned about the chord of the axis, which is straight but for a swage in a bend."""
    wall = tube.section.wall_mm
    start, end = (_point(tube.axis.at(at)) for at in (stretch.start_mm, stretch.end_mm))
    long = math.dist(start, end)
    area = solids.outline((
        (stretch.start_radius_mm - wall, 0.0, 0.0), (stretch.start_radius_mm, 0.0, 0.0),
        (stretch.end_radius_mm, long, 0.0), (stretch.end_radius_mm - wall, long, 0.0),
    ))  # fmt: skip
    lying = Placement.of(origin=start, x=add(end, start, -1.0), y=(0.0, 0.0, 1.0))
    return solids.turned(area, Placement(origin=start, x=lying.y, y=lying.x, z=opposite(lying.z)))


def _pressed_at(tube: SweptRing, at_mm: float, clock_rad: float) -> Placement:
    """Axes of a pressed section: z along the tube, y square to the flat, x across it."""
    station = tube.axis.at(at_mm)
    cos, sin = math.cos(clock_rad), math.sin(clock_rad)
    normal, along = station.normal, station.tangent
    out = (cos * normal[0], cos * normal[1], sin)
    across = (sin * normal[0], sin * normal[1], -cos)
    return Placement(origin=_point(station), x=across, y=out, z=(along[0], along[1], 0.0))


def _flat(solids: Solids, tube: SweptRing, stretch: TubeStretch) -> Item:
    """An oblong, raised along the tube and cut off where its end slants."""
    radius, half = stretch.start_radius_mm, stretch.start_half_mm
    over = [(half + radius) * abs(lean) for lean in (stretch.start_lean, stretch.end_lean)]
    at = [stretch.start_mm - over[0], stretch.end_mm + over[1]]
    area = solids.outline((
        (-half, -radius, 0.0), (half, -radius, 1.0), (half, radius, 0.0), (-half, radius, 1.0),
    ))  # fmt: skip
    place = _pressed_at(tube, at[0], stretch.clock_rad)
    item = solids.raised(area, place, at[1] - at[0])
    for end_mm, lean, way in (
        (stretch.start_mm, stretch.start_lean, -1.0), (stretch.end_mm, stretch.end_lean, 1.0),
    ):  # fmt: skip
        if lean:
            here = _pressed_at(tube, end_mm, stretch.clock_rad)
            # A quarter turn on from the normal is against x here.
            size = way / math.hypot(1.0, lean)
            beyond = here.direction((lean * size, 0.0, size))
            item = solids.cut_off(item, here.origin, beyond)
    return item


def _transition(solids: Solids, tube: SweptRing, stretch: TubeStretch) -> Item:
    """Rings of triangles from round to flat, outside and bore."""
    wall = tube.section.wall_mm
    points: list[Vector] = []
    for k in range(_RINGS + 1):
        share = k / _RINGS
        at = stretch.start_mm + share * (stretch.end_mm - stretch.start_mm)
        place = _pressed_at(tube, at, stretch.clock_rad)
        radius = stretch.start_radius_mm + share * (stretch.end_radius_mm - stretch.start_radius_mm)
        half = stretch.start_half_mm + share * (stretch.end_half_mm - stretch.start_half_mm)
        for size in (radius, max(radius - wall, _SLIT_MM)):
            for j in range(_AROUND):
                turn = 2 * math.pi * (j + 0.5) / _AROUND
                cos, sin = math.cos(turn), math.sin(turn)
                points.append(place.point((math.copysign(half, cos) + size * cos, size * sin, 0.0)))
    return solids.mesh(points, list(_triangles()))


def _triangles() -> Iterator[tuple[int, int, int]]:
    """The skin between rings that turn with the tube's axis, outer and inner by turns."""
    ring = 2 * _AROUND
    last = _RINGS * ring
    for j in range(_AROUND):
        after = (j + 1) % _AROUND
        for k in range(_RINGS):
            a, b, c, d = k * ring + j, k * ring + after, (k + 1) * ring + after, (k + 1) * ring + j
            yield from ((a, b, c), (a, c, d))
            a, b, c, d = (corner + _AROUND for corner in (a, b, c, d))
            yield from ((a, c, b), (a, d, c))
        yield from ((j, j + _AROUND, after + _AROUND), (j, after + _AROUND, after))
        yield from (
            (last + j, last + after + _AROUND, last + j + _AROUND),
            (last + j, last + after, last + after + _AROUND),
        )


def _point(station: Station) -> Vector:
    return (station.x_mm, station.y_mm, 0.0)
