"""Joints from near: the members about a bolt, a clamp or a screw, the nearest over the rest.

Members are taken as rods and hulls, cut to a round window, split along their length, and
painted in the order in which they hide each other.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from shapely import LineString, MultiPoint, Polygon, STRtree
from shapely import Point as Dot

from frame3d.checks.shapes import Shape, shape_of
from frame3d.frame.members import Frame, Member, Role
from frame3d.frame.parts import HARDWARE, Bolt, ClampHalf, Nut, Screw, Washer
from frame3d.geometry.hulls import Hull
from frame3d.guide.canvas import (
    BOUGHT,
    BOUGHT_FILL,
    NEW,
    NEW_FILL,
    OLD,
    OLD_FILL,
    Canvas,
    Point,
)
from frame3d.guide.overview import corner_eye
from frame3d.guide.phases import Phase
from frame3d.guide.steps import Fixing, Step
from frame3d.guide.told import Picture
from frame3d.sheets.eye import Eye

__all__ = ["closeups"]

_MOST = 3
_WINDOW_MM = 230.0
_STRETCH_MM = 40.0
_TOUCH_MM2 = 0.5
_INK_MM = 0.6
_KINDS = (Bolt, ClampHalf, Screw)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Patch:
    """A piece of a member as it is seen: its area, its lines, and how near it is."""

    area: Polygon
    lines: tuple[LineString, ...]
    near: Callable[[Point], float]
    edge: str
    fill: str


def closeups(frame: Frame, step: Step, step_of: dict[int, int]) -> tuple[Picture, ...]:
    """The kinds of joint of a step from near, the most frequent first, three at most."""
    if step.phase in (Phase.PREPARE, Phase.INSPECT):
        return ()
    kinds: dict[tuple[str, ...], list[Fixing]] = {}
    for fixing in step.fixings:
        if isinstance(fixing.member.part, _KINDS) and len(fixing.held) > 1:
            roles = tuple(sorted({member.role.value for member in fixing.held}))
            kinds.setdefault(roles, []).append(fixing)
    found = sorted(kinds.items(), key=lambda item: (-len(item[1]), item[0]))[:_MOST]
    return tuple(_one(frame, step, step_of, roles, group) for roles, group in found)


def _one(
    frame: Frame, step: Step, step_of: dict[int, int], roles: tuple[str, ...],
    group: list[Fixing],
) -> Picture:
    chosen = _typical(frame, group)
    centre = np.array(chosen.member.placement.origin)
    eye = _eye_for(frame, chosen.member)
    standing = [
        member for member in frame.members
        if _is_near(member, centre)
        and (isinstance(member.part, HARDWARE) or step_of[id(member)] <= step.number)
    ]
    own = {id(member) for member in step.all_members}
    before = _earlier_hardware(frame, step, step_of)
    patches, shown = [], []
    for member in standing:
        if isinstance(member.part, HARDWARE) and id(member) not in own:
            if id(member) not in before:
                continue
        colours = _colours(member, own)
        made = list(_patches(member, eye, centre, colours))
        patches += made
        if made and id(member) in own:
            shown.append((member, made))
    canvas = Canvas(width=330.0, tallest=300.0)
    for patch in _painted(patches):
        canvas.area(list(patch.area.exterior.coords)[:-1], patch.fill, patch.fill, 0.4)
        for line in patch.lines:
            canvas.line(list(line.coords), patch.edge, 0.9)
    _mark(canvas, shown, patches)
    where = f"at hoop {chosen.member.spot.hoop}, {chosen.member.spot.side.value}"
    return canvas.picture(f"{', '.join(roles).capitalize()}: {where}.")


def _earlier_hardware(frame: Frame, step: Step, step_of: dict[int, int]) -> set[int]:
    return set()


def _typical(frame: Frame, group: list[Fixing]) -> Fixing:
    """One joint to show: near the middle of the tunnel, on the right side, the lowest."""
    middle = frame.grid.length_mm / 2

    def rank(fixing: Fixing) -> tuple:
        x, y, z = fixing.member.placement.origin
        return (x < -1.0, round(abs(y - middle), 1), round(z, 1), round(-x, 1))

    return min(group, key=rank)


def _eye_for(frame: Frame, member: Member) -> Eye:
    """From inside and before, so that both faces of a wall's foot are seen."""
    left = member.placement.origin[0] < 0
    return corner_eye(28.0 if left else -28.0, 22.0)


def _colours(member: Member, own: set[int]) -> tuple[str, str]:
    if isinstance(member.part, HARDWARE):
        return (BOUGHT, BOUGHT_FILL) if id(member) in own else (OLD, OLD_FILL)
    return (NEW, NEW_FILL) if id(member) in own else ("#5b646c", OLD_FILL)


def _is_near(member: Member, centre: np.ndarray) -> bool:
    """Whether a member can reach into the window; generous for long ones."""
    if isinstance(member.part, HARDWARE):
        return math.dist(member.placement.origin, centre) < _WINDOW_MM
    return True


def _patches(
    member: Member, eye: Eye, centre: np.ndarray, colours: tuple[str, str]
) -> Iterator[_Patch]:
    shape = _shape(member)
    place = member.placement
    rotation, shift = np.array([place.x, place.y, place.z]).T, np.array(place.origin)
    window = Dot(*eye.flat(tuple(centre))).buffer(_WINDOW_MM * 0.8, 48)
    for points, radius in _rods(shape, rotation, shift, centre):
        yield from _rod_patches(points, radius, eye, window, colours)
    for hull in shape.hulls:
        yield from _hull_patches(hull.placed(rotation, shift), eye, window, centre, colours)


_SHAPES: dict = {}


def _shape(member: Member) -> Shape:
    return shape_of(member.part)


def _rods(shape: Shape, rotation, shift, centre) -> Iterator[tuple[np.ndarray, float]]:
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
    points: np.ndarray, radius: float, eye: Eye, window: Polygon, colours: tuple[str, str]
) -> Iterator[_Patch]:
    size = max(1, round(_STRETCH_MM / max(np.linalg.norm(points[1] - points[0]), 1.0)))
    for start in range(0, len(points) - 1, size):
        stretch = points[start : start + size + 1]
        flat = [eye.flat(tuple(point)) for point in stretch]
        if math.dist(flat[0], flat[-1]) < 0.05:
            continue
        line = LineString(flat)
        area = _polygon(line.buffer(radius, cap_style="flat").intersection(window))
        if area is None:
            continue
        depths = [eye.near(tuple(point)) for point in stretch]
        sides = [line.parallel_offset(radius, side) for side in ("left", "right")]
        lines = [kept for side in sides for kept in _lines(side.intersection(window))]
        if start == 0:
            lines += _lines(_cap(flat[0], flat[1], radius).intersection(window))
        if start + size >= len(points) - 1:
            lines += _lines(_cap(flat[-1], flat[-2], radius).intersection(window))
        yield _Patch(
            area=area, lines=tuple(lines), edge=colours[0], fill=colours[1],
            near=_along(flat[0], flat[-1], depths[0], depths[-1], radius),
        )  # fmt: skip


def _along(a: Point, b: Point, near_a: float, near_b: float, radius: float):
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
    hull: Hull, eye: Eye, window: Polygon, centre: np.ndarray, colours: tuple[str, str]
) -> Iterator[_Patch]:
    flat = [eye.flat(tuple(vertex)) for vertex in hull.vertices]
    area = _polygon(MultiPoint(flat).convex_hull.intersection(window))
    if area is None:
        return
    toward = np.array(eye.toward)
    facing = hull.normals @ toward
    right, up = np.array(eye.right), np.array(eye.up)
    ahead = facing > 1e-6

    def near(place: Point) -> float:
        start = place[0] * right + place[1] * up
        exits = (hull.offsets[ahead] - hull.normals[ahead] @ start) / facing[ahead]
        return float(exits.min())

    lines = []
    for a, b in hull.edges:
        on = np.abs(hull.normals @ hull.vertices[[a, b]].T - hull.offsets[:, None]) < 1e-3
        faces = on.all(axis=1)
        if (facing[faces] > 1e-6).any():
            lines += _lines(LineString([flat[a], flat[b]]).intersection(window))
    yield _Patch(area=area, lines=tuple(lines), near=near, edge=colours[0], fill=colours[1])


def _polygon(shape) -> Polygon | None:
    if shape.geom_type == "MultiPolygon":
        shape = max(shape.geoms, key=lambda one: one.area)
    return shape if shape.geom_type == "Polygon" and shape.area > _TOUCH_MM2 else None


def _lines(shape) -> list[LineString]:
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
    done, result = set(), []
    rest = sorted(range(len(patches)), key=lambda k: (middle[k], k))
    while rest:
        free = next((k for k in rest if before[k] <= done), rest[0])
        rest.remove(free)
        done.add(free)
        result.append(patches[free])
    return result


def _mark(canvas: Canvas, shown: list, patches: list[_Patch]) -> None:
    """A label for each mark that can be seen."""
    named: set[str] = set()
    for member, made in shown:
        if member.mark in named or isinstance(member.part, (Washer,)):
            continue
        best = max(made, key=lambda patch: patch.area.area)
        place = best.area.representative_point()
        named.add(member.mark)
        colour = BOUGHT if isinstance(member.part, HARDWARE) else NEW
        canvas.mark(member.mark, (place.x, place.y), colour)


_ = (Nut, Role, Iterable)
