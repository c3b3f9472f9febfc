"""What each piece of hardware holds: found from where the members are.

A bolt holds what it goes through, nuts and washers hold with their bolt, a clamp half
holds its tube and that of its partner, a screw holds what its shank lies in.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from msgspec import Struct

from frame3d.frame.joining.crossings import passages
from frame3d.frame.measure.outer_points import ends_of
from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.parts import Bolt, ClampHalf, Part, Screw, Tube
from frame3d.geometry.curves import Curves, curves_of, nearest_on
from frame3d.guide.steps.phases import made_members

__all__ = ["Bodies", "Holding", "held_by"]

_Held = dict[int, tuple[Member, ...]]


class Holding(Struct, frozen=True, kw_only=True):
    """What hardware holds.

    Parameters
    ----------
    held : dict
        Identity of a piece of hardware to the made members that it holds.
    in_clamps : frozenset of int
        Identities of the bolts, nuts and washers that draw a clamp together and no more.
    """

    held: dict[int, tuple[Member, ...]]
    in_clamps: frozenset[int]


_ON_AXIS_MM = 1.0
_STEP_MM = 1.0
"""Between places that are looked at along a shank: less than the thinnest plate."""
_SKIN_MM = 1.5
"""A screw's tip may end on a surface: it is in the part when this far inside of its outline."""


class Bodies:
    """Made members with boxes round them, to find which one a point lies in."""

    def __init__(self, members: tuple[Member, ...]) -> None:
        self.members = members
        self._curves: dict[int, Curves] = {}
        boxes = [self._box(member) for member in members]
        self._low = np.array([low for low, _ in boxes]).reshape(-1, 3)
        self._high = np.array([high for _, high in boxes]).reshape(-1, 3)

    def holding(self, points: np.ndarray) -> tuple[Member, ...]:
        """The members in which one of ``points``, (n, 3) mm, lies."""
        return tuple(m for m in self.near(points) if self._contains(m, points))

    def tubes_about(self, point: np.ndarray) -> tuple[Member, ...]:
        """The tubes whose axis goes through ``point``, (3,) mm."""
        return tuple(
            member
            for member in self.near(point[None])
            if isinstance(member.part, Tube)
            and self._off_axis(with_part(member, Tube), point[None])[0] < _ON_AXIS_MM
        )

    def near(self, points: np.ndarray) -> Iterable[Member]:
        """The members whose boxes meet the box round ``points``, (n, 3) mm."""
        low, high = points.min(axis=0), points.max(axis=0)
        near = np.all((self._low <= high) & (low <= self._high), axis=1)
        return (self.members[index] for index in np.flatnonzero(near))

    def _box(self, member: Member) -> tuple[np.ndarray, np.ndarray]:
        part, slack = member.part, 0.0
        if isinstance(part, Tube):
            own = self._axis(part)
            shares = np.linspace(0.0, 1.0, 17)
            ends = np.repeat(np.arange(len(own)), len(shares))
            points = own.take(ends).at(np.tile(shares, len(own)) * own.length[ends])
            # The sagitta between two of the points: the length of a chord squared over 8 R.
            slack = part.section.od_mm / 2
            slack += float(np.max((own.length / 16) ** 2 * np.abs(own.curvature) / 8))
        else:
            points = _corners(part)
        rotation, origin = _matrix(member)
        placed = points @ rotation + origin
        return placed.min(axis=0) - slack, placed.max(axis=0) + slack

    def _axis(self, tube: Tube) -> Curves:
        if id(tube) not in self._curves:
            self._curves[id(tube)] = curves_of(tube.axis)
        return self._curves[id(tube)]

    def _off_axis(self, member: Member[Tube], points: np.ndarray) -> np.ndarray:
        rotation, origin = _matrix(member)
        far, _ = nearest_on(self._axis(member.part), (points - origin) @ rotation.T)
        return far

    def _contains(self, member: Member, points: np.ndarray) -> bool:
        part = member.part
        if isinstance(part, Tube):
            off = self._off_axis(with_part(member, Tube), points)
            return bool((off < part.section.od_mm / 2 - _SKIN_MM).any())
        rotation, origin = _matrix(member)
        own = (points - origin) @ rotation.T
        corners = _corners(part)
        low, high = corners.min(axis=0), corners.max(axis=0)
        skin = min(_SKIN_MM, float((high - low).min()) / 4)
        return bool(((own > low + skin) & (own < high - skin)).all(axis=1).any())


def _corners(part: Part) -> np.ndarray:
    return np.array([end for body in part.bodies for end in ends_of(body)])


def held_by(frame: Frame) -> Holding:
    """What every piece of hardware of ``frame`` holds; empty for what holds nothing."""
    bodies = Bodies(made_members(frame))
    found: _Held = {}
    in_clamps: set[int] = set()
    clamps = list(frame.of_kind(ClampHalf))
    for clamp, held in _gripped(clamps, bodies):
        found[id(clamp)] = held
    for passage in passages(frame):
        held = _once(
            (
                *(
                    other
                    for crossing in passage.crossings
                    for other in found.get(id(crossing.member), (crossing.member,))
                ),
                # Holes from edge to edge of a board, and those in flattened ends.
                *bodies.holding(_shank(with_part(passage.bolt, Bolt))),
            )
        )
        clamped = all(isinstance(c.member.part, ClampHalf) for c in passage.crossings)
        for member in (passage.bolt, *passage.fittings):
            found[id(member)] = held
            if clamped and passage.crossings:
                in_clamps.add(id(member))
    for screw in frame.of_kind(Screw):
        found[id(screw)] = bodies.holding(_shank(screw))
    return Holding(held=found, in_clamps=frozenset(in_clamps))


def _gripped(
    clamps: list[Member[ClampHalf]], bodies: Bodies
) -> Iterable[tuple[Member, tuple[Member, ...]]]:
    """Every clamp half with its tube and that of the half on the same rivet."""
    rivets: dict[tuple[int, int, int], list[Member[ClampHalf]]] = {}
    for clamp in clamps:
        x, y, z = clamp.placement.point((0.0, 0.0, clamp.part.face_mm))
        rivets.setdefault((round(x), round(y), round(z)), []).append(clamp)
    # Rounding can put two halves of one rivet into neighbouring cells.
    for place, halves in rivets.items():
        partners = [
            half
            for i in (-1, 0, 1)
            for j in (-1, 0, 1)
            for k in (-1, 0, 1)
            for half in rivets.get((place[0] + i, place[1] + j, place[2] + k), ())
        ]
        for clamp in halves:
            yield (
                clamp,
                _once(
                    tube
                    for half in (clamp, *partners)
                    for tube in (
                        *bodies.tubes_about(np.array(half.placement.origin)),
                        *bodies.holding(_before_boss(half)),
                    )
                ),
            )


def _once(members: Iterable[Member]) -> tuple[Member, ...]:
    # By identity: comparing two members compares whole tubes.
    return tuple({id(member): member for member in members}.values())


def _shank(fastener: Member[Bolt] | Member[Screw]) -> np.ndarray:
    """Places along the shank of a bolt or a screw, (n, 3) mm."""
    way, start = np.array(fastener.placement.z), np.array(fastener.placement.origin)
    along = np.arange(_STEP_MM / 2, fastener.part.length_mm, _STEP_MM)
    places: np.ndarray = start + along[:, None] * way
    return places


def _before_boss(half: Member[ClampHalf]) -> np.ndarray:
    """Where a plate lies that is welded to the boss of a clamp half, (n, 3) mm."""
    return np.array(
        [half.placement.point((0.0, 0.0, half.part.face_mm + d)) for d in (1.0, 2.0, 3.0)]
    )


def _matrix(member: Member) -> tuple[np.ndarray, np.ndarray]:
    place = member.placement
    return np.array([place.x, place.y, place.z]), np.array(place.origin)
