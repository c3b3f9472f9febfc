"""How high a hoop is at its middle: the profile it is bent to, and the steel as it is made.

Glossary
--------
as made : with the ridge joint or the sleeves that sit there. A gothic profile comes to a point
    where its halves would meet; its steel is rounded off by the ridge sleeve, or cut short
    between plates.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec import Struct

from frame3d.frame.model.cached import cached_per_frame
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Plate, Tube
from frame3d.frame.model.roles import Role
from frame3d.frame.space.inside import Inside
from frame3d.geometry.paths import Arc, Segment, Station, advance

HOOP_ROLES = (Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT)
"""What a hoop is made of."""
_SAME_ANGLE = 1e-9
Point = tuple[float, float]


class Crown(Struct, frozen=True, kw_only=True):
    """Heights of a hoop at its middle, from the ground, mm.

    Parameters
    ----------
    axis_mm : float
        Of the profile's centreline: the ridge height of the design.
    clear_mm : float
        Under the lowest steel at the centreline of the tunnel, as made.
    over_all_mm : float
        Of the highest steel, as made.
    """

    axis_mm: float
    clear_mm: float
    over_all_mm: float


class _Arc(Struct, frozen=True):
    """An arc about a centre, anticlockwise between two angles, in the plane of the hoop."""

    centre: Point
    radius: float
    start_rad: float
    turn_rad: float

    def holds(self, angle_rad: float) -> bool:
        off = (angle_rad - self.start_rad + _SAME_ANGLE) % (2 * math.pi)
        return off <= self.turn_rad + 2 * _SAME_ANGLE

    def on_centreline(self) -> Iterator[float]:
        u, v = self.centre
        if abs(u) <= self.radius:
            rise = math.sqrt(self.radius**2 - u**2)
            for side in (rise, -rise):
                if self.holds(math.atan2(side, -u)):
                    yield v + side

    def top(self) -> float:
        if self.holds(math.pi / 2):
            return self.centre[1] + self.radius
        ends = (self.start_rad, self.start_rad + self.turn_rad)
        return self.centre[1] + self.radius * max(math.sin(angle) for angle in ends)


class _Line(Struct, frozen=True):
    """A straight edge in the plane of the hoop."""

    start: Point
    end: Point

    def on_centreline(self) -> Iterator[float]:
        (u0, v0), (u1, v1) = self.start, self.end
        if u0 * u1 <= 1e-12 and abs(u1 - u0) > 1e-9:
            yield v0 - u0 * (v1 - v0) / (u1 - u0)

    def top(self) -> float:
        return max(self.start[1], self.end[1])


@cached_per_frame
def crown_of(frame: Frame) -> Crown:
    """The heights of the hoops of ``frame`` at their middle; all hoops are alike there."""
    arch = frame.arch
    edges = [
        edge for member in frame.of(*HOOP_ROLES) if member.spot.hoop == 1 for edge in _edges(member)
    ]
    middle = [v for edge in edges for v in edge.on_centreline() if v > arch.ridge_height_mm / 2]
    # Plates leave a gap on the centreline, and can end a hair above the tubes beside it: the
    # profile is what is free there.
    return Crown(
        axis_mm=arch.ridge_height_mm,
        clear_mm=min([*middle, Inside(arch).height_at(0.0, arch.tube_od_mm / 2)]),
        over_all_mm=max(edge.top() for edge in edges),
    )


def _edges(member: Member) -> Iterator[_Arc | _Line]:
    """The outline of a tube or plate as seen along the tunnel."""
    part = member.part
    if isinstance(part, Plate):
        corners = [_flat(member, x, y) for x, y in part.outline]
        for start, end in zip(corners, (*corners[1:], corners[0]), strict=True):
            yield _Line(start, end)
    elif isinstance(part, Tube):
        half = part.section.od_mm / 2
        for (_, station), segment in zip(part.axis.starts, part.axis.segments, strict=True):
            for offset in (half, -half):
                yield _beside(member, station, segment, offset)
        for station in (part.axis.at(0.0), part.axis.end):
            yield _Line(*(_flat(member, *_off(station, side)) for side in (half, -half)))


def _beside(member: Member, station: Station, segment: Segment, offset: float) -> _Arc | _Line:
    """The edge that runs ``offset`` to the left of a segment of the axis."""
    after = advance(station, segment, segment.length_mm)
    start, end = (_flat(member, *_off(place, offset)) for place in (station, after))
    if not isinstance(segment, Arc):
        return _Line(start, end)
    left = math.copysign(segment.radius_mm, segment.angle_rad)
    centre = _flat(member, *_off(station, left))
    # Seen from behind, a bend to the left is one to the right.
    if (segment.angle_rad > 0) is not (member.placement.z[1] < 0):
        start, end = end, start
    angle = math.atan2(start[1] - centre[1], start[0] - centre[0])
    return _Arc(centre, abs(left - offset), angle, abs(segment.angle_rad))


def _off(station: Station, offset: float) -> Point:
    normal = station.normal
    return station.x_mm + offset * normal[0], station.y_mm + offset * normal[1]


def _flat(member: Member, x: float, y: float) -> Point:
    across, _, up = member.placement.point((x, y, 0.0))
    return across, up
