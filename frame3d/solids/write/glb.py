"""GLB (binary glTF 2.0): one mesh for each distinct part, one node for each member.

In metres and Y up, as glTF has it: the root node turns the frame's axes. The tree
is frame, a group for each role, members by name.

References
----------
glTF 2.0 Specification, Khronos Group, 2021 (ISO/IEC 12113:2022), sections 3.4
(units and axes), 3.6.2 (accessors), 3.7 (meshes), 3.9 (materials) and 4.4 (the file).
"""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np

from frame3d import __version__
from frame3d.frame.describe.as_built import model_name
from frame3d.frame.describe.unmade import Unmade, names_in_model
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.solids.meshes.mesh_parts import Mesh
from frame3d.solids.write.model_names import member_names, role_material
from frame3d.units.data_tables import Json
from frame3d.writing import write_whole

_M_PER_MM = 1e-3
_UPRIGHT = [1.0, 0.0, 0.0, 0.0, 0.0, 0.0, -1.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0]
"""From Z up to Y up, column by column, as glTF writes matrices."""
_STANDING = np.eye(4)
_UNSIGNED, _FLOAT = 5125, 5126
_TRIANGLES = 4
_Account = dict[str, Json]


class _Numbers:
    """The numbers of all meshes, the same ones once, with glTF's account of them."""

    def __init__(self) -> None:
        self.accessors: list[_Account] = []
        self._known: dict[tuple[str, bytes], int] = {}
        self._views: dict[bytes, int] = {}

    def indices(self, triangles: np.ndarray) -> int:
        """Put the corners of triangles in; returns the accessor's number."""
        about: _Account = {"componentType": _UNSIGNED, "type": "SCALAR"}
        return self._put("indices", about, triangles.astype("<u4").reshape(-1, 1))

    def positions(self, corners: np.ndarray) -> int:
        """Put places, m, in; returns the accessor's number."""
        about: _Account = {"componentType": _FLOAT, "type": "VEC3", "byteOffset": 0}
        return self._put("positions", about, corners.astype("<f4"))

    def normals(self, normals: np.ndarray) -> int:
        """Put directions in; returns the accessor's number."""
        # They are of length one but for rounding, which may make two floats of one direction.
        unit = normals * (1 / np.sqrt(np.dot(normals * normals, np.ones(3))))[:, None]
        about: _Account = {
            "componentType": _FLOAT, "count": len(unit), "type": "VEC3", "byteOffset": 0,
        }  # fmt: skip
        return self._put("normals", about, unit.astype("<f4"))

    def _put(self, use: str, about: _Account, rows: np.ndarray) -> int:
        data = rows.tobytes()
        if (use, data) not in self._known:
            self._known[use, data] = len(self.accessors)
            view = self._views.setdefault(data, len(self._views))
            about |= {"bufferView": view, "count": len(rows)}
            about |= {"max": rows.max(axis=0).tolist(), "min": rows.min(axis=0).tolist()}
            self.accessors.append(about)
        return self._known[use, data]

    def views(self) -> tuple[list[_Account], bytes]:
        """The views as glTF is told of them, and the bytes of the buffer that they are of."""
        told: list[_Account] = []
        size = 0
        for data in self._views:
            told.append({"buffer": 0, "byteOffset": size, "byteLength": len(data)})
            size += len(data)
        return told, b"".join(self._views)


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
    whole = _glb(frame, meshes, unmade)
    write_whole(path, lambda temporary: temporary.write_bytes(whole))


def _glb(frame: Frame, meshes: Mapping[str, Mesh], unmade: Sequence[Unmade]) -> bytes:
    """The file; the same frame gives the same bytes."""
    numbers, called = _Numbers(), names_in_model(unmade)
    parts = [part for part in frame.parts() if part.mark in meshes]
    roles = list(dict.fromkeys(part.role for part in parts))
    told: list[Json] = [
        {
            "name": called.get(part.mark, part.mark),
            "extras": {},
            "primitives": [_primitive(meshes[part.mark], roles.index(part.role), numbers)],
        }
        for part in parts
    ]
    views, data = numbers.views()
    tree: _Account = {
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "asset": {"version": "2.0", "generator": f"frame3d {__version__}"},
        "accessors": [*numbers.accessors],
        "meshes": told,
        "materials": [role_material(role) for role in roles],
        "nodes": _nodes(frame, {part.mark: n for n, part in enumerate(parts)}, unmade),
        "buffers": [{"byteLength": len(data)}] if data else [],
        "bufferViews": [*views],
    }
    # What is empty must not stand there (section 5.17).
    text = json.dumps({k: v for k, v in tree.items() if v != []}, separators=(",", ":"))
    # Chunks end where the next can begin, at a multiple of four.
    text += " " * (4 - len(text) % 4)
    return packed_glb(text.encode("ascii"), data)


def packed_glb(text: bytes, data: bytes) -> bytes:
    """A GLB file of its tree as JSON and its numbers, both filled up to a multiple of four."""
    size = 12 + 8 + len(text) + 8 + len(data)
    return b"".join([
        struct.pack("<4sII", b"glTF", 2, size),
        struct.pack("<I4s", len(text), b"JSON"), text,
        struct.pack("<I4s", len(data), b"BIN\0"), data,
    ])  # fmt: skip


def _primitive(mesh: Mesh, material: int, numbers: _Numbers) -> _Account:
    indices = numbers.indices(mesh.triangles)
    attributes: _Account = {
        "POSITION": numbers.positions(mesh.corners * _M_PER_MM),
        "NORMAL": numbers.normals(mesh.normals),
    }
    return {
        "attributes": attributes, "indices": indices, "mode": _TRIANGLES, "material": material,
    }  # fmt: skip


def _nodes(frame: Frame, meshes: Mapping[str, int], unmade: Sequence[Unmade]) -> list[Json]:
    """The root, the roles and the members, in this order; ``meshes`` are numbers by mark."""
    roles = list(dict.fromkeys(member.role for member in frame.members))
    first = 1 + len(roles)
    held: dict[Role, list[Json]] = {role: [] for role in roles}
    members: list[Json] = []
    for member, name in zip(frame.members, member_names(frame.members, unmade), strict=True):
        held[member.role].append(first + len(members))
        node: _Account = {"name": name}
        if member.mark in meshes:
            node["mesh"] = meshes[member.mark]
        matrix = member.placement.matrix()
        matrix[:3, 3] *= _M_PER_MM
        if np.abs(matrix - _STANDING).max() > 1e-8:
            node["matrix"] = matrix.T.reshape(-1).tolist()
        members.append(node)
    root: _Account = {
        "name": model_name(frame), "children": list(range(1, first)), "matrix": [*_UPRIGHT],
    }  # fmt: skip
    return [root, *({"name": role.value, "children": held[role]} for role in roles), *members]
