"""Outermost points of bodies, in their part's own axes."""

from __future__ import annotations

import math

from frame3d.frame.measure.board_measures import corners
from frame3d.frame.model.bodies import (
    Body,
    ExtrudedOutline,
    SawnTimber,
    SplitRing,
    SweptRing,
    TurnedProfile,
)
from frame3d.geometry.placement import Vector

_AROUND = 24
"""Points round a ring of a turned body."""
_CAP_STEPS = 8
"""Chords of an arc of its profile."""


def outline_corners(body: ExtrudedOutline) -> list[Vector]:
    """The corners of both faces."""
    return [(x, y, z) for x, y in body.outline for z in (body.low_mm, body.high_mm)]


def round_corners(body: TurnedProfile) -> list[Vector]:
    """Points of the rings round a turned body, from below."""
    turns = [2 * math.pi * k / _AROUND for k in range(_AROUND)]
    return [
        (radius * math.cos(turn), radius * math.sin(turn), z)
        for radius, z in body.traced(_CAP_STEPS)
        for turn in turns
    ]


def ends_of(body: Body) -> list[Vector]:
    """The ends of a tube's axis; the true corners of all else, of what is round those round it."""
    match body:
        case SweptRing():
            end = body.axis.end
            return [(0.0, 0.0, 0.0), (end.x_mm, end.y_mm, 0.0)]
        case SawnTimber():
            found: list[Vector] = corners(body).tolist()
            return found
        case ExtrudedOutline():
            return outline_corners(body)
        case TurnedProfile():
            return round_corners(body)
        case SplitRing():
            ring, half = body.ring_mm, body.width_mm / 2
            return [
                (x, y, z) for x in (-half, half) for y in (-ring, body.tip_mm)
                for z in (-ring, ring)
            ]  # fmt: skip
