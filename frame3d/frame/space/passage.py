"""Where a machine can drive: along the tunnel, and through a door.

A machine is an outline seen along the tunnel, with a safety margin all round. Its
place across the tunnel is that of its middle line, mm, to the right of the centreline.

Glossary
--------
free stretch : places that a machine can take without coming nearer to anything than
    its margin; (lowest, highest).
along the tunnel : what all bays together leave open. End walls and what belongs to
    them count only on the way through a door.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from frame3d.design.tables.whole_design import End, Machine, Passes
from frame3d.frame.joining.clamps import axis_distance_mm
from frame3d.frame.model.cached import cached_per_frame
from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.model.parts import ClampHalf, Tube
from frame3d.frame.model.roles import SKIN, Role
from frame3d.frame.space.envelopes import reach_of
from frame3d.frame.space.inside import Inside
from frame3d.frame.space.shadows import DIRECTIONS, Shadow, shadows_of, support
from frame3d.geometry.convex import Point, normals, slabs
from frame3d.geometry.placement import Vector, add, dot

Stretch = tuple[float, float]

END_ROLES = frozenset(
    {
        Role.STUD, Role.GIRT, Role.WALL_SILL, Role.WALL_BRACE, Role.DOOR_JAMB, Role.DOOR_HEADER,
        Role.THRESHOLD, Role.DOOR_LEAF, Role.HINGE, Role.DOOR_TRACK, Role.ROLL_TUBE,
        Role.WALL_ANCHOR, Role.WALL_SKIRT, Role.TRACK_NAILER, Role.BRACKET,
        Role.CURTAIN_GUIDE, Role.FLOOR_GUIDE,
    }
)  # fmt: skip
"""What belongs to end walls."""
MOVING = frozenset({Role.DOOR_LEAF, Role.HINGE, Role.ROLL_TUBE})
"""What is out of the way once a door is open."""
_NEGLIGIBLE = 1e-6


class Way(Struct, frozen=True, kw_only=True):
    """The way of one machine.

    Parameters
    ----------
    machine : Machine
    inside : tuple of Stretch
        Free stretches along the tunnel, rising; empty where it does not fit.
    doors : tuple of tuple of Stretch
        For each door of the frame its free stretches on the way in.
    has_open_end : bool
        Whether an end of the tunnel has no wall, so that it can come in there.
    blocking : str
        Mark of a member that is in its way along the tunnel; empty when it fits, or when
        the hoops themselves are.
    """

    machine: Machine
    inside: tuple[Stretch, ...]
    doors: tuple[tuple[Stretch, ...], ...]
    has_open_end: bool
    blocking: str = ""

    def reached(self) -> tuple[Stretch, ...]:
        """The free stretches inside that it can come to.

        All of them through an open end, or where it need not pass a door.
        """
        if self.has_open_end or self.machine.passes is Passes.NONE:
            return self.inside
        return tuple(s for s in self.inside if any(self._meet(s, door) for door in self.doors))

    def passes(self, index: int) -> bool:
        """Whether it passes the door of that index and can go on inside."""
        return any(self._meet(stretch, self.doors[index]) for stretch in self.inside)

    @staticmethod
    def _meet(stretch: Stretch, others: Iterable[Stretch]) -> bool:
        return any(low <= stretch[1] and stretch[0] <= high for low, high in others)

    def wall_distance_mm(self, wall_x_mm: float) -> tuple[float, float] | None:
        """How near its left and right side come to the walls inside, mm; None if nowhere."""
        reached = self.reached()
        if not reached:
            return None
        across = [x for x, _ in self.machine.outline]
        left = reached[0][0] + min(across) + wall_x_mm
        return left, wall_x_mm - reached[-1][1] - max(across)


def along_members(frame: Frame) -> list[Member]:
    """The members that a machine meets along the tunnel, but for the hoops."""
    left_out = END_ROLES | SKIN | {Role.HOOP, Role.BOLT, Role.NUT, Role.WASHER, Role.SCREW}
    walls = list(frame.of_kind(Tube, *END_ROLES))
    return [
        m
        for m in frame.members
        if m.role not in left_out
        and not (m.role is Role.CLAMP and _holds_wall(frame, with_part(m, ClampHalf), walls))
    ]


def _holds_wall(frame: Frame, clamp: Member[ClampHalf], tubes: Sequence[Member[Tube]]) -> bool:
    """Whether a clamp half grips one of an end wall's ``tubes``, or its other half does."""
    if not {clamp.spot.hoop, clamp.spot.to_hoop} & {1, len(frame.grid.hoop_y_mm)}:
        return False
    return any(
        _from_axis_mm(tube, clamp.placement.origin)
        <= axis_distance_mm(clamp.part.tube_od_mm, tube.part.section.od_mm) + 1.0
        for tube in tubes
    )


def _from_axis_mm(tube: Member[Tube], point: Vector) -> float:
    """Distance of a point from the axis of a straight tube."""
    start, along = tube.placement.origin, tube.placement.x
    away = add(point, start, -1.0)
    reach = min(max(dot(away, along), 0.0), tube.part.axis.length_mm)
    return math.dist(point, add(start, along, reach))


@cached_per_frame
def along_shadows(frame: Frame) -> tuple[Shadow, ...]:
    """What a machine, or whoever walks, meets along the tunnel, but for the hoops."""
    return shadows_of(along_members(frame))


@cached_per_frame
def own_ways(frame: Frame) -> tuple[Way, ...]:
    """The way of each machine of the design through ``frame``."""
    return ways(frame, frame.design.machine)


def ways(frame: Frame, machines: Sequence[Machine]) -> tuple[Way, ...]:
    """The way of each machine through ``frame``."""
    if not machines:
        return ()
    shadows = along_shadows(frame)
    near = [(door, shadows_of(near_door(frame, door))) for door in frame.doors]
    return tuple(_way(frame, machine, shadows, near) for machine in machines)


def _way(
    frame: Frame,
    machine: Machine,
    shadows: Sequence[Shadow],
    near: Sequence[tuple[DoorOpening, Sequence[Shadow]]],
) -> Way:
    outline, margin = machine.outline, machine.margin
    limits = hoop_limits(Inside(frame.arch), outline, margin)
    inside: tuple[Stretch, ...] = ()
    blocking = ""
    if limits is not None:
        inside = free_stretches(outline, margin, limits, shadows)
        if not inside:
            blocking = _blocking(outline, margin, limits, shadows)
    doors = tuple(_through(machine, door, found) for door, found in near)
    walled = {end for wall in frame.design.end_wall for end in wall.at.each}
    return Way(
        machine=machine,
        inside=inside,
        doors=doors,
        has_open_end=len(walled) < len(End),
        blocking=blocking,
    )


def hoop_limits(inside: Inside, outline: Sequence[Point], margin_mm: float) -> Stretch | None:
    """The places between the hoops; None where the outline does not fit between them.

    The room inside, less the margin, is convex: the corners decide.
    """
    inset = inside.arch.tube_od_mm / 2 + margin_mm
    low, high = -float("inf"), float("inf")
    for x, z in outline:
        half = inside.half_width_at(z, inset)
        if half is None:
            return None
        low, high = max(low, -half - x), min(high, half - x)
    return (low, high) if low <= high else None


def free_stretches(
    outline: Sequence[Point], margin_mm: float, limits: Stretch, shadows: Sequence[Shadow]
) -> tuple[Stretch, ...]:
    """What of ``limits`` stays free of ``shadows``, rising."""
    low, high = limits
    free, at = [], low
    for start, stop in sorted(_barred(outline, margin_mm, limits, shadows)):
        if start >= high:
            break
        if stop <= at:
            continue
        if start > at + _NEGLIGIBLE:
            free.append((at, start))
        at = stop
    if at == low or at < high - _NEGLIGIBLE:
        free.append((at, high))
    return tuple(free)


def _barred(
    outline: Sequence[Point], margin_mm: float, limits: Stretch, shadows: Sequence[Shadow]
) -> Iterator[Stretch]:
    """The open stretches that the shadows bar; those that cannot touch ``limits`` are left out."""
    top = max(z for _, z in outline) + margin_mm
    left = limits[0] + min(x for x, _ in outline) - margin_mm
    right = limits[1] + max(x for x, _ in outline) + margin_mm
    parts = []
    for part in slabs(outline):
        # What depends on the part alone is worked out once for all shadows.
        around = (*DIRECTIONS, *((-x, -z) for x, z in normals(part)))
        parts.append((part, [(u, _least(part, u)) for u in around]))
    for shadow in shadows:
        if shadow.bottom_mm >= top or shadow.high_x_mm <= left or shadow.low_x_mm >= right:
            continue
        for part, least in parts:
            low, high = part[0][1] - margin_mm, part[-1][1] + margin_mm
            if shadow.bottom_mm >= high or shadow.top_mm <= low:
                continue
            barred = _bars(part, least, margin_mm, shadow)
            if barred is not None:
                yield barred


def _bars(
    part: Sequence[Point],
    around: Sequence[tuple[Point, float]],
    margin_mm: float,
    shadow: Shadow,
) -> Stretch | None:
    """The places at which a convex part of a machine comes too near to a shadow.

    ``around`` holds directions, and the least reach of the part in each.
    """
    # By their Minkowski sum: a place s is barred when (s, 0) lies within the shadow grown
    # by the part turned about its origin and by the margin.
    low, high = -float("inf"), float("inf")
    for u, least in (*around, *((u, _least(part, u)) for u in shadow.edges())):
        ux = u[0]
        reach = support(shadow.body, u) + margin_mm - least
        if abs(ux) < 1e-12:
            if reach <= _NEGLIGIBLE:
                return None
        elif ux > 0:
            high = min(high, reach / ux)
        else:
            low = max(low, reach / ux)
    # Touching is no harm, and neither is the noise of the arithmetic.
    low, high = low + _NEGLIGIBLE, high - _NEGLIGIBLE
    return (low, high) if low < high else None


def _least(part: Sequence[Point], u: Point) -> float:
    """How far a part reaches back along a direction."""
    ux, uz = u
    return min(x * ux + z * uz for x, z in part)


def _blocking(
    outline: Sequence[Point], margin_mm: float, limits: Stretch, shadows: Sequence[Shadow]
) -> str:
    """The mark of what alone takes most of the way."""

    def taken(shadow: Shadow) -> float:
        free = free_stretches(outline, margin_mm, limits, [shadow])
        return sum(high - low for low, high in free)

    return min(shadows, key=taken).member.mark if shadows else ""


@cached_per_frame
def near_door(frame: Frame, door: DoorOpening) -> tuple[Member, ...]:
    """What stands between the plane of a door and the second hoop behind it.

    The door's own leaf is out of the way when it is open; in a tunnel of one bay the other end
    wall is where the bay ends.
    """
    ys = frame.grid.hoop_y_mm
    first = door.end is End.FRONT
    near, far = (ys[0], ys[1]) if first else (ys[-2], ys[-1])
    reach = frame.arch.tube_od_mm
    low, high = (
        (door.wall_y_mm - reach, far - reach) if first else (near + reach, door.wall_y_mm + reach)
    )
    left_out = MOVING | SKIN | {Role.HOOP, Role.BOLT, Role.NUT, Role.WASHER, Role.SCREW}
    hoops = (1, 2) if first else (len(ys) - 1, len(ys))
    own = 1 if first else len(ys)
    beyond = _other_wall(frame, door) if len(ys) == 2 else set()
    found = []
    for member in frame.members:
        if member.role in left_out or id(member) in beyond:
            continue
        spot = member.spot
        last = spot.to_hoop or spot.hoop
        if max(spot.hoop, last) < hoops[0] or min(spot.hoop, last) > hoops[1]:
            continue
        # Of the other end's braces no more than the end past a coupler reaches in, at the hoop.
        if member.role is Role.WALL_BRACE and own not in (spot.hoop, last):
            continue
        if reaches(member, low, high):
            found.append(member)
    return tuple(found)


def _other_wall(frame: Frame, door: DoorOpening) -> set[int]:
    """The members of the other end wall by their ids, but for braces, which cross the bay."""
    other = len(frame.grid.hoop_y_mm) if door.end is End.FRONT else 1
    there = [m for m in frame.members if m.spot.hoop == other and m.spot.to_hoop is None]
    walls = [m for m in there if m.role in END_ROLES]
    tubes = [with_part(m, Tube) for m in walls if isinstance(m.part, Tube)]
    clamps = [
        m
        for m in there
        if m.role is Role.CLAMP and _holds_wall(frame, with_part(m, ClampHalf), tubes)
    ]
    return {id(m) for m in (*walls, *clamps)}


def reaches(member: Member, low_y_mm: float, high_y_mm: float) -> bool:
    """Whether a member comes between two planes square to the tunnel."""
    back, ahead = reach_of(member, (0.0, -1.0, 0.0)), reach_of(member, (0.0, 1.0, 0.0))
    if back is None or ahead is None:
        return False
    return -back < high_y_mm and ahead > low_y_mm


def _through(machine: Machine, door: DoorOpening, shadows: Sequence[Shadow]) -> tuple[Stretch, ...]:
    """The free stretches of a machine on its way through a door, its wheels on the threshold."""
    outline, margin = machine.outline, machine.margin
    across = [x for x, _ in outline]
    if max(z for _, z in outline) + margin > door.height_mm + _NEGLIGIBLE:
        return ()
    low = door.left_x_mm + margin - min(across)
    high = door.right_x_mm - margin - max(across)
    if low > high + _NEGLIGIBLE:
        return ()
    lifted = [(x, z + door.bottom_mm) for x, z in outline]
    # The threshold is what it drives on.
    others = [s for s in shadows if s.member.role is not Role.THRESHOLD]
    return free_stretches(lifted, margin, (low, max(low, high)), others)
