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
from frame3d.solids.write.model_names import member_names, role_material
from frame3d.units.data_tables import Json
from frame3d.writing import write_whole

_M_PER_MM = 1e-3
_ROOT = "frame"
_UPRIGHT = (1, 0, 0, 0, 0, 0, -1, 0, 0, 1, 0, 0, 0, 0, 0, 1)
"""From Z up to Y up, column by column."""
_FLOAT, _SHORT, _INT = 5126, 5123, 5125
_VERTICES, _INDICES = 34962, 34963
_ALWAYS = ("asset", "scene", "scenes", "nodes")


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
    buffer, called = _Buffer(), names_in_model(unmade)
    shown = [part for part in frame.parts() if part.mark in meshes]
    roles = list(dict.fromkeys(member.role for member in frame.members))
    coloured = [role for role in roles if any(part.role is role for part in shown)]
    parts: list[Json] = [
        {
            "name": called.get(part.mark, part.mark),
            "primitives": [
                {**buffer.add(meshes[part.mark]), "material": coloured.index(part.role)}
            ],
        }
        for part in shown
    ]
    tree: dict[str, object] = {
        "asset": {"version": "2.0", "generator": f"frame3d {__version__}"},
        "scene": 0,
        "scenes": [{"name": _ROOT, "nodes": [0]}],
        "nodes": _nodes(frame, roles, {part.mark: k for k, part in enumerate(shown)}, unmade),
        "meshes": parts,
        "materials": [role_material(role) for role in coloured],
        "accessors": buffer.accessors,
        "bufferViews": buffer.views,
        "buffers": [{"byteLength": len(buffer.data)}],
    }
    if not shown:  # none of these may be empty (section 5)
        tree = {name: value for name, value in tree.items() if name in _ALWAYS}
    text = json.dumps(tree, separators=(",", ":")).encode()
    chunks = _chunk(b"JSON", text, b" ") + _chunk(b"BIN\0", bytes(buffer.data), b"\0")
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks


def _chunk(kind: bytes, data: bytes, filler: bytes) -> bytes:
    """A stretch of the file, filled up to a multiple of four bytes; none where there is nothing."""
    if not data:
        return b""
    data += filler * (-len(data) % 4)
    return struct.pack("<I4s", len(data), kind) + data


def _nodes(
    frame: Frame, roles: list[Role], mesh_of: dict[str, int], unmade: Sequence[Unmade]
) -> list[dict[str, Json]]:
    """Root, groups, then members, whose numbers follow from their order."""
    children: dict[Role, list[int]] = {role: [] for role in roles}
    members: list[dict[str, Json]] = []
    for member, name in zip(frame.members, member_names(frame.members, unmade), strict=True):
        children[member.role].append(1 + len(roles) + len(members))
        node: dict[str, Json] = {"name": name, "matrix": _columns(member.placement)}
        if member.mark in mesh_of:
            node["mesh"] = mesh_of[member.mark]
        members.append(node)
    groups = range(1, len(roles) + 1)
    nodes: list[dict[str, Json]] = [{"name": _ROOT, "matrix": _UPRIGHT, "children": list(groups)}]
    nodes += [{"name": role.value, "children": children[role]} for role in roles]
    return nodes + members


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
        self.views: list[dict[str, Json]] = []
        self.accessors: list[dict[str, Json]] = []

    def add(self, mesh: Mesh) -> dict[str, Json]:
        """Put ``mesh`` in; returns the primitive that refers to it."""
        positions = (mesh.corners * _M_PER_MM).astype("<f4")
        # The greatest number of a kind is kept free: it can mean an end (section 3.7.2.1).
        kind, code = ("<u2", _SHORT) if len(positions) < 65535 else ("<u4", _INT)
        places = self._put(positions, _VERTICES, _FLOAT, "VEC3")
        self.accessors[places]["min"] = positions.min(axis=0).tolist()
        self.accessors[places]["max"] = positions.max(axis=0).tolist()
        normals = self._put(mesh.normals.astype("<f4"), _VERTICES, _FLOAT, "VEC3")
        indices = self._put(mesh.triangles.astype(kind).ravel(), _INDICES, code, "SCALAR")
        return {"attributes": {"POSITION": places, "NORMAL": normals}, "indices": indices}

    def _put(self, values: np.ndarray, target: int, code: int, kind: str) -> int:
        data, view = values.tobytes(), len(self.views)
        self.views.append(
            {"buffer": 0, "byteOffset": len(self.data), "byteLength": len(data), "target": target}
        )
        self.data += data + b"\0" * (-len(data) % 4)
        self.accessors.append(
            {"bufferView": view, "componentType": code, "type": kind, "count": len(values)}
        )
        return view


__all__ = ["write_glb"]
