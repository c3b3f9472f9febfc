"""Joints from near: the members about a bolt, a clamp or a screw, the nearest over the rest.

Members are taken as rods and hulls, cut to a round window, split along their length, and
painted in the order in which they hide each other.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import numpy as np
from msgspec import Struct
from shapely import LineString, MultiPoint, Polygon, STRtree
from shapely import Point as Dot
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from frame3d.checks.measured.rods_and_hulls import RodsAndHulls, shape_of
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Bolt, ClampHalf, Screw, Washer
from frame3d.frame.space.envelopes import reach_of
from frame3d.geometry.hulls import Hull
from frame3d.geometry.placement import dot
from frame3d.guide.pictures.canvas import (
    BOUGHT,
    BOUGHT_FILL,
    LETTER,
    NEW,
    NEW_FILL,
    OLD,
    OLD_FILL,
    Canvas,
    Point,
)
from frame3d.guide.pictures.overview import corner_projection
from frame3d.guide.steps.phases import made_members
from frame3d.guide.steps.step_content import Picture
from frame3d.guide.steps.steps import HeldHardware, Step
from frame3d.sheets.projection.projection import Projection

_MOST = 3
_WINDOW_MM = 230.0
_STRETCH_MM = 40.0
_TOUCH_MM2 = 0.5
_INK_MM = 0.6
_SMOOTH = math.cos(math.radians(36))
"""Faces that turn by less are one round face: rings are made of twelve."""
_ON_FACE_MM = 1e-3
_LEAST_SEEN_MM2 = 25.0
_PROJECTIONS = tuple(
    corner_projection(turn, above)
    for above in (22.0, -22.0)
    for turn in (-30.0, 30.0, -65.0, 65.0, -115.0, 115.0, -150.0, 150.0)
)
_ASIDE = math.cos(math.radians(45))
_KINDS = (Bolt, ClampHalf, Screw)
_AXES = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


class _Patch(Struct, frozen=True, kw_only=True):
    """A piece of a member as it is seen: its area, its lines, and how near it is."""

    area: Polygon
    lines: tuple[LineString, ...]
    near: Callable[[Point], float]
    member: Member
    edge: str
    fill: str


class Closeups:
    """Joints of a frame from near, for one step after the other."""

    def __init__(self, frame: Frame, step_of: dict[int, int]) -> None:
        self.frame, self.step_of = frame, step_of
        self._made = made_members(frame)
        self._boxes = np.array([_box(member) for member in self._made]).reshape(-1, 2, 3)
        self._bought = tuple(m for m in frame.members if m.part.is_bought)
        self._places = np.array([m.placement.origin for m in self._bought]).reshape(-1, 3)

    def of(self, step: Step) -> tuple[Picture, ...]:
        """The kinds of joint of a step, the most frequent first, three at most."""
        kinds: dict[tuple[str, ...], list[HeldHardware]] = {}
        for fixing in step.fixings:
            if isinstance(fixing.member.part, _KINDS) and len(fixing.held) > 1:
                roles = tuple(sorted({member.role.value for member in fixing.held}))
                kinds.setdefault(roles, []).append(fixing)
        found = sorted(kinds.items(), key=lambda item: (-len(item[1]), item[0]))[:_MOST]
        return tuple(self._one(step, roles, group) for roles, group in found)

    def _one(self, step: Step, roles: tuple[str, ...], group: list[HeldHardware]) -> Picture:
        chosen = _typical(self.frame, group).member
        near = self._standing(step, np.array(chosen.placement.origin))
        own = {id(member) for member in step.all_members}
        views = [_view(chosen, near, own, projection) for projection in _projections_for(chosen)]
        # Of head and nut side the one from which more of what is new can be seen.
        painted, marks = max(views, key=lambda view: len(view[1]))
        canvas = Canvas(width=330.0, tallest=300.0, letter=LETTER)
        for patch in painted:
            canvas.area(list(patch.area.exterior.coords)[:-1], patch.fill, patch.fill, 0.4)
            for line in patch.lines:
                canvas.line(list(line.coords), patch.edge, 0.9)
        bought = {p.member.mark for p in painted if p.member.part.is_bought}
        for mark, place in marks:
            canvas.mark(mark, place, BOUGHT if mark in bought else NEW)
        spot = chosen.spot
        return canvas.picture(
            f"{', '.join(roles).capitalize()}: at hoop {spot.hoop}, {spot.side.value}."
        )

    def _standing(self, step: Step, centre: np.ndarray) -> list[Member]:
        """Members about a place that stand when the step is done."""
        low, high = self._boxes[:, 0] - _WINDOW_MM, self._boxes[:, 1] + _WINDOW_MM
        near = np.flatnonzero(np.all((low <= centre) & (centre <= high), axis=1))
        close = np.flatnonzero(np.linalg.norm(self._places - centre, axis=1) < _WINDOW_MM)
        found = [*(self._made[k] for k in near), *(self._bought[k] for k in close)]
        return [member for member in found if self.step_of[id(member)] <= step.number]


def _box(member: Member) -> list[list[float]]:
    """Least and greatest corner of what a made member takes up, mm."""
    return [
        [sign * (reach_of(member, (sign * x, sign * y, sign * z)) or 0.0) for x, y, z in _AXES]
        for sign in (-1.0, 1.0)
    ]


def _view(
    chosen: Member, near: list[Member], own: set[int], projection: Projection
) -> tuple[list[_Patch], list[tuple[str, Point]]]:
    """What is seen about ``chosen``, and where its marks can be shown."""
    centre = np.array(chosen.placement.origin)
    patches: list[_Patch] = []
    for member in near:
        patches += _patches(member, projection, centre, _colours(member, own))
    painted = _painted(patches)
    return painted, _seen_marks(painted, own)


def _typical(frame: Frame, group: list[HeldHardware]) -> HeldHardware:
    """One joint to show: near the middle of the tunnel, on the right side, the lowest."""
    middle = frame.grid.length_mm / 2

    def rank(fixing: HeldHardware) -> tuple[bool, float, float, float]:
        x, y, z = fixing.member.placement.origin
        return (x < -1.0, round(abs(y - middle), 1), round(z, 1), round(-x, 1))

    return min(group, key=rank)


def _projections_for(member: Member) -> list[Projection]:
    """From where the nut of a bolt is seen aslant, and the head of a bolt or a screw."""
    ways = (1.0, -1.0) if isinstance(member.part, Bolt) else (-1.0,)
    found = []
    for sign in ways:
        x, y, z = member.placement.z
        way = (sign * x, sign * y, sign * z)
        found.append(
            min(
                _PROJECTIONS,
                key=lambda projection: round(abs(dot(projection.toward, way) - _ASIDE), 6),
            )
        )
    return found


def _colours(member: Member, own: set[int]) -> tuple[str, str]:
    if member.part.is_bought:
        return (BOUGHT, BOUGHT_FILL) if id(member) in own else (OLD, OLD_FILL)
    return (NEW, NEW_FILL) if id(member) in own else (OLD, OLD_FILL)


def _patches(
    member: Member, projection: Projection, centre: np.ndarray, colours: tuple[str, str]
) -> Iterator[_Patch]:
    shape = shape_of(member.part)
    place = member.placement
    rotation, shift = np.array([place.x, place.y, place.z]).T, np.array(place.origin)
    window = Dot(*projection.flat(tuple(centre))).buffer(_WINDOW_MM * 0.8, 48)
    for points, radius in _rods(shape, rotation, shift, centre):
        yield from _rod_patches(points, radius, projection, window, member, colours)
    for hull in shape.hulls:
        yield from _hull_patches(hull.placed(rotation, shift), projection, window, member, colours)


def _rods(
    shape: RodsAndHulls, rotation: np.ndarray, shift: np.ndarray, centre: np.ndarray
) -> Iterator[tuple[np.ndarray, float]]:
    """Stretches of the rods near the centre, as points along them, with the radius."""
    for index, radius in enumerate(shape.radius_mm):
        length = float(shape.rods.length[index])
        count = max(2, math.ceil(length / 20.0) + 1)
        along = np.linspace(0.0, length, count)
        points = shape.rods.take(np.full(count, index)).at(along) @ rotation.T + shift
        near = np.linalg.norm(points - centre, axis=1) < _WINDOW_MM * 1.4
        inside = np.flatnonzero(near)
        if len(inside):
            low, high = max(inside[0] - 1, 0), min(inside[-1] + 1, count - 1)
            yield points[low : high + 1], float(radius)


def _rod_patches(
    points: np.ndarray,
    radius: float,
    projection: Projection,
    window: Polygon,
    member: Member,
    colours: tuple[str, str],
) -> Iterator[_Patch]:
    size = max(1, round(_STRETCH_MM / max(float(np.linalg.norm(points[1] - points[0])), 1.0)))
    for start in range(0, len(points) - 1, size):
        stretch = points[start : start + size + 1]
        flat = [projection.flat(tuple(point)) for point in stretch]
        if math.dist(flat[0], flat[-1]) < 0.05:
            continue
        line = LineString(flat)
        area = _polygon(line.buffer(radius, cap_style="flat").intersection(window))
        if area is None:
            continue
        depths = [projection.near(tuple(point)) for point in stretch]
        sides = [line.parallel_offset(radius, side) for side in ("left", "right")]
        lines = [kept for side in sides for kept in _lines(side.intersection(window))]
        if start == 0:
            lines += _lines(_cap(flat[0], flat[1], radius).intersection(window))
        if start + size >= len(points) - 1:
            lines += _lines(_cap(flat[-1], flat[-2], radius).intersection(window))
        yield _Patch(
            area=area, lines=tuple(lines), member=member, edge=colours[0], fill=colours[1],
            near=_along(flat[0], flat[-1], depths[0], depths[-1], radius),
        )  # fmt: skip


def _along(
    a: Point, b: Point, near_a: float, near_b: float, radius: float
) -> Callable[[Point], float]:
    run = math.dist(a, b) ** 2

    def near(place: Point) -> float:
        share = ((place[0] - a[0]) * (b[0] - a[0]) + (place[1] - a[1]) * (b[1] - a[1])) / run
        return near_a + min(max(share, 0.0), 1.0) * (near_b - near_a) + radius

    return near


def _cap(end: Point, inner: Point, radius: float) -> LineString:
    dx, dy = end[0] - inner[0], end[1] - inner[1]
    size = math.hypot(dx, dy)
    nx, ny = -dy / size * radius, dx / size * radius
    return LineString([(end[0] + nx, end[1] + ny), (end[0] - nx, end[1] - ny)])


def _hull_patches(
    hull: Hull, projection: Projection, window: Polygon, member: Member, colours: tuple[str, str]
) -> Iterator[_Patch]:
    flat = [projection.flat(tuple(vertex)) for vertex in hull.vertices]
    area = _polygon(MultiPoint(flat).convex_hull.intersection(window))
    if area is None:
        return
    toward = np.array(projection.toward)
    facing = hull.normals @ toward
    right, up = np.array(projection.right), np.array(projection.up)
    ahead = facing > 1e-6

    def near(place: Point) -> float:
        start = place[0] * right + place[1] * up
        exits = (hull.offsets[ahead] - hull.normals[ahead] @ start) / facing[ahead]
        return float(exits.min())

    lines = []
    on = np.abs(hull.normals @ hull.vertices.T - hull.offsets[:, None]) < _ON_FACE_MM
    for a, b in hull.edges:
        faces = np.flatnonzero(on[:, a] & on[:, b])
        if _is_edge(hull.normals[faces], facing[faces]):
            lines += _lines(LineString([flat[a], flat[b]]).intersection(window))
    yield _Patch(
        area=area, lines=tuple(lines), near=near, member=member, edge=colours[0], fill=colours[1]
    )


def _is_edge(normals: np.ndarray, facing: np.ndarray) -> bool:
    """Whether an edge between faces is drawn: on the outline, or sharp and in sight."""
    seen = facing > 1e-6
    if not seen.any():
        return False
    return not seen.all() or len(normals) < 2 or float(normals[0] @ normals[1]) < _SMOOTH


def _polygon(shape: BaseGeometry) -> Polygon | None:
    if shape.geom_type == "MultiPolygon":
        shape = max(shape.geoms, key=lambda one: one.area)
    return shape if shape.geom_type == "Polygon" and shape.area > _TOUCH_MM2 else None


def _lines(shape: BaseGeometry) -> list[LineString]:
    parts = getattr(shape, "geoms", (shape,))
    return [p for p in parts if isinstance(p, LineString) and p.length > _INK_MM]


def _painted(patches: list[_Patch]) -> list[_Patch]:
    """Patches so that what hides another comes after it, as far as there is such an order."""
    tree = STRtree([patch.area for patch in patches])
    before: list[set[int]] = [set() for _ in patches]
    for index, patch in enumerate(patches):
        for other in tree.query(patch.area):
            if other <= index:
                continue
            shared = patch.area.intersection(patches[other].area)
            if shared.area < _TOUCH_MM2:
                continue
            place = shared.representative_point()
            at = (place.x, place.y)
            if patch.near(at) > patches[other].near(at):
                before[index].add(int(other))
            else:
                before[other].add(index)
    middle = [p.near((p.area.centroid.x, p.area.centroid.y)) for p in patches]
    done: set[int] = set()
    result = []
    rest = sorted(range(len(patches)), key=lambda k: (middle[k], k))
    while rest:
        free = next((k for k in rest if before[k] <= done), rest[0])
        rest.remove(free)
        done.add(free)
        result.append(patches[free])
    return result


def _seen_marks(painted: list[_Patch], own: set[int]) -> list[tuple[str, Point]]:
    """Each mark of this step, where most of it is in sight."""
    best: dict[str, tuple[float, Point]] = {}
    tree = STRtree([patch.area for patch in painted])
    for index, patch in enumerate(painted):
        if id(patch.member) not in own or isinstance(patch.member.part, Washer):
            continue
        over = [painted[k].area for k in tree.query(patch.area) if k > index]
        left = patch.area.difference(unary_union(over))
        place = left.buffer(-1.0).representative_point()
        mark = patch.member.mark
        if not place.is_empty and left.area > best.get(mark, (_LEAST_SEEN_MM2, None))[0]:
            best[mark] = left.area, (place.x, place.y)
    return [(mark, place) for mark, (_, place) in sorted(best.items())]
