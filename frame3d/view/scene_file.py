"""The frame as one binary file for a screen: each distinct part once, its places by number.

A GLB file (glTF 2.0) in metres and Y up, with the mesh of each part and, by the
extension EXT_mesh_gpu_instancing, shift and turn of every member that is made of it. Its
members follow the order of the frame; :mod:`frame3d.view.member_info` says what they are.
``extras.outside`` of a mesh's primitive says how many of its indices are enough from afar,
where nobody looks into a tube; ``extras.far`` is an accessor of indices that are enough where
the part is a few pixels across. Written here, since trimesh, which writes the model's GLB file,
knows no instances, and the scene goes to the page with every change.

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
from frame3d.frame.cover.film_shapes import with_film
from frame3d.frame.model.members import Frame, PartCount
from frame3d.frame.model.roles import Role
from frame3d.solids.write.model_names import role_material
from frame3d.units.data_tables import Json
from frame3d.view.buffers import Buffers
from frame3d.view.member_info import members_of

_M_PER_MM = 1e-3
_INSTANCING, _QUANTIZED = "EXT_mesh_gpu_instancing", "KHR_mesh_quantization"
_HALF = math.sqrt(0.5)


class Scene(Struct, frozen=True, kw_only=True):
    """What a screen needs of a frame.

    Parameters
    ----------
    glb : bytes
        Shapes and places.
    members : dict
        What they are, see :func:`frame3d.view.member_info.members_of`; ready for JSON.
    """

    glb: bytes
    members: dict[str, Json]


def scene_of(frame: Frame) -> Scene:
    """The scene of ``frame``; the same frame gives the same bytes."""
    frame = with_film(frame)
    counts = frame.parts()
    return Scene(glb=glb_of(counts), members=members_of(frame, counts))


def glb_of(counts: Sequence[PartCount]) -> bytes:
    """The GLB file of distinct parts with their members."""
    found = {count.role for count in counts}
    roles = [role for role in Role if role in found]
    buffer = Buffers()
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
    views, binary = buffer.views()
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
        "bufferViews": views,
        "buffers": [{"byteLength": len(binary)}],
    }
    text = msgspec.json.encode(tree)
    text += b" " * (-len(text) % 4)
    size = 12 + 8 + len(text) + 8 + len(binary)
    return b"".join([
        struct.pack("<4sII", b"glTF", 2, size),
        struct.pack("<I4s", len(text), b"JSON"), text,
        struct.pack("<I4s", len(binary), b"BIN\0"), binary,
    ])  # fmt: skip


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
    unit: np.ndarray = chosen / np.linalg.norm(chosen, axis=1, keepdims=True)
    return unit
