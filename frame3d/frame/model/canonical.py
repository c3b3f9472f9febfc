"""One form for parts that are made the same way.

A tube that is turned end for end, or rolled half a turn (any angle, when it is
straight), is still the same tube; so is a board turned over any of its axes, and one
of square section rolled a quarter turn too. A mirror image is another part, unless the
part is its own mirror image.
:func:`canonical` picks one of these turned forms by a fixed rule and says how
the part's own axes moved, so that the member stays where it was.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Hashable, Iterator

from msgspec import Struct, structs

from frame3d.frame.model.board_turns import board_forms, board_key, coarse_mm, coarse_rad
from frame3d.frame.model.parts import Board, Flat, Hole, Part, Swage, Tube
from frame3d.frame.model.pressed import hole_clock_rad, is_pressed
from frame3d.geometry.paths import Arc
from frame3d.geometry.placement import Placement


# Kept, since most parts of a frame are those of the one that was laid out before it: the page
# asks for many that differ in one figure.
@functools.lru_cache(maxsize=1024)  # parts are values and never change
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
        return min(_tube_forms(_squared(part)), key=_tube_key)
    if isinstance(part, Board):
        return min(board_forms(part), key=board_key)
    return part, Placement()


_TubeKey = tuple[
    bool,
    tuple[tuple[int, ...], tuple[int, ...]],
    tuple[tuple[int, float, float], ...],
    tuple[Hole, ...],
]

ALIKE_MM = 3e-6
"""Parts whose lengths differ by no more are one part: three steps of the grid.

The grid alone is not enough: the distance of a hole from one end and that from the
other end, each put on the grid, can miss the length by a step.
"""


@functools.lru_cache(maxsize=1024)
def shape_key(part: Part) -> tuple[tuple[Hashable, ...], tuple[float, ...]]:
    """What a part is but for its numbers, and its numbers, in a fixed order."""
    kinds: list[Hashable] = []
    numbers: list[float] = []

    def walk(value: Hashable) -> None:
        if isinstance(value, float):
            numbers.append(value)
            kinds.append(float)
        elif isinstance(value, tuple):
            kinds.append(len(value))
            for item in value:
                walk(item)
        elif isinstance(value, Struct):
            kinds.append(type(value))
            for name in value.__struct_fields__:
                walk(getattr(value, name))
        else:
            kinds.append(value)

    walk(part)
    return tuple(kinds), tuple(numbers)


def are_alike(first: tuple[float, ...], second: tuple[float, ...]) -> bool:
    """True for the numbers of two parts that the shop could not tell apart."""
    return all(abs(a - b) <= ALIKE_MM for a, b in zip(first, second, strict=True))


def _squared(tube: Tube) -> Tube:
    """``tube`` with the holes in its flats said to go the way they are drilled."""
    if not is_pressed(tube):
        return tube
    holes = tuple(
        structs.replace(hole, clock_rad=hole_clock_rad(tube, hole)) for hole in tube.holes
    )
    return structs.replace(tube, holes=holes)


def _tube_forms(tube: Tube) -> Iterator[tuple[Tube, Placement]]:
    for form, local in ((tube, Placement()), _turned(tube)):
        if form.axis.is_straight:
            # Any roll is free: bring one of the leading clock angles to 0. Half a turn more
            # matters to slanting cuts alone.
            for angle in _leading_clocks(form):
                for more in (0.0, math.pi) if _is_slanted(form) else (0.0,):
                    rolled, turn = _rolled(form, angle + more)
                    yield rolled, local.then(turn)
        else:
            yield form, local
            rolled, turn = _rolled(form, math.pi)
            yield rolled, local.then(turn)


def _is_slanted(tube: Tube) -> bool:
    return any(isinstance(end, Flat) and end.slant_rad for end in (tube.start, tube.end))


def _leading_clocks(tube: Tube) -> set[float]:
    """The clock angles that come first along ``tube``: of a flat, of holes, or 0."""
    if isinstance(tube.start, Flat):
        return {tube.start.clock_rad}
    first = [hole for hole in tube.holes if hole.at_mm - tube.holes[0].at_mm < 1e-3]
    if first:
        return {hole.clock_rad for hole in first}
    return {tube.end.clock_rad} if isinstance(tube.end, Flat) else {0.0}


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
        start=_clocked(tube.end, -1.0, 0.0),
        end=_clocked(tube.start, -1.0, 0.0),
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
    form = Tube(
        section=tube.section,
        axis=axis,
        holes=holes,
        start=_clocked(tube.start, 1.0, -angle_rad),
        end=_clocked(tube.end, 1.0, -angle_rad),
    )
    local = Placement.of(
        origin=(0.0, 0.0, 0.0),
        x=(1.0, 0.0, 0.0),
        y=(0.0, math.cos(angle_rad), math.sin(angle_rad)),
    )
    return form, local


def _clocked(end: Swage | Flat | None, sense: float, more_rad: float) -> Swage | Flat | None:
    """An end form with its clock angle, if it has one, times ``sense`` and ``more_rad`` on.

    What is seen from the other side slants the other way.
    """
    if not isinstance(end, Flat):
        return end
    return structs.replace(
        end, clock_rad=sense * end.clock_rad + more_rad, slant_rad=sense * end.slant_rad
    )


def _tube_key(form: tuple[Tube, Placement]) -> _TubeKey:
    tube = form[0]
    segments = tuple(
        (1, -s.angle_rad, s.radius_mm) if isinstance(s, Arc) else (0, s.length_mm, 0.0)
        for s in tube.axis.segments
    )
    # Plain end first, first bend to the left: the way a shop drawing shows it.
    first_bend = next((s.angle_rad for s in tube.axis.segments if s.angle_rad), 1.0)
    ends = (_end_key(tube.start), _end_key(tube.end))
    return (first_bend < 0, ends, segments, tube.holes)


def _end_key(end: Swage | Flat | None) -> tuple[int, ...]:
    """Plain before swaged before flat."""
    if end is None:
        return (0,)
    if isinstance(end, Swage):
        return (1, coarse_mm(end.od_mm), coarse_mm(end.length_mm), coarse_mm(end.taper_mm))
    lengths = (coarse_mm(end.length_mm), coarse_mm(end.transition_mm))
    return (2, *lengths, coarse_rad(end.clock_rad), -coarse_rad(end.slant_rad))
