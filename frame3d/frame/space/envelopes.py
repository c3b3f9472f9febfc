"""What a member takes up, as a few simple convex bodies, none of them too small.

Bent tubes become short rods thick enough to hold the bend; boards are whole, with no
regard to their end cuts; bolts, nuts, washers and screws are left out: whoever asks
keeps a margin that is larger than a bolt's head.

Glossary
--------
rod : a round bar between two points, its ends square.
block : the convex hull of some points.
"""

from __future__ import annotations

import functools
import math

from msgspec import Struct

from frame3d.frame.model.bodies import ExtrudedOutline, TurnedProfile
from frame3d.frame.model.end_forms import Flat, flat_width_mm, overhang_mm
from frame3d.frame.model.fittings import GroundAnchor
from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import Board, ClampHalf, Part, Plate, Tube
from frame3d.geometry.paths import Arc, advance
from frame3d.geometry.placement import Placement, Vector, add, dot, unit

_SAGITTA_MM = 0.25
"""How far a bend may leave the rods that stand for it, mm."""
_AROUND = 16


class Rod(Struct, frozen=True):
    """A round bar between two points, mm."""

    start: Vector
    end: Vector
    radius_mm: float

    def placed(self, placement: Placement) -> Rod:
        """The same, from a part's own axes into the frame's."""
        return Rod(placement.point(self.start), placement.point(self.end), self.radius_mm)

    def reach(self, direction: Vector) -> float:
        """How far it reaches in a direction, mm from the origin; ``direction`` is a unit vector."""
        along = unit(add(self.end, self.start, -1.0))
        square = math.sqrt(max(0.0, 1.0 - dot(along, direction) ** 2))
        ends = max(dot(self.start, direction), dot(self.end, direction))
        return ends + self.radius_mm * square

    def points(self) -> list[Vector]:
        """Points whose hull holds it."""
        along = unit(add(self.end, self.start, -1.0))
        helper = (1.0, 0.0, 0.0) if abs(along[0]) < 0.7 else (0.0, 1.0, 0.0)
        frame = Placement.of(origin=self.start, x=along, y=helper)
        reach = self.radius_mm / math.cos(math.pi / _AROUND)
        ring = [
            add(
                add((0.0, 0.0, 0.0), frame.y, reach * math.cos(2 * math.pi * k / _AROUND)),
                frame.z, reach * math.sin(2 * math.pi * k / _AROUND),
            )
            for k in range(_AROUND)
        ]  # fmt: skip
        return [add(end, step) for end in (self.start, self.end) for step in ring]


class Block(Struct, frozen=True):
    """The convex hull of corners, mm."""

    corners: tuple[Vector, ...]

    def placed(self, placement: Placement) -> Block:
        """The same, from a part's own axes into the frame's."""
        return Block(tuple(placement.point(corner) for corner in self.corners))

    def reach(self, direction: Vector) -> float:
        """How far it reaches in a direction, mm from the origin; ``direction`` is a unit vector."""
        return max(dot(corner, direction) for corner in self.corners)

    def points(self) -> list[Vector]:
        """Points whose hull holds it."""
        return list(self.corners)


Body = Rod | Block


def bodies_of(member: Member) -> tuple[Body, ...]:
    """What the member takes up, in the frame's axes."""
    return tuple(body.placed(member.placement) for body in part_bodies(member.part))


def reach_of(member: Member, direction: Vector) -> float | None:
    """How far a member reaches in a direction, mm from the frame's origin; None for no bodies.

    ``direction`` is a unit vector in the frame's axes. It is turned into the part's own axes,
    so that no body needs to be placed.
    """
    place = member.placement
    own = (dot(place.x, direction), dot(place.y, direction), dot(place.z, direction))
    reach = max((body.reach(own) for body in part_bodies(member.part)), default=None)
    return None if reach is None else dot(place.origin, direction) + reach


@functools.lru_cache(maxsize=512)  # parts are values and never change
def part_bodies(part: Part) -> tuple[Body, ...]:
    """What a part takes up, in its own axes; nothing for bolts, nuts, washers and screws."""
    match part:
        case Tube():
            return _of_tube(part)
        case Board():
            size = (part.length_mm, part.section.depth_mm, part.section.thickness_mm)
            return (_box((0.0, 0.0, 0.0), size),)
        case Plate():
            levels = (0.0, part.thickness_mm)
            return (Block(tuple((x, y, z) for x, y in part.outline for z in levels)),)
        case ClampHalf():
            return _of_clamp(part)
        case GroundAnchor():
            return _of_anchor(part)
    return ()


def _box(low: Vector, high: Vector) -> Block:
    return Block(
        tuple(
            (x, y, z) for x in (low[0], high[0]) for y in (low[1], high[1])
            for z in (low[2], high[2])
        )
    )  # fmt: skip


def _of_anchor(anchor: GroundAnchor) -> tuple[Body, ...]:
    """The lug, and a rod for each of what is round."""
    found: list[Body] = []
    for body in anchor.bodies:
        match body:
            case ExtrudedOutline():
                levels = (body.low_mm, body.high_mm)
                found.append(Block(tuple((x, y, z) for x, y in body.outline for z in levels)))
            case TurnedProfile():
                zs = [z for _, z, *_ in body.profile]
                radius = max(r for r, *_ in body.profile)
                found.append(Rod((0.0, 0.0, min(zs)), (0.0, 0.0, max(zs)), radius))
    return tuple(found)


def _of_tube(tube: Tube) -> tuple[Body, ...]:
    radius = tube.section.od_mm / 2
    bodies: list[Body] = []
    for (_, start), segment in zip(tube.axis.starts, tube.axis.segments, strict=True):
        count, more = 1, 0.0
        if isinstance(segment, Arc):
            share = min(1.0, _SAGITTA_MM / segment.radius_mm)
            count = math.ceil(abs(segment.angle_rad) / (2 * math.acos(1 - share)))
            more = segment.radius_mm * (1 - math.cos(segment.angle_rad / count / 2))
        stops = [advance(start, segment, segment.length_mm * k / count) for k in range(count + 1)]
        bodies += [
            Rod((a.x_mm, a.y_mm, 0.0), (b.x_mm, b.y_mm, 0.0), radius + more)
            for a, b in zip(stops, stops[1:], strict=False)
        ]
    for end, at, back in ((tube.start, 0.0, 1.0), (tube.end, tube.length_mm, -1.0)):
        if isinstance(end, Flat):
            bodies.append(_flat(tube, end, at, back))
    return tuple(bodies)


def _flat(tube: Tube, flat: Flat, at_mm: float, back: float) -> Block:
    """The flat of a tube's end, with the transition to the round; as long as its longer edge."""
    station = tube.axis.at(at_mm)
    (tx, ty), (nx, ny) = station.tangent, station.normal
    square = add((0.0, 0.0, math.sin(flat.clock_rad)), (nx, ny, 0.0), math.cos(flat.clock_rad))
    wide = add((0.0, 0.0, -math.cos(flat.clock_rad)), (nx, ny, 0.0), math.sin(flat.clock_rad))
    origin = (station.x_mm, station.y_mm, 0.0)
    half_width, half_thick = flat_width_mm(tube.section) / 2, tube.section.wall_mm
    corners = []
    over = overhang_mm(tube.section, flat)
    for along in (-over, flat.length_mm + flat.transition_mm):
        middle = add(origin, (tx, ty, 0.0), back * along)
        for a in (-half_width, half_width):
            for b in (-half_thick, half_thick):
                corners.append(add(add(middle, wide, a), square, b))
    return Block(tuple(corners))


def _of_clamp(clamp: ClampHalf) -> tuple[Body, ...]:
    half, outer = clamp.width_mm / 2, clamp.tube_od_mm / 2 + clamp.band_mm
    thick = clamp.gap_mm / 2 + clamp.band_mm
    return (
        Rod((-half, 0.0, 0.0), (half, 0.0, 0.0), outer),
        Rod((0.0, 0.0, 0.0), (0.0, 0.0, clamp.face_mm), clamp.boss_diameter_mm / 2),
        _box((-half, 0.0, -thick), (half, outer + clamp.ear_mm, thick)),
    )
