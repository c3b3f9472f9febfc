"""Reading back GLB files of frames, to draw them: a node for each member, or many by instancing."""

from __future__ import annotations

import json
import struct
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from msgspec import Struct

from frame3d.errors import OutputError
from frame3d.geometry.placement import Vector
from frame3d.solids.write.gltf import GltfMaterial, GltfScene, Node, Primitive

_TYPES = {5120: "i1", 5123: "<u2", 5125: "<u4", 5126: "<f4"}
_WIDTHS = {"SCALAR": 1, "VEC3": 3, "VEC4": 4}


class Shell(Struct, frozen=True, kw_only=True):
    """All the members of one material, in the frame's axes (metres, Z up).

    Parameters
    ----------
    name : str
        Of the material.
    colour : (3,) float
        Linear light, 0 to 1.
    positions, normals : (n, 3) float
    triangles : (m, 3) int
    """

    name: str
    colour: Vector
    positions: np.ndarray
    normals: np.ndarray
    triangles: np.ndarray


def read_shells(path: Path) -> list[Shell]:
    """One shell for each material of the GLB file at ``path``, in the file's order.

    Raises
    ------
    OutputError
        If the file is not GLB.
    """
    scene, binary = _chunks(path)
    gathered: dict[int, list[tuple[Primitive, np.ndarray]]] = {}
    for node in scene["nodes"]:
        if "mesh" not in node:
            continue
        primitive = scene["meshes"][node["mesh"]]["primitives"][0]
        members = gathered.setdefault(primitive["material"], [])
        members += [(primitive, matrix) for matrix in _matrices(scene, binary, node)]
    return [
        _shell(scene, binary, scene["materials"][number], members)
        for number, members in sorted(gathered.items())
    ]


def _shell(
    scene: GltfScene,
    binary: bytes,
    material: GltfMaterial,
    members: list[tuple[Primitive, np.ndarray]],
) -> Shell:
    positions, normals, triangles, first = [], [], [], 0
    for primitive, matrix in members:
        places = primitive["attributes"]
        at, out, corners = (
            _values(scene, binary, number)
            for number in (places["POSITION"], places["NORMAL"], primitive["indices"])
        )
        positions.append(at @ matrix[:3, :3].T + matrix[:3, 3])
        normals.append(out @ matrix[:3, :3].T)
        triangles.append(corners.reshape(-1, 3).astype(np.int64) + first)
        first += len(at)
    red, green, blue, _ = material["pbrMetallicRoughness"]["baseColorFactor"]
    return Shell(
        name=material["name"],
        colour=(red, green, blue),
        positions=np.concatenate(positions),
        normals=np.concatenate(normals),
        triangles=np.concatenate(triangles),
    )


def _matrices(scene: GltfScene, binary: bytes, node: Node) -> Iterator[np.ndarray]:
    """Where the members of a node stand: one by its matrix, or many by shift and turn."""
    if "matrix" in node:
        yield np.array(node["matrix"]).reshape(4, 4).T
        return
    places = node["extensions"]["EXT_mesh_gpu_instancing"]["attributes"]
    shifts = _values(scene, binary, places["TRANSLATION"])
    turns = _values(scene, binary, places["ROTATION"]).astype(float)
    for shift, (x, y, z, w) in zip(shifts, turns, strict=True):
        yield np.array((
            (1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w), shift[0]),
            (2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w), shift[1]),
            (2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y), shift[2]),
            (0.0, 0.0, 0.0, 1.0),
        ))  # fmt: skip


def _values(scene: GltfScene, binary: bytes, number: int) -> np.ndarray:
    accessor = scene["accessors"][number]
    view = scene["bufferViews"][accessor["bufferView"]]
    width, kind = _WIDTHS[accessor["type"]], np.dtype(_TYPES[accessor["componentType"]])
    apart = view.get("byteStride", width * kind.itemsize) // kind.itemsize
    values = np.frombuffer(
        binary,
        dtype=kind,
        count=accessor["count"] * apart,
        offset=view["byteOffset"] + accessor.get("byteOffset", 0),
    )
    values = values.reshape(-1, apart)[:, :width]
    return values / np.iinfo(kind).max if accessor.get("normalized") else values


def _chunks(path: Path) -> tuple[GltfScene, bytes]:
    data = path.read_bytes()
    if data[:4] != b"glTF" or len(data) < 20:
        raise OutputError(f"{path} is not a GLB file; give one that frame3d has written")
    (size,) = struct.unpack_from("<I", data, 12)
    return json.loads(data[20 : 20 + size]), data[28 + size :]
