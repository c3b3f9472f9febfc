"""The frame as one binary file for a screen: each distinct part once, its places by number.

A GLB file (glTF 2.0) in metres and Y up, with the mesh of each part and, by the
extension EXT_mesh_gpu_instancing, shift and turn of every member that is made of it. Its
members follow the order of the frame; :mod:`frame3d.view.members` says what they are.
``extras.outside`` of a mesh's primitive says how many of its indices are enough from afar,
where nobody looks into a tube; ``extras.far`` is an accessor of indices that are enough where
the part is a few pixels across.

References
----------
glTF 2.0 Specification, Khronos Group, 2021 (ISO/IEC 12113:2022), sections 3.4 (units
and axes), 3.6 (accessors), 4.4 (binary layout); extensions EXT_mesh_gpu_instancing and
KHR_mesh_quantization in the same group's register.
"""

from __future__ import annotations

import itertools
import math
import struct
from collections.abc import Sequence

import msgspec
import numpy as np
from msgspec import Struct

from frame3d import __version__
from frame3d.frame.members import Frame, PartCount, Role
from frame3d.frame.parts import Part
from frame3d.solids.names import role_material
from frame3d.view.members import members_of
from frame3d.view.packing import packed

_M_PER_MM = 1e-3
_BYTE, _FLOAT = 5120, 5126
_VERTICES, _INDICES = 34962, 34963
_INSTANCING, _QUANTIZED = "EXT_mesh_gpu_instancing", "KHR_mesh_quantization"
_HALF = math.sqrt(0.5)


class Scene(Struct, frozen=True, kw_only=True):
    """What a screen needs of a frame.

    Parameters
    ----------
    glb : bytes
        Shapes and places.
    members : dict
        What they are, see :func:`frame3d.view.members.members_of`; ready for JSON.
    """

    glb: bytes
    members: dict


def scene_of(frame: Frame) -> Scene:
    """The scene of ``frame``; the same frame gives the same bytes."""
    counts = frame.parts()
    return Scene(glb=glb_of(counts), members=members_of(frame, counts))


def glb_of(counts: Sequence[PartCount]) -> bytes:
    """The GLB file of distinct parts with their members."""
    found = {count.role for count in counts}
    roles = [role for role in Role if role in found]
    buffer = _Buffer()
    meshes, nodes = [], []
    shifts, turned = _placed(counts)
    first = 0
    for number, count in enumerate(counts):
        primitive = buffer.mesh(count.part) | {"material": roles.index(count.role)}
        meshes.append({"name": count.mark, "primitives": [primitive]})
        last = first + count.count
        placed = {"attributes": buffer.places(shifts[first:last], turned[first:last])}
        first = last
        nodes.append({
            "name": count.mark, "mesh": number, "extensions": {_INSTANCING: placed},
        })  # fmt: skip
    root = {
        "name": "frame", "rotation": [-_HALF, 0.0, 0.0, _HALF],
        "children": list(range(1, len(nodes) + 1)),
    }  # fmt: skip
    extensions = [_INSTANCING, _QUANTIZED]
    tree = {
        "asset": {"version": "2.0", "generator": f"frame3d {__version__}"},
        "extensionsUsed": extensions,
        "extensionsRequired": extensions,
        "scene": 0,
        "scenes": [{"name": "frame", "nodes": [0]}],
        "nodes": [root, *nodes],
        "meshes": meshes,
        "materials": [role_material(role) for role in roles],
        "accessors": buffer.accessors,
        "bufferViews": buffer.views,
        "buffers": [{"byteLength": len(buffer.data)}],
    }
    text = msgspec.json.encode(tree)
    chunks = _chunk(b"JSON", text, b" ") + _chunk(b"BIN\0", bytes(buffer.data), b"\0")
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks


def _placed(counts: Sequence[PartCount]) -> tuple[np.ndarray, np.ndarray]:
    """Shift (n, 3), m, and turn (n, 4) of all members, part by part."""
    places = [member.placement for count in counts for member in count.members]
    shift = _rows([place.origin for place in places])
    # What stands alike at several hoops shares its axes, so that few turns are worked out.
    number_of: dict[tuple[int, int], int] = {}
    axes: list[tuple[float, ...]] = []
    numbers = []
    for place in places:
        key = (id(place.x), id(place.y))
        number = number_of.get(key)
        if number is None:
            number = number_of[key] = len(number_of)
            axes += place.x, place.y, place.z
        numbers.append(number)
    turned = turns(_rows(axes).reshape(-1, 3, 3).transpose(0, 2, 1))
    return (shift * _M_PER_MM).astype("<f4"), turned.astype("<f4")[numbers]


def _rows(vectors: Sequence[tuple[float, ...]]) -> np.ndarray:
    """Vectors as an array (n, 3)."""
    flat = itertools.chain.from_iterable(vectors)
    return np.fromiter(flat, float, 3 * len(vectors)).reshape(-1, 3)


def _chunk(kind: bytes, data: bytes, filler: bytes) -> bytes:
    data += filler * (-len(data) % 4)
    return struct.pack("<I4s", len(data), kind) + data


def turns(matrices: np.ndarray) -> np.ndarray:
    """Unit quaternions (n, 4), x y z w, of rotation matrices (n, 3, 3).

    By the largest of the four, so that none is lost near half a turn (K. Shoemake,
    "Animating rotation with quaternion curves", SIGGRAPH 1985, appendix).
    """
    m = matrices
    trace = np.einsum("nii->n", m)
    squares = np.stack([
        *(1 + 2 * m[:, k, k] - trace for k in range(3)), 1 + trace,
    ], axis=1)  # fmt: skip
    # Every product of two components is a sum or difference of two entries.
    products = np.empty((len(m), 4, 4))
    for k in range(4):
        products[:, k, k] = squares[:, k]
    for a, b in ((0, 1), (0, 2), (1, 2)):
        c = 3 - a - b
        products[:, a, b] = products[:, b, a] = m[:, a, b] + m[:, b, a]
        # The turn about axis c shows in the difference of the other two.
        first, second = (b, a) if (a, b) != (0, 2) else (a, b)
        products[:, c, 3] = products[:, 3, c] = m[:, first, second] - m[:, second, first]
    chosen = products[np.arange(len(m)), np.argmax(squares, axis=1)]
    return chosen / np.linalg.norm(chosen, axis=1, keepdims=True)


class _Buffer:
    """All numbers, one after another, with glTF's account of them."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.views: list[dict] = []
        self.accessors: list[dict] = []

    def mesh(self, part: Part) -> dict:
        """Put the shape of a part in; returns the primitive that refers to it."""
        shape = packed(part)
        place = {"componentType": _FLOAT, "type": "VEC3", "count": shape.corners}
        bounds = {"min": shape.low, "max": shape.high}
        facing = place | {"componentType": _BYTE, "normalized": True}
        flat = {"componentType": shape.index_kind, "type": "SCALAR"}
        primitive = {
            "attributes": {
                "POSITION": self._put(shape.positions, place | bounds, target=_VERTICES),
                "NORMAL": self._put(shape.normals, facing, target=_VERTICES, stride=4),
            },
            "indices": self._put(
                shape.indices, flat | {"count": shape.places}, target=_INDICES),
            "extras": {"outside": shape.outside},
        }
        if shape.far_places:
            far = flat | {"count": shape.far_places}
            primitive["extras"]["far"] = self._put(shape.far, far, target=_INDICES)
        return primitive

    def places(self, shift: np.ndarray, turn: np.ndarray) -> dict:
        """Put in where members stand; returns the attributes that refer to it."""
        kind = {"componentType": _FLOAT, "count": len(shift)}
        return {
            "TRANSLATION": self._put(shift.tobytes(), kind | {"type": "VEC3"}),
            "ROTATION": self._put(turn.tobytes(), kind | {"type": "VEC4"}),
        }

    def _put(self, data: bytes, accessor: dict, *, target: int = 0, stride: int = 0) -> int:
        view = {"buffer": 0, "byteOffset": len(self.data), "byteLength": len(data)}
        if target:
            view["target"] = target
        if stride:
            view["byteStride"] = stride
        self.views.append(view)
        self.data += data + b"\0" * (-len(data) % 4)
        self.accessors.append({"bufferView": len(self.views) - 1, **accessor})
        return len(self.accessors) - 1


__all__ = ["Scene", "glb_of", "scene_of", "turns"]
