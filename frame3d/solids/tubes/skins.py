"""The outer or the inner surface of a tube as faces, with its openings cut out by hand.

Every edge is known before a face is made. Rings are divided where openings lie across them; each
surface is divided along a line that keeps clear of openings, or else crosses them steeply; the
edges of openings are divided where rings and lines cross them. What remains of rings and lines
outside the openings is put together with the edges of openings, end to start, to the circuits
of each face.

Glossary
--------
cut : a turn at which the edge of an opening is divided, and the vertex there.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from OCP.TopoDS import TopoDS_Face

from frame3d.errors import SolidError
from frame3d.solids.kernel.brep import Edge, Vertex, face
from frame3d.solids.tubes.bore_edges import FULL, Opening, root
from frame3d.solids.tubes.circuits import BoredEdge, EdgeArc, Sector, face_circuits
from frame3d.solids.tubes.skin_rings import SkinRing
from frame3d.solids.tubes.tube_surfaces import Surface

_CLOCKS = 96
_GRID = [(k + 0.37) * FULL / _CLOCKS for k in range(_CLOCKS)]
"""Where lines may lie, off every round angle."""
_CLEAR_RAD = 0.08
_SAMPLES = 33


class Skin:
    """One of the two surfaces of a tube.

    Parameters
    ----------
    surfaces : sequence of Surface
        One after the other.
    openings : list of Opening
    fixed : mapping of ring to clock angles
        Where its first (0) or last (-1) ring has vertices in any case.
    """

    def __init__(
        self,
        surfaces: Sequence[Surface],
        openings: list[Opening],
        fixed: dict[int, tuple[float, ...]],
    ) -> None:
        self.surfaces, self.openings = surfaces, openings
        pairs = zip([None, *surfaces], [*surfaces, None], strict=True)
        self.rings = [SkinRing(before, after, openings) for before, after in pairs]
        for number, clocks in fixed.items():
            for clock in clocks:
                self.rings[number].vertex(clock)
        self._cuts: list[list[tuple[float, Vertex]]] = [[] for _ in openings]
        self._first = [0.0] * len(openings)
        for ring in self.rings:
            for crossing in ring.crossings:
                self.cut(crossing.opening, crossing.turn, ring.vertex(crossing.clock))
        self._arcs = [arc for number in range(len(openings)) for arc in self.arcs(number)]
        self._samples: dict[EdgeArc, np.ndarray] = {}
        self._refuse_overlaps()
        self._lines: list[list[float]] = []
        self._posts: list[list[list[tuple[float, Vertex]]]] = []
        for number in range(len(surfaces)):
            self._lines.append(self._choose_lines(number))
            self._posts.append([self._post(number, clock) for clock in self._lines[-1]])
        self._ring_edges = [list(self._edges_of(ring)) for ring in self.rings]

    def _refuse_overlaps(self) -> None:
        """Refuse holes that run into each other on this surface."""
        for arc in self._arcs:
            mine = self.openings[arc.opening]
            places = self.surfaces[arc.surface].points(*self._sampled(arc).T)
            for its in self.openings:
                if its.hole is not mine.hole and its.covers(places).any():
                    raise SolidError(
                        f"the holes at {mine.at_mm} and {its.at_mm} mm run into each other; "
                        "drill them farther apart"
                    )

    def cut(self, opening: int, turn: float, vertex: Vertex | None = None) -> None:
        """Divide the edge of an opening."""
        if vertex is None:
            surface = self.surfaces[self._surface_at(opening, turn)]
            clock, along, _ = self.openings[opening].edge(surface, np.array([turn]))
            vertex = Vertex(surface.points(clock, along)[0])
        self._cuts[opening].append((turn % FULL, vertex))
        self._cuts[opening].sort(key=lambda cut: cut[0])

    def begin(self, opening: int, turn: float) -> None:
        """Divide the edge of an opening at ``turn``, and run it from there."""
        self.cut(opening, turn)
        self._first[opening] = turn

    def turns(self, opening: int) -> list[float]:
        """Where the edge of an opening is divided."""
        return [turn for turn, _ in self._cuts[opening]]

    def arcs(self, opening: int) -> list[EdgeArc]:
        """The arcs of an opening's edge, the whole of it where it is not divided."""
        first = self._first[opening]
        cuts: list[tuple[float, Vertex | None]] = [
            ((turn - first) % FULL + first, vertex) for turn, vertex in self._cuts[opening]
        ]
        cuts = sorted(cuts, key=lambda cut: cut[0]) or [(first, None)]
        found = []
        for (low, start), (high, end) in zip(
            cuts, [*cuts[1:], (cuts[0][0] + FULL, cuts[0][1])], strict=True
        ):
            surface = self._surface_at(opening, (low + high) / 2)
            found.append(
                EdgeArc(opening=opening, low=low, high=high, surface=surface, start=start, end=end)
            )
        return found

    def ring(self, number: int) -> list[Edge]:
        """The edges of a ring, in the order of the clock."""
        return [edge for edge, _, _ in self._ring_edges[number]]

    def _surface_at(self, opening: int, turn: float) -> int:
        """The number of the surface that an opening's edge lies on at a turn."""
        one, at = self.openings[opening], np.array([turn])
        passed = 0
        for ring in self.rings[1:-1]:
            if abs(one.at_mm - ring.at_mm) < 2 * one.radius_mm + 1.0:
                passed += bool(ring.past(one, at)[0] > 0)
            else:
                passed += one.at_mm > ring.at_mm
        return passed

    def _sampled(self, arc: EdgeArc) -> np.ndarray:
        """Clock angles and distances along an arc, (n, 2)."""
        if arc not in self._samples:
            turns = np.linspace(arc.low, arc.high, _SAMPLES)
            surface = self.surfaces[arc.surface]
            self._samples[arc] = np.column_stack(
                self.openings[arc.opening].edge(surface, turns)[:2]
            )
        return self._samples[arc]

    def _choose_lines(self, number: int) -> list[float]:
        """The clock angles of the lines that divide a surface."""
        count = self.surfaces[number].lines
        ranges = [self._sampled(arc)[:, 0] for arc in self._arcs if arc.surface == number]
        spans = [(float(np.min(clock)), float(np.max(clock))) for clock in ranges]
        special = [angle for clock in ranges for angle in (clock[0], clock[-1])]
        special += [angle for span in spans for angle in span]
        for ring in (self.rings[number], self.rings[number + 1]):
            special += [
                clock for clock, _ in ring.vertices if not any(_same(clock, g) for g in _GRID)
            ]

        special = list(dict.fromkeys(special))

        def merit(first: float) -> tuple[bool, float]:
            lines = _lines(first, count)
            clear = min(
                (abs(math.remainder(a - b, FULL)) for a in lines for b in special), default=FULL
            )
            crossed = sum(_within(line, span) for line in lines for span in spans)
            return (crossed == 0 and clear > _CLEAR_RAD, clear)

        candidates = _GRID if count == 1 else _GRID[: _CLOCKS // count]
        return _lines(max(candidates, key=merit), count)

    def _post(self, number: int, clock: float) -> list[tuple[float, Vertex]]:
        """The ends of a line and where it crosses openings: distance along, and vertex."""
        surface, found = self.surfaces[number], []
        for ring in (self.rings[number], self.rings[number + 1]):
            if not self._covered(ring.places(np.array([clock]))):
                along = float(ring.along_on(surface, np.array([clock]))[0, 1])
                found.append((along, ring.vertex(clock)))
        for arc in self._arcs:
            if arc.surface == number:
                for turn in self._crossings(arc, clock):
                    place = self.openings[arc.opening].edge(surface, np.array([turn]))
                    vertex = Vertex(surface.points(place[0], place[1])[0])
                    found.append((float(place[1][0]), vertex))
                    self.cut(arc.opening, turn, vertex)
        return sorted(found, key=lambda post: post[0])

    def _crossings(self, arc: EdgeArc, clock: float) -> Iterator[float]:
        """The turns at which an arc crosses the line at a clock angle."""
        surface, opening = self.surfaces[arc.surface], self.openings[arc.opening]
        turns = np.linspace(arc.low, arc.high, _SAMPLES)
        clocks = self._sampled(arc)[:, 0]
        about = float(np.mean(clocks))
        line = about + math.remainder(clock - about, FULL)

        def beside(turn: np.ndarray) -> np.ndarray:
            return opening.edge(surface, turn)[0] - line

        above = clocks > line
        for k in np.flatnonzero(above[1:] != above[:-1]):
            yield root(beside, float(turns[k]), float(turns[k + 1]))

    def _covered(self, place: np.ndarray) -> bool:
        """Whether a place, (1, 3), lies within an opening."""
        return any(opening.covers(place)[0] for opening in self.openings)

    def _edges_of(self, ring: SkinRing) -> Iterator[tuple[Edge, float, float]]:
        """What openings leave of a ring, with the clock angles of its ends."""
        ordered = sorted(
            ((clock % FULL, vertex) for clock, vertex in ring.vertices), key=lambda pair: pair[0]
        )
        circle, off = ring.frame.ring(ring.radius_mm), ring.off_mm()
        after = [*ordered[1:], *((clock + FULL, vertex) for clock, vertex in ordered[:1])]
        for (low, start), (high, end) in zip(ordered, after, strict=True):
            if not self._covered(ring.places(np.array([(low + high) / 2]))):
                yield Edge(circle, low, high, start, end, 1.1 * off), low, high

    def faces(self, *, turned: bool) -> tuple[list[TopoDS_Face], list[list[BoredEdge]]]:
        """The faces, and the edges of each opening in the order of their turn.

        Call it once every opening's edge has its beginning.
        """
        made: list[TopoDS_Face] = []
        bored: list[list[BoredEdge]] = [[] for _ in self.openings]
        all_arcs = [arc for k in range(len(self.openings)) for arc in self.arcs(k)]
        for number, surface in enumerate(self.surfaces):
            lines = self._lines[number]
            edges = [self._line_edges(number, k) for k in range(len(lines))]
            arcs = [arc for arc in all_arcs if arc.surface == number]
            for k, low in enumerate(lines):
                after = (k + 1) % len(lines)
                posts = {id(v) for post in (k, after) for _, v in self._posts[number][post]}
                sector = Sector(surface, low, FULL / len(lines), posts)
                rings = ((self.rings[number + n], self._ring_edges[number + n]) for n in (0, 1))
                pieces = [
                    *sector.of_rings(*rings),
                    *sector.of_sides(edges[k], edges[after]),
                    *(
                        piece
                        for arc in arcs
                        for piece in sector.of_arc(arc, self._sampled(arc), self.openings, bored)
                    ),
                ]
                for circuits in face_circuits(pieces):
                    made.append(face(surface.kernel(low), circuits, turned=turned))
        for rim in bored:
            rim.sort(key=lambda one: one.edge.low)
        return made, bored

    def _line_edges(self, number: int, k: int) -> list[tuple[Edge, float, float]]:
        """What openings leave of a line, with the distances along of its ends."""
        surface, clock, found = self.surfaces[number], self._lines[number][k], []
        curve, pace = surface.line(clock)
        posts = self._posts[number][k]
        for (low, start), (high, end) in zip(posts, posts[1:], strict=False):
            middle = surface.points(np.array([clock]), np.array([(low + high) / 2]))
            if not self._covered(middle):
                found.append((Edge(curve, low * pace, high * pace, start, end), low, high))
        return found


def _lines(first: float, count: int) -> list[float]:
    return [first + k * FULL / count for k in range(count)]


def _same(one: float, other: float) -> bool:
    return abs(math.remainder(one - other, FULL)) < 1e-9


def _within(clock: float, span: tuple[float, float]) -> bool:
    middle, half = (span[0] + span[1]) / 2, (span[1] - span[0]) / 2
    return abs(math.remainder(clock - middle, FULL)) < half
