"""Light shapes against the exact solids: closed, outward, as large, and as full as chords allow."""

from __future__ import annotations

import math

import numpy as np
import pytest
from end_form_parts import BENT, BENT_SLANTED, ONE_FLAT, SLANTED, STRUT, WEB
from hypothesis import HealthCheck, assume, given, settings
from msgspec import structs
from OCP.Bnd import Bnd_Box
from OCP.BRepBndLib import BRepBndLib
from sample_frames import EVERY_PART
from whole_designs import designs

from frame3d.design.reading.reader import design_from_mapping, read_design
from frame3d.errors import DesignError, DesignFaults
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.measure.measures import volume_mm3
from frame3d.frame.model.parts import Board, Bolt, ClampHalf, Nut, Part, Plate, Screw, Tube, Washer
from frame3d.frame.model.roles import Role
from frame3d.solids.meshes.mesh_parts import enclosed_mm3
from frame3d.solids.parts.make_solids import make_solid
from frame3d.view.light_mesh import LightMesh, triangulate
from frame3d.view.light_meshes import shape_of
from frame3d.view.tube_meshes import AROUND, SAGITTA_MM

FLAT_ENDS = {"web": WEB, "strut": STRUT, "one flat": ONE_FLAT, "bent": BENT, "slanted": SLANTED,
             "bent and slanted": BENT_SLANTED}  # fmt: skip


def unbored(part: Part) -> Part:
    """``part`` without its holes, which light shapes leave out."""
    if isinstance(part, Board):
        return structs.replace(part, holes=(), edge_holes=())
    return structs.replace(part, holes=()) if isinstance(part, Tube | Plate) else part


def example_parts() -> dict[str, Part]:
    found = {}
    for name, path in example_paths().items():
        for count in lay_out(read_design(path)).parts():
            found[f"{name} {count.mark}"] = count.part
    return found


PARTS = {**{mark: part for mark, (_, part) in EVERY_PART.items()}, **FLAT_ENDS}
EVERY = {**PARTS, **example_parts()}


def welded(shape: LightMesh) -> np.ndarray:
    """The triangles by numbers of points, those that have shrunk to a line left out."""
    places = np.round(shape.corners, 2)
    _, number = np.unique(places, axis=0, return_inverse=True)
    found = number.ravel()[shape.triangles]
    a, b, c = found.T
    return found[(a != b) & (b != c) & (c != a)]


def polygon_share(corners: int) -> float:
    """Area of a regular polygon as a share of its circle."""
    turn = 2 * math.pi / corners
    return math.sin(turn) / turn


@pytest.mark.parametrize("name", EVERY)
def test_every_edge_is_run_as_often_each_way(name: str) -> None:
    triangles = welded(shape_of(EVERY[name]))
    edges = np.concatenate([triangles[:, pair] for pair in ((0, 1), (1, 2), (2, 0))])
    count = int(edges.max()) + 1
    there = np.sort(edges[:, 0] * count + edges[:, 1])
    back = np.sort(edges[:, 1] * count + edges[:, 0])
    assert np.array_equal(there, back)


@pytest.mark.parametrize("name", EVERY)
def test_normals_are_unit_vectors_that_look_outward(name: str) -> None:
    shape = shape_of(EVERY[name])
    assert np.linalg.norm(shape.normals, axis=1) == pytest.approx(1.0, abs=1e-5)
    a, b, c = (shape.corners[shape.triangles[:, k]].astype(float) for k in range(3))
    facing = np.cross(b - a, c - a)
    sizes = np.linalg.norm(facing, axis=1)
    kept = sizes > 1e-3
    agree = np.einsum("ij,ikj->ik", facing, shape.normals[shape.triangles])[kept]
    # A face and its corners' normals part by no more than a chord's turn; at tapers, and where
    # a tube is pressed, by the slope of the surface.
    assert (agree / sizes[kept, None]).min() > 0.5


@pytest.mark.parametrize("name", PARTS)
def test_it_is_as_large_as_the_solid(name: str) -> None:
    part = unbored(PARTS[name])
    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(make_solid(part, mark=name, role=Role.HOOP).shape, box, False, False)
    x0, y0, z0, x1, y1, z1 = box.Get()
    corners = shape_of(part).corners
    low, high = corners.min(axis=0), corners.max(axis=0)
    # Chords along a bend stay inside of it, by their height at the most; an oblong's rounded
    # edge has corners a chord of its circle apart.
    slack = SAGITTA_MM + 0.1
    assert np.all(low > np.array((x0, y0, z0)) - 0.02)
    assert np.all(high < np.array((x1, y1, z1)) + 0.02)
    assert np.all(low < np.array((x0, y0, z0)) + slack)
    assert np.all(high > np.array((x1, y1, z1)) - slack)
    if not isinstance(part, Tube) or part.axis.is_straight and name not in FLAT_ENDS:
        assert low == pytest.approx((x0, y0, z0), abs=0.02)
        assert high == pytest.approx((x1, y1, z1), abs=0.02)


def volume(part: Part) -> float:
    shape = shape_of(part)
    return enclosed_mm3(shape.corners.astype(float), shape.triangles)


def straight_tubes() -> dict[str, Tube]:
    return {
        name: part for name, part in EVERY.items()
        if isinstance(part, Tube) and part.axis.is_straight and name not in FLAT_ENDS
        and not part.start and not part.end
    }  # fmt: skip


@pytest.mark.parametrize("name", straight_tubes())
def test_a_straight_tube_holds_the_polygons_share_of_its_steel(name: str) -> None:
    tube = unbored(EVERY[name])
    assert volume(tube) == pytest.approx(polygon_share(AROUND) * volume_mm3(tube), rel=1e-4)


@pytest.mark.parametrize("name", [n for n, p in EVERY.items() if isinstance(p, Tube)])
def test_any_tube_holds_nearly_that(name: str) -> None:
    tube = unbored(EVERY[name])
    share = volume(tube) / volume_mm3(tube)
    # Chords along a bend are shorter than it, by t²/24 of a turn of t = 4 degrees; an oblong's
    # edge is cut by chords outside, and its bore inside, which leaves it thinner or thicker.
    room = 0.03 if name in FLAT_ENDS or " EB" in name else 0.001
    assert polygon_share(AROUND) * (1 - room) < share < polygon_share(AROUND) * (1 + room)


@pytest.mark.parametrize("name", [n for n, p in EVERY.items() if isinstance(p, Board | Plate)])
def test_boards_and_plates_are_exact(name: str) -> None:
    part = unbored(EVERY[name])
    assert volume(part) == pytest.approx(volume_mm3(part), rel=1e-4)


def test_hardware_is_full_where_its_holes_would_be() -> None:
    nut, washer, screw = (
        next(p for p in PARTS.values() if isinstance(p, kind)) for kind in (Nut, Washer, Screw)
    )
    bolt = next(p for p in PARTS.values() if isinstance(p, Bolt) and p.size.head.value == "hex")
    of_one = math.sqrt(3) / 2  # of a hexagon one across its flats, closed form
    hexagon = of_one * nut.size.flats_mm**2
    assert volume(nut) == pytest.approx(hexagon * nut.size.height_mm, rel=1e-5)
    disc = math.pi / 4 * washer.size.outside_mm**2 * washer.size.thickness_mm
    assert volume(washer) == pytest.approx(polygon_share(16) * disc, rel=1e-5)
    for size, length, part in (
        (bolt.size, bolt.length_mm, bolt), (screw, screw.length_mm, screw),
    ):  # fmt: skip
        head = of_one * size.flats_mm**2 * size.head_height_mm
        shank = math.pi / 4 * size.diameter_mm**2 * length
        assert volume(part) == pytest.approx(head + polygon_share(8) * shank, rel=1e-5)


def test_a_clamp_is_a_little_fuller_than_its_solid() -> None:
    """It has its ears' holes filled, and its boss runs through its ring; the ring is of chords."""
    for part in (p for p in EVERY.values() if isinstance(p, ClampHalf)):
        assert 1.0 < volume(part) / volume_mm3(part) < 1.12


def test_a_polygon_with_a_notch_is_cut_into_its_own_area() -> None:
    outline = np.array([(0, 0), (4, 0), (4, 3), (3, 3), (3, 1), (1, 1), (1, 3), (0, 3)], float)
    found = np.array(triangulate(outline))
    assert len(found) == 6
    a, b, c = (outline[found[:, k]] for k in range(3))
    u, v = b - a, c - a
    areas = (u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]) / 2
    assert np.all(areas > 0)
    assert areas.sum() == pytest.approx(4 * 3 - 2 * 2)


@settings(
    max_examples=12, deadline=None, derandomize=True, database=None,
    suppress_health_check=list(HealthCheck),
)  # fmt: skip
@given(designs(most_bays=6, furnished=True))
def test_every_part_of_any_design_has_a_closed_shape_of_its_volume(mapping: dict) -> None:
    try:
        frame = lay_out(design_from_mapping(mapping))
    except (DesignError, DesignFaults):
        assume(False)
    for count in frame.parts():
        part = count.part
        triangles = welded(shape_of(part))
        edges = np.concatenate([triangles[:, pair] for pair in ((0, 1), (1, 2), (2, 0))])
        most = int(edges.max()) + 1
        there = np.sort(edges[:, 0] * most + edges[:, 1])
        assert np.array_equal(there, np.sort(edges[:, 1] * most + edges[:, 0])), count.mark
        if isinstance(part, Board | Plate):
            assert volume(part) == pytest.approx(volume_mm3(unbored(part)), rel=1e-4), count.mark
        elif isinstance(part, Tube):
            share = volume(part) / volume_mm3(unbored(part))
            assert share == pytest.approx(polygon_share(AROUND), rel=0.03), count.mark


TUBES = [name for name, part in EVERY.items() if isinstance(part, Tube)]


def directions(count: int = 200) -> np.ndarray:
    found = np.random.default_rng(7).normal(size=(count, 3))
    return found / np.linalg.norm(found, axis=1, keepdims=True)


@pytest.mark.parametrize("name", TUBES)
def test_from_far_off_a_tube_follows_its_axis(name: str) -> None:
    tube, shape = EVERY[name], shape_of(EVERY[name])
    kept = sorted({int(k) // AROUND for k in shape.far.ravel()})
    rings = shape.corners[: AROUND * (max(kept) + 1)].reshape(-1, AROUND, 3).astype(float)
    centres = rings[kept].mean(axis=1)[:, :2]
    low, high = centres[:-1, None], centres[1:, None]
    stations = [tube.axis.at(along) for along in np.linspace(0, tube.length_mm, 200)]
    points = np.array([(s.x_mm, s.y_mm) for s in stations])[None]
    along = high - low
    share = np.clip(((points - low) * along).sum(-1) / (along**2).sum(-1), 0, 1)
    off = np.linalg.norm(points - low - share[..., None] * along, axis=-1).min(axis=0)
    # Half a pixel where it is four across; an end that slants has its middle elsewhere.
    slant = tube.section.od_mm if name in ("slanted", "bent slanted", "bent and slanted") else 0.0
    assert off.max() <= tube.section.od_mm / 8 + slant + 0.01
    assert len(shape.far) < shape.outside / 3


@pytest.mark.parametrize("name", [n for n, p in EVERY.items() if isinstance(p, Tube | ClampHalf)])
def test_from_far_off_it_is_about_as_large(name: str) -> None:
    part, shape = EVERY[name], shape_of(EVERY[name])
    across = part.section.od_mm if isinstance(part, Tube) else part.tube_od_mm
    seen = shape.corners[shape.triangles[: shape.outside]].reshape(-1, 3) @ directions().T
    far = shape.corners[shape.far].reshape(-1, 3) @ directions().T
    # A pentagon for a circle, and the chords of the bends: a pixel where it is four across.
    assert np.abs(seen.max(axis=0) - far.max(axis=0)).max() <= across / 4


@pytest.mark.parametrize(
    "name", [n for n, p in PARTS.items() if isinstance(p, Board | Plate | Nut)]
)
def test_what_has_few_triangles_has_no_fewer_for_far_off(name: str) -> None:
    assert not len(shape_of(PARTS[name]).far)
