"""The scene that screens are sent: its places, its words, its size, and what loads for it."""

from __future__ import annotations

import gzip
import json
import subprocess
import sys

import numpy as np
import pygltflib
import pytest
from walled_designs import walled

from frame3d.design.reading.reader import design_from_mapping, read_design
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.solids.write.role_colours import role_colour
from frame3d.view.light_meshes import shape_of
from frame3d.view.member_info import members_of, place_words
from frame3d.view.scene_file import scene_of, turns

NAMES = tuple(example_paths())


@pytest.fixture(scope="module", params=NAMES)
def frame(request: pytest.FixtureRequest) -> Frame:
    return lay_out(read_design(example_paths()[request.param]))


def placed(glb: bytes) -> list[tuple[str, np.ndarray, np.ndarray]]:
    """For each part its mark, its corners (n, 3) mm, and its members' (m, 4, 4) places, mm."""
    found = pygltflib.GLTF2.load_from_bytes(glb)
    binary = found.binary_blob()

    def numbers(index: int, kind: str, width: int) -> np.ndarray:
        accessor = found.accessors[index]
        view = found.bufferViews[accessor.bufferView]
        count = accessor.count * width
        offset = view.byteOffset + (accessor.byteOffset or 0)
        return np.frombuffer(binary, kind, count, offset).reshape(-1, width)

    parts = []
    for node in found.nodes:
        if node.mesh is None:
            continue
        primitive = found.meshes[node.mesh].primitives[0]
        places = node.extensions["EXT_mesh_gpu_instancing"]["attributes"]
        shift = numbers(places["TRANSLATION"], "<f4", 3).astype(float)
        x, y, z, w = numbers(places["ROTATION"], "<f4", 4).astype(float).T
        matrices = np.tile(np.eye(4), (len(shift), 1, 1))
        matrices[:, :3, :3] = np.array([
            [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
            [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
            [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
        ]).transpose(2, 0, 1)  # fmt: skip
        matrices[:, :3, 3] = shift * 1000
        corners = numbers(primitive.attributes.POSITION, "<f4", 3) * 1000.0
        parts.append((node.name, corners, matrices))
    return parts


def test_every_member_is_there_in_its_place(frame: Frame) -> None:
    scene = scene_of(frame)
    found = placed(scene.glb)
    assert [mark for mark, _, _ in found] == [count.mark for count in frame.parts()]
    for (_, corners, matrices), count in zip(found, frame.parts(), strict=True):
        wanted = np.array([member.placement.matrix() for member in count.members])
        # Single precision: 1e-7 of 100 m.
        assert matrices[:, :3, 3] == pytest.approx(wanted[:, :3, 3], abs=0.01)
        assert matrices[:, :3, :3] == pytest.approx(wanted[:, :3, :3], abs=1e-6)
        assert corners == pytest.approx(shape_of(count.part).corners, abs=0.001)


def test_members_say_what_they_are(frame: Frame) -> None:
    told = json.loads(json.dumps(members_of(frame)))
    assert len(told["part_of"]) == len(told["place_of"]) == len(frame.members)
    for number, member in enumerate(frame.members):
        part = told["parts"][told["part_of"][number]]
        assert part["mark"] == member.mark
        assert told["roles"][part["role"]]["role"] == member.role.value
        assert told["places"][told["place_of"][number]] == place_words(member.spot)
    for count, part in zip(frame.parts(), told["parts"], strict=True):
        assert part["count"] == count.count
    for role in told["roles"]:
        assert role["count"] == sum(1 for m in frame.members if m.role.value == role["role"])
        shades = [int(role["colour"][k : k + 2], 16) / 255 for k in (1, 3, 5)]
        assert shades == pytest.approx(role_colour(Role(role["role"])), abs=1 / 255)


@pytest.mark.parametrize(
    ("spot", "words"),
    [
        (Spot(side=Side.LEFT, hoop=3), "hoop 3, left"),
        (Spot(side=Side.MIDDLE, hoop=1, to_hoop=1), "hoop 1, middle"),
        (Spot(side=Side.RIGHT, hoop=4, to_hoop=2, order=2), "hoops 2 to 4, right, number 2"),
    ],
)
def test_places_in_words(spot: Spot, words: str) -> None:
    assert place_words(spot) == words


def test_the_same_frame_gives_the_same_bytes(frame: Frame) -> None:
    assert scene_of(frame) == scene_of(frame)


@pytest.mark.parametrize("name", NAMES)
def test_a_scene_is_small(name: str) -> None:
    """The aim for a frame of 96 ft is 300 kB as it is sent."""
    scene = scene_of(lay_out(read_design(example_paths()[name])))
    text = json.dumps(scene.members, separators=(",", ":")).encode()
    assert len(gzip.compress(scene.glb)) + len(gzip.compress(text)) < 300_000


def test_ten_times_the_length_costs_hardly_more_shapes() -> None:
    short, long = (
        scene_of(lay_out(design_from_mapping(walled(bays={"count": bays, "spacing": "1.5 m"}))))
        for bays in (6, 60)
    )
    assert len(long.members["part_of"]) > 5 * len(short.members["part_of"])
    assert len(long.members["parts"]) < 1.5 * len(short.members["parts"])
    # A member more costs 28 bytes, and no shape.
    more = len(long.members["part_of"]) - len(short.members["part_of"])
    assert len(long.glb) - len(short.glb) < 28 * more + 0.5 * len(short.glb)


@pytest.mark.parametrize("axis", range(3))
@pytest.mark.parametrize("angle", [0.0, 1e-9, 0.7, np.pi / 2, np.pi - 1e-9, np.pi, 4.0, -2.0])
def test_turns_are_the_half_angle_about_the_axis(axis: int, angle: float) -> None:
    """Closed form: the axis times the sine of half the angle, and its cosine; sign is free."""
    matrix = np.eye(3)
    b, c = (axis + 1) % 3, (axis + 2) % 3
    matrix[b, b] = matrix[c, c] = np.cos(angle)
    matrix[c, b], matrix[b, c] = np.sin(angle), -np.sin(angle)
    wanted = np.zeros(4)
    wanted[axis], wanted[3] = np.sin(angle / 2), np.cos(angle / 2)
    found = turns(matrix[None])[0]
    assert found * np.sign(found @ wanted) == pytest.approx(wanted, abs=1e-8)


def test_a_scene_loads_no_kernel() -> None:
    code = (
        "import sys\n"
        "from frame3d.examples import example_paths\n"
        "from frame3d.frame.lay_out import lay_out\n"
        "from frame3d.design.reading.reader import read_design\n"
        "from frame3d.view.view_page import view_page\n"
        "frame = lay_out(read_design(next(iter(example_paths().values()))))\n"
        "view_page(frame, (), ())\n"
        "heavy = {'OCP', 'vtk', 'vtkmodules', 'ezdxf', 'matplotlib', 'ortools', 'scipy'}\n"
        "print(sorted(heavy & {name.split('.')[0] for name in sys.modules}))\n"
    )
    run = subprocess.run(
        [sys.executable, "-P", "-c", code], capture_output=True, text=True, timeout=120, check=True
    )
    assert run.stdout.strip() == "[]"
