"""The scene of a frame as other programs read it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh
from glb_validator import validated

from frame3d.design.reading.reader import read_design
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.view.light_shells import shells_of
from frame3d.view.scene_file import Scene, scene_of


@pytest.fixture(scope="module", params=tuple(example_paths()))
def frame(request: pytest.FixtureRequest) -> Frame:
    return lay_out(read_design(example_paths()[request.param]))


@pytest.fixture(scope="module")
def scene(frame: Frame) -> Scene:
    return scene_of(frame)


@pytest.fixture(scope="module")
def path(scene: Scene, tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("scene") / "scene.glb"
    file.write_bytes(scene.glb)
    return file


def test_the_validator_of_the_format_finds_no_fault(path: Path) -> None:
    """It does not know the extension that places many, and says so without a warning."""
    issues = validated(path)
    assert issues["numErrors"] == 0, issues["messages"]
    assert issues["numWarnings"] == 0, issues["messages"]


def test_another_reader_finds_each_part_once(scene: Scene, path: Path) -> None:
    """trimesh knows nothing of instances, so it shows the shapes alone."""
    found = trimesh.load_scene(path)
    assert len(found.geometry) == len(scene.members["parts"])
    assert all(len(mesh.faces) for mesh in found.geometry.values())


def test_pictures_show_what_the_scene_has(frame: Frame, scene: Scene) -> None:
    """They are drawn from the same shapes: as many roles, and as large, as the members say."""
    shells = shells_of(frame)
    assert [shell.name for shell in shells] == [role["role"] for role in scene.members["roles"]]
    points = np.concatenate([shell.positions for shell in shells])
    half, length, height = (size / 1000 for size in scene.members["size_mm"])
    low, high = points.min(axis=0), points.max(axis=0)
    # Of lines of axes: the steel reaches beyond by less than half a metre, sockets excepted.
    assert -half - 0.5 < low[0] < -half < half < high[0] < half + 0.5
    assert -0.5 < low[1] < 0 < length < high[1] < length + 0.5
    assert height - 0.1 < high[2] < height + 0.5
