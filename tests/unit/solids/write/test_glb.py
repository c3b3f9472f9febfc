"""The numbers of a GLB file: the same ones once, and a file without any is sound."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pygltflib
import pytest
from glb_validator import validated
from walled_designs import walled

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.solids.meshes.mesh_parts import Mesh
from frame3d.solids.write.glb import write_glb

CORNERS = np.array([(0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (0.0, 100.0, 0.0), (0.0, 0.0, 100.0)])
TRIANGLES = np.array([(0, 2, 1), (0, 1, 3), (0, 3, 2), (1, 2, 3)])


@pytest.fixture(scope="module")
def frame() -> Frame:
    return lay_out(design_from_mapping(walled()))


def tetrahedron(size: float) -> Mesh:
    """One whose corners all look along x; only its bytes matter here."""
    return Mesh(
        corners=size * CORNERS, normals=np.tile((2.0, 0.0, 0.0), (4, 1)), triangles=TRIANGLES,
        point_of=np.arange(4),
    )  # fmt: skip


def test_equal_numbers_stand_in_the_file_once(frame: Frame, tmp_path: Path) -> None:
    marks = [part.mark for part in frame.parts()][:3]
    sizes = dict(zip(marks, (1.0, 1.0, 2.0), strict=True))
    write_glb(frame, {m: tetrahedron(s) for m, s in sizes.items()}, tmp_path / "a.glb")
    issues = validated(tmp_path / "a.glb")
    assert issues["numErrors"] == 0, issues["messages"]
    found = pygltflib.GLTF2().load(str(tmp_path / "a.glb"))
    # Triangles, normals, and corners of two sizes.
    assert len(found.accessors) == len(found.bufferViews) == 4
    first, second, third = (mesh.primitives[0] for mesh in found.meshes)
    assert vars(first.attributes) == vars(second.attributes)
    assert first.attributes.POSITION != third.attributes.POSITION
    assert {one.indices for one in (first, second, third)} == {first.indices}
    assert found.accessors[third.attributes.POSITION].max == pytest.approx([0.2, 0.2, 0.2])
    # A direction is of length one, whatever it was.
    assert found.accessors[first.attributes.NORMAL].max == [1.0, 0.0, 0.0]


def test_a_model_without_any_part_is_a_file_all_the_same(frame: Frame, tmp_path: Path) -> None:
    write_glb(frame, {}, tmp_path / "none.glb")
    found = pygltflib.GLTF2().load(str(tmp_path / "none.glb"))
    assert not found.meshes
    assert len(found.nodes) == 1 + len({m.role for m in frame.members}) + len(frame.members)
    issues = validated(tmp_path / "none.glb")
    assert issues["numErrors"] == 0, issues["messages"]
