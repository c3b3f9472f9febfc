"""The frame as it stands after a step: what is new in a strong colour, the rest pale.

Tubes are lines, boards and plates areas. What is new is drawn last, so that it shows
through what stands before it.

Glossary
--------
break : where the middle bays of a long tunnel are left out of a drawing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

import numpy as np
from msgspec import Struct
from shapely import MultiPoint

from frame3d.frame.measure.outer_points import ends_of
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Board, Tube
from frame3d.frame.skin.cover_film import film_foot_mm, outer_face
from frame3d.geometry.placement import Vector
from frame3d.guide.pictures.canvas import INK, NEW, NEW_FILL, OLD, OLD_FILL, Canvas, Point
from frame3d.guide.steps.figures import axis_points
from frame3d.sheets.projection.projection import FRONT, Projection

BACK = Projection(right=(-1.0, 0.0, 0.0), up=(0.0, 0.0, 1.0))
_MOST_BAYS, _FRONT_BAYS, _BACK_BAYS = 32, 14, 10
_GAP_BAYS = 2.0
_MOST_MARKS = 16
_FILM_STEPS = 16


class Break(Struct, frozen=True, kw_only=True):
    """Which stretch along the tunnel is left out, and how far the rest moves up; mm."""

    low_mm: float = math.inf
    high_mm: float = math.inf
    shift_mm: float = 0.0
    bays: tuple[int, int] = (0, 0)

    @property
    def caption(self) -> str:
        """What a drawing must say of it; empty for none."""
        if not self.shift_mm:
            return ""
        return f" Bays {self.bays[0]} to {self.bays[1]} are the same and not shown."

    def pieces(self, points: np.ndarray) -> list[np.ndarray]:
        """A line through ``points``, (n, 3) mm, without the stretch left out."""
        if not self.shift_mm:
            return [points]
        found = []
        for kept, shift in (
            (_below(points, self.low_mm), 0.0),
            (_above(points, self.high_mm), self.shift_mm),
        ):
            found += [piece - np.array([0.0, shift, 0.0]) for piece in kept]
        return found


def break_of(frame: Frame) -> Break:
    """The break that a drawing of ``frame`` needs; none for a short one."""
    places, bays = frame.grid.hoop_y_mm, len(frame.grid.hoop_y_mm) - 1
    if bays <= _MOST_BAYS:
        return Break()
    low = (places[_FRONT_BAYS] + places[_FRONT_BAYS + 1]) / 2
    high = (places[bays - _BACK_BAYS - 1] + places[bays - _BACK_BAYS]) / 2
    return Break(
        low_mm=low, high_mm=high, shift_mm=high - low - _GAP_BAYS * frame.grid.spacing_mm,
        bays=(_FRONT_BAYS + 2, bays - _BACK_BAYS - 1),
    )  # fmt: skip


def corner_projection(turn_deg: float = 52.0, above_deg: float = 24.0) -> Projection:
    """From before the front end, ``turn_deg`` round to the right side, and above."""
    turn, above = math.radians(turn_deg), math.radians(above_deg)
    sin, cos = math.sin(turn), math.cos(turn)
    return Projection(
        right=(cos, sin, 0.0),
        up=(-sin * math.sin(above), cos * math.sin(above), math.cos(above)),
    )


class ProjectedMembers:
    """Members as they look from one direction, each worked out once for all drawings.

    Parameters
    ----------
    projection : Projection
    cut : Break or None
        What is left out; None for nothing.
    """

    def __init__(self, projection: Projection, cut: Break | None = None) -> None:
        self.projection, self.cut = projection, cut or Break()
        self._known: dict[int, tuple[Member, float, list[list[Point]]]] = {}

    def draw(self, canvas: Canvas, old: Iterable[Member], new: Iterable[Member]) -> None:
        """Old members pale and new ones strong, the farthest first."""
        for members, edge, fill, wide in ((old, OLD, OLD_FILL, 0.9), (new, NEW, NEW_FILL, 1.7)):
            for member in sorted(members, key=lambda member: self._look(member)[1]):
                for piece in self._look(member)[2]:
                    if isinstance(member.part, Tube):
                        canvas.line(piece, edge, wide)
                    else:
                        canvas.area(piece, fill, edge, 0.6 if wide < 1 else 0.9)

    def _look(self, member: Member) -> tuple[Member, float, list[list[Point]]]:
        """How near a member is, and its lines or outlines; the member stays alive with them."""
        known = self._known.get(id(member))
        if known is None:
            near = self.projection.near(_middle(member))
            known = self._known[id(member)] = member, near, list(self._pieces(member))
        return known

    def _pieces(self, member: Member) -> Iterator[list[Point]]:
        if isinstance(member.part, Tube):
            straight = member.part.axis.is_straight
            for piece in self.cut.pieces(axis_points(member, 2 if straight else 13)):
                yield [self.projection.flat(tuple(point)) for point in piece]
            return
        for piece in _bodies(member, self.cut):
            hull = MultiPoint([self.projection.flat(tuple(point)) for point in piece]).convex_hull
            if hull.geom_type == "Polygon":
                yield list(hull.exterior.coords)[:-1]


def mark_kinds(
    canvas: Canvas, projection: Projection, members: Iterable[Member], cut: Break | None = None
) -> None:
    """A label for every mark among ``members``, at the one nearest to the viewer."""
    cut = cut or Break()
    found: dict[str, Vector] = {}
    for member in members:
        middle = _middle(member)
        if cut.shift_mm and cut.low_mm < middle[1] < cut.high_mm:
            continue
        if member.mark not in found or projection.near(middle) > projection.near(
            found[member.mark]
        ):
            found[member.mark] = middle
    for mark, middle in list(found.items())[:_MOST_MARKS]:
        shift = cut.shift_mm if middle[1] >= cut.high_mm else 0.0
        canvas.mark(mark, projection.flat((middle[0], middle[1] - shift, middle[2])))


def draw_ground(canvas: Canvas, frame: Frame, projection: Projection, cut: Break) -> None:
    """The line between the feet, dashed."""
    x, length = frame.grid.socket_x_mm, frame.grid.length_mm
    corners = [(-x, 0.0, 0.0), (x, 0.0, 0.0), (x, length, 0.0), (-x, length, 0.0)]
    for a, b in zip(corners, [*corners[1:], corners[0]], strict=True):
        for piece in cut.pieces(np.array([a, b])):
            canvas.line([projection.flat(tuple(p)) for p in piece], OLD, 0.6, "4 3")


def draw_film(canvas: Canvas, frame: Frame, projection: Projection, cut: Break) -> None:
    """The film over the hoops, as one can see through it."""
    curve = outer_face(frame)
    path, placed = curve.path, []
    for share in range(_FILM_STEPS + 1):
        here = curve.placed(path.at(path.length_mm * share / _FILM_STEPS))
        placed.append((here.x_mm, here.z_mm))
    foot = film_foot_mm(frame.design, frame.ground)
    half = [(x, z) for x, z in placed if z >= foot - 1.0] or placed
    outline = [*half, *((-x, z) for x, z in reversed(half[:-1]))]
    length = frame.grid.length_mm - cut.shift_mm
    quads = []
    for (x0, z0), (x1, z1) in zip(outline, outline[1:], strict=False):
        corners = [(x0, 0.0, z0), (x1, 0.0, z1), (x1, length, z1), (x0, length, z0)]
        quads.append((projection.near(corners[0]), [projection.flat(c) for c in corners]))
    for _, flat in sorted(quads):
        canvas.area(flat, NEW_FILL, "", opacity=0.55)
    for y in (0.0, length):
        canvas.line([projection.flat((x, y, z)) for x, z in outline], NEW, 1.7)
    for x, z in (outline[0], outline[-1]):
        canvas.line([projection.flat((x, 0.0, z)), projection.flat((x, length, z))], NEW, 1.7)


def elevation(canvas: Canvas, frame: Frame, old: Iterable[Member], new: Iterable[Member],
              back: bool) -> None:  # fmt: skip
    """An end of the tunnel seen square from outside, with the ground."""
    projection = BACK if back else FRONT
    ProjectedMembers(projection).draw(canvas, old, new)
    x = frame.grid.socket_x_mm * 1.06
    canvas.line([(-x, 0.0), (x, 0.0)], INK, 0.8)
    mark_kinds(canvas, projection, new)


def _bodies(member: Member, cut: Break) -> list[np.ndarray]:
    """Corners of what is no tube, those of each stretch of it that is drawn."""
    part, place = member.part, member.placement
    if isinstance(part, Board):
        deep, thick = part.section.depth_mm, part.section.thickness_mm
        ways = [(y, z) for y in (0.0, deep) for z in (0.0, thick)]
        edges = [np.array([place.point((0.0, *way)), place.point((part.length_mm, *way))])
                 for way in ways]  # fmt: skip
        pieces = [cut.pieces(edge) for edge in edges]
        count = min(len(found) for found in pieces)
        return [np.vstack([found[k] for found in pieces]) for k in range(count)]
    corners = np.array([place.point(end) for body in part.bodies for end in ends_of(body)])
    inside = cut.shift_mm and cut.low_mm < corners[0][1] < cut.high_mm
    return [] if inside else [np.vstack(cut.pieces(corners))]


def _middle(member: Member) -> Vector:
    """A place on a member near its middle, mm."""
    part = member.part
    if isinstance(part, Tube):
        at = part.axis.at(part.length_mm / 2)
        return member.placement.point((at.x_mm, at.y_mm, 0.0))
    x, y, z = axis_points(member).mean(axis=0).tolist()
    return x, y, z


def _below(points: np.ndarray, limit: float) -> list[np.ndarray]:
    return _kept(points, points[:, 1] - limit)


def _above(points: np.ndarray, limit: float) -> list[np.ndarray]:
    return _kept(points, limit - points[:, 1])


def _kept(points: np.ndarray, over: np.ndarray) -> list[np.ndarray]:
    """The stretches of a line where ``over`` is not above 0, cut where it passes 0."""
    pieces, here = [], []
    for k, point in enumerate(points):
        if k and (over[k - 1] > 0) != (over[k] > 0):
            share = over[k - 1] / (over[k - 1] - over[k])
            here.append(points[k - 1] + share * (point - points[k - 1]))
            if over[k] > 0:
                pieces.append(np.array(here))
                here = []
        if over[k] <= 0:
            here.append(point)
    if len(here) > 1:
        pieces.append(np.array(here))
    return pieces
