"""Model files read back by programs that had no part in writing them."""

from __future__ import annotations

import math
import re
import subprocess
import sys
from collections import Counter
from pathlib import Path

import numpy as np
import pymupdf
import pytest
import trimesh

from frame3d.errors import OutputError
from frame3d.frame.measures import volume_mm3
from frame3d.frame.members import Frame, Role
from frame3d.frame.parts import Tube
from frame3d.solids.glb_read import read_shells
from frame3d.solids.model import write_model
from frame3d.solids.names import member_names, role_colour
from frame3d.solids.picture import main, write_picture

TESTS = Path(__file__).parents[1]
sys.path.insert(0, str(TESTS))
from sample_frames import EVERY_PART, sample_frame  # noqa: E402 - the path is set above

WRITE_AGAIN = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from sample_frames import sample_frame
from frame3d.solids.model import write_model
write_model(sample_frame(3), Path(sys.argv[2]))
"""


@pytest.fixture(scope="module")
def frame() -> Frame:
    return sample_frame(3)


@pytest.fixture(scope="module")
def folder(frame: Frame, tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("model")
    told: list[tuple[str, int, int]] = []
    paths = write_model(frame, place / "new", lambda *step: told.append(step))
    assert [path.name for path in paths] == ["model.step", "model.stl", "model.glb"]
    assert sorted((place / "new").iterdir()) == sorted(paths)
    assert told[-1] == ("model files", 3, 3)
    return place / "new"


@pytest.fixture(scope="module")
def exact_mm3(frame: Frame) -> float:
    return math.fsum(volume_mm3(member.part) for member in frame.members)


@pytest.fixture(scope="module")
def step(folder: Path):
    """The STEP file as steputils reads it: text, without a kernel."""
    from steputils import p21

    return p21.readfile(str(folder / "model.step"))


def entities(step, name: str) -> list:
    return [e for e in step.data[0].instances.values() if _name(e) == name]


def _name(instance) -> str:
    return instance.entity.name if hasattr(instance, "entity") else ""


def test_step_has_a_tree_of_names(step, frame: Frame) -> None:
    products = [e.entity.params[0] for e in entities(step, "PRODUCT")]
    roles = {member.role.value for member in frame.members}
    assert sorted(products) == sorted(["frame", *roles, *EVERY_PART])
    uses = [e.entity.params for e in entities(step, "NEXT_ASSEMBLY_USAGE_OCCURRENCE")]
    assert sorted(use[1] for use in uses) == sorted([*member_names(frame.members), *roles])
    # A placement's first number is its own; members are told apart by it.
    assert len({use[0] for use in uses}) == len(uses)


def test_step_shares_each_solid(step) -> None:
    assert len(entities(step, "MANIFOLD_SOLID_BREP")) == len(EVERY_PART)
    styled = entities(step, "STYLED_ITEM")
    assert len(styled) == len(EVERY_PART)


def test_step_has_one_colour_for_each_role(step, frame: Frame) -> None:
    found = {
        tuple(round(v, 6) for v in e.entity.params[1:]) for e in entities(step, "COLOUR_RGB")
    }
    assert found == {role_colour(member.role) for member in frame.members}


def test_step_has_the_radii_of_the_axes(step) -> None:
    """The tori of bent tubes as text: radius of the bend, then that of the tube."""
    found = Counter(
        tuple(round(v, 6) for v in e.entity.params[2:])
        for e in entities(step, "TOROIDAL_SURFACE")
    )
    hoop = EVERY_PART["H1"][1]
    assert isinstance(hoop, Tube)
    full, wall = hoop.section.od_mm / 2, hoop.section.wall_mm
    reduced = hoop.end.od_mm / 2
    expected = {
        (bend, round(radius - thinner, 6))
        for bend, radius in ((900.0, full), (3200.0, full), (3200.0, reduced))
        for thinner in (0.0, wall)
    }
    assert set(found) == expected


def test_step_is_the_same_bytes_in_another_process(folder: Path, tmp_path: Path) -> None:
    command = [sys.executable, "-c", WRITE_AGAIN, str(TESTS), str(tmp_path)]
    root = str(TESTS.parent)
    subprocess.run(command, check=True, cwd=root, env={"PYTHONPATH": root, "PYTHONHASHSEED": "5"})
    for name in ("model.step", "model.stl", "model.glb"):
        assert (tmp_path / name).read_bytes() == (folder / name).read_bytes(), name


def test_step_is_the_same_bytes_the_second_time(frame: Frame, folder: Path, tmp_path) -> None:
    write_model(frame, tmp_path)
    assert (tmp_path / "model.step").read_bytes() == (folder / "model.step").read_bytes()


def test_step_has_every_member_at_its_volume_in_gmsh(
    folder: Path, frame: Frame, exact_mm3: float
) -> None:
    import gmsh

    gmsh.initialize(interruptible=False)
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        gmsh.model.occ.importShapes(str(folder / "model.step"))
        gmsh.model.occ.synchronize()
        solids = gmsh.model.getEntities(3)
        assert len(solids) == len(frame.members)
        total = math.fsum(gmsh.model.occ.getMass(3, tag) for _, tag in solids)
    finally:
        gmsh.finalize()
    # gmsh integrates trimmed faces by a fixed rule, coarser than ours: 1e-4.
    assert total == pytest.approx(exact_mm3, rel=1e-4)


def test_stl_is_closed_in_numpy_stl(folder: Path, exact_mm3: float) -> None:
    from stl import mesh as stl_mesh

    found = stl_mesh.Mesh.from_file(str(folder / "model.stl"))
    assert found.is_closed(exact=True)
    volume, _, _ = found.get_mass_properties()
    assert volume == pytest.approx(exact_mm3, rel=1e-3)


def test_stl_is_whole_in_admesh(folder: Path, frame: Frame, exact_mm3: float) -> None:
    run = subprocess.run(
        ["admesh", str(folder / "model.stl")], capture_output=True, text=True, check=True
    )

    def figure(name: str) -> float:
        return float(re.search(rf"{name}\s*:\s*([-\d.]+)", run.stdout).group(1))

    assert figure("Number of parts") == len(frame.members)
    for fault in ("Total disconnected facets", "Edges fixed", "Facets reversed"):
        assert figure(fault) == 0, fault
    for fault in ("Facets removed", "Facets added", "Backwards edges", "Degenerate facets"):
        assert figure(fault) == 0, fault
    assert figure("Volume") == pytest.approx(exact_mm3, rel=1e-3)


def test_stl_far_from_the_origin_stays_closed(tmp_path: Path) -> None:
    """300 m off, single precision is coarser than the narrowest triangles."""
    from frame3d.solids.make import make_solids
    from frame3d.solids.meshes import make_meshes
    from frame3d.solids.stl import write_stl

    frame = sample_frame(2, spacing_mm=300_000.0)
    far = Frame(
        design=None,
        grid=frame.grid,
        arch=None,
        members=tuple(m for m in frame.members if m.spot.hoop == 2),
    )
    write_stl(far, make_meshes(make_solids(far)), tmp_path / "far.stl")
    found = trimesh.load_mesh(tmp_path / "far.stl")
    assert found.is_watertight


def test_glb_is_instanced_in_pygltflib(folder: Path, frame: Frame) -> None:
    from pygltflib import GLTF2

    found = GLTF2().load(str(folder / "model.glb"))
    assert sorted(mesh.name for mesh in found.meshes) == sorted(EVERY_PART)
    nodes = [node for node in found.nodes if node.mesh is not None]
    assert [node.name for node in nodes] == member_names(frame.members)
    assert [found.meshes[node.mesh].name for node in nodes] == [m.mark for m in frame.members]
    roles = list(dict.fromkeys(member.role.value for member in frame.members))
    assert [material.name for material in found.materials] == roles
    root = found.nodes[found.scenes[0].nodes[0]]
    assert [found.nodes[number].name for number in root.children] == roles
    reached = [child for group in root.children for child in found.nodes[group].children]
    assert sorted(reached) == [k for k, node in enumerate(found.nodes) if node.mesh is not None]


def test_glb_stands_upright_in_metres(folder: Path, frame: Frame, exact_mm3: float) -> None:
    """Y up: the frame's z is glTF's y, its y is glTF's -z (glTF 2.0, section 3.4)."""
    scene = trimesh.load_scene(folder / "model.glb")
    low, high = scene.bounds
    stl_low, stl_high = trimesh.load_mesh(folder / "model.stl").bounds / 1000
    assert low == pytest.approx([stl_low[0], stl_low[2], -stl_high[1]], abs=1e-5)
    assert high == pytest.approx([stl_high[0], stl_high[2], -stl_low[1]], abs=1e-5)
    assert len(scene.geometry) == len(EVERY_PART)
    assert len(scene.graph.nodes_geometry) == len(frame.members)
    whole = trimesh.load_mesh(folder / "model.stl")
    assert whole.volume == pytest.approx(exact_mm3, rel=1e-3)


def test_glb_read_back_has_the_frames_axes(folder: Path, frame: Frame) -> None:
    shells = read_shells(folder / "model.glb")
    assert [s.name for s in shells] == list(dict.fromkeys(m.role.value for m in frame.members))
    points = np.concatenate([shell.positions for shell in shells])
    bounds = trimesh.load_mesh(folder / "model.stl").bounds / 1000
    assert np.array([points.min(axis=0), points.max(axis=0)]) == pytest.approx(bounds, abs=1e-5)


def test_file_that_is_no_glb_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "model.glb"
    path.write_text("solid frame, but in text and in another format")
    with pytest.raises(OutputError, match="is not a GLB file"):
        read_shells(path)


def test_picture_shows_the_frame_or_says_why_not(folder: Path, tmp_path: Path) -> None:
    png = tmp_path / "frame.png"
    try:
        write_picture(folder / "model.glb", png)
    except OutputError as error:
        # A machine that cannot draw: allowed, if it says so and leaves nothing behind.
        assert re.search("no picture could be drawn", str(error))
        assert list(tmp_path.iterdir()) == []
        return
    data = png.read_bytes()
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    assert tuple(np.frombuffer(data[16:24], ">u4")) == (1600, 1000)
    pixels = pymupdf.Pixmap(str(png))
    shades = np.frombuffer(pixels.samples, np.uint8).reshape(pixels.h, pixels.w, pixels.n)
    middle = shades[200:800, 200:1400, :3].astype(int)
    # A light ground with the darker frame on it: neither black nor empty.
    assert middle.mean() > 120
    assert 0.005 < (middle.mean(axis=2) < 150).mean() < 0.5
    assert len(np.unique(middle.reshape(-1, 3), axis=0)) > 200
    # Light makes a colour darker or paler but leaves its hue; the ground has hardly any.
    # The rail of this frame is above the middle; the legend, below row 780, is left out.
    assert _share_of_hue(middle, Role.SILL_BOARD) > 0.005
    assert _share_of_hue(shades[:780, :, :3].astype(int), Role.RAIL) > 0.0005
    # The frame fills the picture, and none of it is cut off at the rim.
    background = shades[0, 0, :3].astype(int)
    there = (abs(shades[:, :, :3] - background) > 8).any(axis=2)
    across, along = np.nonzero(there.any(axis=0))[0], np.nonzero(there.any(axis=1))[0]
    assert 0 < across[0] and across[-1] < 1599 and 0 < along[0] and along[-1] < 999
    assert np.ptp(across) > 0.85 * 1600 or np.ptp(along) > 0.85 * 1000


def _share_of_hue(shades: np.ndarray, role: Role) -> float:
    """Share of clearly coloured pixels of ``shades`` within 10 degrees of the role's hue."""
    # Red, green and blue as directions 120 degrees apart: grey is nothing.
    turns = np.exp(2j * np.pi * np.arange(3) / 3)
    tint = shades @ turns
    apart = abs(np.angle(tint / (np.array(role_colour(role)) @ turns), deg=True))
    return float(((abs(tint) > 30) & (apart < 10)).mean())


def test_picture_of_a_bad_file_is_an_error(tmp_path: Path) -> None:
    bad = tmp_path / "bad.glb"
    bad.write_bytes(b"nothing at all, but long enough")
    with pytest.raises(OutputError, match=r"no picture could be drawn \(.*not a GLB file"):
        write_picture(bad, tmp_path / "bad.png")
    assert list(tmp_path.iterdir()) == [bad]


def test_picture_program_wants_two_names(capsys: pytest.CaptureFixture) -> None:
    assert main(["one"]) == 2
    assert "give a GLB file and a PNG file" in capsys.readouterr().err


def test_folder_that_cannot_be_made_is_named(frame: Frame, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file")
    with pytest.raises(OutputError, match="deeper cannot be made: Not a directory"):
        write_model(frame, tmp_path / "taken" / "deeper")


def test_nothing_is_printed_by_the_kernel(frame: Frame, tmp_path: Path, capfd) -> None:
    write_model(frame, tmp_path)
    out, err = capfd.readouterr()
    assert (out, err) == ("", "")
