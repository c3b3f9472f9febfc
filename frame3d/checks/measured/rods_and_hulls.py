"""The shapes that members are measured by: tubes as axes with radii, the rest as hulls.

Glossary
--------
rod : a stretch of a round bar or tube: a curve and a radius. The bore counts as full:
    what may be inside a tube is told by :mod:`frame3d.checks.measured.contacts`.
primitive : a rod or a hull.

A swage's taper counts as round and full. Plain bars are rods; all else that is round, such as
washers, domed heads, rings and bosses, are twelve-sided prisms around it, which stick out over
the circle by 3.5 % of the radius at the corners.
"""

from __future__ import annotations

import functools
import math

import numpy as np
from msgspec import Struct

from frame3d.frame.measure.board_measures import blocks
from frame3d.frame.measure.tube_measures import PRESSED, TubeStretch, stretches
from frame3d.frame.measure.tube_measures import ProfileStretch as Kind
from frame3d.frame.model.bodies import (
    ExtrudedOutline,
    SawnTimber,
    SplitRing,
    SweptRing,
    TurnedProfile,
)
from frame3d.frame.model.parts import Part
from frame3d.geometry.curves import Curves, curves_of, joined
from frame3d.geometry.hulls import Hull, convex_pieces, loft, prism
from frame3d.geometry.outlines import polygon
from frame3d.geometry.paths import Line, PlanePath
from frame3d.geometry.placement import Vector

_Rod = tuple[Curves, np.ndarray]
"""Curves and their radii, mm."""
_Boxed = tuple[Hull, bool]
"""A hull, and whether it is a box along the part's axes."""
_ROUND, _HALF_ROUND = 12, 10
_TURNED = np.array([[0.0, 0.0, 1.0], [0.0, 1.0, 0.0], [-1.0, 0.0, 0.0]])
"""Turns z to x: prisms are made along z, and the rings of clamps lie along x."""


class RodsAndHulls(Struct, frozen=True, kw_only=True, dict=True):
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

    @functools.cached_property
    def inserted(self) -> frozenset[int]:
        """Primitives of a fastener that go into what it holds: all that is not its head."""
        starts = self.rods.start[:, 2].tolist()
        starts += [hull.vertices[:, 2].min() for hull in self.hulls]
        return frozenset(number for number, low in enumerate(starts) if low >= 0.0)

    @functools.cached_property
    def bounds(self) -> tuple[Vector, Vector]:
        """The lowest and the highest corner of what it takes up, in its own axes, mm."""
        spans = (self.reach(np.eye(3), np.zeros(3), way) for way in np.eye(3))
        (x0, x1), (y0, y1), (z0, z1) = spans
        return (x0, y0, z0), (x1, y1, z1)

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


@functools.lru_cache(maxsize=1024)  # asked for by each check, and again when a design is edited
def shape_of(part: Part) -> RodsAndHulls:
    """The shape of ``part``: the rods of all its bodies, then their hulls."""
    rods: list[_Rod] = []
    hulls: list[_Boxed] = []
    for body in part.bodies:
        match body:
            case SweptRing():
                more = _tube(body)
                rods += more[0]
                hulls += more[1]
            case SawnTimber():
                hulls += _board(body)
            case ExtrudedOutline():
                pieces = convex_pieces(body.outline)
                hulls += [(_prism(p, body.low_mm, body.high_mm), False) for p in pieces]
            case TurnedProfile() if body.is_bar:
                rods.append(_bar(body))
            case TurnedProfile():
                across = 2 * max(radius for radius, _ in body.traced(_ROUND))
                hulls.append((_disc(across, body.low_mm, body.high_mm), False))
            case SplitRing():
                hulls += _split_ring(body)
    return RodsAndHulls(
        rods=joined([curves for curves, _ in rods]) if rods else _NO_RODS,
        radius_mm=np.concatenate([radii for _, radii in rods]) if rods else np.zeros(0),
        hulls=tuple(hull for hull, _ in hulls), boxed=tuple(box for _, box in hulls),
    )  # fmt: skip


def _tube(tube: SweptRing) -> tuple[list[_Rod], list[_Boxed]]:
    found = stretches(tube)
    runs = [(s.start_mm, s.end_mm, s.start_radius_mm) for s in found if s.kind is Kind.REDUCED]
    full = [s for s in found if s.kind in (Kind.BODY, Kind.TAPER)]
    runs.append((full[0].start_mm, full[-1].end_mm, tube.section.od_mm / 2))
    # Width and thickness of the oblong grow evenly, so that a stretch is the hull of its two ends.
    hulls = [
        (loft(_pressed(tube, s, s.start_mm), _pressed(tube, s, s.end_mm)), False)
        for s in found
        if s.kind in PRESSED
    ]
    return [_bent(tube, *run) for run in sorted(runs)], hulls


def _bent(tube: SweptRing, low_mm: float, high_mm: float, radius_mm: float) -> _Rod:
    """The stretch of a tube's axis between two distances along it, of that radius."""
    path, here = tube.axis.cut(low_mm, high_mm), tube.axis.at(low_mm)
    cos, sin = here.tangent
    turn = np.array([[cos, -sin, 0.0], [sin, cos, 0.0], [0.0, 0.0, 1.0]])
    placed = curves_of(path).placed(turn, np.array([here.x_mm, here.y_mm, 0.0]))
    return placed, np.full(len(path.segments), radius_mm)


def _pressed(tube: SweptRing, stretch: TubeStretch, at_mm: float) -> np.ndarray:
    """Points round the section at one end of a pressed stretch, (n, 3) mm."""
    half, radius = stretch.start_half_mm, stretch.start_radius_mm
    if at_mm == stretch.end_mm:
        half, radius = stretch.end_half_mm, stretch.end_radius_mm
    here, cos, sin = tube.axis.at(at_mm), math.cos(stretch.clock_rad), math.sin(stretch.clock_rad)
    square = np.array([cos * here.normal[0], cos * here.normal[1], sin])
    side = np.cross([*here.tangent, 0.0], square)
    ring = np.array([u * side + v * square for u, v in _oblong(half, radius)])
    placed: np.ndarray = np.array([here.x_mm, here.y_mm, 0.0]) + ring
    return placed


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


def _board(board: SawnTimber) -> list[_Boxed]:
    ends = (board.start, board.end)
    square = not any(end and (end.mitre_rad or end.bevel_rad or end.lap_mm) for end in ends)
    # From the corners of one end of a block, once round it, to those of the other.
    return [(loft(block[[0, 2, 3, 1]], block[[4, 6, 7, 5]]), square) for block in blocks(board)]


def _bar(body: TurnedProfile) -> _Rod:
    """A round bar along z."""
    line = curves_of(PlanePath((Line(body.high_mm - body.low_mm),)))
    return line.placed(_TURNED.T, np.array([0.0, 0.0, body.low_mm])), np.array([body.profile[0][0]])


_prism = functools.lru_cache(maxsize=64)(prism)  # bolts of all lengths have the same heads


def _disc(across_mm: float, low_mm: float, high_mm: float) -> Hull:
    return _prism(tuple(polygon(_ROUND, across_mm)), low_mm, high_mm)


def _split_ring(half: SplitRing) -> list[_Boxed]:
    wide = half.width_mm / 2
    ring = _disc(2 * half.ring_mm, -wide, wide).placed(_TURNED, np.zeros(3))
    boss = _disc(half.boss_diameter_mm, half.tube_od_mm / 2, half.face_mm)
    # From where the ears leave the ring: nearer the axis they are the ring's own.
    root = math.sqrt(max(half.ring_mm**2 - half.back_mm**2, 0.0))
    corners = [(-wide, root), (wide, root), (wide, half.tip_mm), (-wide, half.tip_mm)]
    ears = prism(corners, -half.back_mm, half.back_mm)
    return [(ring, False), (boss, False), (ears, True)]
