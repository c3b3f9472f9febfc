"""The door for Python users: names, types, and what cadquery and trimesh make of a frame."""

from __future__ import annotations

import ast
import builtins
import doctest
import json
import re
import subprocess
import sys
from pathlib import Path

import cadquery
import numpy as np
import pytest
from sample_frames import sample_frame

import frame3d
from frame3d import api
from frame3d.frame.measure.measures import volume_mm3
from frame3d.solids.write.model_names import member_names
from frame3d.solids.write.role_colours import role_colour

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def frame() -> frame3d.Frame:
    return sample_frame(2)


def seen_by_checkers() -> dict[str, tuple[str, str]]:
    """Public name -> the module and the name there, as the imports for type checkers say."""
    tree = ast.parse(Path(frame3d.__file__).read_text("utf-8"))
    (block,) = [n for n in tree.body if isinstance(n, ast.If) and not n.orelse and any(
        isinstance(inner, ast.ImportFrom) for inner in n.body)]  # fmt: skip
    return {
        alias.asname or alias.name: (node.module, alias.name)
        for node in block.body if isinstance(node, ast.ImportFrom) for alias in node.names
    }  # fmt: skip


def test_checkers_see_what_is_there() -> None:
    assert seen_by_checkers() == {
        name: (home, called.rpartition("=")[2]) for name, (home, called) in frame3d._HOME.items()
    }
    assert set(frame3d.__all__) == {*frame3d._HOME, "__version__"} <= set(dir(frame3d))
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        frame3d.nothing  # noqa: B018 - asking is the test


def test_no_name_is_a_module_once_all_are_loaded() -> None:
    """Else ``frame3d.check`` would turn into a package when somebody imports it."""
    program = (
        "import pkgutil, importlib, types, frame3d\n"
        "for found in pkgutil.walk_packages(frame3d.__path__, 'frame3d.'):\n"
        "    if not found.name.endswith('__main__'): importlib.import_module(found.name)\n"
        "print([n for n in frame3d.__all__ if isinstance(getattr(frame3d, n), types.ModuleType)])\n"
    )
    run = subprocess.run(
        [sys.executable, "-P", "-c", program], capture_output=True, text=True, timeout=300,
        check=False,
    )  # fmt: skip
    assert (run.returncode, run.stdout.strip()) == (0, "[]"), run.stderr


def test_readme_and_notebooks_come_in_by_the_door() -> None:
    texts = re.findall(
        r"^```python\n(.*?)^```$", (ROOT / "README.md").read_text("utf-8"), re.M | re.S
    )
    for path in sorted((ROOT / "notebooks").glob("*.ipynb")):
        cells = json.loads(path.read_text("utf-8"))["cells"]
        texts += ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "code"]
    whole = "\n".join(texts)
    assert set(re.findall(r"\bframe3d\.(\w+)", whole)) <= set(frame3d.__all__)
    assert re.findall(r"^\s*from frame3d\b.*", whole, re.M) == []


def test_the_examples_of_the_door_run() -> None:
    tried = doctest.testmod(api)
    assert tried.attempted > 8
    assert tried.failed == 0


def test_a_design_comes_from_a_text_or_a_mapping() -> None:
    text = '[profile]\nstyle = "quonset"\nwidth = "20 ft"\n[bays]\ncount = 3\nspacing = "4 ft"\n'
    mapping = {
        "profile": {"style": "quonset", "width": "20 ft"}, "bays": {"count": 3, "spacing": "4 ft"},
    }  # fmt: skip
    assert frame3d.design_from(text) == frame3d.design_from(mapping)
    with pytest.raises(frame3d.DesignFaults, match="line 2"):
        frame3d.design_from(text.replace("quonset", "square"))


def test_models_and_sheets_are_written_as_their_names_end(frame, tmp_path: Path) -> None:
    paths = [tmp_path / f"a.{ending}" for ending in ("step", "stl", "glb")]
    frame3d.write_model(frame, *paths)
    assert paths[0].read_bytes().startswith(b"ISO-10303-21;")
    assert paths[2].read_bytes().startswith(b"glTF")
    with pytest.raises(ValueError, match=r"b.obj: a model can be written as"):
        frame3d.write_model(frame, tmp_path / "b.step", tmp_path / "b.obj")
    assert not (tmp_path / "b.step").exists()


def test_cadquery_gets_every_member_in_its_place(frame) -> None:
    whole = frame3d.to_cadquery(frame)
    assert isinstance(whole, cadquery.Assembly)
    assert [child.name for child in whole.children] == member_names(frame.members)
    for child, member in zip(whole.children, frame.members, strict=True):
        assert isinstance(child.obj, cadquery.Workplane)
        assert child.color.toTuple()[:3] == pytest.approx(role_colour(member.role), abs=1e-6)
        # cadquery asks the kernel for its quick sum, which is off by some 3e-6 on a bored face.
        assert child.obj.val().Volume() == pytest.approx(volume_mm3(member.part), rel=1e-5)
        origin, _ = child.loc.toTuple()
        assert origin == pytest.approx(member.placement.origin, abs=1e-6)
    shared = {id(child.obj) for child in whole.children}
    assert len(shared) == len(frame.parts()) < len(frame.members)


def test_cadquery_that_is_not_there_is_asked_for(frame, monkeypatch: pytest.MonkeyPatch) -> None:
    found = builtins.__import__

    def without(name: str, *more: object) -> object:
        if name == "cadquery":
            raise ImportError(name)
        return found(name, *more)

    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(ImportError, match=r"pip install 'frame3d\[cadquery\]'"):
        frame3d.to_cadquery(frame)


def test_trimesh_gets_closed_meshes_of_the_same_volume(frame) -> None:
    scene = frame3d.to_trimesh(frame)
    assert set(scene.geometry) == {part.mark for part in frame.parts()}
    assert set(scene.graph.nodes_geometry) == set(member_names(frame.members))
    for part in frame.parts():
        mesh = scene.geometry[part.mark]
        assert mesh.is_watertight
        # Chords lie within the round: a few thousandths less.
        assert mesh.volume == pytest.approx(volume_mm3(part.part), rel=0.02)
    for member, name in zip(frame.members, member_names(frame.members), strict=True):
        matrix, mark = scene.graph[name]
        assert mark == member.mark
        assert np.allclose(matrix, member.placement.matrix(), atol=1e-9)
