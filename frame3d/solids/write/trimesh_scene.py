"""A frame as a trimesh scene, which shows itself in a notebook."""

from __future__ import annotations

from typing import TYPE_CHECKING

from frame3d.frame.model.members import Frame
from frame3d.solids.meshes.meshes import make_meshes
from frame3d.solids.parts.make_solids import make_solids
from frame3d.solids.write.model_names import member_names
from frame3d.solids.write.role_colours import role_colour

if TYPE_CHECKING:
    import trimesh


def to_trimesh(frame: Frame) -> trimesh.Scene:
    """Every member of ``frame`` in its place, mm; equal parts share one closed mesh.

    Returns
    -------
    trimesh.Scene
        One geometry for each part, by its mark, and one node for each member, named as in the
        model files.

    Raises
    ------
    SolidError
        If a part cannot be made.
    """
    import trimesh

    scene = trimesh.Scene()
    meshes = make_meshes(make_solids(frame))
    for part in frame.parts():
        mesh = meshes[part.mark]
        shape = trimesh.Trimesh(mesh.corners, mesh.closed_triangles, process=False)
        shape.remove_unreferenced_vertices()
        colour = [*(round(255 * v) for v in role_colour(part.role)), 255]
        shape.visual = trimesh.visual.ColorVisuals(shape, face_colors=colour)
        scene.geometry[part.mark] = shape
    for member, name in zip(frame.members, member_names(frame.members), strict=True):
        scene.graph.update(frame_to=name, matrix=member.placement.matrix(), geometry=member.mark)
    return scene
