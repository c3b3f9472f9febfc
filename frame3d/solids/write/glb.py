"""GLB (binary glTF 2.0): one mesh for each distinct part, one node for each member.

In metres and Y up, as glTF has it: the root node turns the frame's axes. The tree
is frame, a group for each role, members by name.

References
----------
glTF 2.0 Specification, Khronos Group, 2021 (ISO/IEC 12113:2022), sections 3.4
(units and axes), 3.6 (accessors), 3.9 (materials), 4.4 (binary layout).
"""

from __future__ import annotations

import json
import math
import struct
from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np

from frame3d import __version__
from frame3d.frame.describe.unmade import Unmade, names_in_model
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.geometry.placement import Placement
from frame3d.solids.meshes.mesh_parts import Mesh
from frame3d.solids.write import gltf
from frame3d.solids.write.model_names import member_names, role_material
from frame3d.writing import write_whole

_M_PER_MM = 1e-3
_FLOAT, _SHORT, _INT = 5126, 5123, 5125
_VERTICES, _INDICES = 34962, 34963
_HALF = math.sqrt(0.5)


def write_glb(
    frame: Frame, meshes: Mapping[str, Mesh], path: Path, unmade: Sequence[Unmade] = ()
) -> None:
    """Write every member of ``frame`` into a GLB file.

    Parameters
    ----------
    frame : Frame
    meshes : mapping of mark to Mesh
        As :func:`frame3d.solids.meshes.meshes.make_meshes` returns them.
    path : Path
    unmade : sequence of Unmade
        Parts that are not as they should be; without a mesh, their nodes have none.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    scene, binary = _scene(frame, meshes, unmade)
    text = json.dumps(scene, separators=(",", ":")).encode()
    chunks = _chunk(b"JSON", text, b" ") + _chunk(b"BIN\0", binary, b"\0")
    whole = struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks
    write_whole(path, lambda temporary: temporary.write_bytes(whole))


def _chunk(kind: bytes, data: bytes, filler: bytes) -> bytes:
    data += filler * (-len(data) % 4)
    return struct.pack("<I4s", len(data), kind) + data


def _scene(
    frame: Frame, meshes: Mapping[str, Mesh], unmade: Sequence[Unmade]
) -> tuple[gltf.GltfScene, bytes]:
    """The tree as glTF's JSON has it, and the buffer that it refers to."""
    roles = list(dict.fromkeys(member.role for member in frame.members))
    counts = [count for count in frame.parts() if count.mark in meshes]
    called = names_in_model(unmade)
    buffer = _Buffer()
    parts: list[gltf.GltfMesh] = []
    for count in counts:
        primitive = buffer.add(meshes[count.mark], roles.index(count.role))
        parts.append({"name": called.get(count.mark, count.mark), "primitives": [primitive]})
    scene: gltf.GltfScene = {
        "asset": {"version": "2.0", "generator": f"frame3d {__version__}"},
        "scene": 0,
        "scenes": [{"name": "frame", "nodes": [0]}],
        "nodes": _nodes(frame, roles, {count.mark: k for k, count in enumerate(counts)}, unmade),
        "meshes": parts,
        "materials": [role_material(role) for role in roles],
        "accessors": buffer.accessors,
        "bufferViews": buffer.views,
        "buffers": [{"byteLength": len(buffer.data)}],
    }
    return scene, bytes(buffer.data)


def _nodes(
    frame: Frame, roles: list[Role], mesh_of_mark: dict[str, int], unmade: Sequence[Unmade]
) -> list[gltf.Node]:
    """Root, groups, then members, whose numbers follow from their order."""
    turn = [-_HALF, 0.0, 0.0, _HALF]
    root: gltf.Node = {
        "name": "frame",
        "rotation": turn,
        "children": list(range(1, len(roles) + 1)),
    }
    groups: list[gltf.Node] = [{"name": role.value, "children": []} for role in roles]
    members: list[gltf.Node] = []
    for member, name in zip(frame.members, member_names(frame.members, unmade), strict=True):
        groups[roles.index(member.role)]["children"].append(1 + len(roles) + len(members))
        node: gltf.Node = {"name": name, "matrix": _columns(member.placement)}
        if member.mark in mesh_of_mark:
            node["mesh"] = mesh_of_mark[member.mark]
        members.append(node)
    return [root, *groups, *members]


def _columns(placement: Placement) -> list[float]:
    """The matrix of ``placement`` column by column, in metres."""
    shift = (value * _M_PER_MM for value in placement.origin)
    # To a micrometre, and to less than that at the end of a long part; more digits
    # than single precision holds would only fill the file.
    values = [*placement.x, 0, *placement.y, 0, *placement.z, 0, *shift, 1]
    return [round(value, 9) + 0.0 for value in values]


class _Buffer:
    """The numbers of all meshes, one after another, with glTF's account of them."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.views: list[gltf.GltfBufferView] = []
        self.accessors: list[gltf.Accessor] = []

    def add(self, mesh: Mesh, material: int) -> gltf.Primitive:
        """Put ``mesh`` in; returns the primitive of that material which refers to it."""
        positions = (mesh.corners * _M_PER_MM).astype("<f4")
        normals = mesh.normals.astype("<f4")
        kind, code = ("<u2", _SHORT) if len(positions) < 65535 else ("<u4", _INT)
        indices = mesh.triangles.astype(kind).ravel()
        places = self._put(positions, _VERTICES, _FLOAT, "VEC3")
        self.accessors[places]["min"] = positions.min(axis=0).tolist()
        self.accessors[places]["max"] = positions.max(axis=0).tolist()
        return {
            "attributes": {
                "POSITION": places,
                "NORMAL": self._put(normals, _VERTICES, _FLOAT, "VEC3"),
            },
            "indices": self._put(indices, _INDICES, code, "SCALAR"),
            "material": material,
            "mode": 4,
        }

    def _put(self, values: np.ndarray, target: int, code: int, kind: str) -> int:
        data = values.tobytes()
        view: gltf.GltfBufferView = {
            "buffer": 0,
            "byteOffset": len(self.data),
            "byteLength": len(data),
            "target": target,
        }
        self.views.append(view)
        self.data += data + b"\0" * (-len(data) % 4)
        self.accessors.append(
            {
                "bufferView": len(self.views) - 1,
                "componentType": code,
                "type": kind,
                "count": len(values),
            }
        )
        return len(self.accessors) - 1
