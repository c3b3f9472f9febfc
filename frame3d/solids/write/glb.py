"""GLB (binary glTF 2.0), by trimesh: one mesh for each distinct part, one node for each member.

In metres and Y up, as glTF has it: the root node turns the frame's axes. The tree
is frame, a group for each role, members by name.

References
----------
glTF 2.0 Specification, Khronos Group, 2021 (ISO/IEC 12113:2022), sections 3.4
(units and axes) and 3.9 (materials).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TypedDict

from frame3d import __version__
from frame3d.frame.describe.as_built import model_name
from frame3d.frame.describe.unmade import Unmade, names_in_model
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.solids.meshes.mesh_parts import Mesh
from frame3d.solids.write.model_names import GltfMaterial, member_names, role_material
from frame3d.writing import write_whole

_M_PER_MM = 1e-3
_UPRIGHT = ((1, 0, 0, 0), (0, 0, 1, 0), (0, -1, 0, 0), (0, 0, 0, 1))
"""From Z up to Y up."""


class _Tree(TypedDict):
    """What is set right of the tree that trimesh makes."""

    asset: dict[str, str]
    materials: list[GltfMaterial]


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
    # Here, since it loads more than the rest of a build needs.
    import trimesh
    from trimesh.exchange.gltf import export_glb

    scene, root = trimesh.Scene(), model_name(frame)
    scene.graph.update(frame_to=root, matrix=_UPRIGHT)
    called = names_in_model(unmade)
    for part in frame.parts():
        if part.mark in meshes:
            mesh = meshes[part.mark]
            material = trimesh.visual.material.PBRMaterial(name=part.role.value)
            scene.geometry[called.get(part.mark, part.mark)] = trimesh.Trimesh(
                mesh.corners * _M_PER_MM, mesh.triangles, vertex_normals=mesh.normals,
                visual=trimesh.visual.TextureVisuals(material=material), process=False,
            )  # fmt: skip
    for role in dict.fromkeys(member.role for member in frame.members):
        scene.graph.update(frame_to=role.value, frame_from=root)
    for member, name in zip(frame.members, member_names(frame.members, unmade), strict=True):
        matrix = member.placement.matrix()
        matrix[:3, 3] *= _M_PER_MM
        part_name = called.get(member.mark, member.mark) if member.mark in meshes else None
        scene.graph.update(
            frame_to=name, frame_from=member.role.value, matrix=matrix, geometry=part_name
        )
    whole: bytes = export_glb(scene, include_normals=True, tree_postprocessor=_finish)
    return whole


def _finish(tree: _Tree) -> None:
    """Who wrote it, and colours, which trimesh rounds to 1/255."""
    tree["asset"]["generator"] = f"frame3d {__version__}"
    # A model without any part has none.
    if "materials" in tree:
        tree["materials"] = [role_material(Role(one["name"])) for one in tree["materials"]]
