"""The light mesh of every kind of part.

Outside dimensions are true; holes and threads are left out, since what goes through a
hole fills it.
"""

from __future__ import annotations

import functools
import math

import numpy as np

from frame3d.catalog.sections import Head
from frame3d.frame.measure.board_measures import end_x_mm, shoulder_x_mm, tongue_mm
from frame3d.frame.model.parts import (
    Board,
    Bolt,
    ClampHalf,
    Nut,
    Part,
    Plate,
    Screw,
    Tube,
    Washer,
)
from frame3d.view.light_mesh import LightMesh, ShapeBuilder, loft, prism, turned
from frame3d.view.tube_meshes import tube_shape

_ROUND = 8
"""Chords of a shank; of a washer and a boss twice as many."""
_QUARTER = 4
"""Chords of a quarter of a clamp's ring."""


@functools.lru_cache(maxsize=1024)  # parts are values and never change
def shape_of(part: Part) -> LightMesh:
    """The light mesh of ``part`` in its own axes; not to be written to.

    Raises
    ------
    TypeError
        If ``part`` is of an unknown kind.
    """
    match part:
        case Tube():
            return tube_shape(part)
        case Board():
            return board_shape(part)
        case Plate():
            return _plate(part)
        case Bolt():
            return _bolt(part)
        case Nut():
            return _nut(part)
        case Washer():
            return _washer(part)
        case Screw():
            return _screw(part)
        case ClampHalf():
            return _clamp(part)
    raise TypeError(f"no shape is known for a {type(part).__name__}")


def board_shape(board: Board) -> LightMesh:
    """A board between its two faces; slanting cuts and laps are in its outline."""
    builder, thick = ShapeBuilder(), board.section.thickness_mm
    low, high = (np.array([(x, y, z) for x, y in _outline(board, z)]) for z in (0.0, thick))
    loft(builder, low, high)
    return builder.shape()


def _outline(board: Board, across_mm: float) -> list[tuple[float, float]]:
    """The outline at a distance across the thickness, anticlockwise."""
    return [
        *_profile(board, across_mm, at_start=False),
        *reversed(_profile(board, across_mm, at_start=True)),
    ]


def _profile(board: Board, across_mm: float, *, at_start: bool) -> list[tuple[float, float]]:
    """The corners of one end, from the edge y = 0 up."""
    depth = board.section.depth_mm
    low, high = tongue_mm(board, board.start if at_start else board.end)
    found = [(end_x_mm(board, y, across_mm, at_start=at_start), y) for y in (low, high)]
    shoulder = shoulder_x_mm(board, across_mm, at_start=at_start)
    if low > 0:
        found = [(shoulder, 0.0), (shoulder, low), *found]
    if high < depth:
        found += [(shoulder, high), (shoulder, depth)]
    return found


def _plate(plate: Plate) -> LightMesh:
    builder = ShapeBuilder()
    prism(builder, plate.outline, 0.0, plate.thickness_mm)
    return builder.shape()


def _hexagon(flats_mm: float) -> list[tuple[float, float]]:
    """A hexagon whose flats face ±y."""
    corner = flats_mm / math.sqrt(3)
    return [(corner * math.cos(k * math.pi / 3), corner * math.sin(k * math.pi / 3))
            for k in range(6)]  # fmt: skip


def _headed(flats_mm: float, head_mm: float, diameter_mm: float, length_mm: float) -> LightMesh:
    builder = ShapeBuilder()
    prism(builder, _hexagon(flats_mm), -head_mm, 0.0)
    turned(builder, [(diameter_mm / 2, 0.0), (diameter_mm / 2, length_mm)], _ROUND)
    return builder.shape()


def _bolt(bolt: Bolt) -> LightMesh:
    size = bolt.size
    if size.head is Head.HEX:
        return _headed(size.flats_mm, size.head_height_mm, size.diameter_mm, bolt.length_mm)
    builder, half, neck = ShapeBuilder(), size.diameter_mm / 2, bolt.neck_mm
    turned(builder, _dome(size.flats_mm / 2, size.head_height_mm), 2 * _ROUND)
    prism(builder, [(-half, -half), (half, -half), (half, half), (-half, half)], 0.0, neck)
    if bolt.length_mm > neck:
        turned(builder, [(half, neck), (half, bolt.length_mm)], _ROUND)
    return builder.shape()


def _dome(edge_mm: float, height_mm: float) -> list[tuple[float, float]]:
    """The profile of a cap of a sphere below z = 0, from its top on the axis to its rim."""
    radius = (edge_mm**2 + height_mm**2) / (2 * height_mm)
    rim = math.asin(min(1.0, edge_mm / radius))
    if height_mm > edge_mm:
        rim = math.pi - rim
    angles = [rim * k / 3 for k in range(4)]
    return [(radius * math.sin(a), radius - height_mm - radius * math.cos(a)) for a in angles]


def _nut(nut: Nut) -> LightMesh:
    builder = ShapeBuilder()
    prism(builder, _hexagon(nut.size.flats_mm), 0.0, nut.size.height_mm)
    return builder.shape()


def _washer(washer: Washer) -> LightMesh:
    builder, radius = ShapeBuilder(), washer.size.outside_mm / 2
    turned(builder, [(radius, 0.0), (radius, washer.size.thickness_mm)], 2 * _ROUND)
    return builder.shape()


def _screw(screw: Screw) -> LightMesh:
    return _headed(screw.flats_mm, screw.head_height_mm, screw.diameter_mm, screw.length_mm)


def _clamp(half: ClampHalf) -> LightMesh:
    """The ring with its ears, drawn along the tube, and the boss on it."""
    builder, wide = ShapeBuilder(), half.width_mm / 2
    inside = half.tube_od_mm / 2
    outside, tip = inside + half.band_mm, inside + half.band_mm + half.ear_mm
    slit, back = half.gap_mm / 2, half.gap_mm / 2 + half.band_mm
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
    )
    return builder.shape()


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


__all__ = ["shape_of"]
