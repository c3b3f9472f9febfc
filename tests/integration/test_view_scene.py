"""The scene of a frame as other programs read it."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
import trimesh

from frame3d.design.reading.reader import read_design
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.solids.pictures.glb_read import read_shells
from frame3d.view.scene_file import Scene, scene_of

TOOLS = Path(__file__).parents[1] / "tools"


@pytest.fixture(scope="module", params=tuple(example_paths()))
def scene(request: pytest.FixtureRequest) -> Scene:
    return scene_of(lay_out(read_design(example_paths()[request.param])))


@pytest.fixture(scope="module")
def path(scene: Scene, tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("scene") / "scene.glb"
    file.write_bytes(scene.glb)
    return file


def test_the_validator_of_the_format_finds_no_fault(path: Path) -> None:
    """Khronos' own validator; it does not know the extension that places many, and says so."""
    assert shutil.which("node"), "node is needed; see tests/run.sh"
    run = subprocess.run(
        ["node", str(TOOLS / "judge_glb.js"), str(path)],
        capture_output=True, text=True, timeout=120, check=False, env=_node_env(),
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    issues = json.loads(run.stdout)
    assert issues["numErrors"] == 0, issues["messages"]
    assert issues["numWarnings"] == 0, issues["messages"]


def _node_env() -> dict:
    places = [str(TOOLS / "node_modules"), os.environ.get("NODE_PATH", "")]
    return {**os.environ, "NODE_PATH": os.pathsep.join(filter(None, places))}


def test_another_reader_finds_each_part_once(scene: Scene, path: Path) -> None:
    """trimesh knows nothing of instances, so it shows the shapes alone."""
    found = trimesh.load_scene(path)
    assert len(found.geometry) == len(scene.members["parts"])
    assert all(len(mesh.faces) for mesh in found.geometry.values())


def test_it_can_be_drawn_like_the_model(scene: Scene, path: Path) -> None:
    """The pictures are drawn from it: as many roles, and as large, as the members say."""
    shells = read_shells(path)
    assert [shell.name for shell in shells] == [role["role"] for role in scene.members["roles"]]
    points = np.concatenate([shell.positions for shell in shells])
    half, length, height = (size / 1000 for size in scene.members["size_mm"])
    low, high = points.min(axis=0), points.max(axis=0)
    # Of lines of axes: the steel reaches beyond by less than half a metre, sockets excepted.
    assert -half - 0.5 < low[0] < -half < half < high[0] < half + 0.5
    assert -0.5 < low[1] < 0 < length < high[1] < length + 0.5
    assert height - 0.1 < high[2] < height + 0.5
