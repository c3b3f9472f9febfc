"""Masses of pieces and of hoops as raised, where they balance, and how many hands they take."""

from __future__ import annotations

import math
from collections.abc import Iterable

from msgspec import Struct

from frame3d.frame.measure.measures import centre_mm, mass_kg
from frame3d.frame.measure.outer_points import ends_of
from frame3d.frame.model.members import Frame, Member, PartCount
from frame3d.frame.model.parts import Board, Part, Plate, Tube
from frame3d.frame.model.roles import Role
from frame3d.geometry.placement import Vector
from frame3d.takeoff.quantities.lifting import CARRY, RAISE, hands_for
from frame3d.takeoff.quantities.surfaces import surface_mm2

LEAST_TO_RAISE = 3
"""One at each leg and one to guide (common practice, no source)."""
LONG_MM, LEAST_LONG = 4000.0, 2
"""From this length on a piece is carried by two (common practice, no source)."""
RAISED = (Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT)
"""What is laid out flat and joined before it is raised as one."""


class Carried(Struct, frozen=True, kw_only=True):
    """A part that is carried: its mass with zinc, its longest size, and the hands it takes."""

    group: PartCount
    mass_kg: float
    longest_mm: float
    hands: int


class RaisedHoop(Struct, frozen=True, kw_only=True):
    """Hoops that weigh the same, each as it is raised.

    Parameters
    ----------
    hoops : tuple of int
        Their numbers.
    mass_kg : float
        With joints, bolts and zinc.
    centre_mm : (3,) float
        Centre of mass as it stands, of the first of them, in the frame's axes.
    hands : int
    """

    hoops: tuple[int, ...]
    mass_kg: float
    centre_mm: Vector
    hands: int


def zinc_kg(part: Part, grams_per_m2: float | None) -> float:
    """Mass of the zinc on a part, kg; 0 where none is counted."""
    return surface_mm2(part) * (grams_per_m2 or 0.0) * 1e-9


def lifted_kg(part: Part, grams_per_m2: float | None) -> float:
    """Mass of a part with its zinc, kg."""
    return mass_kg(part) + zinc_kg(part, grams_per_m2)


def carried_parts(frame: Frame) -> tuple[Carried, ...]:
    """Every part that is made, the heaviest first."""
    zinc, found = frame.design.order.zinc, []
    for group in frame.parts():
        if group.part.is_bought:
            continue
        mass, longest = lifted_kg(group.part, zinc), _longest_mm(group.part)
        least = LEAST_LONG if longest >= LONG_MM else 1
        hands = hands_for(mass, CARRY, least)
        found.append(Carried(group=group, mass_kg=mass, longest_mm=longest, hands=hands))
    return tuple(sorted(found, key=lambda carried: -round(carried.mass_kg, 6)))


def raised_hoops(frame: Frame) -> tuple[RaisedHoop, ...]:
    """Every hoop as it is raised; hoops of the same mass and balance together."""
    zinc = frame.design.order.zinc
    found: dict[tuple[float, float, float], list[tuple[int, float, Vector]]] = {}
    weighed: dict[int, tuple[float, Vector]] = {}
    for number, members in enumerate(_by_hoop(frame), start=1):
        parts = []
        for member in members:
            if id(member.part) not in weighed:
                weighed[id(member.part)] = lifted_kg(member.part, zinc), centre_mm(member.part)
            mass, centre = weighed[id(member.part)]
            parts.append((mass, member.placement.point(centre)))
        mass = math.fsum(m for m, _ in parts)
        if not mass:
            continue
        x, y, z = (math.fsum(m * p[axis] for m, p in parts) / mass for axis in range(3))
        key = (round(mass, 4), round(x, 1), round(z, 1))
        found.setdefault(key, []).append((number, mass, (x, y, z)))
    return tuple(
        RaisedHoop(
            hoops=tuple(number for number, _, _ in alike),
            mass_kg=alike[0][1],
            centre_mm=alike[0][2],
            hands=hands_for(alike[0][1], RAISE, LEAST_TO_RAISE),
        )
        for alike in found.values()
    )


def _longest_mm(part: Part) -> float:
    """Length of a straight part; of a bent tube or a plate how far it reaches in one direction."""
    ends: list[tuple[float, ...]]
    if isinstance(part, Plate):
        ends = list(part.outline)
    elif isinstance(part, Tube) and not part.axis.is_straight:
        points = [part.axis.at(part.length_mm * step / 40) for step in range(41)]
        ends = [(p.x_mm, p.y_mm) for p in points]
    elif isinstance(part, Tube | Board):
        return part.length_mm
    else:
        ends = [end for body in part.bodies for end in ends_of(body)]
    return max(math.dist(a, b) for a in ends for b in ends)


def _by_hoop(frame: Frame) -> Iterable[list[Member]]:
    """For each hoop its tubes and plates and whatever holds these and nothing else."""
    hoops: list[list[Member]] = [[] for _ in frame.grid.hoop_y_mm]
    own: set[int] = set()
    for member in frame.of(*RAISED):
        hoops[member.spot.hoop - 1].append(member)
        own.add(id(member))
    for joint in frame.joints:
        if joint.members and all(id(member) in own for member in joint.members):
            hoops[joint.members[0].spot.hoop - 1] += joint.fasteners
    return hoops
