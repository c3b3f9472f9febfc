"""The isometric view of a whole frame, nearer members over farther ones.

Members that are too thin for two lines on the paper are drawn as one line along their axis.
Lines behind a nearer member stop a little before it, so that it reads which lies in front.
Of a long tunnel the first bays are shown, as the sheet says.

References
----------
ISO 5456-3: isometric axonometry, the three axes equally foreshortened.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence
from typing import TypeVar

import numpy as np
from msgspec import Struct, field

from frame3d.frame.measure.board_measures import blocks
from frame3d.frame.model.bodies import ExtrudedOutline, TurnedProfile
from frame3d.frame.model.members import Frame, Member, with_part
from frame3d.frame.model.parts import Board, Tube
from frame3d.frame.model.roles import SKIN, Role
from frame3d.geometry.paths import NEGLIGIBLE_MM, Arc, PlanePath, advance
from frame3d.geometry.placement import Vector
from frame3d.sheets.annotation.dimension_stacks import BUBBLE_MM
from frame3d.sheets.primitives.lettering import TEXT_MM
from frame3d.sheets.primitives.occupancy import Occupied, text_boxes
from frame3d.sheets.primitives.primitives import Bubble, Label, Layer, Point, Primitive, Stroke
from frame3d.sheets.projection.overlap import Faces, Segments, uncovered
from frame3d.sheets.projection.projection import Projection
from frame3d.sheets.projection.tube_outlines import body

_HALF, _SIXTH = math.sqrt(1 / 2), math.sqrt(1 / 6)
ISOMETRIC = Projection(right=(_HALF, _HALF, 0.0), up=(-_SIXTH, _SIXTH, 2 * _SIXTH))
"""From the front, the right and above: the front end at the lower left."""

HEAVY = (Role.HOOP, Role.SOCKET, Role.SPLICE, Role.RIDGE_JOINT)
_TWO_LINES_MM, _HALO_MM, _CHORD_MM, _SHORTEST_MM = 0.7, 0.3, 0.05, 0.25
"""Paper mm: tubes from this width on have two lines; clear space beside near members;
how far chords may lie off an arc; shorter stretches are left out."""
_ALONG_AXIS = 0.3
"""A tube counts as this share of its radius nearer than its axis, over one inside of it."""
_LEAST_BAY_MM = 2.5
"""Hoops nearer than this to each other on the paper are a blot."""
_OUT_MM = (14.0, 18.0, 24.0, 32.0, 45.0, 60.0)
"""How far out a sign may stand, paper mm."""


Sign = TypeVar("Sign", Bubble, Label)


class _Model(Struct):
    """Lines and faces while they are gathered; numbers in ``layer`` are those of ``_LAYERS``."""

    ends: list[np.ndarray] = field(default_factory=list)
    layer: list[int] = field(default_factory=list)
    owner: list[int] = field(default_factory=list)
    corners: list[np.ndarray] = field(default_factory=list)
    face_owner: list[int] = field(default_factory=list)

    def lines(self, ends: np.ndarray, layer: int, owner: int) -> None:
        """Add lines (n, 2, 3), mm: across, up and toward the viewer."""
        self.ends.append(ends)
        self.layer += [layer] * len(ends)
        self.owner += [owner] * len(ends)

    def faces(self, corners: np.ndarray, owner: int) -> None:
        """Add faces (n, 4, 3)."""
        self.corners.append(corners)
        self.face_owner += [owner] * len(corners)


_LAYERS = (Layer.OUTLINE, Layer.FINE, Layer.HIDDEN)
_OUTLINE, _FINE, _BELOW = range(3)


def can_be_told_apart(frame: Frame, scale: float) -> bool:
    """Whether hoops stand far enough from each other at 1 to ``scale``."""
    return frame.grid.spacing_mm * math.hypot(_HALF, _SIXTH) / scale >= _LEAST_BAY_MM


def isometric(frame: Frame, scale: int, hoops: int) -> tuple[Primitive, ...]:
    """The first ``hoops`` hoops of ``frame`` and what stands between them, hidden lines out.

    Parameters
    ----------
    frame : Frame
    scale : int
        The 200 of 1:200; what is drawn as one line or as two depends on it.
    hoops : int
    """
    ys = frame.grid.hoop_y_mm
    last = ys[hoops - 1] + (frame.grid.spacing_mm / 2 if hoops < len(ys) else math.inf)
    model = _Model()
    for owner, member in enumerate(frame.members):
        if member.role is Role.JOINT_BLOCK or member.role in SKIN:
            continue
        layer = _OUTLINE if member.role in HEAVY else _FINE
        if isinstance(member.part, Tube):
            _add_tube(model, with_part(member, Tube), layer, owner, scale, last)
        elif isinstance(member.part, Board):
            _add_board(model, with_part(member, Board), owner, scale, last)
        elif not member.part.is_bought:
            _add_others(model, member, owner, scale, last)
    ends = np.concatenate(model.ends)
    corners = np.concatenate(model.corners)
    lines = Segments(ends=ends[:, :, :2], near=ends[:, :, 2], owner=np.array(model.owner))
    faces = Faces(
        corners=corners[:, :, :2], near=corners[:, :, 2], owner=np.array(model.face_owner)
    )
    primitives: list[Primitive] = []
    for index, start, end in uncovered(lines, faces, _SHORTEST_MM * scale):
        (u0, v0), (u1, v1) = lines.ends[index].tolist()
        primitives.append(
            Stroke(
                start=(u0 + start * (u1 - u0), v0 + start * (v1 - v0)),
                end=(u0 + end * (u1 - u0), v0 + end * (v1 - v0)),
                layer=_LAYERS[model.layer[index]],
            )
        )
    return (*primitives, *_signs(frame, scale, hoops, primitives))


def extent_mm(frame: Frame, hoops: int) -> tuple[float, float]:
    """Width and height of the view without its signs, mm."""
    x = frame.arch.width_mm / 2 + frame.arch.tube_od_mm
    y, low = frame.grid.hoop_y_mm[hoops - 1], 0.0
    socket = next(frame.of(Role.SOCKET), None)
    if socket is not None:
        low = min(low, socket.placement.origin[2])
    if hoops < len(frame.grid.hoop_y_mm):
        y += frame.grid.spacing_mm / 2
    top = frame.arch.ridge_height_mm
    points = [
        ISOMETRIC.flat(point)
        for y_mm in (0.0, y)
        for point in ((-x, y_mm, low), (x, y_mm, low), (0.0, y_mm, top), (-x, y_mm, 0.6 * top))
    ]
    us, vs = zip(*points, strict=True)
    return max(us) - min(us), max(vs) - min(vs)


def _seen(points: np.ndarray) -> np.ndarray:
    """Points (..., 3) of the frame as across, up, toward the viewer."""
    axes = np.array([ISOMETRIC.right, ISOMETRIC.up, ISOMETRIC.toward])
    seen: np.ndarray = points @ axes.T
    return seen


def _placed(member: Member, points: np.ndarray) -> np.ndarray:
    place = member.placement
    placed: np.ndarray = np.array(place.origin) + points @ np.array([place.x, place.y, place.z])
    return placed


@functools.lru_cache(maxsize=256)
def _chords(path: PlanePath, off_mm: float) -> np.ndarray:
    """Points (n, 3) of a path, its arcs by chords at most ``off_mm`` off."""
    points = [(0.0, 0.0, 0.0)]
    for (_, here), segment in zip(path.starts, path.segments, strict=True):
        count = 1
        if isinstance(segment, Arc):
            step = 2 * math.acos(max(0.0, 1 - off_mm / segment.radius_mm))
            count = max(2, math.ceil(abs(segment.angle_rad) / max(step, 0.02)))
        for i in range(1, count + 1):
            there = advance(here, segment, segment.length_mm * i / count)
            points.append((there.x_mm, there.y_mm, 0.0))
    return np.array(points)


def _until(ends: np.ndarray, axis: int, last: float) -> np.ndarray:
    """The parts of lines (n, 2, 3) on which the coordinate ``axis`` is at most ``last``."""
    # What is below it by rounding alone would leave a line of no length.
    kept: np.ndarray = ends[ends[:, :, axis].min(axis=1) < last - NEGLIGIBLE_MM]
    over = kept[:, :, axis] > last
    for end, other in ((0, 1), (1, 0)):
        cut = over[:, end]
        away = kept[cut, other] - kept[cut, end]
        share = (last - kept[cut, end, axis]) / away[:, axis]
        kept[cut, end] += share[:, None] * away
    return kept


def _add_tube(
    model: _Model, member: Member[Tube], layer: int, owner: int, scale: int, last: float
) -> None:
    """A tube by chords: two lines or one, its ends, and a face for each chord."""
    tube = member.part
    path, first = body(tube) if tube.start or tube.end else (tube.axis, 0.0)
    start = tube.axis.at(first)
    local = _chords(path, _CHORD_MM * scale)
    cos, sin = start.tangent
    turned = local @ np.array([[cos, sin, 0.0], [-sin, cos, 0.0], [0.0, 0.0, 1.0]])
    points = _placed(member, turned + (start.x_mm, start.y_mm, 0.0))
    chords = _until(np.stack([points[:-1], points[1:]], axis=1), 1, last)
    if not len(chords):
        return
    radius = tube.section.od_mm / 2
    wide = 2 * radius / scale >= _TWO_LINES_MM
    above, below = _at_ground(chords)
    for part, on in ((above, layer), (below, _BELOW)):
        if len(part):
            seen = _seen(part)
            model.lines(_edges(seen, radius) if wide else seen, on, owner)
            if wide:
                _add_ends(model, seen, radius, on, owner)
    cover = _bands(_seen(chords), radius + _HALO_MM * scale)
    cover[:, :, 2] += _ALONG_AXIS * radius
    model.faces(cover, owner)


def _at_ground(chords: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Lines (n, 2, 3) above ground and below it."""
    if chords[:, :, 2].min() >= 0.0:
        return chords, chords[:0]
    mirrored = chords * (1.0, 1.0, -1.0)
    return _until(mirrored, 2, 0.0) * (1.0, 1.0, -1.0), _until(chords.copy(), 2, 0.0)


def _across(seen: np.ndarray) -> np.ndarray:
    """Unit vectors (n, 2) to the left of lines (n, 2, 3) on the sheet."""
    along = seen[:, 1, :2] - seen[:, 0, :2]
    size = np.linalg.norm(along, axis=1, keepdims=True)
    along = np.divide(along, size, out=np.zeros_like(along), where=size > 0)
    return np.stack([-along[:, 1], along[:, 0]], axis=1)


def _edges(seen: np.ndarray, radius: float) -> np.ndarray:
    """The two sides of tubes along lines (n, 2, 3)."""
    shift = np.zeros((len(seen), 1, 3))
    shift[:, 0, :2] = _across(seen) * radius
    return np.concatenate([seen + shift, seen - shift])


def _bands(seen: np.ndarray, half: float) -> np.ndarray:
    """Faces (n, 4, 3) of width 2 ``half`` along lines."""
    shift = np.zeros((len(seen), 3))
    shift[:, :2] = _across(seen) * half
    return np.stack(
        [seen[:, 0] - shift, seen[:, 1] - shift, seen[:, 1] + shift, seen[:, 0] + shift], axis=1
    )


def _add_ends(model: _Model, seen: np.ndarray, radius: float, layer: int, owner: int) -> None:
    """The round ends of a run of chords: whole where open to the viewer, else the outer half."""
    for at, other in ((seen[0, 0], seen[0, 1]), (seen[-1, 1], seen[-1, 0])):
        out = at - other
        out = out / np.linalg.norm(out)
        flat = math.hypot(out[0], out[1])
        if flat < 1e-6:
            out, flat = np.array([1e-6, 0.0, out[2]]), 1e-6
        side = np.array([-out[1] / flat, out[0] / flat, 0.0])
        inner = np.cross(out, side)
        inner = inner if inner[:2] @ out[:2] < 0 else -inner
        full = out[2] > 0
        turn = np.linspace(0.0, 2 * math.pi if full else math.pi, 25 if full else 13)
        ring = at + radius * (np.cos(turn)[:, None] * side - np.sin(turn)[:, None] * inner)
        model.lines(np.stack([ring[:-1], ring[1:]], axis=1), layer, owner)


# Corners of a block are numbered 4 x + 2 y + z; each face runs round anticlockwise from outside.
_QUADS = ((0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3))


def _add_board(model: _Model, member: Member[Board], owner: int, scale: int, last: float) -> None:
    """A board: the faces that can be seen and are wide enough to draw, else one line."""
    part = member.part
    thick, deep = part.section.thickness_mm / scale, part.section.depth_mm / scale
    for block in blocks(part):
        corners = _placed(member, block)
        if corners[:, 1].min() >= last:
            continue
        if max(thick, deep) < _TWO_LINES_MM:
            ends = corners.reshape(2, 4, 3).mean(axis=1)[None]
            ends = _until(ends, 1, last)
            model.lines(_seen(ends), _FINE, owner)
            half = part.section.depth_mm / 2 + _HALO_MM * scale
            model.faces(_bands(_seen(ends), half), owner)
            continue
        _add_solid(model, corners, owner, scale, last)


def _add_solid(model: _Model, corners: np.ndarray, owner: int, scale: int, last: float) -> None:
    """A block of eight corners: outlines and faces that are turned to the viewer."""
    for low, high in ((0, 4), (1, 5), (2, 6), (3, 7)):
        corners[[low, high]] = _cut_edge(corners[low], corners[high], last)
    seen = _seen(corners)
    edges: dict[tuple[int, int], None] = {}
    for quad in _QUADS:
        face = seen[list(quad)]
        first, second = face[1] - face[0], face[3] - face[0]
        size = abs(first[0] * second[1] - first[1] * second[0])
        if (first[0] * second[1] - first[1] * second[0]) <= 0:
            continue
        model.faces(face[None], owner)
        narrow = size / max(np.linalg.norm(first[:2]), np.linalg.norm(second[:2]), 1e-9)
        if narrow / scale >= 0.5:
            for a, b in zip(quad, (*quad[1:], quad[0]), strict=True):
                edges[min(a, b), max(a, b)] = None
    if edges:
        pairs = np.array(list(edges))
        model.lines(np.stack([seen[pairs[:, 0]], seen[pairs[:, 1]]], axis=1), _FINE, owner)


def _cut_edge(low: np.ndarray, high: np.ndarray, last: float) -> np.ndarray:
    """An edge shortened to where y is at most ``last``."""
    ends = np.stack([low, high])
    cut = _until(ends[None].copy(), 1, last)
    return cut[0] if len(cut) else ends


def _add_others(model: _Model, member: Member, owner: int, scale: int, last: float) -> None:
    """Plates: the outline of the face, where it is large enough to draw; of what is turned a line.

    Other bodies are bought, and too small here.
    """
    for shape in member.part.bodies:
        if isinstance(shape, ExtrudedOutline):
            middle = (shape.low_mm + shape.high_mm) / 2
            flat = np.array([(x, y, middle) for x, y in shape.outline])
        elif isinstance(shape, TurnedProfile):
            flat = np.array([(0.0, 0.0, shape.low_mm), (0.0, 0.0, shape.high_mm)])
        else:
            continue
        if np.ptp(flat, axis=0).max() / scale < 1.0 or member.placement.origin[1] >= last:
            continue
        ring = _seen(_placed(member, flat))
        model.lines(np.stack([ring, np.roll(ring, -1, axis=0)], axis=1), _FINE, owner)


def _signs(
    frame: Frame, scale: int, hoops: int, primitives: Sequence[Primitive]
) -> list[Primitive]:
    """The numbers of the first and the last hoop shown, and a word for the front.

    Each stands as near as nothing is drawn: beside the right foot of its hoop, or before the
    front.
    """
    x, ys = frame.arch.width_mm / 2, frame.grid.hoop_y_mm
    apart = (ys[hoops - 1] - ys[0]) * math.hypot(_HALF, _SIXTH) / scale
    signs: list[Primitive] = []
    for number in sorted({1, hoops} if apart > BUBBLE_MM + 2.0 else {1}):
        foot = ISOMETRIC.flat((x, ys[number - 1], 0.0))
        bubble = _free(
            [
                Bubble(
                    text=str(number),
                    at=_away(foot, (1.0, 0.0, 0.0), out * scale),
                    diameter=BUBBLE_MM,
                )
                for out in _OUT_MM
            ],
            [*primitives, *signs],
            scale,
        )
        reach = math.dist(foot, bubble.at) - BUBBLE_MM / 2 * scale
        signs.append(bubble)
        signs.append(
            Stroke(
                start=_away(foot, (1.0, 0.0, 0.0), 3.5 * scale),
                end=_away(foot, (1.0, 0.0, 0.0), reach),
                layer=Layer.GRID,
            )
        )
    middle = ISOMETRIC.flat((0.0, 0.0, 0.0))
    words = [
        Label(text="front", at=_away(middle, (0.0, -1.0, 0.0), out * scale), height=TEXT_MM)
        for out in _OUT_MM
    ]
    return [*signs, _free(words, [*primitives, *signs], scale)]


def _away(start: Point, axis: Vector, distance: float) -> Point:
    """The point ``distance`` from ``start`` on the sheet in the direction of an axis."""
    u, v = ISOMETRIC.flat(axis)
    size = math.hypot(u, v)
    return (start[0] + u / size * distance, start[1] + v / size * distance)


def _free(options: Sequence[Sign], primitives: Sequence[Primitive], scale: int) -> Sign:
    """The first of ``options`` that nothing touches; the last if there is none."""
    taken = Occupied(primitives, scale, 0.5)
    for option in options:
        (ground,) = text_boxes([option], scale, 1.0)
        if not taken.lines_hit(ground) and not taken.touches_text(ground):
            return option
    return options[-1]
