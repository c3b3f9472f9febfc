"""STL (binary): every member's closed mesh, in the frame's axes, mm."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import numpy as np

from frame3d.frame.members import Frame
from frame3d.solids.files import write_whole
from frame3d.solids.meshes import Mesh

_HEADER = b"frame3d, millimetres, Z up".ljust(80)
_FACET = np.dtype(
    [("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")], align=False
)


def write_stl(frame: Frame, meshes: Mapping[str, Mesh], path: Path) -> None:
    """Write the triangles of every member of ``frame`` into a binary STL file.

    Each member is a closed shell of its own; touching members are not joined.

    Parameters
    ----------
    frame : Frame
    meshes : mapping of mark to Mesh
        As :func:`frame3d.solids.meshes.make_meshes` returns them.
    path : Path

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    write_whole(path, lambda temporary: _save(frame, meshes, temporary))


def _save(frame: Frame, meshes: Mapping[str, Mesh], path: Path) -> None:
    count = 0
    with path.open("wb") as file:
        file.write(_HEADER)
        file.write(np.uint32(0).tobytes())
        for member in frame.members:
            facets = _facets(meshes[member.mark], member.placement.matrix())
            file.write(facets.tobytes())
            count += len(facets)
        file.seek(len(_HEADER))
        file.write(np.array(count, dtype="<u4").tobytes())


def _facets(mesh: Mesh, matrix: np.ndarray) -> np.ndarray:
    """The triangles of ``mesh`` moved by ``matrix``, (4, 4) float, mm."""
    placed = mesh.corners @ matrix[:3, :3].T + matrix[:3, 3]
    triangles = placed.astype("<f4")[mesh.closed_triangles]
    # Far from the origin two points can become one in single precision. Both
    # triangles on the edge between them go, and the shell stays closed.
    a, b, c = (triangles[:, k] for k in range(3))
    gone = (a == b).all(axis=1) | (b == c).all(axis=1) | (c == a).all(axis=1)
    triangles = triangles[~gone]
    a, b, c = (triangles[:, k].astype(float) for k in range(3))
    normals = np.cross(b - a, c - a)
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    facets = np.zeros(len(triangles), dtype=_FACET)
    facets["normal"] = np.divide(normals, lengths, out=normals, where=lengths > 0)
    facets["corners"] = triangles
    return facets
