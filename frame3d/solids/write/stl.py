"""STL (binary): every member's closed mesh, in the frame's axes, mm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np

from frame3d.frame.describe.as_built import as_built_mark
from frame3d.frame.describe.unmade import Lack, Unmade
from frame3d.frame.model.members import Frame
from frame3d.geometry.hulls import row_cross
from frame3d.solids.meshes.apart import find_splits, placed_points, split
from frame3d.solids.meshes.mesh_parts import Mesh
from frame3d.writing import write_whole

_SAYS = "frame3d, millimetres, Z up"
_HEADER_BYTES = 80
_FACET = np.dtype(
    [("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")], align=False
)


def write_stl(
    frame: Frame, meshes: Mapping[str, Mesh], path: Path, unmade: Sequence[Unmade] = ()
) -> None:
    """Write the triangles of every member of ``frame`` into a binary STL file.

    Each member is a closed shell of its own; members that touch are not joined. The format
    has one name for all, which begins with the parts in ``unmade``.

    Parameters
    ----------
    frame : Frame
    meshes : mapping of mark to Mesh
        As :func:`frame3d.solids.meshes.meshes.make_meshes` returns them.
    path : Path
    unmade : sequence of Unmade
        Parts that are not as they should be; without a mesh, they are left out.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    write_whole(path, lambda temporary: _save(frame, meshes, temporary, _header(frame, unmade)))


def _header(frame: Frame, unmade: Sequence[Unmade]) -> bytes:
    """80 bytes: ``NOT BORED H1 H3, frame3d ...``, as many marks of each kind as there is room for.

    A reader takes a file for text if it begins with ``solid``, which no name here does.
    """
    told = []
    for lack in Lack:
        marks = [one.mark for one in unmade if one.lack is lack]
        if marks:
            told.append(f"{lack.value} {' '.join(marks)}")
    built = [mark] if (mark := as_built_mark(frame)) else []
    words = ", ".join([*told, *built, _SAYS])
    if len(words) > _HEADER_BYTES:
        words = "; ".join(
            f"{lack.value} {sum(one.lack is lack for one in unmade)} parts"
            for lack in Lack
            if any(one.lack is lack for one in unmade)
        )
        words = ", ".join([words, *built, "frame3d"] if built else [words, _SAYS])
    return words.encode("ascii").ljust(_HEADER_BYTES)


def _save(frame: Frame, meshes: Mapping[str, Mesh], path: Path, header: bytes) -> None:
    members = [member for member in frame.members if member.mark in meshes]
    shells = [meshes[member.mark] for member in members]
    matrices = [member.placement.matrix() for member in members]
    splits = find_splits(shells, matrices)
    count = 0
    with path.open("wb") as file:
        file.write(header)
        file.write(np.uint32(0).tobytes())
        for number, (mesh, matrix) in enumerate(zip(shells, matrices, strict=True)):
            points = placed_points(mesh, matrix)
            if number in splits:
                facets = _facets(split(mesh, points, splits[number]))
            else:
                facets = _facets(points[mesh.closed_triangles])
            file.write(facets.tobytes())
            count += len(facets)
        file.seek(_HEADER_BYTES)
        file.write(np.array(count, dtype="<u4").tobytes())


def _facets(triangles: np.ndarray) -> np.ndarray:
    """Triangles, (m, 3, 3) in single precision, as the file has them."""
    # Far from the origin two points can become one in single precision. Both
    # triangles on the edge between them go, and the shell stays closed.
    a, b, c = (triangles[:, k] for k in range(3))
    gone = (a == b).all(axis=1) | (b == c).all(axis=1) | (c == a).all(axis=1)
    triangles = triangles[~gone]
    a, b, c = (triangles[:, k].astype(float) for k in range(3))
    normals = row_cross(b - a, c - a)
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    facets = np.zeros(len(triangles), dtype=_FACET)
    facets["normal"] = np.divide(normals, lengths, out=normals, where=lengths > 0)
    facets["corners"] = triangles
    return facets
