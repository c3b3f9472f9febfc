"""One form for parts that are made the same way.

A tube that is turned end for end, or rolled half a turn (any angle, when it is
straight), is still the same tube; so is a board turned over any of its axes.
:func:`canonical` picks one of these turned forms by a fixed rule and says how
the part's own axes moved, so that the member stays where it was.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator

from frame3d.frame.parts import Board, BoardHole, Hole, Part, Tube
from frame3d.geometry.paths import Arc
from frame3d.geometry.placement import Placement


def canonical(part: Part) -> tuple[Part, Placement]:
    """The one form of ``part``, and where its axes stand in those of ``part``.

    Returns
    -------
    form : Part
        Equal for all parts that are made the same way.
    local : Placement
        ``placement.then(local)`` puts ``form`` where ``placement`` put ``part``.
    """
    if isinstance(part, Tube):
        return min(_tube_forms(part), key=_tube_key)
    if isinstance(part, Board):
        return min(_board_forms(part), key=lambda form: form[0].holes)
    return part, Placement()


ALIKE_MM = 3e-6
"""Parts whose lengths differ by no more are one part: three steps of the grid.

The grid alone is not enough: the distance of a hole from one end and that from the
other end, each put on the grid, can miss the length by a step.
"""


def gist(part: Part) -> tuple[tuple, tuple[float, ...]]:
    """What a part is but for its numbers, and its numbers, in a fixed order."""
    kinds: list[object] = []
    numbers: list[float] = []

    def walk(value: object) -> None:
        if isinstance(value, float):
            numbers.append(value)
            kinds.append(float)
        elif isinstance(value, tuple):
            kinds.append(len(value))
            for item in value:
                walk(item)
        elif dataclasses.is_dataclass(value):
            kinds.append(type(value))
            for field in dataclasses.fields(value):
                walk(getattr(value, field.name))
        else:
            kinds.append(value)

    walk(part)
    return tuple(kinds), tuple(numbers)


def are_alike(first: tuple[float, ...], second: tuple[float, ...]) -> bool:
    """True for the numbers of two parts that the shop could not tell apart."""
    return all(abs(a - b) <= ALIKE_MM for a, b in zip(first, second, strict=True))


def _tube_forms(tube: Tube) -> Iterator[tuple[Tube, Placement]]:
    for form, local in ((tube, Placement()), _turned(tube)):
        if form.axis.is_straight:
            # Any roll is free: bring one of the first holes to the clock angle 0.
            first = [hole for hole in form.holes if hole.at_mm - form.holes[0].at_mm < 1e-3]
            for angle in {hole.clock_rad for hole in first} or {0.0}:
                rolled, turn = _rolled(form, angle)
                yield rolled, local.then(turn)
        else:
            yield form, local
            rolled, turn = _rolled(form, math.pi)
            yield rolled, local.then(turn)


def _turned(tube: Tube) -> tuple[Tube, Placement]:
    """``tube`` end for end, turned about its normal: it bends to the same hand."""
    end, length = tube.axis.end, tube.length_mm
    tangent, normal = end.tangent, end.normal
    holes = tuple(
        Hole(at_mm=length - h.at_mm, clock_rad=-h.clock_rad, diameter_mm=h.diameter_mm)
        for h in tube.holes
    )
    form = Tube(
        section=tube.section,
        axis=tube.axis.reversed(),
        holes=holes,
        start=tube.end,
        end=tube.start,
    )
    # The path reversed turns right where it turned left; turning the tube about
    # its normal brings the same hand back, with the binormal the other way round.
    local = Placement.of(
        origin=(end.x_mm, end.y_mm, 0.0),
        x=(-tangent[0], -tangent[1], 0.0),
        y=(normal[0], normal[1], 0.0),
    )
    return form, local


def _rolled(tube: Tube, angle_rad: float) -> tuple[Tube, Placement]:
    """``tube`` with its own axes rolled by ``angle_rad`` about the start of its axis."""
    if angle_rad == 0:
        return tube, Placement()
    holes = tuple(
        Hole(at_mm=h.at_mm, clock_rad=h.clock_rad - angle_rad, diameter_mm=h.diameter_mm)
        for h in tube.holes
    )
    axis = tube.axis if tube.axis.is_straight else tube.axis.mirrored()
    form = Tube(section=tube.section, axis=axis, holes=holes, start=tube.start, end=tube.end)
    local = Placement.of(
        origin=(0.0, 0.0, 0.0),
        x=(1.0, 0.0, 0.0),
        y=(0.0, math.cos(angle_rad), math.sin(angle_rad)),
    )
    return form, local


def _tube_key(form: tuple[Tube, Placement]) -> tuple:
    tube = form[0]
    segments = tuple(
        (1, -s.angle_rad, s.radius_mm) if isinstance(s, Arc) else (0, s.length_mm, 0.0)
        for s in tube.axis.segments
    )
    ends = tuple(
        (0.0, 0.0, 0.0) if e is None else (e.od_mm, e.length_mm, e.taper_mm)
        for e in (tube.start, tube.end)
    )
    # Plain end first, first bend to the left: the way a shop drawing shows it.
    first_bend = next((s.angle_rad for s in tube.axis.segments if s.angle_rad), 1.0)
    return (first_bend < 0, ends, segments, tube.holes)


def _board_forms(board: Board) -> Iterator[tuple[Board, Placement]]:
    length, depth = board.length_mm, board.section.depth_mm
    thick = board.section.thickness_mm
    for along in (False, True):
        for up in (False, True):
            holes = tuple(
                BoardHole(
                    along_mm=length - h.along_mm if along else h.along_mm,
                    up_mm=depth - h.up_mm if up else h.up_mm,
                    diameter_mm=h.diameter_mm,
                )
                for h in board.holes
            )
            x = (-1.0 if along else 1.0, 0.0, 0.0)
            y = (0.0, -1.0 if up else 1.0, 0.0)
            origin = (
                length if along else 0.0,
                depth if up else 0.0,
                thick if along != up else 0.0,
            )
            form = Board(section=board.section, length_mm=length, holes=holes)
            yield form, Placement.of(origin=origin, x=x, y=y)
