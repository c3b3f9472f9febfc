"""Flat ends and cut boards in model files, read back by programs that had no part in them."""

from __future__ import annotations

import math
import sys
from pathlib import Path

import pytest
import trimesh

from frame3d.frame.measure.measures import volume_mm3
from frame3d.solids.write.model_files import write_model

sys.path.insert(0, str(Path(__file__).parents[1]))
from end_form_parts import PARTS, end_form_frame  # noqa: E402 - the path is set above


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("model") / "new"
    write_model(end_form_frame(), place)
    return place


def test_step_has_each_part_at_its_volume_in_gmsh(folder: Path) -> None:
    import gmsh

    gmsh.initialize(interruptible=False)
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        gmsh.model.occ.importShapes(str(folder / "model.step"))
        gmsh.model.occ.synchronize()
        solids = gmsh.model.getEntities(3)
        found = sorted(gmsh.model.occ.getMass(3, tag) for _, tag in solids)
    finally:
        gmsh.finalize()
    # gmsh integrates trimmed faces by a fixed rule, coarser than ours: 1e-4.
    assert found == pytest.approx(sorted(map(volume_mm3, PARTS.values())), rel=1e-4)


def test_stl_is_closed_in_numpy_stl(folder: Path) -> None:
    from stl import mesh as stl_mesh

    found = stl_mesh.Mesh.from_file(str(folder / "model.stl"))
    assert found.is_closed(exact=True)
    volume, _, _ = found.get_mass_properties()
    assert volume == pytest.approx(math.fsum(map(volume_mm3, PARTS.values())), rel=1e-3)


def test_glb_is_watertight_in_trimesh(folder: Path) -> None:
    scene = trimesh.load(folder / "model.glb")
    assert len(scene.geometry) == len(PARTS)
    for shape in scene.geometry.values():
        shape.merge_vertices(merge_norm=True, merge_tex=True)
        assert shape.is_watertight
