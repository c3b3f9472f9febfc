"""Plates that meet at an edge: which are bent from one piece, and which are welded.

Brackets are laid out as flat plates that touch. Where the edge of one runs along the whole edge
of the other, square to it, both can be bent from one piece; where an edge stands on a face
elsewhere, or is shorter than the edge that it meets, it is welded.

Glossary
--------
leg : one of the flat plates that a bent piece has.
standing : the plate whose edge meets the face of another.
flat pattern : the bent piece before it is bent.
bend allowance : the length of the neutral line round a bend: angle times (inside radius + K-factor
    times thickness). A closed form; the K-factor is the design's.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Plate
from frame3d.frame.model.roles import Role
from frame3d.geometry.placement import Vector

PLATED = (Role.HINGE, Role.BRACKET, Role.FLOOR_GUIDE, Role.CURTAIN_GUIDE)
"""Roles of the plates that doors hang on, turn in and run in."""
_SAME_MM = 1e-3
_AXES = (0, 1, 2)
Box = tuple[Vector, Vector]
_Boxed = tuple[Member[Plate], Box]


class PlateJoint(Struct, frozen=True, kw_only=True):
    """A plate that stands with its edge on the face of another, and whether one bend makes both."""

    standing: Member[Plate]
    on: Member[Plate]
    is_bend: bool
    axis: int
    """The frame's axis along the edge."""


class BentLeg(Struct, frozen=True, kw_only=True):
    """A leg of a bent piece laid flat.

    Parameters
    ----------
    mark : str
    start_mm, end_mm : float
        Between which its flat part lies on the flat pattern.
    holes : tuple of (along, across, diameter), mm
        On the flat pattern, from its lower left corner.
    """

    mark: str
    start_mm: float
    end_mm: float
    holes: tuple[tuple[float, float, float], ...]


class BentPlate(Struct, frozen=True, kw_only=True):
    """A piece bent from one plate, with its flat pattern.

    Parameters
    ----------
    legs : tuple of BentLeg
    count : int
    width_mm, length_mm, thickness_mm : float
        Of the flat pattern.
    bends : tuple of (middle, up)
        Where the middle of each bend lies along it, mm, and whether it is bent toward the viewer.
    allowance_mm : float
        Of each bend; all turn by 90°.
    """

    legs: tuple[BentLeg, ...]
    count: int
    width_mm: float
    length_mm: float
    thickness_mm: float
    bends: tuple[tuple[float, bool], ...]
    allowance_mm: float

    @property
    def name(self) -> str:
        """The marks of its legs, ``BK1-BK2``."""
        return "-".join(leg.mark for leg in self.legs)


def plate_joints(frame: Frame) -> tuple[PlateJoint, ...]:
    """Every place where a plate of a bracket stands on another one."""
    return tuple(
        joint
        for role in PLATED
        for one, other in _near(list(frame.of_kind(Plate, role)))
        if (joint := _standing(*one, *other)) is not None
    )


def _near(members: Sequence[Member[Plate]]) -> Iterator[tuple[_Boxed, _Boxed]]:
    """Every two plates whose boxes meet along x, either way round."""
    boxed = sorted(((m, _box(m)) for m in members), key=lambda one: one[1][0])
    for place, one in enumerate(boxed):
        for other in boxed[place + 1 :]:
            if other[1][0][0] > one[1][1][0] + _SAME_MM:
                break
            yield one, other
            yield other, one


def _box(member: Member[Plate]) -> Box:
    """The lowest and the highest corner of a plate that lies along the frame's axes."""
    plate = member.part
    points = [
        member.placement.point((x, y, z))
        for x, y in plate.outline
        for z in (0.0, plate.thickness_mm)
    ]
    low, high = (tuple(pick(p[k] for p in points) for k in _AXES) for pick in (min, max))
    return (low[0], low[1], low[2]), (high[0], high[1], high[2])


def _thin(member: Member[Plate]) -> int:
    """The axis that a plate is square to."""
    z = member.placement.z
    return max(_AXES, key=lambda k: abs(z[k]))


def _standing(one: Member[Plate], box: Box, other: Member[Plate], face: Box) -> PlateJoint | None:
    """The joint where ``one`` stands with an edge on a face of ``other``."""
    across, square = _thin(one), _thin(other)
    if across == square:
        return None
    along = next(k for k in _AXES if k not in (across, square))
    (low, high), (first, last) = box, face
    if min(abs(low[square] - last[square]), abs(high[square] - first[square])) > _SAME_MM:
        return None
    on_it = all(
        low[k] < last[k] - _SAME_MM and high[k] > first[k] + _SAME_MM for k in (along, across)
    )
    if not on_it:
        return None
    at_edge = min(abs(low[across] - first[across]), abs(high[across] - last[across])) < _SAME_MM
    ends = max(abs(low[along] - first[along]), abs(high[along] - last[along])) < _SAME_MM
    is_bend = at_edge and ends and is_rectangle(one.part) and is_rectangle(other.part)
    return PlateJoint(standing=one, on=other, is_bend=is_bend, axis=along)


def is_rectangle(plate: Plate) -> bool:
    """Whether a plate has four corners, square."""
    xs, ys = ({round(corner[k], 3) for corner in plate.outline} for k in (0, 1))
    return len(plate.outline) == 4 and len(xs) == len(ys) == 2


def bent_plates(frame: Frame, joints: Sequence[PlateJoint]) -> tuple[BentPlate, ...]:
    """The pieces that are bent from one plate, each kind once with its number."""
    found: dict[tuple[str, ...], BentPlate] = {}
    counts: dict[tuple[str, ...], int] = {}
    make = frame.design.make
    for chain in _chains([joint for joint in joints if joint.is_bend]):
        marks = tuple(member.mark for member in _members(chain))
        if marks not in found:
            piece = _laid_flat(chain, make.inside_radius, make.k_factor)
            if piece is None:
                continue
            found[marks] = piece
        counts[marks] = counts.get(marks, 0) + 1
    return tuple(
        BentPlate(
            legs=one.legs, count=counts[marks], width_mm=one.width_mm, length_mm=one.length_mm,
            thickness_mm=one.thickness_mm, bends=one.bends, allowance_mm=one.allowance_mm,
        )
        for marks, one in found.items()
    )  # fmt: skip


def _members(chain: Sequence[PlateJoint]) -> list[Member[Plate]]:
    """The legs of a chain from end to end."""
    pairs = [(joint.standing, joint.on) for joint in chain]
    if len(pairs) == 1:
        return [pairs[0][1], pairs[0][0]]
    shared = next(m for m in pairs[0] if any(m is other for other in pairs[1]))
    first = next(m for m in pairs[0] if m is not shared)
    legs = [first, shared]
    for pair in pairs[1:]:
        legs.append(next(m for m in pair if m is not legs[-1]))
    return legs


def _chains(joints: Sequence[PlateJoint]) -> Iterator[list[PlateJoint]]:
    """Bends of one piece in a row; a plate that more than two others meet is no leg of any."""
    left = list(joints)
    while left:
        chain = [left.pop(0)]
        grown = True
        while grown:
            grown = False
            for joint in left:
                for place, end in ((len(chain), chain[-1]), (0, chain[0])):
                    if _meet(joint, end):
                        chain.insert(place, joint)
                        left.remove(joint)
                        grown = True
                        break
                if grown:
                    break
        ids = [id(m) for joint in chain for m in (joint.standing, joint.on)]
        if all(ids.count(i) <= 2 for i in ids) and len({joint.axis for joint in chain}) == 1:
            yield chain


def _meet(joint: PlateJoint, other: PlateJoint) -> bool:
    ends = (other.standing, other.on)
    return any(joint.standing is m or joint.on is m for m in ends)


def _laid_flat(chain: Sequence[PlateJoint], radius_mm: float, k_factor: float) -> BentPlate | None:
    """The flat pattern; None where a leg is too short for the radius, or a hole lies in a bend."""
    legs, along = _members(chain), chain[0].axis
    thick = legs[0].part.thickness_mm
    allowance = math.pi / 2 * (radius_mm + k_factor * thick)
    setback = radius_mm + thick
    boxes = [_box(leg) for leg in legs]
    width = boxes[0][1][along] - boxes[0][0][along]
    made: list[BentLeg] = []
    bends: list[tuple[float, bool]] = []
    way_before: tuple[int, float] | None = None
    sense = 0.0
    at = 0.0
    for number, (leg, box) in enumerate(zip(legs, boxes, strict=True)):
        axis = next(k for k in _AXES if k not in (along, _thin(leg)))
        whole = _outside(number, legs, boxes, axis)
        way = _way(number, boxes, axis)
        start_set = setback if number else 0.0
        end_set = setback if number < len(legs) - 1 else 0.0
        flat = whole[1] - whole[0] - start_set - end_set
        if flat <= 0:
            return None
        zero = whole[0] if way > 0 else whole[1]
        holes = []
        for x, y, across in leg.part.holes:
            point = leg.placement.point((x, y, 0.0))
            far = way * (point[axis] - zero)
            if not start_set + across / 2 <= far <= start_set + flat - across / 2:
                return None
            holes.append((at + far - start_set, point[along] - box[0][along], across))
        made.append(
            BentLeg(mark=leg.mark, start_mm=at, end_mm=at + flat, holes=tuple(sorted(holes)))
        )
        if way_before is not None:
            turned = _turn(way_before, (axis, way))
            sense = sense or turned
            bends.append((at - allowance / 2, turned == sense))
        way_before = (axis, way)
        at += flat + (allowance if end_set else 0.0)
    return BentPlate(
        legs=tuple(made), count=1, width_mm=width, length_mm=at, thickness_mm=thick,
        bends=tuple(bends), allowance_mm=allowance,
    )  # fmt: skip


def _outside(
    number: int,
    legs: Sequence[Member[Plate]],
    boxes: Sequence[Box],
    axis: int,
) -> tuple[float, float]:
    """Where a leg begins and ends along ``axis``, out to the outsides of its neighbours."""
    low, high = boxes[number][0][axis], boxes[number][1][axis]
    for other in (number - 1, number + 1):
        if 0 <= other < len(legs):
            low = min(low, boxes[other][0][axis]) if _thin(legs[other]) == axis else low
            high = max(high, boxes[other][1][axis]) if _thin(legs[other]) == axis else high
    return low, high


def _way(number: int, boxes: Sequence[Box], axis: int) -> float:
    """+1 or -1: which way the chain runs along a leg: toward the next, or from the one before."""
    middle = [(box[0][axis] + box[1][axis]) / 2 for box in boxes]
    if number + 1 < len(boxes):
        return math.copysign(1.0, middle[number + 1] - middle[number])
    return math.copysign(1.0, middle[number] - middle[number - 1])


def _turn(before: tuple[int, float], after: tuple[int, float]) -> float:
    """The sense in which the way turns, about the third axis."""
    (a, one), (b, two) = before, after
    return one * two * (1.0 if (a + 1) % 3 == b else -1.0)
