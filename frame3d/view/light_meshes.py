"""The light mesh of a part, from its bodies.

Outside dimensions are true; holes and threads are left out, since what goes through a
hole fills it.
"""

from __future__ import annotations

import functools
import math

import numpy as np

from frame3d.frame.measure.board_measures import outline_at
from frame3d.frame.model.bodies import (
    Body,
    ExtrudedOutline,
    SawnTimber,
    SplitRing,
    SweptRing,
    TurnedProfile,
)
from frame3d.frame.model.parts import Part
from frame3d.view.light_mesh import LightMesh, ShapeBuilder, loft, prism, turned
from frame3d.view.tube_meshes import add_tube

_ROUND = 8
"""Chords of a shank; of a washer and a boss twice as many."""
_CAP = 3
"""Chords of a dome, from its top to its rim."""
_QUARTER = 4
"""Chords of a quarter of a clamp's ring."""


@functools.lru_cache(maxsize=1024)  # parts are values and never change
def shape_of(part: Part) -> LightMesh:
    """The light mesh of ``part`` in its own axes; not to be written to."""
    builder, bores = ShapeBuilder(), 0
    for body in part.bodies:
        bores = _add(builder, body)
    return builder.shape(bores=bores)


def _add(builder: ShapeBuilder, body: Body) -> int:
    """Add a body; how many of its last triangles lie in a bore."""
    match body:
        case SweptRing():
            return add_tube(builder, body)
        case SawnTimber():
            _add_board(builder, body)
        case ExtrudedOutline():
            prism(builder, body.outline, body.low_mm, body.high_mm)
        case TurnedProfile():
            turned(builder, body.traced(_CAP), _ROUND if body.is_bar else 2 * _ROUND)
        case SplitRing():
            _add_split_ring(builder, body)
    return 0


def _add_board(builder: ShapeBuilder, board: SawnTimber) -> None:
    """A board between its two faces; slanting cuts and laps are in its outline."""
    low, high = (
        np.array([(x, y, z) for x, y in outline_at(board, z)])
        for z in (0.0, board.section.thickness_mm)
    )
    loft(builder, low, high)


def _add_split_ring(builder: ShapeBuilder, half: SplitRing) -> None:
    """The ring with its ears, drawn along the tube, and the boss on it."""
    first, wide, inside = builder.faces, half.width_mm / 2, half.tube_od_mm / 2
    outside, tip, slit, back = half.ring_mm, half.tip_mm, half.gap_mm / 2, half.back_mm
    low, high = math.asin(min(1.0, back / outside)), math.asin(min(1.0, slit / inside))
    outer, inner = _about(outside, low), _about(inside, high)
    # Cross sections from one ear round to the other; each is an edge out and an edge in.
    outer = np.vstack([(tip, back), outer, (tip, -back)])
    inner = np.vstack([(tip, slit), inner, (tip, -slit)])
    for k in range(len(outer) - 1):
        # Faces of their own, so that edges are sharp; the ring's chords are short.
        _bar(builder, outer[k : k + 2], inner[k : k + 2], wide)
    for k, order in ((0, 1), (-1, -1)):
        face = np.array([
            (-wide, *outer[k]), (wide, *outer[k]), (wide, *inner[k]), (-wide, *inner[k]),
        ])[::order]  # fmt: skip
        builder.flat(face, np.array([(0, 1, 2), (0, 2, 3)]))
    boss = half.boss_diameter_mm / 2
    foot = min(inside, math.sqrt(max(0.0, outside**2 - boss**2)))
    turned(builder, [(boss, foot), (boss, half.face_mm)], 2 * _ROUND)
    # From far off a clamp is a lump round its tube: one chord for a quarter, ears and all.
    lump, stub = ShapeBuilder(), ShapeBuilder()
    prism(lump, np.vstack([outer[:1], outer[1:-1:_QUARTER], outer[-1:]]), -wide, wide)
    turned(stub, [(boss, foot), (boss, half.face_mm)], _ROUND // 2)
    ring, top = lump.shape(), stub.shape()
    builder.stand_in(
        (np.roll(ring.corners, 1, axis=1), np.roll(ring.normals, 1, axis=1), ring.triangles),
        (top.corners, top.normals, top.triangles),
        first=first,
    )


def _about(radius_mm: float, from_rad: float) -> np.ndarray:
    """Points (n, 2) across and up on a ring, open by an angle either side of the ears.

    Each quarter is divided evenly, so that the ring is full below, behind and above.
    """
    quarter = math.pi / 2
    stops = [from_rad, quarter, 2 * quarter, 3 * quarter, 4 * quarter - from_rad]
    angles = np.concatenate([
        np.linspace(a, b, _QUARTER + 1)[:-1] for a, b in zip(stops, stops[1:], strict=False)
    ] + [stops[-1:]])  # fmt: skip
    return np.column_stack([np.cos(angles), np.sin(angles)]) * radius_mm


def _bar(builder: ShapeBuilder, outer: np.ndarray, inner: np.ndarray, wide: float) -> None:
    """The four long faces of one stretch of the ring."""

    def at(x: float, point: np.ndarray) -> tuple[float, float, float]:
        return (x, point[0], point[1])

    quads = (
        (at(-wide, outer[0]), at(wide, outer[0]), at(wide, outer[1]), at(-wide, outer[1])),
        (at(-wide, inner[1]), at(wide, inner[1]), at(wide, inner[0]), at(-wide, inner[0])),
        (at(wide, inner[0]), at(wide, inner[1]), at(wide, outer[1]), at(wide, outer[0])),
        (at(-wide, outer[0]), at(-wide, outer[1]), at(-wide, inner[1]), at(-wide, inner[0])),
    )
    for quad in quads:
        builder.flat(np.array(quad)[::-1], np.array([(0, 1, 2), (0, 2, 3)]))
