"""Tubes as light meshes: rings along the axis, outside and bore, ends open as they are.

Holes are left out: on the screen a bolt fills them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from frame3d.frame.measure.measures import PRESSED, ProfileStretch, stretches
from frame3d.frame.measure.tube_measures import TubeStretch
from frame3d.frame.model.bodies import SweptRing
from frame3d.geometry.paths import Arc
from frame3d.view.light_mesh import NONE, ShapeBuilder, between, fan

AROUND = 20
"""Chords of a circle; a multiple of four, so that a tube's outside is full across both ways."""
_STEP_RAD = 2 * math.pi / AROUND
SAGITTA_MM = 0.8
"""How far the chords along a bend may leave it, mm."""
_MOST_TURN_RAD = math.radians(4)
_FAR_CELLS = tuple(range(0, AROUND, 4))
"""Points of a ring that are enough where a tube is a few pixels across."""
_NUMBER, _AFTER = np.arange(AROUND), np.roll(np.arange(AROUND), -1)
_WASHER = np.concatenate([
    np.column_stack([_NUMBER, _AFTER, _AFTER + AROUND]),
    np.column_stack([_NUMBER, _AFTER + AROUND, _NUMBER + AROUND]),
])  # fmt: skip
"""Triangles between two rings, one after the other, in one plane."""
_FAR_SAGITTA = 0.125
"""How far chords along a bend may leave it there, in diameters of the tube."""


def add_tube(builder: ShapeBuilder, tube: SweptRing) -> int:
    """Add a tube; how many of its last triangles lie in its bore."""
    found = stretches(tube)
    rings = _Rings(tube, found)
    far = between(rings.far(_FAR_SAGITTA * tube.section.od_mm), _FAR_CELLS, AROUND)
    builder.skin(rings.points, rings.normals, far=far)
    bored = rings.bored()
    bore = rings.points[bored] - tube.section.wall_mm * rings.thinner[bored]
    for k, stretch, way in ((0, found[0], -1), (-1, found[-1], 1)):
        if stretch.kind is ProfileStretch.FLAT:
            builder.flat(rings.points[k], fan(AROUND)[:, ::way], far=NONE)
        else:
            _close(builder, rings.points[k], bore[k], way)
    builder.skin(bore, -rings.normals[bored], inward=True, far=NONE)
    return 2 * AROUND * (len(bore) - 1)


def _close(builder: ShapeBuilder, outer: np.ndarray, inner: np.ndarray, way: int) -> None:
    """The ring between outside and bore at one end; ``way`` is 1 where it ends the tube."""
    builder.flat(np.concatenate([outer, inner]), _WASHER[:, ::way], far=NONE)


class _Rings:
    """The rings of the outside: points, mm, and outward normals, (r, AROUND, 3).

    ``thinner``, of the same shape, is how far a point moves for each mm that is taken off the
    radius of its ring.
    """

    def __init__(self, tube: SweptRing, found: Sequence[TubeStretch]) -> None:
        at, stretch_of = _places(tube, found)
        clocks = _Clocks(found)
        stations = [tube.axis.at(along) for along in at]
        self._run = [
            (along, here.heading_rad, k)
            for along, here, k in zip(at, stations, stretch_of, strict=True)
        ]
        x, y, heading, radius, half, lean, clock, roll = np.array([
            (here.x_mm, here.y_mm, here.heading_rad, *_section(found[k], along),
             *clocks.at(found[k], along))
            for along, here, k in zip(at, stations, stretch_of, strict=True)
        ]).T  # fmt: skip
        level, zero = (np.cos(heading), np.sin(heading)), np.zeros_like(x)
        cos, sin = np.cos(clock), np.sin(clock)
        # Tangent, normal and binormal of the axis are (c, s, 0), (-s, c, 0) and (0, 0, 1).
        out = np.array((-level[1] * cos, level[0] * cos, sin)).T[:, None, :]
        wide = np.array((level[1] * sin, -level[0] * sin, cos)).T[:, None, :]
        turn = (_STEP_RAD * _NUMBER + roll[:, None])[..., None]
        sine = np.sin(turn)
        self.normals = sine * wide + np.cos(turn) * out
        self.thinner, sloping = self.normals, wide
        if lean.any():
            # A slanting end runs on along the axis in proportion to the distance across.
            sloping = wide + np.array((level[0] * lean, level[1] * lean, zero)).T[:, None, :]
            self.thinner = self.normals + sine * (sloping - wide)
        self.points = np.array((x, y, zero)).T[:, None, :] + radius[:, None, None] * self.thinner
        if half.any():
            self.points += half[:, None, None] * _side(sine) * sloping
        self._flat = [s.kind is ProfileStretch.FLAT for s in found]

    def bored(self) -> slice:
        """The rings with a bore, which a flat has no more: there is one where it begins."""
        of = [stretch for _, _, stretch in self._run]
        first = max(0, of.count(0) - 1) if self._flat[0] else 0
        last = len(of) - of.count(len(self._flat) - 1) if self._flat[-1] else len(of)
        return slice(first, last)

    def far(self, sagitta_mm: float) -> tuple[int, ...]:
        """Numbers of the rings that are enough, if chords may leave a bend by so much.

        Where a bend or a pressed end begins or ends there is always one.
        """
        run, kept = self._run, [0]
        for k in range(1, len(run) - 1):
            along, heading, stretch = run[k]
            (_, before, _), (next_mm, after, next_stretch) = run[k - 1], run[k + 1]
            last_mm, last, _ = run[kept[-1]]
            # The chord to the next ring; its sagitta is at most an eighth of its length times
            # the angle that it spans.
            leaves = (next_mm - last_mm) * abs(after - last) / 8
            if heading in (before, after) or stretch != next_stretch or leaves > sagitta_mm:
                kept.append(k)
        return (*kept, len(run) - 1)


def _side(sine: np.ndarray) -> np.ndarray:
    """-1 or 1: the half of an oblong that a point lies on; 0 in the middle of its faces."""
    return np.where(np.abs(sine) < 1e-9, 0.0, np.sign(sine))


class _Clocks:
    """Where rings begin: in a pressed end at its own clock angle, between two by a slight twist.

    Rings that meet must have their points in the same places, or slivers would be left.
    """

    def __init__(self, found: Sequence[TubeStretch]) -> None:
        first, last = (s.clock_rad if s.kind in PRESSED else None for s in (found[0], found[-1]))
        first = last if first is None else first
        self._start = first or 0.0
        end = self._start if last is None else last
        # Points are a step apart, so what matters is the rest that whole steps leave.
        steps = round((end - self._start) / _STEP_RAD)
        self._twist = end - self._start - steps * _STEP_RAD
        self._roll = -steps * _STEP_RAD
        self._bodies = [s for s in found if s.kind not in PRESSED]

    def at(self, stretch: TubeStretch, along: float) -> tuple[float, float]:
        """Clock angle of a ring, and the angle from it at which its first point lies."""
        if stretch.kind in PRESSED:
            is_start = stretch.end_mm <= self._bodies[0].start_mm + 1e-6
            return stretch.clock_rad, 0.0 if is_start else self._roll
        low, high = self._bodies[0].start_mm, self._bodies[-1].end_mm
        return self._start + self._twist * (along - low) / (high - low), 0.0


def _section(stretch: TubeStretch, along: float) -> tuple[float, float, float]:
    """Radius, half length and lean of the section at a distance along the tube."""
    share = (along - stretch.start_mm) / (stretch.end_mm - stretch.start_mm)
    radius = stretch.start_radius_mm + share * (stretch.end_radius_mm - stretch.start_radius_mm)
    half = stretch.start_half_mm + share * (stretch.end_half_mm - stretch.start_half_mm)
    lean = stretch.start_lean if share < 0.5 else stretch.end_lean
    return radius, half, lean if share in (0.0, 1.0) else 0.0


def _places(tube: SweptRing, found: Sequence[TubeStretch]) -> tuple[list[float], list[int]]:
    """Distances of the rings, rising, and the stretch that each takes its section from."""
    bends = [
        (start, start + segment.length_mm, segment)
        for (start, _), segment in zip(tube.axis.starts, tube.axis.segments, strict=True)
        if isinstance(segment, Arc)
    ]
    at: list[float] = []
    of: list[int] = []
    for number, stretch in enumerate(found):
        stops = {stretch.start_mm, stretch.end_mm}
        for low, high, arc in bends:
            first, last = max(low, stretch.start_mm), min(high, stretch.end_mm)
            if last - first > 1e-6:
                count = math.ceil((last - first) / arc.radius_mm / _turn_rad(arc, tube))
                stops.update(first + (last - first) * k / count for k in range(count + 1))
        rising = sorted(stops)
        for stop in rising:
            if not at or stop - at[-1] > 1e-6:
                at.append(stop)
                of.append(number)
    return at, of


def _turn_rad(arc: Arc, tube: SweptRing) -> float:
    outermost = arc.radius_mm + tube.section.od_mm / 2
    share = min(1.0, SAGITTA_MM / outermost)
    return min(2 * math.acos(1 - share), _MOST_TURN_RAD)
