"""Model files read back by programs that had no part in writing them."""

from __future__ import annotations

import json
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
from glb_validator import validated

import frame3d
from frame3d.errors import OutputError
from frame3d.frame.measure.measures import volume_mm3
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role
from frame3d.solids.pictures.render import PICTURES, drawing, main, write_pictures
from frame3d.solids.pictures.role_shells import PERSON_MM, packed_shells, read_shells
from frame3d.solids.pictures.scene_signs import HALF_MM
from frame3d.solids.write.model_files import write_model
from frame3d.solids.write.model_names import member_names
from frame3d.solids.write.role_colours import role_colour
from frame3d.view.light_shells import shells_of, signs_of

TESTS = Path(__file__).parents[1]
sys.path.insert(0, str(TESTS))
from sample_frames import EVERY_PART, sample_frame  # noqa: E402 - the path is set above

WRITE_AGAIN = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from sample_frames import sample_frame
from frame3d.solids.pictures.role_shells import packed_shells, read_shells
from frame3d.solids.write.model_files import write_model
write_model(sample_frame(3), Path(sys.argv[2]))
"""


@pytest.fixture(scope="module")
def frame() -> Frame:
    return sample_frame(3)


@pytest.fixture(scope="module")
def folder(frame: Frame, tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("model")
    told: list[tuple[str, int, int]] = []
    unmade = write_model(frame, place / "new", lambda *step: told.append(step)).unmade
    assert unmade == ()
    names = {path.name for path in (place / "new").iterdir()}
    assert names == {"model.step", "model.stl", "model.glb"}
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
    found = {tuple(round(v, 6) for v in e.entity.params[1:]) for e in entities(step, "COLOUR_RGB")}
    assert found == {role_colour(member.role) for member in frame.members}


def test_step_has_the_radii_of_the_axes(step) -> None:
    """The tori of bent tubes as text: radius of the bend, then that of the tube."""
    found = Counter(
        tuple(round(v, 6) for v in e.entity.params[2:]) for e in entities(step, "TOROIDAL_SURFACE")
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
    command = [sys.executable, "-P", "-c", WRITE_AGAIN, str(TESTS), str(tmp_path)]
    root = str(TESTS.parent)
    other = {"PYTHONPATH": root, "PYTHONHASHSEED": "5", "OPENBLAS_NUM_THREADS": "1"}
    subprocess.run(command, check=True, cwd=root, env=other)
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
    # Its own volume looks for closedness once more; a closed surface holds the signed volumes
    # of the tetrahedra from the origin to its triangles (the divergence theorem).
    first, second, third = found.vectors.astype(float).transpose(1, 0, 2)
    volume = np.einsum("ij,ij->", first, np.cross(second, third)) / 6
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
    from frame3d.solids.meshes.meshes import make_meshes
    from frame3d.solids.parts.make_solids import make_solids
    from frame3d.solids.write.stl import write_stl

    frame = sample_frame(2, spacing_mm=300_000.0)
    far = Frame(
        design=frame.design,
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


def test_glb_has_every_member_in_its_place_and_colour(folder: Path, frame: Frame) -> None:
    """Placed as the frame has it, turned by Y up and in metres; colours in linear light."""
    from pygltflib import GLTF2

    scene = trimesh.load_scene(folder / "model.glb")
    upright = trimesh.transformations.rotation_matrix(-math.pi / 2, (1, 0, 0))
    for member, name in zip(frame.members, member_names(frame.members), strict=True):
        wanted = member.placement.matrix()
        wanted[:3, 3] /= 1000
        matrix, mark = scene.graph[name]
        assert mark == member.mark
        assert matrix == pytest.approx(upright @ wanted, abs=1e-7)
    for material in GLTF2().load(str(folder / "model.glb")).materials:
        linear = np.array(material.pbrMetallicRoughness.baseColorFactor[:3])
        # IEC 61966-2-1: all of ours are above its straight part near black.
        shown = 1.055 * linear ** (1 / 2.4) - 0.055
        assert shown == pytest.approx(role_colour(Role(material.name)), abs=1e-5)


def test_glb_is_sound_to_the_validator_of_the_format(folder: Path) -> None:
    issues = validated(folder / "model.glb")
    assert issues["numErrors"] == 0, issues["messages"]
    assert issues["numWarnings"] == 0, issues["messages"]


@pytest.fixture(scope="module")
def pictures(frame: Frame, tmp_path_factory: pytest.TempPathFactory) -> dict[str, np.ndarray]:
    """Every picture as red, green and blue, (rows, columns, 3) int; none where none is drawn."""
    place = tmp_path_factory.mktemp("pictures")
    try:
        write_pictures(shells_of(frame), place)
    except OutputError as error:
        # A machine that cannot draw: allowed, if it says so and leaves nothing behind.
        assert re.search("no pictures could be drawn .* install libegl1", str(error))
        assert list(place.iterdir()) == []
        return {}
    assert sorted(path.name for path in place.iterdir()) == sorted(PICTURES)
    return {name: _shades(place / name) for name in PICTURES}


def test_pictures_show_the_frame_or_say_why_not(pictures: dict[str, np.ndarray]) -> None:
    for shades in pictures.values():
        assert shades.shape[1] == 1600 and 340 < shades.shape[0] < 1300
        # Light, with the darker frame on it: neither black nor empty.
        assert shades.mean() > 150
        assert 0.005 < (shades.mean(axis=2) < 150).mean() < 0.5
        # Each shade as one number.
        assert len(np.unique(shades @ (1, 256, 65536))) > 200


def test_picture_of_the_whole_is_whole_and_coloured_by_role(
    pictures: dict[str, np.ndarray],
) -> None:
    if not pictures:
        pytest.skip("this machine cannot draw")
    # Light makes a colour darker or paler but leaves its hue; the ground has hardly any.
    # The legend, the lowest 80 rows, is left out.
    view = pictures["model.png"][:-80]
    assert _share_of_hue(view, Role.SILL_BOARD) > 0.003
    assert _share_of_hue(view, Role.RAIL) > 0.0003
    # Nothing clearly coloured or dark is cut off at the rim, and it fills the picture.
    there = (np.ptp(view, axis=2) > 25) | (view.mean(axis=2) < 120)
    across, along = np.nonzero(there.any(axis=0))[0], np.nonzero(there.any(axis=1))[0]
    assert across[0] > 0 and across[-1] < 1599
    assert along[0] > 0 and along[-1] < len(view) - 1
    assert np.ptp(across) > 0.75 * 1600 or np.ptp(along) > 0.75 * len(view)


def test_somebody_stands_beside_the_frame_for_scale(
    pictures: dict[str, np.ndarray], frame: Frame
) -> None:
    """In the view from the front, as high against the frame as 1.75 m is; as on the page."""
    page = (Path(frame3d.__file__).parent / "view" / "assets" / "viewer" / "things.js").read_text()
    half = re.search(r"const HALF = (\[.*?\]);", page, re.DOTALL).group(1)
    assert json.loads(half) == [list(point) for point in HALF_MM]
    assert f"PERSON_MM = {PERSON_MM:g};" in page
    faces = frame.design.surroundings.front_faces
    assert signs_of(frame).front == (f"front, faces {faces.value}" if faces else "front")
    if not pictures:
        pytest.skip("this machine cannot draw")
    view = pictures["front.png"][:-80]
    # Its own grey blue, to which no light is added.
    body = (abs(view - (0x6B, 0x76, 0x83)).max(axis=2) < 3).nonzero()
    # The hoops nearest to it: from the ground, where a socket ends, to the ridge.
    hoops = (_hue_apart(view, Role.HOOP) < 10).nonzero()
    tall, wide = np.ptp(body[0]), np.ptp(hoops[1])
    assert tall / wide == pytest.approx(PERSON_MM / (2 * frame.grid.socket_x_mm), rel=0.06)
    assert body[1].max() < hoops[1].min()


def test_the_frame_throws_a_shadow_on_the_ground(pictures: dict[str, np.ndarray]) -> None:
    """Without one nothing of the ground would be darker than itself."""
    if not pictures:
        pytest.skip("this machine cannot draw")
    view = pictures["model.png"][:-80]
    grey, bright = np.ptp(view, axis=2) < 14, view.mean(axis=2)
    assert (grey & (bright > 130) & (bright < 195)).mean() > 0.004


def _shades(png: Path) -> np.ndarray:
    """Red, green and blue of every pixel, (rows, columns, 3) int."""
    pixels = pymupdf.Pixmap(str(png))
    shades = np.frombuffer(pixels.samples, np.uint8).reshape(pixels.h, pixels.w, pixels.n)
    return shades[:, :, :3].astype(int)


def _share_of_hue(shades: np.ndarray, role: Role) -> float:
    """Share of clearly coloured pixels of ``shades`` within 10 degrees of the role's hue."""
    return float((_hue_apart(shades, role) < 10).mean())


def _hue_apart(shades: np.ndarray, role: Role) -> np.ndarray:
    """Degrees between the hue of each pixel and the role's; 180 where it has hardly any colour."""
    # Red, green and blue as directions 120 degrees apart: grey is nothing.
    turns = np.exp(2j * np.pi * np.arange(3) / 3)
    tint = shades @ turns
    apart = abs(np.angle(tint / (np.array(role_colour(role)) @ turns), deg=True))
    return np.where(abs(tint) > 30, apart, 180.0)


def test_pictures_of_nothing_are_an_error(tmp_path: Path) -> None:
    """Whatever ends the process that draws is told, and no file is left."""
    with pytest.raises(OutputError, match=r"no pictures could be drawn \(ValueError: need"):
        write_pictures([], tmp_path / "drawn")
    assert list(tmp_path.iterdir()) == []


def test_drawing_that_is_given_up_leaves_nothing(frame: Frame, tmp_path: Path) -> None:
    with drawing(shells_of(frame), tmp_path / "drawn"):
        assert (tmp_path / "drawn").is_dir()  # it has begun
    assert list(tmp_path.iterdir()) == []


def test_shells_are_the_same_once_handed_over(frame: Frame) -> None:
    shells = shells_of(frame)
    handed_over, signs = read_shells(packed_shells(shells, signs_of(frame)))
    assert signs == signs_of(frame)
    for one, read in zip(shells, handed_over, strict=True):
        assert (one.name, one.colour) == (read.name, read.colour)
        for name in ("positions", "normals", "triangles"):
            assert (getattr(one, name) == getattr(read, name)).all()


def test_picture_program_wants_one_name(capsys: pytest.CaptureFixture) -> None:
    assert main(["one", "two"]) == 2
    assert "give a folder" in capsys.readouterr().err


def test_folder_that_cannot_be_made_is_named(frame: Frame, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file")
    with pytest.raises(OutputError, match="deeper cannot be made: Not a directory"):
        write_model(frame, tmp_path / "taken" / "deeper")


def test_nothing_is_printed_by_the_kernel(frame: Frame, tmp_path: Path, capfd) -> None:
    write_model(frame, tmp_path)
    out, err = capfd.readouterr()
    assert (out, err) == ("", "")
