"""The shapes that members are measured by: tubes as axes with radii, the rest as hulls.

Glossary
--------
rod : a stretch of a round bar or tube: a curve and a radius. The bore counts as full:
    what may be inside a tube is told by :mod:`frame3d.checks.measured.contacts`.
primitive : a rod or a hull.

A swage's taper counts as round and full. Heads and nuts are hexagons, washers,
domed heads, rings and bosses twelve-sided prisms around them, which stick out over
the circle by 3.5 % of the radius at the corners.
"""

from __future__ import annotations

import functools
import math

import numpy as np
from msgspec import Struct

from frame3d.catalog.sections import Head
from frame3d.frame.model.end_forms import BoardEnd, Flat, Swage
from frame3d.frame.model.parts import Board, Bolt, ClampHalf, Nut, Part, Plate, Screw, Tube, Washer
from frame3d.geometry.curves import Curves, curves_of, joined
from frame3d.geometry.hulls import Hull, convex_pieces, loft, polygon, prism
from frame3d.geometry.paths import Line, PlanePath, Station

_ROUND, _HALF_ROUND = 12, 10
_TURNED = np.array([[0.0, 0.0, 1.0], [0.0, 1.0, 0.0], [-1.0, 0.0, 0.0]])
"""Turns z to x: prisms are made along z, and the rings of clamps lie along x."""


class RodsAndHulls(Struct, frozen=True, kw_only=True):
    """A part in its own axes, as rods and hulls.

    Parameters
    ----------
    rods : Curves
        k of them.
    radius_mm : (k,) float
    hulls : tuple of Hull
    boxed : tuple of bool
        For every hull, whether it is a box along the part's axes.
    """

    rods: Curves
    radius_mm: np.ndarray
    hulls: tuple[Hull, ...] = ()
    boxed: tuple[bool, ...] = ()

    @property
    def count(self) -> int:
        """How many primitives it has: rods first, then hulls."""
        return len(self.radius_mm) + len(self.hulls)

    def reach(
        self, rotation: np.ndarray, shift: np.ndarray, way: np.ndarray
    ) -> tuple[float, float]:
        """Lowest and highest place of the placed shape along the unit vector ``way``, mm.

        Ends of rods count as cut square. Along an arc the places between samples are
        bounded by the sagitta, so that what is told is never less than the truth.
        """
        local = way @ rotation
        lows, highs = [], []
        if len(self.radius_mm):
            shares = np.linspace(0.0, 1.0, 33)
            for k, radius in enumerate(self.radius_mm):
                one = self.rods.take(np.full(33, k))
                along = shares * one.length
                middle = one.at(along) @ local
                across = radius * np.sqrt(np.maximum(1 - (one.tangent_at(along) @ local) ** 2, 0.0))
                bend = float(one.curvature[0])
                turn = bend * float(one.length[0]) / 32
                slack = np.full(33, (1 - math.cos(turn / 2)) / bend if bend else 0.0)
                slack[[0, -1]] = 0.0
                lows.append((middle - across - slack).min())
                highs.append((middle + across + slack).max())
        for hull in self.hulls:
            along = hull.vertices @ local
            lows.append(along.min())
            highs.append(along.max())
        offset = float(shift @ way)
        return min(lows) + offset, max(highs) + offset


_NO_RODS = Curves(
    start=np.zeros((0, 3)), tangent=np.zeros((0, 3)), normal=np.zeros((0, 3)),
    curvature=np.zeros(0), length=np.zeros(0),
)  # fmt: skip


def shape_of(part: Part) -> RodsAndHulls:
    """The shape of ``part``.

    Raises
    ------
    TypeError
        If ``part`` is none of the kinds in :mod:`frame3d.frame.model.parts`.
    """
    match part:
        case Tube():
            return _tube(part)
        case Board():
            return _board(part)
        case Plate():
            return _plate(part)
        case Bolt():
            return _bolt(part)
        case Nut():
            return _nut(part)
        case Washer():
            return _washer(part)
        case Screw():
            return _screw(part)
        case ClampHalf():
            return _clamp(part)
    raise TypeError(f"no shape is known for a {type(part).__name__}")


def _tube(tube: Tube) -> RodsAndHulls:
    radii, hulls = [], []
    low, high, full = 0.0, tube.length_mm, tube.section.od_mm / 2
    for form, at_start in ((tube.start, True), (tube.end, False)):
        if isinstance(form, Flat):
            hulls += _flat(tube, form, at_start)
            reach = form.length_mm + form.transition_mm
        elif isinstance(form, Swage):
            reach = form.length_mm
        else:
            continue
        low, high = (reach, high) if at_start else (low, high - reach)
    pieces: list[tuple[PlanePath, float, float]] = []
    if isinstance(tube.start, Swage):
        pieces.append((tube.axis.cut(0.0, low), 0.0, tube.start.od_mm / 2))
    pieces.append((tube.axis.cut(low, high), low, full))
    if isinstance(tube.end, Swage):
        pieces.append((tube.axis.cut(high, tube.length_mm), high, tube.end.od_mm / 2))
    rods = []
    for path, start, radius in pieces:
        here = tube.axis.at(start)
        rods.append(_moved(curves_of(path), here))
        radii += [radius] * len(path.segments)
    return RodsAndHulls(
        rods=joined(rods), radius_mm=np.array(radii), hulls=tuple(hulls),
        boxed=(False,) * len(hulls),
    )  # fmt: skip


def _moved(curves: Curves, here: Station) -> Curves:
    """A plane path that starts at a station of another."""
    cos, sin = here.tangent
    turn = np.array([[cos, -sin, 0.0], [sin, cos, 0.0], [0.0, 0.0, 1.0]])
    return curves.placed(turn, np.array([here.x_mm, here.y_mm, 0.0]))


def _flat(tube: Tube, form: Flat, at_start: bool) -> list[Hull]:
    """The flat, and the stretch where it becomes round.

    Width and thickness of the oblong between the two grow evenly, so that this stretch
    is the hull of its two ends.
    """
    wall, radius = tube.section.wall_mm, tube.section.od_mm / 2
    spread = math.pi * (radius - wall) / 2
    here = tube.axis.at(0.0 if at_start else tube.length_mm)
    cos, sin = math.cos(form.clock_rad), math.sin(form.clock_rad)
    tangent = np.array([*here.tangent, 0.0]) * (1.0 if at_start else -1.0)
    square = cos * np.array([*here.normal, 0.0]) + sin * np.array([0.0, 0.0, 1.0])
    side = np.cross(tangent, square)
    origin = np.array([here.x_mm, here.y_mm, 0.0])

    def section(along: float, half: float, edge: float) -> np.ndarray:
        ring = np.array([u * side + v * square for u, v in _oblong(half, edge)])
        placed: np.ndarray = origin + along * tangent + ring
        return placed

    flat_end = section(form.length_mm, spread, wall)
    round_end = section(form.length_mm + form.transition_mm, 0.0, radius)
    return [loft(section(0.0, spread, wall), flat_end), loft(flat_end, round_end)]


def _oblong(half_mm: float, edge_mm: float) -> list[tuple[float, float]]:
    """A polygon round an oblong: two half circles whose middles are 2 ``half_mm`` apart."""
    step = math.pi / _HALF_ROUND
    reach = edge_mm / math.cos(step / 2)
    corners = []
    for begin, middle in ((-math.pi / 2, half_mm), (math.pi / 2, -half_mm)):
        # Half a step past the quarter: so the long sides lie on the oblong's own.
        angles = [begin + step * (k + 0.5) for k in range(_HALF_ROUND)]
        corners += [(middle + reach * math.cos(angle), reach * math.sin(angle)) for angle in angles]
    return corners


def _board(board: Board) -> RodsAndHulls:
    deep = board.section.depth_mm
    ends = (board.start, board.end)
    square = not any(end and (end.mitre_rad or end.bevel_rad or end.lap_mm) for end in ends)
    laps = [end.lap_mm if end else 0.0 for end in ends]
    first, last = (
        _cut(board, at_start, lap, 0.0, deep)
        for at_start, lap in zip((True, False), laps, strict=True)
    )
    hulls = [loft(first, last)]
    for end, at_start in ((board.start, True), (board.end, False)):
        if end and end.lap_mm:
            low = 0.0 if end.lap_from_top else end.lap_depth_mm
            high = deep - end.lap_depth_mm if end.lap_from_top else deep
            hulls.append(
                loft(
                    _cut(board, at_start, 0.0, low, high),
                    _cut(board, at_start, end.lap_mm, low, high),
                )
            )
    return RodsAndHulls(
        rods=_NO_RODS, radius_mm=np.zeros(0), hulls=tuple(hulls),
        boxed=(square,) * len(hulls),
    )  # fmt: skip


def _cut(board: Board, at_start: bool, back_mm: float, low: float, high: float) -> np.ndarray:
    """Corners of a cut parallel to an end of a board, ``back_mm`` along from it, (4, 3)."""
    end = (board.start if at_start else board.end) or BoardEnd()
    deep, thick = board.section.depth_mm, board.section.thickness_mm
    corners = []
    for y, z in ((low, 0.0), (high, 0.0), (high, thick), (low, thick)):
        short = abs(math.tan(end.mitre_rad)) * (y if end.mitre_rad > 0 else deep - y)
        short += abs(math.tan(end.bevel_rad)) * (z if end.bevel_rad > 0 else thick - z)
        x = short + back_mm
        corners.append((x if at_start else board.length_mm - x, y, z))
    return np.array(corners)


def _plate(plate: Plate) -> RodsAndHulls:
    pieces = convex_pieces(plate.outline)
    hulls = tuple(prism(piece, 0.0, plate.thickness_mm) for piece in pieces)
    return RodsAndHulls(
        rods=_NO_RODS, radius_mm=np.zeros(0), hulls=hulls, boxed=(False,) * len(hulls)
    )


def _shank(diameter_mm: float, length_mm: float) -> tuple[Curves, np.ndarray]:
    rods = curves_of(PlanePath((Line(length_mm),))).placed(_TURNED.T, np.zeros(3))
    return rods, np.array([diameter_mm / 2])


@functools.lru_cache(maxsize=64)  # bolts of all lengths have the same heads
def _disc(sides: int, flats_mm: float, low_mm: float, high_mm: float) -> Hull:
    return prism(polygon(sides, flats_mm), low_mm, high_mm)


def _bolt(bolt: Bolt) -> RodsAndHulls:
    rods, radius = _shank(bolt.size.diameter_mm, bolt.length_mm)
    sides = 6 if bolt.size.head is Head.HEX else _ROUND
    head = _disc(sides, bolt.size.flats_mm, -bolt.size.head_height_mm, 0.0)
    return RodsAndHulls(rods=rods, radius_mm=radius, hulls=(head,), boxed=(False,))


def _screw(screw: Screw) -> RodsAndHulls:
    rods, radius = _shank(screw.diameter_mm, screw.length_mm)
    head = _disc(6, screw.flats_mm, -screw.head_height_mm, 0.0)
    return RodsAndHulls(rods=rods, radius_mm=radius, hulls=(head,), boxed=(False,))


def _nut(nut: Nut) -> RodsAndHulls:
    body = _disc(6, nut.size.flats_mm, 0.0, nut.size.height_mm)
    return RodsAndHulls(rods=_NO_RODS, radius_mm=np.zeros(0), hulls=(body,), boxed=(False,))


def _washer(washer: Washer) -> RodsAndHulls:
    body = _disc(_ROUND, washer.size.outside_mm, 0.0, washer.size.thickness_mm)
    return RodsAndHulls(rods=_NO_RODS, radius_mm=np.zeros(0), hulls=(body,), boxed=(False,))


def _clamp(half: ClampHalf) -> RodsAndHulls:
    inside, wide = half.tube_od_mm / 2, half.width_mm / 2
    outside, back = inside + half.band_mm, half.gap_mm / 2 + half.band_mm
    ring = prism(polygon(_ROUND, 2 * outside), -wide, wide).placed(_TURNED, np.zeros(3))
    boss = prism(polygon(_ROUND, half.boss_diameter_mm), inside, half.face_mm)
    # From where the ears leave the ring: nearer the axis they are the ring's own.
    root = math.sqrt(max(outside**2 - back**2, 0.0))
    tip = outside + half.ear_mm
    ears = prism([(-wide, root), (wide, root), (wide, tip), (-wide, tip)], -back, back)
    return RodsAndHulls(
        rods=_NO_RODS, radius_mm=np.zeros(0), hulls=(ring, boss, ears),
        boxed=(False, False, True),
    )  # fmt: skip


__all__ = ["RodsAndHulls", "shape_of"]
