"""Shapes as the numbers that a GLB file holds; kept, since most parts stay as they are.

Positions are metres in single precision, normals a byte a direction, of four each so that
every vertex starts at a whole word.
"""

from __future__ import annotations

import functools

import numpy as np
from msgspec import Struct

from frame3d.frame.model.parts import Part
from frame3d.view.light_meshes import shape_of

_M_PER_MM = np.float32(1e-3)
SHORT, INT = 5123, 5125
"""How indices are written, as glTF 2.0 numbers it (section 3.6.2.2)."""


class Packed(Struct, frozen=True, kw_only=True):
    """A shape in bytes.

    Parameters
    ----------
    positions, normals, indices, far : bytes
    corners, places, far_places : int
        How many vertices and indices there are.
    outside : int
        How many of the first indices are enough from afar.
    index_kind : int
        :data:`SHORT` or :data:`INT`.
    low, high : tuple of float, m
        What the positions reach, as the format wants it told.
    """

    positions: bytes
    normals: bytes
    indices: bytes
    far: bytes
    corners: int
    places: int
    far_places: int
    outside: int
    index_kind: int
    low: tuple[float, ...]
    high: tuple[float, ...]


@functools.lru_cache(maxsize=1024)  # parts are values and never change
def packed(part: Part) -> Packed:
    """The light shape of ``part`` in bytes."""
    shape = shape_of(part)
    positions = (shape.corners * _M_PER_MM).astype("<f4")
    normals = np.zeros((len(positions), 4), dtype=np.int8)
    normals[:, :3] = np.rint(shape.normals * 127)
    kind, wide = (SHORT, "<u2") if len(positions) < 65535 else (INT, "<u4")
    return Packed(
        positions=positions.tobytes(),
        normals=normals.tobytes(),
        indices=shape.triangles.astype(wide).tobytes(),
        far=shape.far.astype(wide).tobytes(),
        corners=len(positions),
        places=shape.triangles.size,
        far_places=shape.far.size,
        outside=3 * shape.outside,
        index_kind=kind,
        low=tuple(positions.min(axis=0).tolist()),
        high=tuple(positions.max(axis=0).tolist()),
    )
