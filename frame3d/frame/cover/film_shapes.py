"""Film, wire and cords as shapes for the model: sheets a millimetre thick that nothing is made of.

They are no members of a frame: no list, drawing or check knows them, and they are never in
model.stl, which is for what is printed and meshed. Whoever writes a model asks for them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from frame3d.design.tables.general import FilmShown
from frame3d.design.tables.whole_design import End, WallCover
from frame3d.frame.model.bodies import Body, ExtrudedOutline, TurnedProfile
from frame3d.frame.model.channel import Channel
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Part, Say
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.frame.skin.channel_runs import film_foot_mm, outer_half
from frame3d.frame.skin.curtain_figures import curtains_of
from frame3d.frame.skin.door_curtains import door_curtains
from frame3d.geometry.arch.arch_curve import HalfCurve, distance_at_height
from frame3d.geometry.placement import Placement, Vector, add

FILM_MM = 1.0
"""Thickness of film as it is drawn: thinner would not be seen."""
_CORD_MM, _WIRE_MM = 6.0, 3.0
_SAGITTA_MM = 1.0
Point = tuple[float, float]


class FilmShape(Part, frozen=True, kw_only=True):
    """Film as it is drawn. Own axes: its outline in z = 0, raised along z."""

    name: str
    outline: tuple[Point, ...]
    length_mm: float

    @property
    def bodies(self) -> tuple[Body, ...]:
        """The outline, raised."""
        return (ExtrudedOutline(outline=self.outline, low_mm=0.0, high_mm=self.length_mm),)

    def words(self, say: Say) -> str:
        """Its name, and that its thickness is none."""
        return f"{self.name}, drawn {say(FILM_MM)} thick"


class Rod(Part, frozen=True, kw_only=True):
    """A stretch of cord or wire, drawn straight along z."""

    name: str
    length_mm: float
    diameter_mm: float

    @property
    def bodies(self) -> tuple[Body, ...]:
        """A plain bar."""
        return (TurnedProfile.bar(self.diameter_mm, 0.0, self.length_mm),)

    def words(self, say: Say) -> str:
        """Its name."""
        return self.name


def with_film(frame: Frame) -> Frame:
    """The frame with film, wire and cords, where the design has them in the model."""
    if frame.design.output.film is FilmShown.NOT_SHOWN:
        return frame
    return replace(frame, members=(*frame.members, *film_members(frame)))


def film_members(frame: Frame) -> tuple[Member, ...]:
    """All of it; equal ones share a mark."""
    marks: dict[tuple[Role, Part], str] = {}
    found = []
    for role, part, placement, spot in _shapes(frame):
        letters = {Role.FILM: "FM", Role.WIRE: "FW", Role.CORD: "CO"}[role]
        count = 1 + sum(1 for other, _ in marks if other is role)
        mark = marks.setdefault((role, part), f"{letters}{count}")
        found.append(Member(
            mark=mark, role=role, part=part, placement=placement, spot=spot, source="cover",
        ))  # fmt: skip
    return tuple(found)


_Shape = tuple[Role, Part, Placement, Spot]


def _shapes(frame: Frame) -> Iterator[_Shape]:
    yield from _over_hoops(frame)
    yield from _walls(frame)
    yield from _side_curtains(frame)
    yield from _door_curtains(frame)
    yield from _wires(frame)


def _strip(points: Sequence[Point], thick: float) -> tuple[Point, ...]:
    """An open line as an outline, ``thick`` to its left, anticlockwise."""
    ways = [(b[0] - a[0], b[1] - a[1]) for a, b in zip(points, points[1:], strict=False)]
    beside = []
    for number, at in enumerate(points):
        near = ways[max(0, number - 1) : number + 1]
        x, y = sum(w[0] / math.hypot(*w) for w in near), sum(w[1] / math.hypot(*w) for w in near)
        size = math.hypot(x, y)
        beside.append((at[0] - thick * y / size, at[1] + thick * x / size))
    return tuple(_rounded([*points, *reversed(beside)]))


def _rounded(points: Sequence[Point]) -> list[Point]:
    return [(round(x, 6), round(y, 6)) for x, y in points]


def _half(curve: HalfCurve, low_mm: float, high_mm: float) -> list[Point]:
    """Points of the left outer face between two distances, within a millimetre of it."""
    least = min((abs(1 / c) for c in _bends(curve)), default=math.inf)
    step = 2 * math.sqrt(2 * _SAGITTA_MM * least) if least < math.inf else high_mm - low_mm
    count = max(1, math.ceil((high_mm - low_mm) / step))
    stops = (low_mm + (high_mm - low_mm) * k / count for k in range(count + 1))
    return [(at.x_mm, at.z_mm) for at in map(curve.point_at, stops)]


def _bends(curve: HalfCurve) -> Iterator[float]:
    for segment in curve.path.segments:
        if radius := getattr(segment, "radius_mm", None):
            yield 1 / radius


def _over_hoops(frame: Frame) -> Iterator[_Shape]:
    """Film from foot to foot, or from hip to hip over separate curtains."""
    curve, od = outer_half(frame.arch), frame.arch.tube_od_mm
    curtains = curtains_of(frame)
    low = (
        film_foot_mm(frame.design, frame.ground)
        if curtains is None
        else curtains.section.channel[1]
    )
    start = distance_at_height(curve, min(low, curve.end.z_mm))
    left = _half(curve, start, curve.path.length_mm)
    over = [*left, *((-x, z) for x, z in reversed(left[:-1]))]
    long = frame.grid.length_mm + od
    # Its own y is the frame's z, its own z the way along the tunnel turned about.
    yield (
        Role.FILM, FilmShape(name="film over the hoops", outline=_strip(over, FILM_MM),
                             length_mm=long),
        Placement.of(origin=(0.0, frame.grid.length_mm + od / 2, 0.0), x=(1.0, 0.0, 0.0),
                     y=(0.0, 0.0, 1.0)),
        Spot(side=Side.MIDDLE, hoop=1, to_hoop=len(frame.grid.hoop_y_mm)),
    )  # fmt: skip


def _walls(frame: Frame) -> Iterator[_Shape]:
    """Film of the end walls with its doors cut out."""
    if frame.design.cover.wall_cover is not WallCover.FILM:
        return
    curve = outer_half(frame.arch)
    left = _half(curve, distance_at_height(curve, 0.0), curve.path.length_mm)
    ends = {end for wall in frame.design.end_wall for end in wall.at.each}
    for end in End:
        if end not in ends:
            continue
        outline = [*left, *((-x, z) for x, z in reversed(left[:-1]))]
        # Back along the ground from the right, round each door.
        doors = sorted((d for d in frame.doors if d.end is end), key=lambda d: -d.left_x_mm)
        for door in doors:
            right, near, top = door.right_x_mm, door.left_x_mm, door.top_mm
            outline += [(right, 0.0), (right, top), (near, top), (near, 0.0)]
        front, half = end is End.FRONT, frame.arch.tube_od_mm / 2
        y = -half if front else frame.grid.length_mm + half + FILM_MM
        yield (
            Role.FILM,
            FilmShape(name=f"film, {end.value} end wall", length_mm=FILM_MM,
                      outline=tuple(_rounded(list(reversed(outline))))),
            Placement.of(origin=(0.0, y, 0.0), x=(1.0, 0.0, 0.0), y=(0.0, 0.0, 1.0)),
            Spot(side=Side.MIDDLE, hoop=1 if front else len(frame.grid.hoop_y_mm)),
        )  # fmt: skip


def _side_curtains(frame: Frame) -> Iterator[_Shape]:
    """Both curtains, shut, and their cords."""
    curtains = curtains_of(frame)
    if curtains is None:
        return
    section, (low, high) = curtains.section, curtains.film_span_mm
    line = [*section.taut, section.shut]
    last = len(frame.grid.hoop_y_mm)
    for side, sign in ((Side.LEFT, 1.0), (Side.RIGHT, -1.0)):
        points = [(sign * x, z) for x, z in line]
        shape = _strip(points if sign < 0 else points[::-1], FILM_MM)
        yield (
            Role.FILM,
            FilmShape(name=f"curtain, {side.value}", outline=shape, length_mm=high - low),
            Placement.of(origin=(0.0, high, 0.0), x=(1.0, 0.0, 0.0), y=(0.0, 0.0, 1.0)),
            Spot(side=side, hoop=1, to_hoop=last),
        )  # fmt: skip
        eyes: list[Vector] = []
        for y, at_hip in curtains.cord:
            x, z = section.hip_edge if at_hip else section.sill_top
            eyes.append((sign * (x - _CORD_MM), y, z))
        for order, (a, b) in enumerate(zip(eyes, eyes[1:], strict=False), start=1):
            yield _rod(Role.CORD, "cord", a, b, _CORD_MM, Spot(side=side, hoop=order, order=order))


def _door_curtains(frame: Frame) -> Iterator[_Shape]:
    for one in door_curtains(frame):
        half, y = one.width_mm / 2, one.film_y_mm
        middle = (one.door.left_x_mm + one.door.right_x_mm) / 2
        low, high = one.shut_z_mm, one.roll.z_mm
        outline = ((-half, low), (half, low), (half, high), (-half, high))
        yield (
            Role.FILM,
            FilmShape(name="curtain of a door", outline=tuple(_rounded(outline)),
                      length_mm=FILM_MM),
            Placement.of(origin=(middle, y + FILM_MM / 2, 0.0), x=(1.0, 0.0, 0.0),
                         y=(0.0, 0.0, 1.0)),
            Spot(side=Side.MIDDLE, hoop=1 if one.roll.out < 0 else len(frame.grid.hoop_y_mm)),
        )  # fmt: skip


def _wires(frame: Frame) -> Iterator[_Shape]:
    """The wire in each straight piece of channel, and along the chords of bent ones."""
    for member in frame.of_kind(Channel, Role.CHANNEL):
        part, place = member.part, member.placement
        out = part.section.depth_mm / 2
        for a, b in _wire_of(part, out):
            yield _rod(Role.WIRE, "wire", place.point(a), place.point(b), _WIRE_MM, member.spot)


def _wire_of(part: Channel, out: float) -> Iterator[tuple[Vector, Vector]]:
    if part.axis.is_straight:
        yield (0.0, 0.0, out), (part.length_mm, 0.0, out)
        return
    count = max(1, math.ceil(part.length_mm / 300.0))
    stations = [part.axis.at(part.length_mm * k / count) for k in range(count + 1)]
    points = [(s.x_mm - out * s.normal[0], s.y_mm - out * s.normal[1], 0.0) for s in stations]
    yield from zip(points, points[1:], strict=False)


def _rod(role: Role, name: str, start: Vector, end: Vector, thick: float, spot: Spot) -> _Shape:
    long = math.dist(start, end)
    along = tuple((b - a) / long for a, b in zip(start, end, strict=True))
    way = (along[0], along[1], along[2])
    least = min(range(3), key=lambda axis: abs(way[axis]))
    across = (float(least == 0), float(least == 1), float(least == 2))
    share = sum(w * a for w, a in zip(way, across, strict=True))
    side = add(across, way, -share)
    size = math.hypot(*side)
    y = (side[0] / size, side[1] / size, side[2] / size)
    x = (
        y[1] * way[2] - y[2] * way[1], y[2] * way[0] - y[0] * way[2],
        y[0] * way[1] - y[1] * way[0],
    )  # fmt: skip
    return (
        role, Rod(name=name, length_mm=round(long, 6), diameter_mm=thick),
        Placement.of(origin=start, x=x, y=y), spot,
    )  # fmt: skip
