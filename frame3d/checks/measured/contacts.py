"""Contacts that are meant: what may lie in, on or through another part, and how well it does.

Glossary
--------
through : a bolt's shank in a hole of a part.
stacked : a nut or a washer on a bolt.
nested : a tube inside another over some length: a leg in a socket, a swage in the next
    tube, a tube in a sleeve.
gripped : a tube in a clamp.
driven : a screw in what it is screwed to.
"""

from __future__ import annotations

import enum
import math

import numpy as np
from msgspec import Struct

from frame3d.frame.measure.bores import Bore, bores_of, od_at_mm
from frame3d.frame.model.members import Member, with_part
from frame3d.frame.model.parts import Bolt, ClampHalf, Nut, Part, Screw, Tube, Washer
from frame3d.frame.model.roles import Role
from frame3d.geometry.curves import Curves, curves_of, nearest_on, places_on
from frame3d.geometry.placement import Vector, add, dot

FIT_MM = 0.1
"""How far off a meant contact may be before it is none (arithmetic, not workmanship)."""
_PARALLEL = math.cos(math.radians(1.5))
_STATION_MM = 25.0
_GRIP = 2 / 3
"""Share of a clamp's width that must hold the tube (common practice, no source)."""
_SLANT = math.cos(math.radians(30))
"""Of a screw to the face of a board that it goes into."""

_NESTING = {
    frozenset({Role.HOOP, Role.SOCKET}),
    frozenset({Role.HOOP, Role.SPLICE}),
    frozenset({Role.HOOP, Role.RIDGE_JOINT}),
    frozenset({Role.HOOP}),
    frozenset({Role.RAIL}),
    frozenset({Role.HIP_RAIL}),
    frozenset({Role.TIE}),
    frozenset({Role.ROLL_TUBE}),
    frozenset({Role.GIRT}),
    frozenset({Role.DOOR_HEADER}),
    frozenset({Role.DOOR_TRACK}),
}
"""Roles of tubes that may lie in each other."""


class ContactKind(enum.Enum):
    """What kind of meant contact two members have."""

    THROUGH = "through"
    STACKED = "stacked"
    NESTED = "nested"
    GRIPPED = "gripped"
    DRIVEN = "driven"


class Contact(Struct, frozen=True, kw_only=True):
    """A meant contact of two members.

    Parameters
    ----------
    kind : ContactKind
    swapped : bool
        False when the first member is the bolt, nut, clamp, screw or inner tube.
    bore : int
        Through: number of the hole in the other part. Driven through a plate or a tube: the
        same, or -1.
    offset_mm : float
        Through: of the bolt's axis from the hole's. Nested: the largest between the axes.
        Gripped: how much of the clamp's width stands beyond the end of the tube.
    allowed_mm : float
        The largest offset at which it still goes in, or holds.
    from_mm, to_mm : float
        Nested: the stretch of the inner tube, along it. Through and stacked: where along
        the bolt, from under its head, the other part begins and ends.
    outer_from_mm, outer_to_mm : float
        Nested: the stretch of the outer tube, along it, rising.
    """

    kind: ContactKind
    swapped: bool
    bore: int = -1
    offset_mm: float = 0.0
    allowed_mm: float = 0.0
    from_mm: float = 0.0
    to_mm: float = 0.0
    outer_from_mm: float = 0.0
    outer_to_mm: float = 0.0

    @property
    def fits(self) -> bool:
        """True when the inner part goes in."""
        return self.offset_mm <= self.allowed_mm + FIT_MM


class Fittings:
    """Finds meant contacts; keeps what it works out of parts, which repeat."""

    def __init__(self) -> None:
        self._bores: dict[int, tuple[Part, tuple[Bore, ...]]] = {}
        self._axes: dict[int, tuple[Tube, Curves]] = {}

    def bores(self, part: Part) -> tuple[Bore, ...]:
        """The holes of ``part``, worked out once."""
        known = self._bores.get(id(part))
        if known is None:
            known = self._bores[id(part)] = (part, bores_of(part))
        return known[1]

    def contacts(self, a: Member, b: Member) -> tuple[Contact, ...]:
        """Every meant contact of two members; none when they have no business together."""
        for one, two, swapped in ((a, b, False), (b, a, True)):
            match one.part, two.part:
                case Bolt(), Nut() | Washer():
                    return self._stacked(two, with_part(one, Bolt), not swapped)
                case Bolt(), _ if self.bores(two.part):
                    return self._through(with_part(one, Bolt), two, swapped)
                case ClampHalf(), Tube():
                    return self._gripped(with_part(one, ClampHalf), with_part(two, Tube), swapped)
                case Screw(), _ if not two.part.is_bought:
                    return self._driven(with_part(one, Screw), two, swapped)
                case Tube(), Tube() if frozenset({one.role, two.role}) in _NESTING:
                    return self._nested(with_part(one, Tube), with_part(two, Tube))
        return ()

    def _through(self, bolt: Member[Bolt], other: Member, swapped: bool) -> tuple[Contact, ...]:
        bores = self.bores(other.part)
        strange = isinstance(other.part, ClampHalf) and other.part.bolt.name != bolt.part.size.name
        if not bores or strange:
            return ()
        start, way = _axis_in(bolt, other)
        found = []
        for number, bore in enumerate(bores):
            wide, deep = bore.diameter_mm, bore.depth_mm
            along, offset = _from_line(bore.middle, start, way)
            if offset >= wide or not -deep / 2 < along < bolt.part.length_mm + deep / 2:
                continue
            if abs(dot(bore.way, way)) > _PARALLEL:
                found.append(Contact(
                    kind=ContactKind.THROUGH, swapped=swapped, bore=number, offset_mm=offset,
                    allowed_mm=(wide - bolt.part.size.diameter_mm) / 2,
                    from_mm=along - deep / 2, to_mm=along + deep / 2,
                ))  # fmt: skip
        return tuple(found)

    def _stacked(self, ring: Member, bolt: Member[Bolt], swapped: bool) -> tuple[Contact, ...]:
        start, way = _axis_in(ring, bolt)
        (bore,) = self.bores(ring.part)
        thick, hole = bore.depth_mm, bore.diameter_mm
        offset = math.hypot(start[0], start[1])
        low, high = sorted((start[2], start[2] + way[2] * thick))
        beside = high < -FIT_MM or low > bolt.part.length_mm
        if offset > hole / 2 or abs(way[2]) < _PARALLEL or beside:
            return ()
        allowed = (hole - bolt.part.size.diameter_mm) / 2
        return (
            Contact(
                kind=ContactKind.STACKED, swapped=swapped, offset_mm=offset, allowed_mm=allowed,
                from_mm=low, to_mm=high,
            ),
        )  # fmt: skip

    def _gripped(
        self, clamp: Member[ClampHalf], tube: Member[Tube], swapped: bool
    ) -> tuple[Contact, ...]:
        middle, _ = _axis_in(clamp, tube)
        axes = self._curves(tube.part)
        far, along = nearest_on(axes, np.array([middle]))
        station = tube.part.axis.at(float(along[0]))
        lying = _turned(clamp.placement.x, tube)
        straight = abs(lying[0] * station.tangent[0] + lying[1] * station.tangent[1])
        slack = abs(clamp.part.tube_od_mm - od_at_mm(tube.part, float(along[0])))
        if far[0] > FIT_MM or straight < _PARALLEL or slack > 0.3:
            return ()
        wide, end = clamp.part.width_mm, min(along[0], tube.part.length_mm - along[0])
        return (
            Contact(
                kind=ContactKind.GRIPPED, swapped=swapped,
                offset_mm=max(float(wide / 2 - end), 0.0), allowed_mm=wide * (1 - _GRIP),
                from_mm=float(along[0]), to_mm=float(along[0]),
            ),
        )  # fmt: skip

    def _driven(self, screw: Member[Screw], other: Member, swapped: bool) -> tuple[Contact, ...]:
        start, way = _axis_in(screw, other)
        if isinstance(other.part, Tube):
            tip = add(start, way, screw.part.length_mm)
            far, along = nearest_on(self._curves(other.part), np.array([start, tip]))
            aimed = _passes(self._curves(other.part), start, way)
            outer = od_at_mm(other.part, float(along[0])) / 2
            if aimed > 1.0 or far.min() > outer + 1.0:
                return ()
        elif max(map(abs, way)) < _SLANT:
            return ()
        bore = -1
        if self.bores(other.part):
            off = [_from_line(bore.middle, start, way)[1] for bore in self.bores(other.part)]
            bore = off.index(min(off)) if min(off) < FIT_MM else -1
        return (Contact(kind=ContactKind.DRIVEN, swapped=swapped, bore=bore),)

    def _nested(self, a: Member[Tube], b: Member[Tube]) -> tuple[Contact, ...]:
        found = [
            contact
            for inner, outer, swapped in ((a, b, False), (b, a, True))
            if (contact := self._inside(inner, outer, swapped)) is not None
        ]
        # Either could hold the other: the way in which it fits better is the one that is meant.
        return tuple(sorted(found, key=lambda c: c.offset_mm - c.allowed_mm)[:1])

    def _inside(self, inner: Member[Tube], outer: Member[Tube], swapped: bool) -> Contact | None:
        """``inner`` in ``outer``, if their axes run together over some length."""
        own, other = self._curves(inner.part), self._curves(outer.part)
        limits = self._limits(inner, outer)
        low, high = min(limits, default=0.0), max(limits, default=0.0)
        if high - low < 1.0:
            return None
        count = max(3, math.ceil((high - low) / _STATION_MM) + 1)
        along = np.linspace(low, high, count)
        places = places_on(own, along)
        far, outer_along = nearest_on(other, _points(places, inner, outer))
        if far.max() > outer.part.section.od_mm:
            return None
        room = outer.part.section.inside_mm / 2
        # A breadth inward of each end: just at a joint the taper begins.
        radii = [od_at_mm(inner.part, at) / 2 for at in along[1:-1].tolist()]
        return Contact(
            kind=ContactKind.NESTED, swapped=swapped, offset_mm=float(far.max()),
            allowed_mm=room - max(radii), from_mm=low, to_mm=high,
            outer_from_mm=float(outer_along.min()), outer_to_mm=float(outer_along.max()),
        )  # fmt: skip

    def _limits(self, inner: Member[Tube], outer: Member[Tube]) -> list[float]:
        """Where along ``inner`` it comes to lie in ``outer``: at an end of either, mm.

        An end that is far away says nothing: that of one leg of a narrow hoop is nearer to
        the other leg than to the crown.
        """
        own, other = self._curves(inner.part), self._curves(outer.part)
        long, wide = outer.part.length_mm, outer.part.section.od_mm
        ends = places_on(other, np.array([0.0, long]))
        far, along = nearest_on(own, _points(ends, outer, inner))
        limits = [float(at) for at, gap in zip(along, far, strict=True) if gap <= wide]
        own_ends = np.array([0.0, inner.part.length_mm])
        far, along = nearest_on(other, _points(places_on(own, own_ends), inner, outer))
        inside = (far <= wide) & (along > 0.0) & (along < long)
        return [*limits, *own_ends[inside].tolist()]

    def _curves(self, tube: Tube) -> Curves:
        known = self._axes.get(id(tube))
        if known is None:
            known = self._axes[id(tube)] = (tube, curves_of(tube.axis))
        return known[1]


def _from_line(point: Vector, start: Vector, way: Vector) -> tuple[float, float]:
    """How far along a line, and how far from it, a point lies, mm."""
    apart = add(point, start, -1.0)
    along = dot(apart, way)
    return along, math.hypot(*add(apart, way, -along))


def _passes(curves: Curves, start: Vector, way: Vector) -> float:
    """How near a line passes to the axis of a tube that it is driven into, within 150 mm."""
    steps = np.array(start) + np.linspace(0.0, 150.0, 301)[:, None] * np.array(way)
    far, _ = nearest_on(curves, steps)
    return float(far.min())


def _matrix(member: Member) -> tuple[np.ndarray, np.ndarray]:
    place = member.placement
    return np.array([place.x, place.y, place.z]), np.array(place.origin)


def _turned(vector: Vector, into: Member) -> Vector:
    """A direction of the frame in the own axes of ``into``."""
    place = into.placement
    return dot(place.x, vector), dot(place.y, vector), dot(place.z, vector)


def _points(points: np.ndarray, member: Member, into: Member) -> np.ndarray:
    """Points in the own axes of ``member`` in those of ``into``, (n, 3) mm."""
    rotation, origin = _matrix(member)
    own, zero = _matrix(into)
    moved: np.ndarray = (points @ rotation + origin - zero) @ own.T
    return moved


def _axis_in(member: Member, into: Member) -> tuple[Vector, Vector]:
    """Origin and z of ``member`` in the own axes of ``into``."""
    apart = add(member.placement.origin, into.placement.origin, -1.0)
    return _turned(apart, into), _turned(member.placement.z, into)
