"""Meshes: closed, on the surface, looking outward; and names and files."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh
from msgspec.structs import replace
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from sample_frames import (
    BRACE,
    EVERY_PART,
    HOOP_PIECE,
    PLAIN_WASHER,
    QUARTER,
    SILL_BOARD,
    sample_frame,
)

from frame3d.errors import OutputError, SolidError
from frame3d.frame.model.members import Member
from frame3d.frame.model.parts import Hole, Part, Tube
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.geometry.paths import Arc, Line, PlanePath
from frame3d.geometry.placement import Placement
from frame3d.solids.kernel.solid import Solid
from frame3d.solids.meshes import meshes as meshes_module
from frame3d.solids.meshes.apart import find_splits, mesh_edges, placed_points, split
from frame3d.solids.meshes.mesh_parts import Mesh, Tolerance, enclosed_mm3, is_closed
from frame3d.solids.meshes.meshes import kernel_mesh, make_meshes, mesh_of
from frame3d.solids.meshes.tube_mesh import tube_mesh
from frame3d.solids.parts.make_solids import make_solid
from frame3d.solids.write.model_names import member_name, member_names
from frame3d.writing import write_whole

CUBE = np.array(
    [(0, 2, 1), (0, 3, 2), (4, 5, 6), (4, 6, 7), (0, 1, 5), (0, 5, 4)]
    + [(1, 2, 6), (1, 6, 5), (2, 3, 7), (2, 7, 6), (3, 0, 4), (3, 4, 7)]
)
CUBE_CORNERS = np.array(
    [(0, 0, 0), (1, 0, 0), (1, 1, 0), (0, 1, 0), (0, 0, 1), (1, 0, 1), (1, 1, 1), (0, 1, 1)],
    dtype=float,
)
CROSSED = Tube(
    section=HOOP_PIECE.section,
    axis=PlanePath((Arc(900.0, -0.5), Line(400.0))),
    holes=(
        Hole(at_mm=100.0, clock_rad=0.3, diameter_mm=9.0),
        Hole(at_mm=100.0, clock_rad=0.3 + QUARTER, diameter_mm=9.0),
        Hole(at_mm=700.0, clock_rad=1.0, diameter_mm=9.0),
    ),
)
AT_A_JOINT = replace(CROSSED, holes=(Hole(at_mm=451.0, diameter_mm=9.0),))
NEIGHBOURS = replace(
    CROSSED, holes=(Hole(at_mm=600.0, diameter_mm=9.0), Hole(at_mm=611.0, diameter_mm=9.0))
)
CLOSE = replace(
    CROSSED,
    holes=(Hole(at_mm=600.0, diameter_mm=9.0), Hole(at_mm=606.0, clock_rad=0.55, diameter_mm=9.0)),
)
FINE = Tolerance(linear_mm=0.5, angle_rad=0.06)
TUBES_HERE = {
    **{mark: part for mark, (_, part) in EVERY_PART.items() if isinstance(part, Tube)},
    "crossed": CROSSED,
    "at a joint": AT_A_JOINT,
    "neighbours": NEIGHBOURS,
    "close": CLOSE,
}
PARTS = {**{mark: part for mark, (_, part) in EVERY_PART.items()}, **TUBES_HERE}


def made(part: Part) -> Solid:
    return make_solid(part, mark="T9", role=Role.HOOP)


def alignment(mesh: Mesh) -> np.ndarray:
    """Cosine between each triangle and the normals at its corners, (m, 3)."""
    a, b, c = (mesh.corners[mesh.triangles[:, k]] for k in range(3))
    facing = np.cross(b - a, c - a)
    facing /= np.linalg.norm(facing, axis=1, keepdims=True)
    return np.einsum("ij,ikj->ik", facing, mesh.normals[mesh.triangles])


@pytest.mark.parametrize("name", PARTS)
def test_mesh_is_closed_and_has_nearly_the_volume(name: str) -> None:
    solid = made(PARTS[name])
    mesh = mesh_of(solid, FINE)
    judged = trimesh.Trimesh(mesh.corners, mesh.closed_triangles, process=False)
    assert judged.is_watertight
    assert judged.is_winding_consistent
    # n chords enclose 1 - (2π/n)²/6 of a circle: 105 for tubes, 53 for all else.
    loss = 2.4e-3
    if isinstance(solid.part, Tube):
        loss = 1e-3 if tube_mesh(solid.part, FINE) else 2.4e-3
    assert judged.volume == pytest.approx(solid.volume_mm3, rel=loss)
    assert np.allclose(mesh.corners, mesh.corners[mesh.point_of], rtol=0, atol=1e-6)


@pytest.mark.parametrize("angle_deg", [1.0, 3.0, 12.0, 20.0])
def test_a_tube_loses_what_its_chords_leave_out(angle_deg: float) -> None:
    """n chords enclose sin(2π/n)/(2π/n) of a circle: closed form of the area of a polygon."""
    solid = made(replace(PARTS["S1"], holes=()))
    mesh = mesh_of(solid, Tolerance(linear_mm=10.0, angle_rad=math.radians(angle_deg)))
    turn = 2 * math.pi / math.ceil(360 / angle_deg - 1e-9)
    kept = enclosed_mm3(mesh.corners, mesh.triangles) / solid.volume_mm3
    assert kept == pytest.approx(math.sin(turn) / turn, rel=1e-6)


@pytest.mark.parametrize("angle_deg", [1.0, 6.0, 20.0, 30.0])
@pytest.mark.parametrize("name", TUBES_HERE)
def test_a_bored_tube_closes_however_coarse(name: str, angle_deg: float) -> None:
    """30 deg is more than a design may ask for."""
    solid = made(TUBES_HERE[name])
    tolerance = Tolerance(linear_mm=10.0, angle_rad=math.radians(angle_deg))
    judged = mesh_of(solid, tolerance)
    assert is_closed(judged.closed_triangles)
    turn = 2 * tolerance.angle_rad  # of the kernel's triangles
    assert abs(enclosed_mm3(judged.corners, judged.triangles) / solid.volume_mm3 - 1) < turn**2 / 5


@pytest.mark.parametrize("name", PARTS)
def test_normals_look_out_of_the_solid(name: str) -> None:
    mesh = mesh_of(made(PARTS[name]), FINE)
    assert np.linalg.norm(mesh.normals, axis=1) == pytest.approx(1.0)
    assert alignment(mesh).min() > 0.8


@pytest.mark.parametrize("name", ["H1", "R1", "crossed", "at a joint", "neighbours"])
def test_points_of_a_tube_lie_on_its_solid(name: str) -> None:
    """Laid out without the kernel, so the kernel's faces are the judge."""
    solid = made(TUBES_HERE[name])
    mesh = tube_mesh(solid.part, FINE)
    assert mesh is not None
    shell = TopExp_Explorer(solid.shape, TopAbs_ShapeEnum.TopAbs_SHELL).Current()
    chosen = np.random.default_rng(7).choice(len(mesh.corners), 60, replace=False)
    for point in mesh.corners[chosen]:
        vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*point.tolist())).Vertex()
        assert BRepExtrema_DistShapeShape(vertex, shell).Value() < 1e-6


def test_rim_of_a_hole_across_a_joint_lies_on_its_solid() -> None:
    solid = made(AT_A_JOINT)
    mesh = tube_mesh(solid.part, FINE)
    near = np.flatnonzero(
        np.linalg.norm(
            mesh.corners
            - AT_A_JOINT.axis.at(451.0).x_mm * np.array([1.0, 0, 0])
            - AT_A_JOINT.axis.at(451.0).y_mm * np.array([0, 1.0, 0]),
            axis=1,
        )
        < 24.0
    )
    shell = TopExp_Explorer(solid.shape, TopAbs_ShapeEnum.TopAbs_SHELL).Current()
    for point in mesh.corners[near[:: max(1, len(near) // 60)]]:
        vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*point.tolist())).Vertex()
        assert BRepExtrema_DistShapeShape(vertex, shell).Value() < 1e-6


def test_tubes_off_the_grid_are_left_to_the_kernel() -> None:
    assert tube_mesh(CLOSE, FINE) is None
    assert is_closed(kernel_mesh(made(CLOSE), FINE).closed_triangles)


def test_grid_needs_fewer_triangles_than_the_kernel() -> None:
    solid = made(HOOP_PIECE)
    assert len(mesh_of(solid, FINE).triangles) < len(kernel_mesh(solid, FINE).triangles) / 3


def test_closed_means_every_edge_both_ways() -> None:
    assert is_closed(CUBE)
    assert enclosed_mm3(CUBE_CORNERS, CUBE) == pytest.approx(1.0)
    assert not is_closed(CUBE[1:])
    turned = CUBE.copy()
    turned[0] = turned[0][::-1]
    assert not is_closed(turned)
    assert not is_closed(np.concatenate([CUBE, CUBE]))


def test_edges_are_as_many_as_a_ring_has() -> None:
    """Vertices less edges and faces is 0 of what has one hole through it (Euler, Poincare)."""
    mesh = mesh_of(made(PLAIN_WASHER), FINE)
    edges = mesh_edges(mesh)
    assert len(np.unique(edges, axis=0)) == len(edges)
    assert len(np.unique(mesh.point_of)) - len(edges) + len(mesh.triangles) == 0


def test_boards_end_to_end_stay_two_closed_shells() -> None:
    mesh = mesh_of(made(SILL_BOARD), FINE)
    here, next_one = np.eye(4), np.eye(4)
    next_one[0, 3] = SILL_BOARD.length_mm
    third = next_one.copy()
    third[:3, :3] = np.diag([1.0, -1.0, -1.0])
    third[1:3, 3] = (SILL_BOARD.section.depth_mm, SILL_BOARD.section.thickness_mm)
    matrices = [here, next_one, third]
    splits = find_splits([mesh] * 3, matrices)
    # Of two ends the four edges meet; they are parted by lines that cross. The second and the
    # third lie on each other as well, edge for edge, except for their holes: each gets its own.
    assert 0 not in splits and len(splits[1]) == 4 and len(splits[2]) >= 12
    shells = [
        split(mesh, placed_points(mesh, matrix), splits.get(number, {}))
        for number, matrix in enumerate(matrices)
    ]
    for shell in shells:
        one = trimesh.Trimesh(**trimesh.triangles.to_kwargs(shell))
        assert one.is_watertight and one.is_winding_consistent
        exact = enclosed_mm3(mesh.corners, mesh.closed_triangles)
        assert one.volume == pytest.approx(exact, rel=1e-5)
    pair = trimesh.Trimesh(**trimesh.triangles.to_kwargs(np.concatenate(shells[:2])))
    assert pair.is_watertight


def test_boards_face_to_face_share_no_edge_of_their_faces() -> None:
    """Their faces are parted alike between the same holes, by edges in no corner of either."""
    mesh = mesh_of(made(SILL_BOARD), FINE)
    behind = np.eye(4)
    behind[:3, 3] = thinner_way(mesh)
    matrices = [np.eye(4), behind]
    splits = find_splits([mesh] * 2, matrices)
    shells = [split(mesh, placed_points(mesh, matrix), splits.get(number, {}))
              for number, matrix in enumerate(matrices)]  # fmt: skip
    pair = trimesh.Trimesh(**trimesh.triangles.to_kwargs(np.concatenate(shells)))
    assert pair.is_watertight and len(pair.split()) == 2


def thinner_way(mesh: Mesh) -> np.ndarray:
    """From one face of a board to the other, mm: as far as it is thick."""
    size = np.ptp(mesh.corners, axis=0)
    return np.where(size == size.min(), size, 0.0)


def test_members_apart_are_left_as_they_are() -> None:
    mesh = mesh_of(made(SILL_BOARD), FINE)
    far = np.eye(4)
    far[0, 3] = 5000.0
    assert find_splits([mesh, mesh], [np.eye(4), far]) == {}
    assert find_splits([], []) == {}


def test_mesh_that_does_not_close_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    mesh = mesh_of(made(PLAIN_WASHER), FINE)
    torn = replace(mesh, triangles=mesh.triangles[1:])
    monkeypatch.setattr(meshes_module, "kernel_mesh", lambda *_: torn)
    with pytest.raises(SolidError, match="T9: the triangles of its solid do not close"):
        mesh_of(made(PLAIN_WASHER), FINE)


def test_meshes_have_the_marks_of_their_solids() -> None:
    assert list(make_meshes({"D1": made(BRACE)})) == ["D1"]


@pytest.mark.parametrize(
    ("spot", "name"),
    [
        (Spot(side=Side.LEFT, hoop=3), "D1 hoop 3 left"),
        (Spot(side=Side.RIGHT, hoop=1, to_hoop=4, order=2), "D1 hoops 1-4 right 2"),
        (Spot(side=Side.MIDDLE, hoop=2, to_hoop=2), "D1 hoop 2"),
    ],
)
def test_member_is_called_by_mark_and_spot(spot: Spot, name: str) -> None:
    member = Member(mark="D1", role=Role.BRACE, part=BRACE, placement=Placement(), spot=spot)
    assert member_name(member) == name
    assert member_names([member, member]) == [name, f"{name} (2)"]


def test_names_of_a_frame_are_unique() -> None:
    names = member_names(sample_frame(4).members)
    assert len(set(names)) == len(names)


def test_a_failed_run_leaves_the_last_good_file(tmp_path) -> None:
    path = tmp_path / "frame.stl"
    path.write_text("good")

    def fail(temporary) -> None:
        temporary.write_text("half")
        raise OSError(28, "No space left on device")

    with pytest.raises(OutputError, match=r"frame\.stl cannot be written: the disk is full"):
        write_whole(path, fail)
    assert path.read_text() == "good"
    assert list(tmp_path.iterdir()) == [path]
