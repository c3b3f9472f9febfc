"""A bent path laid on the floor: its chord, sagitta, and ordinates at even steps.

Glossary
--------
chord : the straight line between the ends of a path.
along : a distance on the chord from the path's start.
ordinate : how far the path is from the chord there, square to it; positive on the
    outside of the bend.
sagitta : the largest ordinate.

References
----------
An arc of radius R about (a, b) in axes along and square to the chord has the ordinate
b + sqrt(R² - (x - a)²): the equation of the circle.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec import Struct

from frame3d.geometry.paths import NEGLIGIBLE_MM, Arc, PlanePath, Station

_LEVEL_MM = 1e-3

_SQUARE_MM = 1e-3
"""A straight no longer than this along the chord stands square to it."""


class FullSize(Struct, frozen=True, kw_only=True):
    """What is marked out on the floor to check a bent tube.

    Parameters
    ----------
    chord_mm : float
    sagitta_mm : float
    sagitta_at_mm : float
        Where along the chord.
    start_rad : float
        Direction of the chord in the path's own axes, from +x, left positive.
    """

    chord_mm: float
    sagitta_mm: float
    sagitta_at_mm: float
    start_rad: float


class _Laid(Struct, frozen=True):
    """A segment in axes along the chord and outward."""

    start: tuple[float, float]
    end: tuple[float, float]


class _LaidArc(_Laid, frozen=True):
    arc: Arc
    centre: tuple[float, float]


def full_size(path: PlanePath) -> FullSize:
    """The chord and sagitta of ``path``.

    Raises
    ------
    ValueError
        If the path ends where it starts: it has no chord then.

    Examples
    --------
    A quarter turn at 100 mm: chord R sqrt 2, sagitta R (1 - sqrt 1/2).

    >>> laid = full_size(PlanePath((Arc(100.0, math.pi / 2),)))
    >>> round(laid.chord_mm, 6), round(laid.sagitta_mm, 6)
    (141.421356, 29.289322)
    """
    chord, angle = _chord(path)
    pieces = list(_laid(path))
    tops = [(piece.start[1], piece.start[0]) for piece in pieces]
    for piece in pieces:
        if isinstance(piece, _LaidArc) and _is_topmost(piece):
            tops.append((piece.centre[1] + piece.arc.radius_mm, piece.centre[0]))
    sagitta, at = max(tops)
    return FullSize(
        chord_mm=chord,
        sagitta_mm=sagitta,
        sagitta_at_mm=at,
        start_rad=angle,
    )


def ordinate_mm(path: PlanePath, along_mm: float) -> float:
    """The ordinate of ``path`` at a distance along its chord, mm; the largest if it has several.

    Raises
    ------
    ValueError
        If the path does not pass over that place.
    """
    found: list[float] = []
    for piece in _laid(path):
        found += _over(piece, along_mm)
    if not found:
        raise ValueError(f"the path does not pass over {along_mm} mm along its chord")
    return max(found)


def steps_mm(chord_mm: float, sizes_mm: tuple[float, ...], most: int) -> list[float]:
    """Even steps along a chord from 0, and its end.

    Parameters
    ----------
    chord_mm : float
    sizes_mm : tuple of float
        Steps that may be used, rising; the smallest with at most ``most`` steps is taken.
    """
    size = next((s for s in sizes_mm if chord_mm / s <= most), sizes_mm[-1])
    places = [size * k for k in range(math.floor(chord_mm / size + 1e-9) + 1)]
    return places if chord_mm - places[-1] < 1e-6 * size else [*places, chord_mm]


def _chord(path: PlanePath) -> tuple[float, float]:
    end = path.end
    chord = math.hypot(end.x_mm, end.y_mm)
    if chord < NEGLIGIBLE_MM:
        raise ValueError("a path that ends where it starts has no chord")
    return chord, math.atan2(end.y_mm, end.x_mm)


def _laid(path: PlanePath) -> Iterator[_Laid]:
    _, angle = _chord(path)
    cos, sin = math.cos(angle), math.sin(angle)

    def at(x: float, y: float) -> tuple[float, float]:
        return (x * cos + y * sin, x * sin - y * cos)

    stations: list[Station] = [here for _, here in path.starts]
    for here, after, segment in zip(
        stations, [*stations[1:], path.end], path.segments, strict=True
    ):
        ends = at(here.x_mm, here.y_mm), at(after.x_mm, after.y_mm)
        if isinstance(segment, Arc):
            left = math.copysign(segment.radius_mm, segment.angle_rad)
            x, y = here.normal
            yield _LaidArc(*ends, segment, at(here.x_mm + left * x, here.y_mm + left * y))
        else:
            yield _Laid(*ends)


def _is_topmost(piece: _LaidArc) -> bool:
    """Whether an arc runs parallel to the chord somewhere, with its centre toward it."""
    (a, _), (b, _), (x, y) = piece.start, piece.end, piece.centre
    # Of half a circle the centre is level with its ends, but for the last digits.
    below = y < max(piece.start[1], piece.end[1]) + _LEVEL_MM
    return min(a, b) <= x <= max(a, b) and below


def _over(piece: _Laid, along: float) -> Iterator[float]:
    """The ordinates of one segment at ``along``; both ends of one that stands square."""
    (x0, y0), (x1, y1) = piece.start, piece.end
    low, high = min(x0, x1), max(x0, x1)
    if isinstance(piece, _LaidArc):
        a, b = piece.centre
        radius = piece.arc.radius_mm
        reach = radius**2 - (along - a) ** 2
        if reach < 0:
            return
        rise = math.sqrt(reach)
        for y in (b + rise, b - rise):
            if _is_on_arc(piece, along, y):
                yield y
        return
    if low - _SQUARE_MM <= along <= high + _SQUARE_MM:
        if high - low < _SQUARE_MM:
            yield from (y0, y1)
        else:
            yield y0 + (y1 - y0) * (along - x0) / (x1 - x0)


def _is_on_arc(piece: _LaidArc, x: float, y: float) -> bool:
    """Whether a point of an arc's circle lies on the arc, within a hair."""
    a, b = piece.centre
    start = math.atan2(piece.start[1] - b, piece.start[0] - a)
    # Laid with the outside of a left bend upward, a left bend runs clockwise.
    sense = -math.copysign(1.0, piece.arc.angle_rad)
    run = (sense * (math.atan2(y - b, x - a) - start)) % (2 * math.pi)
    hair = 1e-6 * (1 + 1e3 / piece.arc.radius_mm)
    return run <= abs(piece.arc.angle_rad) + hair or run >= 2 * math.pi - hair
