"""Members as they are seen from the end: what hangs over or stands in the way along the tunnel.

Glossary
--------
shadow : a convex body seen along the tunnel, known by its support in any direction.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Hashable, Iterable

from msgspec import Struct

from frame3d.frame.model.members import Member
from frame3d.frame.space.envelopes import Block, Body, bodies_of
from frame3d.geometry.convex import Point, hull, normals

_AROUND = 64
_ROUNDS = 30
DIRECTIONS = tuple(
    (math.cos(2 * math.pi * k / _AROUND), math.sin(2 * math.pi * k / _AROUND))
    for k in range(_AROUND)
)
"""Unit vectors in which every shadow's support is known; straight up and down among them."""


class Shadow(Struct, frozen=True, kw_only=True):
    """A body of a member seen along the tunnel.

    Parameters
    ----------
    member : Member
        The first of those with the same shadow.
    body : Rod or Block
    low_x_mm, high_x_mm, bottom_mm, top_mm : float
        What it reaches.
    """

    member: Member
    body: Body
    low_x_mm: float
    high_x_mm: float
    bottom_mm: float
    top_mm: float

    @classmethod
    def of(cls, member: Member, body: Body) -> Shadow:
        """The shadow of one body of a member."""
        return cls(
            member=member,
            body=body,
            low_x_mm=-support(body, (-1.0, 0.0)),
            high_x_mm=support(body, (1.0, 0.0)),
            bottom_mm=-support(body, (0.0, -1.0)),
            top_mm=support(body, (0.0, 1.0)),
        )

    def edges(self) -> tuple[Point, ...]:
        """Unit normals of its straight edges."""
        return _edges(self.body)

    def _limits_below(self) -> list[tuple[float, Point]]:
        """The lines that bound it from below: how far it reaches in each downward direction."""
        return [(support(self.body, u), u) for u in (*DIRECTIONS, *self.edges()) if u[1] < -1e-9]

    def lowest(self, low_x_mm: float, high_x_mm: float) -> float | None:
        """Its lowest height over a strip, mm; None where it is not."""
        low, high = max(low_x_mm, self.low_x_mm), min(high_x_mm, self.high_x_mm)
        if low > high:
            return None
        limits = self._limits_below()
        # The underside of a convex body bends one way only.
        for _ in range(_ROUNDS if high - low > 1e-3 else 0):
            a, b = low + (high - low) / 3, high - (high - low) / 3
            if _height(limits, a) <= _height(limits, b):
                high = b
            else:
                low = a
        return _height(limits, (low + high) / 2)

    def span(self, z_mm: float) -> tuple[float, float] | None:
        """Its lowest and highest place across at height ``z_mm``, mm; None where it is not."""
        if not self.bottom_mm < z_mm < self.top_mm:
            return None
        low, high = self.low_x_mm, self.high_x_mm
        for u in (*DIRECTIONS, *self.edges()):
            if abs(u[0]) > 1e-9:
                at = (support(self.body, u) - z_mm * u[1]) / u[0]
                low, high = (low, min(high, at)) if u[0] > 0 else (max(low, at), high)
        return low, high


def _height(limits: list[tuple[float, Point]], x_mm: float) -> float:
    """The height of the highest of the lines at ``x_mm``, mm."""
    return max((reach - x_mm * ux) / uz for reach, (ux, uz) in limits)


def support(body: Body, direction: Point) -> float:
    """How far a body reaches in a direction square to the tunnel: unit vector across, up; mm."""
    ux, uz = direction
    if isinstance(body, Block):
        return max(x * ux + z * uz for x, _, z in body.corners)
    (ax, ay, az), (bx, by, bz) = body.start, body.end
    dx, dy, dz = bx - ax, by - ay, bz - az
    cosine = (dx * ux + dz * uz) / math.sqrt(dx * dx + dy * dy + dz * dz)
    end = max(ax * ux + az * uz, bx * ux + bz * uz)
    return end + body.radius_mm * math.sqrt(max(0.0, 1.0 - cosine * cosine))


@functools.lru_cache(maxsize=4096)  # bodies are values and never change
def _edges(body: Body) -> tuple[Point, ...]:
    if isinstance(body, Block):
        return tuple(normals(hull((x, z) for x, _, z in body.corners)))
    dx, dz = body.end[0] - body.start[0], body.end[2] - body.start[2]
    size = math.hypot(dx, dz)
    if size < 1e-9:
        return ()
    dx, dz = dx / size, dz / size
    return ((dx, dz), (-dx, -dz), (-dz, dx), (dz, -dx))


def shadows_of(members: Iterable[Member]) -> tuple[Shadow, ...]:
    """The shadows of ``members``, each once: what stands behind its like is not told again."""
    seen: set[Hashable] = set()
    found = []
    for member in members:
        place = member.placement
        key = (
            member.mark,
            *(round(v, 3) for v in (place.origin[0], place.origin[2])),
            *(round(v, 6) for v in (*place.x, *place.y)),
        )
        if key in seen:
            continue
        seen.add(key)
        found += [Shadow.of(member, body) for body in bodies_of(member)]
    return tuple(found)
