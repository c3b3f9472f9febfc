"""The plot of a design in figures: where its lines run, and how far the frame is from each.

Glossary
--------
corner : a corner of the boundary; line : the boundary from one corner to the next.
tape : a distance measured from a corner socket; two of them find a corner.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from frame3d.design.tables.surroundings import Bearing, Boundary, Nearby, Service
from frame3d.design.tables.surroundings import Neighbour as NeighbourKind
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.cached import cached_per_frame
from frame3d.frame.model.members import Frame
from frame3d.geometry.plane import (
    Line,
    Point,
    circles_meet,
    contains,
    crossing_sides,
    inset,
    nearest,
    nearest_of_rings,
    sides,
)
from frame3d.site.plot.outline import (
    OUT,
    InGround,
    Ring,
    beside,
    hoops_outside,
    in_ground,
    outline,
    reach_at,
)
from frame3d.site.staking.socket_names import axes_of

_SAME_MM = 1.0
"""Corners nearer than this are one: no tape tells them apart."""


class PlotFault(Struct, frozen=True, kw_only=True):
    """What is wrong with what was given: the field, in words, and what to do.

    ``against`` is the other field that it does not go with; empty where it is alone.
    ``unfinished`` where nothing is wrong yet, and more is wanted.
    """

    field: str
    message: str
    advice: str
    against: str = ""
    unfinished: bool = False


class BoundaryLine(Struct, frozen=True, kw_only=True):
    """A line of the boundary.

    Parameters
    ----------
    number : int
        Of its ``[[boundary]]``, from 1.
    name : str
    ends : Line
    setback_mm : float or None
        That this line asks for.
    apart : Line
        The nearest points of frame and line, the frame's first.
    """

    number: int
    name: str
    ends: Line
    setback_mm: float | None
    apart: Line

    @property
    def distance_mm(self) -> float:
        """From the outside of the frame to the line; 0 where it crosses the frame."""
        return math.dist(*self.apart)


class Run(Struct, frozen=True, kw_only=True):
    """A service on the plot.

    Parameters
    ----------
    number : int
        Of its ``[[service]]``, from 1.
    service : Service
    points : tuple of Point
    near : InGround
        What of that which stands in the ground is nearest to the run.
    distance_mm : float
        From its outside; 0 where it is hit.
    under : bool
        Whether the run comes under or over the frame.
    """

    number: int
    service: Service
    points: tuple[Point, ...]
    near: InGround
    distance_mm: float
    under: bool


class Neighbour(Struct, frozen=True, kw_only=True):
    """Something that stands nearby: its place as far as it is known.

    ``ring`` has four corners where length and depth are known, else two: its near edge.
    """

    number: int
    thing: Nearby
    ring: tuple[Point, ...]


class Plot(Struct, frozen=True, kw_only=True):
    """All of it.

    Parameters
    ----------
    outline : Ring
        Round the frame.
    corners : tuple of Point
        Of the boundary, in the order given; empty where it is not closed.
    setbacks : tuple of Point
        Corners of the setback lines; empty where there are none, or they cross each other.
    lines : tuple of BoundaryLine
    runs : tuple of Run
    neighbours : tuple of Neighbour
    faults : tuple of PlotFault
    """

    outline: Ring
    corners: tuple[Point, ...]
    setbacks: tuple[Point, ...]
    lines: tuple[BoundaryLine, ...]
    runs: tuple[Run, ...]
    neighbours: tuple[Neighbour, ...]
    faults: tuple[PlotFault, ...]


def has_plot(frame: Frame) -> bool:
    """Whether the design says anything that a plot plan is drawn for."""
    return bool(frame.design.boundary or frame.design.service)


@cached_per_frame
def plot_of(frame: Frame) -> Plot:
    """The plot of ``frame``: whatever of it can be made out, and what cannot."""
    faults: list[PlotFault] = []
    found = _boundary(frame, faults)
    corners = found if frame.design.boundary and len(found) > 2 else ()
    lines = _lines(frame, corners) if corners else _loose_lines(frame, faults)
    crossed = any(line.distance_mm <= 0.0 for line in lines)
    if corners and not crossed and not contains(corners, _middle(outline(frame))):
        nearest = min(lines, key=lambda line: line.distance_mm)
        faults.append(PlotFault(
            field="boundary", against=f"boundary[{nearest.number}]",
            message="The tunnel does not stand within the boundary.",
            advice="Check the signs of the places: across is to the right of the corner socket and "
            "along toward the back, with a minus sign to the left and toward the front.",
        ))  # fmt: skip
    return Plot(
        outline=outline(frame), corners=corners, setbacks=_setbacks(corners, lines), lines=lines,
        runs=tuple(_run(frame, number, one)
                   for number, one in enumerate(frame.design.service, start=1)),
        neighbours=tuple(_neighbour(frame, number, one)
                         for number, one in enumerate(frame.design.nearby, start=1)),
        faults=tuple(faults),
    )  # fmt: skip


def north_of(frame: Frame) -> Point | None:
    """The direction of north in the axes of the frame, of length 1; None where nobody said."""
    staking, faces = frame.design.staking, frame.design.surroundings.front_faces
    if staking.bearing is not None:
        along = math.radians(staking.bearing)
    elif faces is not None:
        along = math.radians(faces.degrees + 180.0)
    else:
        return None
    return -math.sin(along), math.cos(along)


def in_frame(frame: Frame, place: Point) -> Point:
    """A place in the axes of the site, in those of the frame."""
    axes = axes_of(frame)
    return axes.x_mm + place[0], axes.y_mm + place[1]


def _middle(ring: Sequence[Point]) -> Point:
    xs, ys = zip(*ring, strict=True)
    return math.fsum(xs) / len(xs), math.fsum(ys) / len(ys)


def is_line(one: Boundary) -> bool:
    """Whether it is a line along a side of the tunnel, and not a corner."""
    return one.corner is None and not one.tapes


def _boundary(frame: Frame, faults: list[PlotFault]) -> tuple[Point, ...]:
    """The corners of the boundary, in order; none where it is not closed or makes no sense."""
    given = frame.design.boundary
    lines = [one for one in given if is_line(one)]
    if len(lines) == len(given):
        return _rectangle(frame, given)
    if lines:
        number = next(n for n, one in enumerate(given, start=1) if is_line(one))
        faults.append(PlotFault(
            field=f"boundary[{number}]",
            against=f"boundary[{next(n for n, one in enumerate(given, 1) if not is_line(one))}]",
            message="It is a line along a side, and others are corners.",
            advice="Give corner or tapes for each [[boundary]], or side and distance for each.",
        ))  # fmt: skip
        return ()
    corners: list[Point] = []
    for number, one in enumerate(given, start=1):
        corner = _corner(frame, one)
        if corner is None:
            faults.append(_no_corner(frame, number, one))
            return ()
        corners.append(corner)
    return _closed(corners, faults)


def _closed(corners: list[Point], faults: list[PlotFault]) -> tuple[Point, ...]:
    """The corners, if they make a plot."""
    if len(corners) < 3:
        faults.append(PlotFault(
            field=f"boundary[{len(corners)}]",
            message=f"The boundary has {len(corners)} corner{'s' if len(corners) > 1 else ''}; a "
            "plot has three or more.",
            advice="Add a [[boundary]] for each corner, in order round the plot.",
            unfinished=True,
        ))  # fmt: skip
        return ()
    for number, (a, b) in enumerate(sides(corners), start=1):
        if math.dist(a, b) < _SAME_MM:
            faults.append(PlotFault(
                field=f"boundary[{number}]",
                against=f"boundary[{number % len(corners) + 1}]",
                message="Its corner and the next one are the same place.",
                advice="Remove one of the two; the last corner is joined to the first by itself.",
            ))  # fmt: skip
            return ()
    crossing = crossing_sides(corners)
    if crossing:
        one, other = (number + 1 for number in crossing)
        faults.append(PlotFault(
            field=f"boundary[{one}]",
            against=f"boundary[{other}]",
            message=f"The boundary crosses itself: the line from corner {one} meets the one from "
            f"corner {other}.",
            advice="Give the corners in order round the plot, and check the signs of their places.",
        ))  # fmt: skip
        return ()
    return tuple(corners)


def _corner(frame: Frame, one: Boundary) -> Point | None:
    """The place of a corner; None where its tapes do not meet."""
    if one.corner is not None:
        return in_frame(frame, one.corner)
    x, length = frame.grid.socket_x_mm, frame.grid.length_mm
    # The corner lies to the left of the way from the first socket to the second.
    ends = {
        Bearing.LEFT: ((-x, 0.0), (-x, length)), Bearing.RIGHT: ((x, length), (x, 0.0)),
        Bearing.FRONT: ((x, 0.0), (-x, 0.0)), Bearing.BACK: ((-x, length), (x, length)),
    }[one.side]  # fmt: skip
    first, second = one.tapes
    if one.side in (Bearing.RIGHT, Bearing.FRONT):
        first, second = second, first
    found = circles_meet(ends[0], first, ends[1], second)
    return None if found is None else found[0]


def _no_corner(frame: Frame, number: int, one: Boundary) -> PlotFault:
    form, along = lengths_of(frame), one.side in (Bearing.LEFT, Bearing.RIGHT)
    apart = frame.grid.length_mm if along else 2 * frame.grid.socket_x_mm
    first, second = (form.text(tape, unit=True) for tape in one.tapes)
    return PlotFault(
        field=f"boundary[{number}].tapes",
        against="bays" if along else "profile.width",
        message=f"Tapes of {first} and {second} do not meet: the two corner sockets are "
        f"{form.text(apart, unit=True)} apart, and no place lies so far from both.",
        advice="Measure both again; the first is from the "
        f"{'front' if along else 'left'} socket of that side.",
    )  # fmt: skip


def _rectangle(frame: Frame, given: Sequence[Boundary]) -> tuple[Point, ...]:
    """The corners where there is one line along each side, in the order in which they are given."""
    if len(given) != 4 or {one.side for one in given} != set(Bearing):
        return ()
    at = {one.side: reach_at(outline(frame), one.side, one.distance) for one in given}
    order = (Bearing.FRONT, Bearing.RIGHT, Bearing.BACK, Bearing.LEFT)
    left, right = at[Bearing.LEFT], at[Bearing.RIGHT]
    front, back = at[Bearing.FRONT], at[Bearing.BACK]
    ring = dict(zip(order, ((left, front), (right, front), (right, back), (left, back)),
                    strict=True))  # fmt: skip
    return tuple(ring[side] for side in order)


def _setback(frame: Frame, one: Boundary) -> float | None:
    return frame.design.surroundings.setback if one.setback is None else one.setback


def _lines(frame: Frame, corners: tuple[Point, ...]) -> tuple[BoundaryLine, ...]:
    """The lines of a closed boundary, each from its corner to the next."""
    given = list(enumerate(frame.design.boundary, start=1))
    if all(is_line(one) for _, one in given):
        order = (Bearing.FRONT, Bearing.RIGHT, Bearing.BACK, Bearing.LEFT)
        given.sort(key=lambda item: order.index(item[1].side))
    return tuple(
        _line(frame, number, one, ends)
        for (number, one), ends in zip(given, sides(corners), strict=True)
    )


def _line(frame: Frame, number: int, one: Boundary, ends: Line) -> BoundaryLine:
    return BoundaryLine(
        number=number, name=one.name, ends=ends, setback_mm=_setback(frame, one),
        apart=nearest_of_rings(outline(frame), [ends]),
    )  # fmt: skip


def _loose_lines(frame: Frame, faults: list[PlotFault]) -> tuple[BoundaryLine, ...]:
    """Lines along sides that do not go all the way round; none where there is a fault."""
    given = [] if faults else list(enumerate(frame.design.boundary, start=1))
    return tuple(
        _line(frame, number, one, beside(outline(frame), one.side, one.distance))
        for number, one in given
    )


def _setbacks(corners: tuple[Point, ...], lines: Sequence[BoundaryLine]) -> tuple[Point, ...]:
    """Where the setback lines meet; none where they leave no room between them."""
    wanted = [line.setback_mm or 0.0 for line in lines]
    if not corners or not any(wanted):
        return ()
    made = inset(corners, wanted)
    turned = any(
        (b[0] - a[0]) * (d[0] - c[0]) + (b[1] - a[1]) * (d[1] - c[1]) <= 0.0
        for (a, b), (c, d) in zip(sides(corners), sides(made), strict=True)
    )
    return () if turned or crossing_sides(made) else made


def _run(frame: Frame, number: int, service: Service) -> Run:
    ring = outline(frame)
    points = tuple(in_frame(frame, place) for place in service.points)
    if not points:
        points = beside(ring, service.side, service.distance)
    pieces = list(zip(points, points[1:], strict=False))
    found = (
        (min(math.dist(*nearest(post.axis, piece)) for piece in pieces) - post.half_mm, post)
        for post in in_ground(frame)
    )
    distance, post = min(found, key=lambda item: item[0])
    under = math.dist(*nearest_of_rings(ring, pieces)) == 0.0 or contains(ring, points[0])
    return Run(number=number, service=service, points=points, near=post,
               distance_mm=max(0.0, distance), under=under)  # fmt: skip


def _neighbour(frame: Frame, number: int, thing: Nearby) -> Neighbour:
    """Its near edge, or all of it where its depth is known."""
    ring = hoops_outside(frame)
    if thing.kind is NeighbourKind.OVERHEAD_LINE and thing.length is None:
        return Neighbour(number=number, thing=thing, ring=beside(ring, thing.side, thing.distance))
    near = reach_at(ring, thing.side, thing.distance)
    (low, front), _, (high, back), _ = ring
    x, is_side = frame.grid.socket_x_mm, thing.side in (Bearing.LEFT, Bearing.RIGHT)
    whole = back - front if is_side else high - low
    length = whole if thing.length is None else thing.length
    if thing.starts is not None:
        start = thing.starts if is_side else thing.starts - x
    else:
        start = (front + back if is_side else low + high) / 2 - length / 2
    outward = sum(OUT[thing.side])
    far = near + outward * (thing.depth or 0.0)
    corners = [(start, near), (start + length, near)]
    if thing.depth:
        corners += [(start + length, far), (start, far)]
    placed = tuple((off, along) if is_side else (along, off) for along, off in corners)
    return Neighbour(number=number, thing=thing, ring=placed)
