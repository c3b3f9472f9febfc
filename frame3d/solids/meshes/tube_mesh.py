"""Triangles of tubes, laid out on their own grid.

A tube's surfaces are known exactly, so its points are put on them directly: rings
of equal points, close together only where the axis bends, and around each hole a
window between two rings. That makes a third of the kernel's triangles in a
fiftieth of its time. Where windows overlap or cross a joint of the axis, or an end is
pressed flat, the tube is left to the kernel.

Glossary
--------
ring : points around the tube at one distance along it.
window : the patch of the grid, between two rings and two clock angles, that a hole
    lies in; its inside is replaced by triangles from its border to the hole's edge.
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from frame3d.frame.measure.measures import ProfileStretch, is_pressed, radii_at, stretches
from frame3d.frame.model.bodies import Hole, SweptRing
from frame3d.geometry.paths import Arc, Segment, Station
from frame3d.solids.meshes.mesh_parts import FaceBuilder, Mesh, Tolerance
from frame3d.solids.tubes.bore_edges import Opening
from frame3d.solids.tubes.tube_surfaces import Surface, surfaces_of

_MARGINS = (1.35, 1.15, 1.05)
"""How much wider than its hole a window is; narrower ones where holes lie close."""
_CHORDS_OF_HOLE = 24
_Spans = list[tuple[float, float, list[Hole]]]
"""Stretches between rings, from and to, mm, and the holes in each."""
_Place = tuple[int, int]
"""Number of a loop, and of a point in it."""


class _Window(Struct, frozen=True, kw_only=True):
    """A hole's patch on one side of the tube: ring numbers and a range of clock steps."""

    hole: Hole
    clock_rad: float
    low: int
    high: int
    first: int
    last: int


def tube_mesh(tube: SweptRing, tolerance: Tolerance) -> Mesh | None:
    """The closed mesh of ``tube``, or None if an end is flat or holes lie too close for it."""
    if is_pressed(tube):
        return None
    around = math.ceil(2 * math.pi / tolerance.angle_rad)
    for margin in _MARGINS:
        spans = _hole_spans(tube, margin, tolerance)
        if spans is None:
            continue
        rings = _rings(tube, spans, tolerance)
        windows = _windows(tube, rings, spans, around, margin)
        if windows is not None:
            break
    else:
        return None
    builder = FaceBuilder()
    wall = tube.section.wall_mm
    outer = _Skin(builder, tube, rings, around, 0.0)
    inner = _Skin(builder, tube, rings, around, wall)
    for skin in (outer, inner):
        skin.cover(windows)
    for end, sign in ((0, -1.0), (len(rings) - 1, 1.0)):
        _close_end(builder, tube.axis.at(rings[end]), sign, outer.ids[end], inner.ids[end])
    for window in windows:
        _line_hole(builder, tube, window, outer.rim(window), inner.rim(window))
    return builder.mesh()


def _fixed_rings(tube: SweptRing) -> list[float]:
    """Where the section or the curvature changes, ends included."""
    joints = [along for along, _ in tube.axis.starts]
    bounds = [s.start_mm for s in stretches(tube)]
    rings: list[float] = []
    for along in sorted([*joints, *bounds]):
        if not rings or along - rings[-1] > 1e-6:
            rings.append(along)
    return [*rings, tube.length_mm]


def _hole_spans(tube: SweptRing, margin: float, tolerance: Tolerance) -> _Spans | None:
    """Stretches between rings that hold holes; None if one is too long or its section changes."""
    spans: _Spans = []
    for hole in tube.holes:
        reach = hole.diameter_mm / 2 * margin
        low, high, together = hole.at_mm - reach, hole.at_mm + reach, [hole]
        # A wide hole may reach back over more than one span of narrow ones.
        while spans and low <= spans[-1][1] + 1e-3:
            before = spans.pop()
            low, high = min(low, before[0]), max(high, before[1])
            together = [*before[2], *together]
        spans.append((low, high, together))
    for low, high, holes in spans:
        for stretch in stretches(tube):
            edges = (stretch.start_mm, stretch.end_mm)
            if any(low - 1e-3 < along < high + 1e-3 for along in edges):
                return None
            if stretch.kind is ProfileStretch.TAPER and stretch.start_mm < low < stretch.end_mm:
                return None
        turned = sum(abs(segment.angle_rad) for segment in tube.axis.cut(low, high).segments)
        if len(holes) > 1 and turned > 2 * tolerance.angle_rad:
            return None
    return spans


def _rings(tube: SweptRing, spans: _Spans, tolerance: Tolerance) -> list[float]:
    """Distances of all rings: the fixed ones, those of windows, and more in bends.

    At a joint of the axis inside a window there is none: the bends go on into each other.
    """
    fixed = [
        ring
        for ring in _fixed_rings(tube)
        if not any(low - 1e-3 < ring < high + 1e-3 for low, high, _ in spans)
    ]
    edges = sorted([*fixed, *(edge for low, high, _ in spans for edge in (low, high))])
    tapers = [s for s in stretches(tube) if s.kind is ProfileStretch.TAPER]
    rings = [edges[0]]
    for low, high in zip(edges, edges[1:], strict=False):
        middle = (low + high) / 2
        whole = any(a <= middle <= b for a, b, _ in spans) or any(
            t.start_mm <= middle <= t.end_mm for t in tapers
        )
        segment = _segment_at(tube, middle)[2]
        count = 1
        if isinstance(segment, Arc) and not whole:
            outermost = segment.radius_mm + tube.section.od_mm / 2
            turn = min(2 * math.acos(1 - tolerance.linear_mm / outermost), tolerance.angle_rad)
            count = math.ceil((high - low) / segment.radius_mm / turn)
        rings += [low + (high - low) * k / count for k in range(1, count + 1)]
    return rings


def _windows(
    tube: SweptRing, rings: list[float], spans: _Spans, around: int, margin: float
) -> list[_Window] | None:
    """The windows of all holes; None if two of them overlap."""
    step, found = 2 * math.pi / around, []
    for low_mm, high_mm, holes in spans:
        low, high = _index(rings, low_mm), _index(rings, high_mm)
        taken: set[int] = set()
        for hole in holes:
            inside = radii_at(tube, hole.at_mm)[1]
            share = hole.diameter_mm / 2 / inside
            if share > 0.8:
                return None
            reach = math.asin(share) * margin
            for clock in (hole.clock_rad, hole.clock_rad + math.pi):
                first = math.floor((clock - reach) / step)
                last = math.ceil((clock + reach) / step)
                cells = {cell % around for cell in range(first, last)}
                if taken & cells:
                    return None
                taken |= cells
                found.append(
                    _Window(hole=hole, clock_rad=clock, low=low, high=high, first=first, last=last)
                )
    return found


def _index(rings: list[float], along: float) -> int:
    return min(range(len(rings)), key=lambda k: abs(rings[k] - along))


def _segment_at(tube: SweptRing, along: float) -> tuple[float, Station, Segment]:
    """Start, station and segment of the axis that holds the distance ``along``."""
    pairs = list(zip(tube.axis.starts, tube.axis.segments, strict=True))
    (start, station), segment = next(p for p in reversed(pairs) if p[0][0] <= along)
    return start, station, segment


def _axes(station: Station) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Point, tangent, normal and binormal at ``station``."""
    return (
        np.array((station.x_mm, station.y_mm, 0.0)),
        np.array((*station.tangent, 0.0)),
        np.array((*station.normal, 0.0)),
        np.array((0.0, 0.0, 1.0)),
    )


class _Skin:
    """The outer or the inner surface of a tube as a grid of points."""

    def __init__(
        self,
        builder: FaceBuilder,
        tube: SweptRing,
        rings: list[float],
        around: int,
        thinner_mm: float,
    ) -> None:
        self._builder, self._tube, self._rings, self._around = builder, tube, rings, around
        self._thinner = thinner_mm
        self._surfaces = list(surfaces_of(tube, thinner_mm))
        self._side = -1.0 if thinner_mm else 1.0
        self._rims: dict[_Window, np.ndarray] = {}
        clock = 2 * math.pi / around * np.arange(around)
        self._radial, positions = [], []
        for along in rings:
            point, _, normal, binormal = _axes(tube.axis.at(along))
            radius = radii_at(tube, along)[0] - thinner_mm
            radial = np.outer(np.cos(clock), normal) + np.outer(np.sin(clock), binormal)
            self._radial.append(radial)
            positions.append(point + radius * radial)
        self.ids = builder.points(np.concatenate(positions)).reshape(len(rings), around)

    def rim(self, window: _Window) -> np.ndarray:
        """The points where the hole of ``window`` meets this surface."""
        return self._rims[window]

    def cover(self, windows: list[_Window]) -> None:
        """Lay triangles over each stretch, leaving the windows open, then round the holes."""
        open_cells = {
            (w.low, cell % self._around) for w in windows for cell in range(w.first, w.last)
        }
        for stretch in stretches(self._tube):
            low, high = _index(self._rings, stretch.start_mm), _index(self._rings, stretch.end_mm)
            span = stretch.end_mm - stretch.start_mm
            slope = (stretch.end_radius_mm - stretch.start_radius_mm) / span
            triangles = [
                triangle
                for ring in range(low, high)
                for cell in range(self._around)
                if (ring, cell) not in open_cells
                for triangle in self._cell(ring, cell)
            ]
            normals: dict[int, np.ndarray] = {}
            for ring in range(low, high + 1):
                tangent = _axes(self._tube.axis.at(self._rings[ring]))[1]
                tilted = (self._radial[ring] - slope * tangent) / math.hypot(1, slope)
                normals |= dict(zip(self.ids[ring].tolist(), tilted * self._side, strict=True))
            for window in windows:
                if low <= window.low < high:
                    triangles += self._frame_hole(window, normals)
            self._builder.face(triangles, normals)

    def _turn(self, triangle: tuple[int, int, int]) -> tuple[int, int, int]:
        a, b, c = triangle
        return (a, b, c) if self._side > 0 else (a, c, b)

    def _cell(self, ring: int, cell: int) -> list[tuple[int, int, int]]:
        after = (cell + 1) % self._around
        a, b = int(self.ids[ring, cell]), int(self.ids[ring, after])
        d, c = int(self.ids[ring + 1, cell]), int(self.ids[ring + 1, after])
        return [self._turn((a, b, c)), self._turn((a, c, d))]

    def _frame_hole(
        self, window: _Window, normals: dict[int, np.ndarray]
    ) -> list[tuple[int, int, int]]:
        """Triangles from the window's border to the hole's edge."""
        hole = window.hole
        radius = radii_at(self._tube, hole.at_mm)[0] - self._thinner
        positions, outward = _rim(self._tube, window, self._surfaces)
        rim = self._builder.points(positions)
        self._rims[window] = rim
        normals |= dict(zip(rim.tolist(), outward * self._side, strict=True))
        turn = 2 * math.pi / _CHORDS_OF_HOLE * np.arange(_CHORDS_OF_HOLE)
        reach = hole.diameter_mm / 2
        across = np.arcsin(reach / radius * np.sin(turn)) * radius
        border, flat = [], []
        step = 2 * math.pi / self._around
        low, high = (self._rings[k] - hole.at_mm for k in (window.low, window.high))
        cells = range(window.first, window.last + 1)
        for ring, along, order in ((window.low, low, cells), (window.high, high, cells[::-1])):
            for cell in order:
                border.append(int(self.ids[ring, cell % self._around]))
                flat.append(((cell * step - window.clock_rad) * radius, along))
        # The hole's edge was laid from +s toward +clock: clockwise on this map.
        edge = np.column_stack([across, reach * np.cos(turn)])[::-1]
        loops = (border, rim[::-1].tolist())
        between = _ring_between(np.array(flat), edge)
        return [
            self._turn((loops[i][a], loops[j][b], loops[k][c]))
            for (i, a), (j, b), (k, c) in between
        ]


def _ring_between(outside: np.ndarray, inside: np.ndarray) -> list[tuple[_Place, _Place, _Place]]:
    """Triangles between two convex loops, one inside the other, by shortest diagonals.

    Parameters
    ----------
    outside, inside : (n, 2) and (m, 2) float
        Anticlockwise.

    Returns
    -------
    list of three (loop, number)
        Anticlockwise; loop 0 is the outer one.
    """
    many, few = len(outside), len(inside)
    first = int(np.argmin(np.linalg.norm(inside - outside[0], axis=1)))
    out, into = 0, 0
    triangles: list[tuple[_Place, _Place, _Place]] = []
    while out < many or into < few:
        here, ahead = out % many, (out + 1) % many
        there, beyond = (first + into) % few, (first + into + 1) % few
        step_out = np.linalg.norm(outside[ahead] - inside[there])
        step_in = np.linalg.norm(outside[here] - inside[beyond])
        if into == few or (out < many and step_out <= step_in):
            out += 1
            triangles.append(((0, here), (0, ahead), (1, there)))
        else:
            into += 1
            triangles.append(((1, there), (0, here), (1, beyond)))
    return triangles


def _rim(
    tube: SweptRing, window: _Window, surfaces: list[Surface]
) -> tuple[np.ndarray, np.ndarray]:
    """Where the hole meets the tube's surfaces: points and the normals there."""
    hole = window.hole
    opening = Opening(tube, hole, window.clock_rad - hole.clock_rad)
    # An opening's turn runs toward smaller clock angles, the rim here toward greater ones.
    turn = -2 * math.pi / _CHORDS_OF_HOLE * np.arange(_CHORDS_OF_HOLE)
    found: list[tuple[np.ndarray, np.ndarray, np.ndarray]] = []
    for number, surface in enumerate(surfaces):
        begin, end = surface.start_mm, surface.start_mm + surface.length_mm
        if number and not begin < hole.at_mm + 2 * hole.diameter_mm:
            continue
        if end < hole.at_mm - 2 * hole.diameter_mm and surface is not surfaces[-1]:
            continue
        clock, along, _ = opening.edge(surface, turn)
        places, by_clock, by_along = surface.here(clock, along)
        out = np.cross(by_clock, by_along)
        out /= np.linalg.norm(out, axis=1, keepdims=True)
        found.append((places, out, along > 0))
    (points, outward, _), *others = found
    for places, out, mine in others:
        points[mine], outward[mine] = places[mine], out[mine]
    return points, outward


def _close_end(
    builder: FaceBuilder, station: Station, sign: float, outer: np.ndarray, inner: np.ndarray
) -> None:
    """The flat ring at one end; ``sign`` is 1 where it faces along the axis."""
    triangles = []
    count = len(outer)
    for k in range(count):
        after = (k + 1) % count
        a, b, c, d = (int(v) for v in (outer[k], outer[after], inner[after], inner[k]))
        triangles += [(a, b, c), (a, c, d)] if sign > 0 else [(a, c, b), (a, d, c)]
    facing = sign * _axes(station)[1]
    builder.face(triangles, {int(v): facing for v in (*outer, *inner)})


def _line_hole(
    builder: FaceBuilder, tube: SweptRing, window: _Window, outer: np.ndarray, inner: np.ndarray
) -> None:
    """The wall of a hole between its two edges, facing the hole's own axis."""
    _, tangent, normal, binormal = _axes(tube.axis.at(window.hole.at_mm))
    cos, sin = math.cos(window.clock_rad), math.sin(window.clock_rad)
    across = cos * binormal - sin * normal
    triangles = []
    normals: dict[int, np.ndarray] = {}
    for k in range(_CHORDS_OF_HOLE):
        after = (k + 1) % _CHORDS_OF_HOLE
        a, b, c, d = (int(v) for v in (outer[after], outer[k], inner[k], inner[after]))
        triangles += [(a, b, c), (a, c, d)]
        turn = 2 * math.pi / _CHORDS_OF_HOLE * k
        facing = -(math.cos(turn) * tangent + math.sin(turn) * across)
        normals |= {int(outer[k]): facing, int(inner[k]): facing}
    builder.face(triangles, normals)
