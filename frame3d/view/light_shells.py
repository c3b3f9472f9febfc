"""The light shapes of all members, by role, in their places: what pictures are drawn from."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame, PartCount
from frame3d.frame.model.roles import Role
from frame3d.solids.pictures.role_shells import PERSON_MM, Shell, Signs
from frame3d.solids.write.role_colours import colour_group, role_colour
from frame3d.view.light_meshes import shape_of

_M_PER_MM = 1e-3


def shells_of(frame: Frame) -> list[Shell]:
    """One shell for each role of ``frame``, in the order of the roles."""
    gathered: dict[Role, list[PartCount]] = {}
    for count in frame.parts():
        gathered.setdefault(count.role, []).append(count)
    return [_shell(role, gathered[role]) for role in Role if role in gathered]


def signs_of(frame: Frame) -> Signs:
    """What is written on a picture for its scale and direction, in the units of the design."""
    faces = frame.design.surroundings.front_faces
    return Signs(
        person=lengths_of(frame).text(PERSON_MM, unit=True),
        front=f"front, faces {faces.value}" if faces else "front",
    )


def _shell(role: Role, counts: Sequence[PartCount]) -> Shell:
    positions, normals, triangles, first = [], [], [], 0
    for count in counts:
        shape = shape_of(count.part)
        places = np.array([member.placement.matrix() for member in count.members])
        turns, shifts = places[:, :3, :3].transpose(0, 2, 1), places[:, None, :3, 3]
        placed = (shape.corners @ turns + shifts) * _M_PER_MM
        positions.append(placed.reshape(-1, 3).astype(np.float32))
        normals.append((shape.normals @ turns).reshape(-1, 3).astype(np.float32))
        corners = len(shape.corners)
        starts = first + corners * np.arange(len(places))
        placed_triangles = shape.triangles + starts[:, None, None]
        triangles.append(placed_triangles.reshape(-1, 3).astype(np.int32))
        first += corners * len(places)
    return Shell(
        name=role.value,
        group=colour_group(role).name,
        colour=role_colour(role),
        positions=np.concatenate(positions),
        normals=np.concatenate(normals),
        triangles=np.concatenate(triangles),
    )
