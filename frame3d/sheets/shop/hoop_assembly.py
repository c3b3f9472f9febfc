"""One hoop laid flat: its pieces, how they are joined, and every point that is drilled or bent."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from frame3d.frame.describe.through import Uses
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.end_forms import Swage
from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role
from frame3d.geometry.paths import Arc
from frame3d.geometry.placement import add
from frame3d.sheets.annotation.annotations import (
    Aligned,
    Annotation,
    Chain,
    LengthCell,
    Mark,
    Radius,
    Table,
    View,
    ViewEdge,
    Way,
)
from frame3d.sheets.primitives.primitives import Layer, Point, Primitive, Stroke, around
from frame3d.sheets.projection.hiding import visible
from frame3d.sheets.projection.projection import FRONT, axis_point
from frame3d.sheets.projection.silhouettes import silhouette
from frame3d.sheets.shop.bend_tables import bend_stops_mm
from frame3d.sheets.shop.tube_views import hole_primitives, place_of, swage_primitives
from frame3d.units import LengthFormat

HOOP_ROLES = (Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT)
_SAME_MM = 0.5
"""Points nearer to each other than this are one."""
_BEND, _MEET = "bend starts or ends", "pieces meet"


class NamedPoint(Struct, frozen=True, kw_only=True):
    """A point of the hoop's centreline that the sheet names.

    Parameters
    ----------
    at : Point
        From the centreline of the tunnel, and up from the ground; mm.
    outward : Point
        Unit vector to the outside of the hoop.
    what : str
    """

    at: Point
    outward: Point
    what: str


def hoop_kinds(frame: Frame) -> list[tuple[int, ...]]:
    """The numbers of the hoops that are put together alike, the first hoop's first."""
    found: dict[tuple[tuple[str, str, str, int], ...], list[int]] = {}
    for number in range(1, len(frame.grid.hoop_y_mm) + 1):
        gist = tuple(
            sorted(
                (m.role.value, m.mark, m.spot.side.value, m.spot.order)
                for m in _members(frame, number)
            )
        )
        if gist:
            found.setdefault(gist, []).append(number)
    return [tuple(numbers) for numbers in found.values()]


def _members(frame: Frame, number: int) -> list[Member]:
    return [m for m in frame.of(*HOOP_ROLES) if m.spot.hoop == number]


def _tubes(members: Iterable[Member], *roles: Role) -> Iterator[Member[Tube]]:
    """Those of ``members`` that are tubes, with one of ``roles`` if there are such."""
    for member in members:
        if isinstance(member.part, Tube) and (not roles or member.role in roles):
            yield with_part(member, Tube)


class HoopSheet(Struct, frozen=True, kw_only=True):
    """A hoop with the points that are named on its sheet.

    ``mirrored`` when both sides are alike and only the left one is named.
    """

    members: tuple[Member, ...]
    points: tuple[NamedPoint, ...]
    leg_end_mm: float
    mirrored: bool


def hoop_sheet(frame: Frame, number: int, uses: Uses) -> HoopSheet:
    """Hoop ``number`` as it is drawn."""
    members = tuple(_members(frame, number))
    points = _distinct(_points(members, uses, lengths_of(frame)))
    alone = [p for p in points if not any(_is_twin(p, other) for other in points)]
    mirrored = all(point.what == _MEET for point in alone)
    shown = points
    if mirrored:
        shown = [p for p in points if p.at[0] < _SAME_MM and p not in alone]
        shown += [replace(p, what=f"{_MEET}, at the {_side(p)} only") for p in alone]
    ends = [axis_point(m, at)[2] for m in _tubes(members) for at in (0.0, m.part.length_mm)]
    return HoopSheet(
        members=members,
        points=tuple(_in_order(shown)),
        leg_end_mm=min(ends),
        mirrored=mirrored,
    )


def _points(members: Sequence[Member], uses: Uses, lengths: LengthFormat) -> Iterator[NamedPoint]:
    for member in _tubes(members):
        tube = member.part
        bent = member.role is Role.HOOP
        stops = [(at, _BEND) for at in bend_stops_mm(tube, lengths)] if bent else []
        if isinstance(tube.end, Swage):
            stops.append((tube.length_mm - tube.end.length_mm, _MEET))
        if isinstance(tube.start, Swage):
            stops.append((tube.start.length_mm, _MEET))
        if member.role is Role.SPLICE:
            stops.append((tube.length_mm / 2, _MEET))
        words = uses.get(member.mark, ())
        stops += [(h.at_mm, use or "-") for h, use in zip(tube.holes, words, strict=True)]
        for at, what in stops:
            local, normal = place_of(tube, at)
            x, z = FRONT.flat(member.placement.point(local))
            out = FRONT.flat(member.placement.direction(normal))
            # The inside of a hoop is toward its middle, whichever way the tube was turned.
            sign = -1.0 if out[0] * -x + out[1] * -1e3 >= 0 else 1.0
            yield NamedPoint(at=(x, z), outward=(sign * out[0], sign * out[1]), what=what)


def _distinct(points: Iterator[NamedPoint]) -> list[NamedPoint]:
    """One of those at the same place; of a hole in two tubes the one that says more."""
    kept: list[NamedPoint] = []
    for point in points:
        for index, other in enumerate(kept):
            if math.dist(point.at, other.at) < _SAME_MM and _kind(point) == _kind(other):
                if other.what == "-":
                    kept[index] = point
                break
        else:
            kept.append(point)
    return kept


def _is_twin(one: NamedPoint, other: NamedPoint) -> bool:
    there = (-one.at[0], one.at[1])
    return math.dist(there, other.at) < _SAME_MM and _kind(one) == _kind(other)


def _kind(point: NamedPoint) -> str:
    """What a point is but for the bolt through a hole."""
    return point.what if point.what in (_BEND, _MEET) else "hole"


def _side(point: NamedPoint) -> str:
    return "left" if point.at[0] < 0 else "right"


def _in_order(points: Sequence[NamedPoint]) -> list[NamedPoint]:
    """Up the left leg, over, and down the right one."""
    return sorted(
        points, key=lambda p: (p.at[0] > _SAME_MM, p.at[1] if p.at[0] <= _SAME_MM else -p.at[1])
    )


def hoop_view(sheet: HoopSheet, title: str) -> View:
    """The hoop seen from the front, its legs down."""
    shapes = [s for m in sheet.members if (s := silhouette(m, FRONT))]
    left, bottom, right, top = around(shape.area.bounds for shape in shapes)
    primitives: list[Primitive] = [*visible(shapes), *_inner_lines(sheet)]
    primitives.append(Stroke(start=(0.0, bottom), end=(0.0, top), layer=Layer.CENTRE))
    foot = sheet.leg_end_mm
    feet = sorted(_feet(sheet))
    annotations: list[Annotation] = [
        Chain(
            points=((feet[0], foot), (feet[-1], foot)),
            edge=ViewEdge.BOTTOM,
            names=("between centres of the legs at their ends",),
        ),
        # At the right, since points are named at the left.
        Chain(points=((feet[-1], foot), (0.0, top)), edge=ViewEdge.RIGHT, names=("overall",)),
        *_radii(sheet),
        *_overlaps(sheet),
        *_marks(sheet),
        *_point_names(sheet),
    ]
    return View(
        title=title,
        primitives=tuple(primitives),
        bounds=(left, bottom, right, top),
        annotations=tuple(annotations),
    )


def _feet(sheet: HoopSheet) -> list[float]:
    """Where across the tunnel the ends of the legs stand, mm."""
    found = []
    for member in _tubes(sheet.members, Role.HOOP):
        for at in (0.0, member.part.length_mm):
            x, _, z = axis_point(member, at)
            if abs(z - sheet.leg_end_mm) < 1.0:
                found.append(x)
    return found


def _inner_lines(sheet: HoopSheet) -> list[Primitive]:
    """Swages in the next tube, and the holes, those through two tubes once."""
    made: list[Primitive] = []
    seen: list[Point] = []
    for member in _tubes(sheet.members):
        tube = member.part
        made += swage_primitives(tube, FRONT, member.placement, Layer.HIDDEN)
        for hole in tube.holes:
            at = FRONT.flat(axis_point(member, hole.at_mm))
            if all(math.dist(at, other) > _SAME_MM for other in seen):
                seen.append(at)
                made += hole_primitives(tube, hole, FRONT, member.placement)
    return made


def _radii(sheet: HoopSheet) -> list[Annotation]:
    """Every radius of the hoop once, at its longest arc at the left."""
    found: dict[float, tuple[float, Radius]] = {}
    for member in _tubes(sheet.members, Role.HOOP):
        tube = member.part
        for (along, here), segment in zip(tube.axis.starts, tube.axis.segments, strict=True):
            if not isinstance(segment, Arc):
                continue
            left = math.copysign(segment.radius_mm, segment.angle_rad)
            x, y = here.normal
            centre = FRONT.flat(
                member.placement.point((here.x_mm + left * x, here.y_mm + left * y, 0.0))
            )
            on_arc = tuple(
                FRONT.flat(axis_point(member, along + share * segment.length_mm))
                for share in (0.5, 0.35, 0.65, 0.2, 0.8)
            )
            key = round(segment.radius_mm, 1)
            length = segment.length_mm - (1.0 if on_arc[0][0] > 0 else 0.0)
            if key not in found or length > found[key][0] + 1e-6:
                found[key] = (length, Radius(centre=centre, on_arc=on_arc))
    return [annotation for _, annotation in found.values()]


def _overlaps(sheet: HoopSheet) -> list[Annotation]:
    """How far pieces reach into each other, at the left: swages, and sleeves over all."""
    annotations: list[Annotation] = []
    for member in _tubes(sheet.members):
        tube = member.part
        if member.role is Role.SPLICE:
            ends, name = (0.0, tube.length_mm), "sleeve"
        elif isinstance(tube.end, Swage):
            ends, name = (tube.length_mm - tube.end.length_mm, tube.length_mm), "overlap"
        elif isinstance(tube.start, Swage):
            ends, name = (0.0, tube.start.length_mm), "overlap"
        else:
            continue
        first, second = (FRONT.flat(axis_point(member, at)) for at in ends)
        if (first[0] + second[0]) / 2 < _SAME_MM:
            annotations.append(Aligned(first=first, second=second, name=name, away=9.0))
    return annotations


def _ways(outward: Point) -> tuple[Way, ...]:
    """Outside the hoop first, then inside."""
    u, v = outward
    near = [(u, v, reach) for reach in (2.8, 4.0)]
    return (*near, *((-u, -v, reach) for reach in (2.8, 4.0)))


def point_letters(count: int) -> list[str]:
    """A to Z without I and O, then A1, B1 and so on."""
    plain = [chr(code) for code in range(ord("A"), ord("Z") + 1) if chr(code) not in "IO"]
    return [
        plain[i % len(plain)] + (str(i // len(plain)) if i >= len(plain) else "")
        for i in range(count)
    ]


def _point_names(sheet: HoopSheet) -> list[Annotation]:
    """The letters of the points, those at the crown first, where they stand closest."""
    named = zip(point_letters(len(sheet.points)), sheet.points, strict=True)
    return [
        Mark(text=letter, at=point.at, ways=_ways(point.outward), layer=Layer.TEXT)
        for letter, point in sorted(named, key=lambda item: round(abs(item[1].at[0]), 2))
    ]


def _marks(sheet: HoopSheet) -> list[Annotation]:
    """The mark of every piece, at its middle; two plates of a joint share one."""
    annotations: list[Annotation] = []
    done: set[tuple[str, int, int]] = set()
    for member in sheet.members:
        local, normal, half = (0.0, 0.0, 0.0), (0.0, -1.0, 0.0), 0.0  # of a plate
        if isinstance(member.part, Tube):
            share = _mark_share(with_part(member, Tube))
            local, normal = place_of(member.part, share * member.part.length_mm)
            half = member.part.section.od_mm / 2
        placement = member.placement
        at = FRONT.flat(placement.point(local))
        key = (member.mark, round(at[0]), round(at[1]))
        if key in done:
            continue
        done.add(key)
        inward = placement.direction(normal)
        edge = FRONT.flat(add(placement.point(local), inward, half))
        u, v = FRONT.flat(inward)
        ways = tuple((u, v, reach) for reach in (3.0, 5.0, 8.0))
        back = tuple((-u, -v, reach) for reach in (5.0, 8.0, 12.0))
        led = member.role is not Role.HOOP
        annotations.append(Mark(text=member.mark, at=edge, ways=(*ways, *back), leader=led))
    return annotations


def _mark_share(member: Member[Tube]) -> float:
    """Where along a tube its mark stands: at the middle, or the right end of a ridge sleeve."""
    if member.role is not Role.RIDGE_JOINT:
        return 0.5

    def across(share: float) -> float:
        return FRONT.flat(axis_point(member, share * member.part.length_mm))[0]

    return max((0.2, 0.8), key=across)


def point_table(sheet: HoopSheet, hoops: str) -> Table:
    """Where every named point of ``hoops`` lies from the middle and above the ends of the legs."""
    rows = tuple(
        (
            letter,
            LengthCell(point.at[0] if not sheet.mirrored else abs(point.at[0])),
            LengthCell(point.at[1] - sheet.leg_end_mm),
            point.what,
        )
        for letter, point in zip(point_letters(len(sheet.points)), sheet.points, strict=True)
    )
    return Table(
        title=f"Points on the centreline of {hoops}",
        head=("Point", "From middle", "Above leg ends", "What is there"),
        rows=rows,
        words=(3,),
    )
