"""The axes of tubes in the frame: points on them, and where on them something is."""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np
from msgspec import Struct

from frame3d.frame.model.end_forms import Swage
from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import Tube
from frame3d.geometry.paths import Arc
from frame3d.loads.solver.structure import Array

_ROUNDS = 30
_CLOSE_MM = 1e-7


class TubeAxis(Struct, frozen=True, kw_only=True, dict=True):
    """The axis of a tube in its place; distances along it are from its start, mm."""

    member: Member[Tube]

    @cached_property
    def length_mm(self) -> float:
        """Developed length."""
        return self.member.part.length_mm

    @cached_property
    def bends(self) -> tuple[tuple[float, float, bool], ...]:
        """Its segments: from, to, and whether it is an arc."""
        found, along = [], 0.0
        for segment in self.member.part.axis.segments:
            found.append((along, along + segment.length_mm, isinstance(segment, Arc)))
            along += segment.length_mm
        return tuple(found)

    def point(self, at_mm: float) -> Array:
        """The point there, (3,) float, mm."""
        station = self.member.part.axis.at(at_mm)
        return np.array(self.member.placement.point((station.x_mm, station.y_mm, 0.0)))

    def direction(self, at_mm: float) -> Array:
        """The direction there, (3,) float."""
        x, y = self.member.part.axis.at(at_mm).tangent
        return np.array(self.member.placement.direction((x, y, 0.0)))

    @cached_property
    def _coarse(self) -> tuple[Array, Array]:
        """Places along the axis, at most 500 mm apart, and the points there."""
        steps = np.linspace(0.0, self.length_mm, max(3, math.ceil(self.length_mm / 500) + 1))
        return steps, np.array([self.point(float(at)) for at in steps])

    def nearest(self, point: Array, square_to: Array | None = None) -> float:
        """Where the axis is nearest to a point, or to a line through it, mm along it.

        Parameters
        ----------
        point : (3,) float, mm
        square_to : (3,) float or None
            Unit direction of the line; None for the point alone.
        """

        def away(at: float) -> Array:
            off = point - self.point(at)
            return off if square_to is None else off - (off @ square_to) * square_to

        steps, points = self._coarse
        off = point - points
        if square_to is not None:
            off = off - (off @ square_to)[:, None] * square_to
        at = float(steps[int(np.einsum("ij,ij->i", off, off).argmin())])
        for _ in range(_ROUNDS):
            along = self.direction(at)
            if square_to is not None:
                along = along - (along @ square_to) * square_to
            size = float(along @ along)
            if size < 1e-12:
                break
            step = float(away(at) @ along) / size
            after = min(max(at + step, 0.0), self.length_mm)
            if abs(after - at) < _CLOSE_MM:
                return after
            at = after
        return at

    def size_at(self, at_mm: float) -> tuple[float, float]:
        """Outside diameter and wall of the tube there, mm: less in a swage."""
        tube = self.member.part
        for end, away in ((tube.start, at_mm), (tube.end, self.length_mm - at_mm)):
            if isinstance(end, Swage) and away < end.length_mm:
                return end.od_mm, tube.section.wall_mm
        return tube.section.od_mm, tube.section.wall_mm
