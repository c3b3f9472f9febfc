"""Bends made straight where they are drilled, by less than a fifth of a millimetre.

Readers that work by a kernel lose bores, or the tube, where a cylinder meets a bend: one in six
in a trial, without a word. Where it meets a straight stretch they lose none. So under a bore the
axis is a straight line between two sharper arcs, which leave and meet the bend at its own
tangents: an arc of radius R over 2 w, of angle 2 f = 2 w / R, and one of R' twice over f with a
line of l between them end in the same place and direction where l = 2 (R - R') sin f.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from frame3d.geometry.paths import Arc, Line, PlanePath, Segment

_BESIDE_MM, _ARC_MM = 2.0, 3.0
"""Straight beside a bore, and along each of the sharper arcs."""
_LEAST_MM = 1e-3
MOST_OFF_MM = 0.2
"""Where the axis would leave the bend by more, it stays as it is."""


def eased(axis: PlanePath, bores: Sequence[tuple[float, float]]) -> tuple[Segment, ...]:
    """The segments of ``axis``, straight under each of ``bores``: distance along it, diameter; mm.

    A bore that lies too near an end of its bend is left in it.
    """
    found: list[Segment] = []
    for (begins, _), segment in zip(axis.starts, axis.segments, strict=True):
        if isinstance(segment, Arc):
            found += _eased(segment, [(at - begins, diameter) for at, diameter in bores])
        else:
            found.append(segment)
    return tuple(found)


def _eased(arc: Arc, bores: Sequence[tuple[float, float]]) -> Iterator[Segment]:
    radius, way, done = arc.radius_mm, math.copysign(1.0, arc.angle_rad), 0.0
    for low, high in _stretches(arc, bores):
        half, straight = (high - low) / 2, high - low - 2 * _ARC_MM
        turn = half / radius
        sharper = radius - straight / (2 * math.sin(turn))
        if sharper <= 0 or straight * half / (4 * radius) > MOST_OFF_MM:
            continue
        if low - done > _LEAST_MM:
            yield Arc(radius, way * (low - done) / radius)
        yield Arc(sharper, way * turn)
        yield Line(straight)
        yield Arc(sharper, way * turn)
        done = high
    if arc.length_mm - done > _LEAST_MM:
        yield Arc(radius, way * (arc.length_mm - done) / radius)


def _stretches(arc: Arc, bores: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """What is to be eased of an arc, from and to; where bores lie close, for them together."""
    found: list[tuple[float, float]] = []
    for at, diameter in sorted(bores):
        reach = diameter / 2 + _BESIDE_MM + _ARC_MM
        if at - reach < 0 or at + reach > arc.length_mm:
            continue
        if found and at - reach < found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], at + reach))
        else:
            found.append((at - reach, at + reach))
    return found
