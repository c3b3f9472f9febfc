"""Where the uprights of an end wall stand: jambs at the doors, studs between, cripples above.

Glossary
--------
reveal : the face of a jamb that looks into a door opening.
"""

from __future__ import annotations

import enum
import math
from collections.abc import Sequence

from msgspec import Struct

from frame3d.design.reading.reader import is_left_out
from frame3d.design.tables.whole_design import Door, End, StudFoot, Threshold
from frame3d.errors import DesignError, present
from frame3d.frame.end_walls.wall import SHORTEST_MM, Wall
from frame3d.frame.joining.clamps import BAND_MM, EAR_MM
from frame3d.frame.model.settling import rounded_down
from frame3d.frame.model.surveyed import GroundLine, stretch_of
from frame3d.geometry.paths import NEGLIGIBLE_MM
from frame3d.units import LengthText

_TINY = 1e-6
_APART_MM = 5.0
_MOST_MORE = 3
"""Studs in a gap besides those that the spacing asks for."""


class UprightKind(enum.Enum):
    """What an upright is."""

    STUD = "stud"
    JAMB = "jamb"
    CRIPPLE = "cripple"


class DoorPlace(Struct, frozen=True, kw_only=True):
    """A door in its end wall.

    Parameters
    ----------
    door : Door
    where : str
        The section of the design that it comes from.
    left_mm, right_mm : float
        X of the reveals.
    bottom_mm, top_mm : float
        Top of the threshold or ground, and underside of the header.
    header_mm : float
        Height over all of the header.
    """

    door: Door
    where: str
    left_mm: float
    right_mm: float
    bottom_mm: float
    top_mm: float
    header_mm: float

    @property
    def header_top_mm(self) -> float:
        """Height of the upper side of the header, mm."""
        return self.top_mm + self.header_mm


class Upright(Struct, frozen=True, kw_only=True):
    """A stud, jamb or cripple, by the X of its middle.

    ``foot_mm`` is the height from which it rises; ``door`` that of a jamb or cripple.
    """

    x_mm: float
    kind: UprightKind
    foot_mm: float
    door: DoorPlace | None = None

    @property
    def its_door(self) -> DoorPlace:
        """The door of a jamb or cripple; ValueError for a stud."""
        return present(self.door, "door of an upright")


def upright_source(wall: Wall, upright: Upright) -> str:
    """The field that an upright stands where it does for."""
    if upright.door is not None:
        return upright.door.where
    return f"{wall.where}.{'positions' if wall.spec.positions else 'largest_spacing'}"


def door_places(wall: Wall) -> tuple[DoorPlace, ...]:
    """The doors of ``wall`` from left to right.

    Raises
    ------
    DesignError
        If one does not fit under the hoop, or two overlap.
    """
    found = [
        _door_place(wall, door, f"door[{index}]")
        for index, door in enumerate(wall.plan.design.door, start=1)
        if wall.end in door.at.each
    ]
    found.sort(key=lambda place: place.left_mm)
    say, need = wall.plan.say, 2 * wall.upright_mm + 2 * _APART_MM
    for first, second in zip(found, found[1:], strict=False):
        gap = second.left_mm - first.right_mm
        if gap < need:
            what = (
                f"overlaps {first.where} by {say(-gap)}"
                if gap < 0
                else (f"is only {say(gap)} from {first.where}")
            )
            raise DesignError(
                f"in the {wall.end.value} wall it {what}; two jambs need {say(need)} "
                "between the openings; change position or width",
                f"{second.where}.position",
            )
    return tuple(found)


def _door_place(wall: Wall, door: Door, where: str) -> DoorPlace:
    bottom = wall.spec.sill.thickness_mm if door.threshold is Threshold.BOARD else 0.0
    header = wall.spec.tube.od_mm
    if wall.is_timber:
        header = (door.header or wall.spec.timber).depth_mm
    place = DoorPlace(
        door=door,
        where=where,
        left_mm=door.position - door.width / 2,
        right_mm=door.position + door.width / 2,
        bottom_mm=bottom,
        top_mm=bottom + door.height,
        header_mm=header,
    )
    _check_under_hoop(wall, place)
    return place


def _check_under_hoop(wall: Wall, place: DoorPlace) -> None:
    say, half = wall.plan.say, wall.upright_mm / 2
    outer = max(-place.left_mm, place.right_mm) + half
    far = wall.farthest_x()
    if outer > far + NEGLIGIBLE_MM:
        raise DesignError(
            f"its far jamb would be {say(outer)} from the centreline, where the hoop is too "
            f"steep or too low to hold it; at most {say.most(far)} is possible; make the door "
            "narrower or move it",
            f"{place.where}.width",
        )
    room = min(wall.whole_to(outer) - place.header_top_mm, _under_rails(wall, place))
    if room < -NEGLIGIBLE_MM:
        most = place.door.height + room
        raise DesignError(
            f"in the {wall.end.value} wall the hoop is {say(-room)} too low over its header; "
            + (f"make the door at most {say.most(most)} high" if most > 300 else "make it narrower")
            + ", or move it toward the middle",
            f"{place.where}.height",
            (
                f"{place.where}.height",
                rounded_down(max(most, 300.0), wall.plan.design.output.units),
            ),
        )


def _under_rails(wall: Wall, place: DoorPlace) -> float:
    """How much lower a header left to the program lies than a rail over it, mm.

    Below 0, but for rails that it does not run into: those are told by the checks.
    """
    if not is_left_out(wall.plan.design, f"{place.where}.height"):
        return math.inf
    struck = [
        line.centre[2] - line.rail.tube.od_mm / 2
        for line in wall.lines
        if place.left_mm < line.centre[0] < place.right_mm
        and abs(line.centre[2] - (place.top_mm + place.header_top_mm) / 2)
        < (line.rail.tube.od_mm + place.header_mm) / 2
    ]
    return min(struck, default=math.inf) - BAND_MM - EAR_MM - place.header_top_mm


def upright_places(wall: Wall, doors: tuple[DoorPlace, ...]) -> tuple[Upright, ...]:
    """All uprights of ``wall`` from left to right.

    Raises
    ------
    DesignError
        If a given stud stands in a door, on a jamb, on another, or where it cannot.
    """
    half = wall.upright_mm / 2
    jambs = [
        Upright(x_mm=x, kind=UprightKind.JAMB, foot_mm=foot_at(wall, x), door=place)
        for place in doors
        for x in (place.left_mm - half, place.right_mm + half)
    ]
    _check_barred(wall, jambs)
    if wall.spec.positions:
        studs = _given(wall, doors)
    else:
        studs = [stud_at(wall, x) for x in _spread(wall, doors)]
    cripples = [cripple for place in doors for cripple in _cripples(wall, place)]
    return tuple(sorted((*jambs, *studs, *cripples), key=lambda upright: upright.x_mm))


def foot_at(wall: Wall, x_mm: float) -> float:
    """Height from which an upright rises: the sill's top, or its depth in the ground there."""
    if _on_sill(wall):
        return wall.spec.sill.thickness_mm
    return min(z for _, z in ground_over(wall, x_mm, wall.upright_mm / 2)) - wall.spec.embedment


def ground_over(wall: Wall, x_mm: float, half_mm: float) -> GroundLine:
    """The ground across the tunnel so far to both sides of a place; level without levels."""
    ground = wall.plan.ground
    line: GroundLine = ((0.0, 0.0),)
    if ground is not None:
        line = ground.front if wall.end is End.FRONT else ground.back
    return stretch_of(line, x_mm - half_mm, x_mm + half_mm)


def stud_at(wall: Wall, x_mm: float) -> Upright:
    """A stud by its place across the tunnel."""
    return Upright(x_mm=x_mm, kind=UprightKind.STUD, foot_mm=foot_at(wall, x_mm))


def _on_sill(wall: Wall) -> bool:
    return wall.spec.stud_foot is StudFoot.SILL


def _check_barred(wall: Wall, jambs: list[Upright]) -> None:
    for jamb in jambs:
        for low, high in wall.barred():
            if low < jamb.x_mm < high:
                say, (near, far) = wall.plan.say, sorted((abs(low), abs(high)))
                # What bars the middle reaches to both sides of it.
                free = f"outside {say.most(near)} to {say.least(far)}"
                free = f"more than {say.least(far)} from the centreline" if low < 0 < high else free
                raise DesignError(
                    f"a jamb {say(abs(jamb.x_mm))} from the centreline meets the hoop at a "
                    f"rail or the ridge joint; move the door so that it is {free}, or "
                    "change its width",
                    f"{jamb.its_door.where}.position",
                )


def _given(wall: Wall, doors: tuple[DoorPlace, ...]) -> list[Upright]:
    say, wide, where = wall.plan.say, wall.upright_mm, f"{wall.where}.positions"
    foot = wall.spec.sill.thickness_mm if _on_sill(wall) else -wall.spec.embedment
    far, places = wall.farthest_x(foot + SHORTEST_MM), sorted(wall.spec.positions)
    for x in places:
        if abs(x) > far + NEGLIGIBLE_MM:
            raise DesignError(
                f"a stud cannot be {say(abs(x))} from the centreline, where the hoop is too "
                f"steep or too low; at most {say.most(far)} is possible",
                where,
            )
        for place in doors:
            if place.left_mm - 1.5 * wide < x < place.right_mm + 1.5 * wide:
                raise DesignError(
                    f"the stud {_place(say, x)} is in {place.where} or on its jamb, which "
                    f"take up from {_place(say, place.left_mm - wide)} to "
                    f"{_place(say, place.right_mm + wide)}; move one of them",
                    where,
                )
        for low, high in wall.barred():
            if low < x < high:
                raise DesignError(
                    f"the stud {_place(say, x)} meets the hoop at a rail or the ridge "
                    f"joint; move it to {_place(say, low)} or {_place(say, high)}",
                    where,
                )
    for first, second in zip(places, places[1:], strict=False):
        if second - first < wide + _APART_MM:
            raise DesignError(
                f"two studs are {say(second - first)} apart, and each is {say(wide)} wide; "
                "move one of them",
                where,
            )
    return [stud_at(wall, x) for x in places]


def _place(say: LengthText, x_mm: float) -> str:
    if abs(x_mm) < _TINY:
        return "on the centreline"
    return f"{say(abs(x_mm))} {'left' if x_mm < 0 else 'right'} of the centreline"


def _spread(wall: Wall, doors: tuple[DoorPlace, ...]) -> list[float]:
    """Studs at even spacing between the corners and the jambs."""
    foot = wall.spec.sill.thickness_mm if _on_sill(wall) else 0.0
    far = wall.farthest_x(foot + SHORTEST_MM)
    corner, half = wall.plan.arch.width_mm / 2, wall.upright_mm / 2
    bounds = [-corner]
    for place in doors:
        bounds += [place.left_mm - half, place.right_mm + half]
    bounds.append(corner)
    found: list[float] = []
    for low, high in zip(bounds[::2], bounds[1::2], strict=True):
        # Where a gap reaches a corner its far end is the hoop itself, no upright.
        inner = max(low, -far - _TINY), min(high, far + _TINY)
        ends = (low > -corner + _TINY, high < corner - _TINY)
        found += _divided(wall, low, high, inner, ends)
    return found


def _divided(
    wall: Wall, low: float, high: float, inner: tuple[float, float], ends: tuple[bool, bool]
) -> list[float]:
    """Places that divide a gap evenly, clear of what is barred, from the fewest on."""
    barred, clear = wall.kept_clear(), wall.upright_mm + _APART_MM
    limits = (inner[0] + (clear if ends[0] else 0.0), inner[1] - (clear if ends[1] else 0.0))
    count = max(0, math.ceil((high - low) / wall.spec.largest_spacing - _TINY) - 1)
    for more in range(_MOST_MORE + 1):
        if count + more == 0:
            return []
        step = (high - low) / (count + more + 1)
        places = [low + step * k for k in range(1, count + more + 1)]
        places = [x for x in places if limits[0] <= x <= limits[1]]
        # Too far out under a low hoop is no place; nearer to each other one may find one.
        if not places and more < _MOST_MORE:
            continue
        if step > clear and not any(a < x < b for x in places for a, b in barred):
            return places
    return _moved(wall, places, limits, barred, clear)


def _moved(
    wall: Wall,
    places: list[float],
    limits: tuple[float, float],
    barred: Sequence[tuple[float, float]],
    clear: float,
) -> list[float]:
    """Places without those at a rail or the ridge joint; at other couplers they move aside."""
    found: list[float] = []
    for x in places:
        if any(a < x < b for a, b in wall.barred()):
            continue
        edges = [x, *(edge for a, b in barred for edge in (a, b))]
        free = [
            at
            for at in edges
            if limits[0] <= at <= limits[1]
            and not any(a < at < b for a, b in barred)
            and all(abs(at - other) > clear for other in (*found, *places) if other != x)
        ]
        if free:
            # Of two equally near that nearer to the middle, on either side of the tunnel alike.
            found.append(min(free, key=lambda at: (round(abs(at - x), 6), abs(at), at)))
    return found


def _cripples(wall: Wall, place: DoorPlace) -> list[Upright]:
    """Short studs over a wide door, where the hoop is high enough for them."""
    half = wall.upright_mm / 2
    low, high = place.left_mm - half, place.right_mm + half
    if wall.spec.positions:
        return []
    inner = (place.left_mm, place.right_mm)
    return [
        Upright(x_mm=x, kind=UprightKind.CRIPPLE, foot_mm=place.header_top_mm, door=place)
        for x in _divided(wall, low, high, inner, (True, True))
        if min(wall.z_under(x - half), wall.z_under(x + half))
        >= place.header_top_mm + SHORTEST_MM
    ]  # fmt: skip
