"""What the flat tops of tube studs must be like, told from the frame and its arch alone."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from frame3d.frame.model.end_forms import flat_width_mm
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Flat, Tube
from frame3d.frame.model.roles import Role
from frame3d.geometry.arch.arch_curve import height_at_x

UPRIGHTS = (Role.STUD, Role.DOOR_JAMB)
UNDER_COVER_MM = 3.0
CLAMP_MM = 36.0
"""Width of a clamp along the tube that it grips."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Top:
    """The flat top of an upright in the frame: all in the plane x, z of its wall, mm."""

    member: Member
    axis: np.ndarray
    corners: tuple[np.ndarray, np.ndarray]
    bolt: np.ndarray
    hole_mm: float
    round_to_mm: float


def tops(frame: Frame) -> Iterator[Top]:
    """Every flat top of an upright, by the words of Flat: right is longest where positive."""
    for member in frame.of(*UPRIGHTS):
        tube = member.part
        if not isinstance(tube, Tube) or not (tube.start or tube.end):
            continue
        flat, at_start = (tube.start, True) if tube.start else (tube.end, False)
        assert isinstance(flat, Flat) and not (tube.start and tube.end)
        foot, way = (0.0, -1.0) if at_start else (tube.length_mm, 1.0)
        cos, sin = math.cos(flat.clock_rad), math.sin(flat.clock_rad)
        normal = np.array(member.placement.direction((0.0, cos, sin)))
        assert abs(normal[1]) > 1 - 1e-9, "the flat lies in the plane of the wall"
        own_right = np.cross((1.0, 0.0, 0.0), (0.0, cos, sin))
        half = flat_width_mm(tube.section) / 2

        def point(along: float, across: float, member=member, right=own_right) -> np.ndarray:
            local = np.array((along, 0.0, 0.0)) + across * right
            return np.array(member.placement.point(tuple(local)))[[0, 2]]

        lean = way * math.tan(flat.slant_rad)
        hole = min(tube.holes, key=lambda h, foot=foot: abs(h.at_mm - foot))
        assert abs(hole.at_mm - foot) < flat.length_mm - hole.diameter_mm / 2
        inner = foot - way * (flat.length_mm + flat.transition_mm)
        yield Top(
            member=member,
            axis=point(foot, 0.0),
            corners=(point(foot + lean * half, half), point(foot - lean * half, -half)),
            bolt=point(hole.at_mm, 0.0),
            hole_mm=hole.diameter_mm,
            round_to_mm=float(point(inner, 0.0)[1]),
        )


def is_under_the_cover(frame: Frame, top: Top) -> None:
    """Both corners, and all of the cut between them, lie within the hoop's outer face."""
    radius = frame.arch.tube_od_mm / 2
    over, under = frame.arch.half_offset(-radius), frame.arch.half_offset(radius)
    one, other = top.corners
    run = abs(one - other)
    drop = UNDER_COVER_MM / math.cos(math.atan2(run[1], run[0]))
    for corner in top.corners:
        # straight down from the face: so much that it is 3 mm square to the cut
        assert abs(height_at_x(over, corner[0]) - drop - corner[1]) < 1e-4
        assert corner[1] > height_at_x(under, corner[0]), "it does not end short of the hoop"
    for share in np.linspace(0.0, 1.0, 7):
        x, z = one + share * (other - one)
        assert z <= height_at_x(over, x) - UNDER_COVER_MM + 1e-4


def keeps_its_bolt(frame: Frame, top: Top) -> None:
    """The bolt meets the hoop's axis, at least 1.2 holes from the slanting edge.

    EN 1993-1-8, table 3.3: end and edge distances of at least 1.2 d0 (from memory).
    """
    middle = frame.arch.half_offset(0.0)
    assert abs(height_at_x(middle, top.bolt[0]) - top.bolt[1]) < 1e-4
    one, other = top.corners
    along = (other - one) / np.linalg.norm(other - one)
    away = top.bolt - one
    distance = abs(away[0] * along[1] - away[1] * along[0])
    assert distance >= 1.2 * top.hole_mm - 1e-4
    # the foot of that distance lies on the edge, not beyond its corners
    assert 0 < np.dot(away, along) < np.linalg.norm(other - one)


def is_round_where_it_is_clamped(frame: Frame, top: Top) -> None:
    """Tubes that cross it level are clamped to it; flat, it would turn in the clamp."""
    for member in frame.of(Role.GIRT, Role.DOOR_HEADER):
        ends = [member.placement.point(p) for p in ((0, 0, 0), (member.part.length_mm, 0, 0))]
        low, high = sorted(end[0] for end in ends)
        same_wall = member.spot.hoop == top.member.spot.hoop
        if same_wall and low < top.axis[0] < high:
            z = ends[0][2]
            clear = z > top.axis[1] or z + CLAMP_MM / 2 <= top.round_to_mm + 1e-6
            assert clear, (member.mark, top.member.mark, z, top.round_to_mm)


def pairs_are_one_part(frame: Frame) -> int:
    """Studs as far left as right of the middle, drilled at the same heights, have one mark.

    Returns how many such pairs there are.
    """
    marks: dict[tuple, set[str]] = {}
    count: dict[tuple, set[float]] = {}
    for top in tops(frame):
        part, place = top.member.part, top.member.placement
        drilled = sorted(
            (round(place.point((hole.at_mm, 0.0, 0.0))[2], 3), hole.diameter_mm)
            for hole in part.holes
        )
        key = (top.member.role, round(abs(top.axis[0]), 3), round(part.length_mm, 3), *drilled)
        marks.setdefault(key, set()).add(top.member.mark)
        count.setdefault(key, set()).add(round(float(top.axis[0]), 3))
    assert all(len(found) == 1 for found in marks.values()), marks
    return sum(len(places) == 2 for places in count.values())
