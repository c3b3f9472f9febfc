"""The circuits of a tube's faces: halves of edges put together, end to start.

Glossary
--------
arc : a stretch of an opening's edge, which lies on one surface.
half : an edge as one face runs it; the other half belongs to the face on its other side.
circuit : halves one after the other, back to where they began. It keeps its face at its left in
    the plane of clock angle and distance along.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import numpy as np
from msgspec import Struct
from OCP.Geom2d import Geom2d_Curve

from frame3d.errors import SolidError
from frame3d.solids.kernel.brep import Edge, EdgeUse, Vertex, straight
from frame3d.solids.kernel.splines import fit
from frame3d.solids.tubes.bore_edges import FULL, Opening
from frame3d.solids.tubes.skin_rings import SkinRing
from frame3d.solids.tubes.tube_surfaces import Surface

FOLLOWED_MM = 5e-8
"""How closely the curves of an edge are made to follow it."""
Run = tuple[Edge, float, float]
"""An edge of a ring or a line, with the clock angles or distances along of its ends."""


class EdgeArc(Struct, frozen=True, kw_only=True):
    """A stretch of an opening's edge: number of the opening, turns, number of the surface."""

    opening: int
    low: float
    high: float
    surface: int
    start: Vertex | None = None
    end: Vertex | None = None

    def ends(self) -> tuple[Vertex, Vertex]:
        """Its vertices; SolidError where the opening's edge has no beginning yet."""
        if self.start is None or self.end is None:
            raise SolidError("the edge of a hole has no beginning")
        return self.start, self.end


class BoredEdge(Struct, frozen=True, kw_only=True):
    """An edge of an opening, and its curve on the bore's wall."""

    edge: Edge
    curve: Geom2d_Curve


class Half(Struct, frozen=True, kw_only=True):
    """Half an edge as a circuit runs it.

    Parameters
    ----------
    use : EdgeUse
    way : (n, 2) float
        Clock angles and distances along, from its start to its end.
    start, end : tuple of int
        Vertex, and 1 where that lies on the line at the end of the sector.
    """

    use: EdgeUse
    way: np.ndarray
    start: tuple[int, int]
    end: tuple[int, int]


class Sector:
    """A surface between two lines, unrolled.

    Parameters
    ----------
    surface : Surface
    low, wide : float
        Clock angle of its first line, and how far it is to the second.
    posts : set of int
        The identities of the vertices on its lines.
    """

    def __init__(self, surface: Surface, low: float, wide: float, posts: set[int]) -> None:
        self._surface, self._low, self._wide, self._posts = surface, low, wide, posts

    def of_rings(
        self, first: tuple[SkinRing, Sequence[Run]], last: tuple[SkinRing, Sequence[Run]]
    ) -> Iterator[Half]:
        """The halves of its two rings."""
        for forward, (ring, runs) in ((True, first), (False, last)):
            for edge, low, high in runs:
                back = self._back((low + high) / 2)
                if back is None:
                    continue
                clock = np.array([low, high]) - back
                curve = self._ring_curve(ring, edge, back)
                yield self._half(edge, forward, curve, ring.along_on(self._surface, clock))

    def of_sides(self, first: Iterable[Run], last: Iterable[Run]) -> Iterator[Half]:
        """The halves of its two lines."""
        for forward, runs, clock in (
            (False, first, self._low),
            (True, last, self._low + self._wide),
        ):
            for edge, low, high in runs:
                way = np.array([(clock, low), (clock, high)])
                ends = self._parameters(way)
                yield self._half(edge, forward, straight(edge.low, edge.high, *ends), way)

    def of_arc(
        self,
        arc: EdgeArc,
        sampled: np.ndarray,
        openings: Sequence[Opening],
        bored: list[list[BoredEdge]],
    ) -> Iterator[Half]:
        """The half of an arc, if it lies here; its other half is added to ``bored``.

        ``sampled`` are clock angles and distances along it, (n, 2).
        """
        surface, opening = self._surface, openings[arc.opening]
        back = self._back(float(sampled[len(sampled) // 2, 0]))
        if back is None:
            return

        def exact(turn: np.ndarray) -> np.ndarray:
            clock, along, height = opening.edge(surface, turn)
            places = surface.points(clock, along)
            parameters = surface.parameters(clock - back, along, self._low)
            return np.column_stack([places, parameters, turn, height])

        scales = np.array([1.0, 1.0, 1.0, *surface.scales(), opening.radius_mm, 1.0])
        found = fit(exact, arc.low, arc.high, scales, FOLLOWED_MM)
        curve = found.curve(slice(0, 3))
        edge = Edge(curve, arc.low, arc.high, *arc.ends(), 3 * found.error_mm)
        bored[arc.opening].append(BoredEdge(edge=edge, curve=found.flat_curve(slice(5, 7))))
        way = sampled - (back, 0.0)
        yield self._half(edge, False, found.flat_curve(slice(3, 5)), way)

    def _back(self, clock: float) -> float | None:
        """By how many full turns, rad, to go back from a clock angle to reach the sector."""
        back = math.floor((clock - self._low) / FULL) * FULL
        return back if clock - back < self._low + self._wide else None

    def _half(self, edge: Edge, forward: bool, curve: Geom2d_Curve, way: np.ndarray) -> Half:
        start, end = self._key(edge.start, way[0, 0]), self._key(edge.end, way[-1, 0])
        if not forward:
            way, start, end = way[::-1], end, start
        use = EdgeUse(edge=edge, forward=forward, curve=curve)
        return Half(use=use, way=way, start=start, end=end)

    def _key(self, vertex: Vertex, clock: float) -> tuple[int, int]:
        side = round((clock - self._low) / self._wide) if id(vertex) in self._posts else 0
        return id(vertex), side

    def _parameters(self, way: np.ndarray) -> np.ndarray:
        return self._surface.parameters(way[:, 0], way[:, 1], self._low)

    def _ring_curve(self, ring: SkinRing, edge: Edge, back: float) -> Geom2d_Curve:
        surface = self._surface
        if surface.is_even and (ring.offset_mm == 0 or ring.owner is surface):
            clock = np.array([edge.low, edge.high]) - back
            ends = self._parameters(ring.along_on(surface, clock))
            return straight(edge.low, edge.high, *ends)

        def exact(clock: np.ndarray) -> np.ndarray:
            return self._parameters(ring.along_on(surface, clock - back))

        found = fit(exact, edge.low, edge.high, np.array(surface.scales()), FOLLOWED_MM)
        return found.flat_curve(slice(0, 2))


def face_circuits(halves: Sequence[Half]) -> list[list[list[EdgeUse]]]:
    """For each face that the halves bound: its outer circuit, then those round its openings.

    Raises
    ------
    SolidError
        If they do not close.
    """
    circuits = _closed(halves)
    ways = [np.concatenate([half.way[:-1] for half in circuit]) for circuit in circuits]
    outer = [k for k, way in enumerate(ways) if _area(way) > 0]
    inside: dict[int, list[int]] = {k: [k] for k in outer}
    for k, way in enumerate(ways):
        if k not in inside:
            around = [o for o in outer if _holds(ways[o], way[0])]
            if not around:
                raise SolidError("the edges of its holes do not close")
            inside[min(around, key=lambda o: _area(ways[o]))].append(k)
    return [[[half.use for half in circuits[k]] for k in group] for group in inside.values()]


def _closed(halves: Sequence[Half]) -> list[list[Half]]:
    after = {half.start: half for half in halves}
    if len(after) != len(halves):
        raise SolidError("two of its holes touch each other")
    found, left = [], dict(after)
    for half in halves:
        circuit = []
        here: Half | None = half
        while here is not None and left.pop(here.start, None) is not None:
            circuit.append(here)
            here = after.get(here.end)
        if circuit:
            if circuit[-1].end != circuit[0].start:
                raise SolidError("the edges of its holes do not close")
            found.append(circuit)
    return found


def _area(way: np.ndarray) -> float:
    x, y = way.T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2


def _holds(way: np.ndarray, place: np.ndarray) -> bool:
    """Whether a place lies inside a closed circuit: a ray from it crosses that an odd time."""
    (x, y), (u, v) = place, way.T
    u2, v2 = np.roll(u, -1), np.roll(v, -1)
    crossed = (v > y) != (v2 > y)
    at = u + (y - v) / np.where(crossed, v2 - v, 1.0) * (u2 - u)
    return bool(np.sum(crossed & (at > x)) % 2)
