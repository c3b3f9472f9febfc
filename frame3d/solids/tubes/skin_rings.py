"""The rings between the surfaces of a tube, where openings may lie across them.

Where the axis goes from one bend to another the two surfaces touch each other so closely that
the ring between them may lie a little to one side: a twentieth of a millimetre off, it misses the
second surface by less than a ten-thousandth. So a ring that would all but touch the edge of
an opening gives way.
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from frame3d.errors import SolidError
from frame3d.solids.kernel.brep import Vertex
from frame3d.solids.tubes.bore_edges import FULL, Opening, meet, root
from frame3d.solids.tubes.tube_surfaces import AxisStation, Cylinder, Surface, Torus

_CLEAR_MM = 0.05
"""How near a ring may come to where an opening's edge would touch it."""
_STEP_MM, _MOST_MM = 0.0137, 0.15
"""How far a ring gives way."""
_SHARE = 0.2
"""The most of a surface's length that its ring may give way by."""
_TURNS = np.linspace(0.0, FULL, 65)[:-1] + 0.0123


class RingCrossing(Struct, frozen=True, kw_only=True):
    """Where the edge of an opening crosses a ring: the opening's number, turn and clock angle."""

    opening: int
    turn: float
    clock: float


class SkinRing:
    """The ring before, after or between surfaces.

    Parameters
    ----------
    before, after : Surface or None
        One of them at least.
    openings : list of Opening
    """

    def __init__(
        self, before: Surface | None, after: Surface | None, openings: list[Opening]
    ) -> None:
        self.before, self.after = before, after
        owner = before or after
        if owner is None:
            raise ValueError("a ring has a surface before it or after it")
        self.owner, self._along = owner, before.length_mm if before else 0.0
        self.at_mm = self.owner.start_mm + self._along
        self.offset_mm = 0.0
        near = self._near(openings)
        self._give_way([extreme for _, pair in near for extreme in pair])
        self.frame: AxisStation = self.owner.ring_at(self._along)
        self.radius_mm = float(
            np.linalg.norm(
                self.owner.points(np.zeros(1), np.array([self._along]))[0] - self.frame.point
            )
        )
        self.crossings = [
            crossing
            for number, (high, low) in near
            if low < self.offset_mm < high
            for crossing in self._crossed(number, openings[number])
        ]
        if (before is None or after is None) and near:
            self._refuse_beyond(near, openings)
        self.vertices: list[tuple[float, Vertex]] = []

    def past(self, opening: Opening, turn: np.ndarray) -> np.ndarray:
        """How far beyond the ring an opening's edge lies on the ring's surface, mm."""
        beyond: np.ndarray = opening.edge(self.owner, turn)[1] - self._along
        return beyond

    def along_on(self, surface: Surface, clock: np.ndarray) -> np.ndarray:
        """Clock angle and distance along of the ring on one of its surfaces, (n, 2)."""
        if surface is self.owner:
            return np.column_stack([clock, np.full(len(clock), self._along)])
        if self.offset_mm == 0:
            return np.column_stack([clock, np.zeros(len(clock))])
        places, about = self.places(clock), np.full(len(clock), self.offset_mm)
        _, by_clock, by_along = surface.here(clock, about)
        out = np.cross(by_clock, by_along)
        out /= np.linalg.norm(out, axis=1, keepdims=True)
        return np.column_stack(meet(surface, places, out, clock, about)[:2])

    def off_mm(self) -> float:
        """How far the ring misses its other surface."""
        if self.after is None or self.offset_mm == 0:
            return 0.0
        clock = _TURNS
        found = self.along_on(self.after, clock)
        missed = self.after.points(found[:, 0], found[:, 1]) - self.places(clock)
        return float(np.max(np.linalg.norm(missed, axis=1)))

    def places(self, clock: np.ndarray) -> np.ndarray:
        """Points of the ring at clock angles, (n, 3)."""
        points: np.ndarray = self.frame.point + self.radius_mm * self.frame.out(clock)
        return points

    def vertex(self, clock: float) -> Vertex:
        """The vertex of the ring at a clock angle, made if there is none."""
        for there, vertex in self.vertices:
            if abs(math.remainder(there - clock, FULL)) < 1e-9:
                return vertex
        made = Vertex(self.places(np.array([clock]))[0])
        self.vertices.append((clock, made))
        return made

    def _near(self, openings: list[Opening]) -> list[tuple[int, tuple[float, float]]]:
        """The openings at the ring, and how far beyond it their edges lie at most and at least."""
        found = []
        for number, opening in enumerate(openings):
            if abs(opening.at_mm - self.at_mm) < 2 * opening.radius_mm + 1.0:
                past = self.past(opening, _TURNS)
                found.append((number, (_summit(past), -_summit(-past))))
        return found

    def _give_way(self, extremes: list[float]) -> None:
        """Move the ring along its surface until no opening all but touches it."""
        sides = [side for side in (self.before, self.after) if type(side) in (Cylinder, Torus)]
        movable = [side.length_mm for side in sides if side is not None]
        if len(movable) < 2 or not extremes or min(map(abs, extremes)) >= _CLEAR_MM:
            return
        most = min(_MOST_MM, *(_SHARE * length for length in movable))
        steps = range(int(most / _STEP_MM) + 1)
        offsets = [sign * step * _STEP_MM for step in steps for sign in (1, -1)]

        def clear(offset: float) -> float:
            return min(_CLEAR_MM, *(abs(extreme - offset) for extreme in extremes))

        self.offset_mm = max(offsets, key=clear)
        self._along += self.offset_mm

    def _crossed(self, number: int, opening: Opening) -> list[RingCrossing]:
        past = self.past(opening, _TURNS)
        top, bottom = _TURNS[int(np.argmax(past))], _TURNS[int(np.argmin(past))]
        if bottom < top:
            bottom += FULL
        found = []
        for low, high in ((top, bottom), (bottom - FULL, top)):
            turn = root(lambda at: self.past(opening, at), low, high)
            clock = float(opening.edge(self.owner, np.array([turn]))[0][0])
            found.append(RingCrossing(opening=number, turn=turn % FULL, clock=clock))
        return found

    def _refuse_beyond(
        self, near: list[tuple[int, tuple[float, float]]], openings: list[Opening]
    ) -> None:
        for number, (high, low) in near:
            if (low if self.before is None else -high) <= 0:
                hole = openings[number].hole
                raise SolidError(
                    f"a hole of {hole.diameter_mm} mm at {hole.at_mm} mm runs out of the end of "
                    "what is round of the tube; drill it farther in"
                )


def _summit(values: np.ndarray) -> float:
    """The highest value of a smooth closed curve between its samples, by a parabola."""
    top = int(np.argmax(values))
    before, here, after = (values[(top + k) % len(values)] for k in (-1, 0, 1))
    bend = 2 * here - before - after
    return float(here + (after - before) ** 2 / (8 * bend)) if bend > 0 else float(here)
