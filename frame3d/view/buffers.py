"""The numbers of a GLB file: what is alike stands one after another in one view.

References
----------
glTF 2.0 Specification, Khronos Group, 2021 (ISO/IEC 12113:2022), sections 3.6.2.1 (a view that
several accessors of vertices share has a stride) and 3.6.2.4 (offsets are multiples of the size
of a component); extension EXT_mesh_gpu_instancing in the same group's register.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from frame3d.frame.model.parts import Part
from frame3d.units.data_tables import Json
from frame3d.view.number_packing import SHORT, packed

_BYTE, _FLOAT = 5120, 5126
_POSITIONS = {"target": 34962, "byteStride": 12}
_NORMALS = {"target": 34962, "byteStride": 4}
_SHORT = {"target": 34963}
_INT = {"target": 34963}
_PLACES: dict[str, int] = {}


class _BufferView(Struct):
    """A view while it is being filled."""

    number: int
    about: dict[str, int]
    data: list[bytes]
    size: int = 0


class Buffers:
    """All numbers of a scene, with glTF's account of them."""

    def __init__(self) -> None:
        self.accessors: list[dict[str, Json]] = []
        kinds = (_POSITIONS, _NORMALS, _SHORT, _INT, _PLACES, _PLACES)
        self._views = [
            _BufferView(number=number, about=about, data=[]) for number, about in enumerate(kinds)
        ]
        (self._positions, self._normals, self._short, self._int, self._shifts, self._turns) = (
            self._views
        )

    def mesh(self, part: Part) -> dict[str, Json]:
        """Put the shape of a part in; returns the primitive that refers to it."""
        shape = packed(part)
        vertices: dict[str, Json] = {"type": "VEC3", "count": shape.corners}
        indices = self._short if shape.index_kind == SHORT else self._int
        flat: dict[str, Json] = {"componentType": shape.index_kind, "type": "SCALAR"}
        extras = {"outside": shape.outside}
        primitive: dict[str, Json] = {
            "attributes": {
                "POSITION": self._put(self._positions, shape.positions, {
                    "componentType": _FLOAT, **vertices, "min": shape.low, "max": shape.high,
                }),
                "NORMAL": self._put(self._normals, shape.normals, {
                    "componentType": _BYTE, "normalized": True, **vertices,
                }),
            },
            "indices": self._put(indices, shape.indices, {**flat, "count": shape.places}),
            "extras": extras,
        }  # fmt: skip
        if shape.far_places:
            extras["far"] = self._put(indices, shape.far, {**flat, "count": shape.far_places})
        return primitive

    def places(self, shift: np.ndarray, turn: np.ndarray) -> dict[str, int]:
        """Put in where members stand; returns the attributes that refer to it."""
        kind: dict[str, Json] = {"componentType": _FLOAT, "count": len(shift)}
        return {
            "TRANSLATION": self._put(self._shifts, shift.tobytes(), {**kind, "type": "VEC3"}),
            "ROTATION": self._put(self._turns, turn.tobytes(), {**kind, "type": "VEC4"}),
        }

    def _put(self, view: _BufferView, data: bytes, accessor: dict[str, Json]) -> int:
        self.accessors.append({"bufferView": view.number, "byteOffset": view.size, **accessor})
        view.data.append(data)
        view.size += len(data)
        return len(self.accessors) - 1

    def views(self) -> tuple[list[dict[str, int]], bytes]:
        """The views as glTF is told of them, and the bytes of the buffer that they are of."""
        told, data, size = [], [], 0
        for view in self._views:
            filler = -view.size % 4
            # A view must not be empty; one of no use holds a word that nothing refers to.
            filler += 0 if view.size else 4
            length = view.size + filler
            told.append({"buffer": 0, "byteOffset": size, "byteLength": length, **view.about})
            data += [*view.data, b"\0" * filler]
            size += length
        return told, b"".join(data)
