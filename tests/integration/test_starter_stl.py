"""model.stl of new designs, read back: every edge has two triangles and no more."""

from __future__ import annotations

from pathlib import Path

import pytest
import trimesh
from stl import mesh as stl_mesh
from typer.testing import CliRunner

from frame3d.cli import app
from frame3d.design.reading.reader import read_design
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.roles import Role
from frame3d.solids.meshes.meshes import make_meshes
from frame3d.solids.parts.make_solids import make_solids
from frame3d.solids.write.stl import write_stl


@pytest.mark.parametrize("style", ["gothic", "quonset"])
@pytest.mark.parametrize(("units", "length"), [("imperial", "16 ft"), ("metric", "5 m")])
def test_a_new_design_is_closed_where_its_parts_touch(
    style: str, units: str, length: str, tmp_path: Path
) -> None:
    """Boards lie on their joint blocks with the same holes, and channel meets channel."""
    path = tmp_path / "new.toml"
    told = CliRunner().invoke(app, [
        "new", str(path), "--style", style, "--units", units, "--length", length,
    ])  # fmt: skip
    assert told.exit_code == 0, told.output
    frame = lay_out(read_design(path))
    roles = (Role.SILL_BOARD, Role.HIP_BOARD, Role.JOINT_BLOCK, Role.CHANNEL)
    touching = {m.mark for m in frame.of(*roles)}
    assert {m.role for m in frame.of(*roles)} == set(roles)
    solids = make_solids(frame)
    assert touching <= set(solids)
    write_stl(frame, make_meshes(solids), tmp_path / "model.stl")
    # trimesh calls watertight what has two triangles at every edge.
    assert trimesh.load_mesh(tmp_path / "model.stl").is_watertight
    if (style, units) == ("gothic", "imperial"):  # takes twice as long as all the rest
        assert stl_mesh.Mesh.from_file(str(tmp_path / "model.stl")).is_closed(exact=True)
