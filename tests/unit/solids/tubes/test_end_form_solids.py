"""Solids and meshes of flat ends and of cut boards: where there is material, and how much."""

from __future__ import annotations

import itertools
import math
from collections import Counter

import numpy as np
import pytest
import trimesh
from end_form_parts import (
    BENT,
    BEVELLED,
    BOARDS,
    BOTH_LAPPED,
    HALVED,
    MITRED,
    ONE_FLAT,
    PARTS,
    PRESSED,
    SLANTED,
    STRUT,
    STUD,
    WEB,
)
from msgspec.structs import replace
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.BRepGProp import BRepGProp
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.gp import gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_ShapeEnum, TopAbs_State
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

from frame3d.errors import SolidError
from frame3d.frame.measure.measures import centre_mm, volume_mm3
from frame3d.frame.model.parts import Board, BoardEnd, BoardHole, EdgeHole, Flat, Hole, Part, Tube
from frame3d.frame.model.roles import Role
from frame3d.geometry.paths import Arc, Line, PlanePath
from frame3d.solids.kernel.solid import Solid, tolerance
from frame3d.solids.meshes.mesh_parts import Tolerance
from frame3d.solids.meshes.meshes import coarser, kernel_mesh, mesh_of
from frame3d.solids.meshes.tube_mesh import tube_mesh
from frame3d.solids.parts.make_solids import make_solid

FINE = Tolerance(linear_mm=0.5, angle_rad=0.06)


def made(part: Part) -> Solid:
    return make_solid(part, mark="T9", role=Role.WEB)


def inside(solid: Solid, x: float, y: float, z: float) -> bool:
    classifier = BRepClass3d_SolidClassifier(solid.shape, gp_Pnt(x, y, z), 1e-6)
    return classifier.State() == TopAbs_State.TopAbs_IN


@pytest.mark.parametrize("part", PARTS.values(), ids=PARTS)
def test_solid_has_the_volume_that_arithmetic_says(part: Part) -> None:
    """Exact to rounding for boards; over pressed ends and bent bores see ``tolerance``."""
    allowed = tolerance(part) if isinstance(part, Tube) else 1e-12
    assert made(part).volume_mm3 == pytest.approx(volume_mm3(part), rel=allowed)


@pytest.mark.parametrize("part", PARTS.values(), ids=PARTS)
def test_centre_of_mass_is_the_kernels(part: Part) -> None:
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(made(part).shape, properties, 1e-12, True)
    centre = properties.CentreOfMass()
    # Tapers count on the axis, and holes in a bend as in a straight tube: 2e-3 mm.
    allowed = 2e-3 if isinstance(part, Tube) else 1e-8
    assert centre_mm(part) == pytest.approx((centre.X(), centre.Y(), centre.Z()), abs=allowed)


@pytest.mark.parametrize("clock", [0.0, 0.4, math.pi / 2])
def test_steel_is_where_the_law_of_the_flat_puts_it(clock: float) -> None:
    """Points just inside and outside of both surfaces, by the docstring of Flat."""
    flat = replace(PRESSED, clock_rad=clock)
    tube = replace(STRUT, start=flat)
    solid, wall = made(tube), tube.section.wall_mm
    radius = tube.section.od_mm / 2
    widest = math.pi * (radius - wall) / 2
    for at in (10.0, 50.0, 76.0, 100.0, 115.0, 124.0, 140.0):
        s = min(max((130.0 - at) / 60.0, 0.0), 1.0)
        outer, bore = radius + s * (wall - radius), (1 - s) * (radius - wall)
        for turn, side in itertools.product(np.linspace(0, math.pi, 7)[:-1], (1, -1)):
            # From the flat's face round the edge to the other face.
            for edge, less, more in ((outer, True, False), (bore, False, True)):
                for step, steel in ((-0.05, less), (0.05, more)):
                    size = edge + step
                    if size <= 0:
                        continue
                    along = side * (s * widest + size * math.sin(turn))
                    out = size * math.cos(turn)
                    y = out * math.cos(clock) - along * math.sin(clock)
                    z = out * math.sin(clock) + along * math.cos(clock)
                    assert inside(solid, at, y, z) is steel, (at, turn, side, size)


@pytest.mark.parametrize("slant", [0.5, -1.08])
@pytest.mark.parametrize("at_start", [True, False])
def test_a_flat_is_cut_on_the_slant_that_its_words_say(at_start: bool, slant: float) -> None:
    """Seen with its normal toward you and the axis upward, longest at the right if positive."""
    clock = 0.4
    flat = replace(PRESSED, clock_rad=clock, slant_rad=slant)
    solid = made(replace(STRUT, start=flat) if at_start else replace(STRUT, start=None, end=flat))
    wall, radius = STRUT.section.wall_mm, STRUT.section.od_mm / 2
    straight = math.pi * (radius - wall) / 2
    normal = np.array((0.0, math.cos(clock), math.sin(clock)))
    # right is upward turned a quarter toward the viewer's right hand: up, right, normal
    right = np.cross((1.0, 0.0, 0.0), normal)
    assert np.dot(np.cross(right, (1.0, 0.0, 0.0)), normal) == pytest.approx(1.0)
    for along, out in itertools.product(np.linspace(-1, 1, 9) * straight, (-0.9, 0.0, 0.9)):
        cut = math.tan(slant) * along
        for more, steel in ((-0.05, True), (0.05, False)):
            reach = cut + more
            x = -reach if at_start else 800.0 + reach
            assert inside(solid, *(np.array((x, 0, 0)) + along * right + out * wall * normal)) is (
                steel
            )
    # the tips, in the rounded edges
    for side in (1, -1):
        along = side * (straight + 0.99 * wall)
        for more, steel in ((-0.1, True), (0.1, False)):
            reach = math.tan(slant) * along + more
            x = -reach if at_start else 800.0 + reach
            assert inside(solid, *(np.array((x, 0, 0)) + along * right)) is steel


def test_a_slanted_end_is_one_plane_face() -> None:
    tilted, explorer = [], TopExp_Explorer(made(SLANTED).shape, TopAbs_ShapeEnum.TopAbs_FACE)
    while explorer.More():
        surface = BRepAdaptor_Surface(TopoDS.Face_s(explorer.Current()))
        explorer.Next()
        if surface.GetType() == GeomAbs_SurfaceType.GeomAbs_Plane:
            place = surface.Plane().Axis()
            face = np.array((place.Direction().X(), place.Direction().Y(), place.Direction().Z()))
            point = place.Location()
            if point.X() < 60.0 or point.X() > 790.0:
                tilted.append(abs(face[0]))
    # of the sides of the flats, which are parallel to the axis, and of the two cuts
    assert sorted(round(v, 9) for v in tilted if v > 1e-6) == pytest.approx(
        sorted((math.cos(0.5), math.cos(0.9))), abs=1e-8
    )


def test_hole_in_a_flat_goes_square_through_it_whatever_its_clock() -> None:
    turned = replace(WEB, holes=tuple(replace(h, clock_rad=1.3) for h in WEB.holes))
    for tube in (WEB, turned):
        solid, half = made(tube), tube.section.wall_mm - 0.1
        for at, side in itertools.product((35.0, 865.0), (1, -1)):
            y, z = side * half * math.cos(0.4), side * half * math.sin(0.4)
            assert not inside(solid, at + 5.0, y, z)
            assert inside(solid, at + 5.5, y, z)
            # across the flat, beyond the hole's edge
            assert inside(solid, at, -5.5 * math.sin(0.4), 5.5 * math.cos(0.4))


def test_a_flat_has_planes_cylinders_and_slanting_cones() -> None:
    found, explorer = Counter(), TopExp_Explorer(made(STRUT).shape, TopAbs_ShapeEnum.TopAbs_FACE)
    while explorer.More():
        found[BRepAdaptor_Surface(TopoDS.Face_s(explorer.Current())).GetType()] += 1
        explorer.Next()
    # Each end: 1 across, 2 sides and 4 quarter edges of the flat; of the transition 2
    # triangles and 4 quarter cones outside and in the bore. Between: two round surfaces.
    assert found == {
        GeomAbs_SurfaceType.GeomAbs_Plane: 2 * (1 + 2 + 2 * 2),
        GeomAbs_SurfaceType.GeomAbs_Cylinder: 2 * 4 + 2,
        GeomAbs_SurfaceType.GeomAbs_BezierSurface: 2 * 8,
    }


def test_bore_between_two_flats_is_a_void() -> None:
    def shells(tube: Tube) -> int:
        explorer, count = TopExp_Explorer(made(tube).shape, TopAbs_ShapeEnum.TopAbs_SHELL), 0
        while explorer.More():
            count += 1
            explorer.Next()
        return count

    assert shells(STRUT) == shells(WEB) == 2
    assert shells(replace(STRUT, end=None)) == 1
    assert shells(replace(STRUT, holes=(Hole(at_mm=400.0, diameter_mm=9.0),))) == 1


@pytest.mark.parametrize("part", PARTS.values(), ids=PARTS)
def test_mesh_is_closed_looks_outward_and_has_nearly_the_volume(part: Part) -> None:
    solid = made(part)
    mesh = mesh_of(solid, FINE)
    judged = trimesh.Trimesh(mesh.corners, mesh.closed_triangles, process=False)
    assert judged.is_watertight
    assert judged.is_winding_consistent
    # Circles of 52 chords for tubes, 18 for holes in boards: 1 - (2π/n)²/6 of a circle.
    assert judged.volume == pytest.approx(solid.volume_mm3, rel=2.5e-3)
    a, b, c = (mesh.corners[mesh.triangles[:, k]] for k in range(3))
    facing = np.cross(b - a, c - a)
    doubled = np.linalg.norm(facing, axis=1, keepdims=True)
    # Along a straight edge the kernel leaves a few triangles without area. At the tip of a
    # slanting cone its normal has no one direction, so triangles there differ from it more.
    cosine = np.einsum("ij,ikj->ik", facing / doubled, mesh.normals[mesh.triangles])
    assert cosine[doubled[:, 0] > 1e-6].min() > 0.5
    assert np.sort(cosine[doubled[:, 0] > 1e-6].min(axis=1))[40] > 0.8
    assert (doubled < 1e-6).sum() < 10


def test_flat_ended_tubes_are_left_to_the_kernel() -> None:
    assert tube_mesh(STRUT, FINE) is None
    solid = made(STRUT)
    assert len(mesh_of(solid, FINE).triangles) == len(kernel_mesh(solid, coarser(FINE)).triangles)


def test_wood_is_where_the_cuts_leave_it() -> None:
    # mitred 30° at the start, longest at y = 0; 45° at the end, longest at y = depth
    solid, tan = made(MITRED), math.tan(math.radians(30))
    for y in (5.0, 44.0, 84.0):
        assert inside(solid, tan * y + 0.1, y, 19.0)
        assert not inside(solid, tan * y - 0.1, y, 19.0)
        assert inside(solid, 900.0 - (88.9 - y) - 0.1, y, 19.0)
        assert not inside(solid, 900.0 - (88.9 - y) + 0.1, y, 19.0)
    # the stud's head: bevelled 25°, longest at z = thickness, lapped from the top
    solid, tan = made(STUD), math.tan(math.radians(25))
    for z in (3.0, 35.0):
        cut = 1800.0 - tan * (38.1 - z)
        assert inside(solid, cut - 0.1, 50.7, z) and not inside(solid, cut + 0.1, 50.7, z)
        assert not inside(solid, cut - 88.8, 50.9, z)
        assert inside(solid, cut - 89.0, 50.9, z)
    # its edge hole
    assert not inside(solid, 1740.0 + 3.9, 20.0, 19.05)
    assert inside(solid, 1740.0 + 4.1, 20.0, 19.05)
    # bevels of both ends are longest at z = 0
    solid = made(BEVELLED)
    assert inside(solid, 0.5, 44.0, 0.1) and not inside(solid, 0.5, 44.0, 38.0)
    assert inside(solid, 499.5, 44.0, 0.1) and not inside(solid, 499.5, 44.0, 38.0)
    # laps from below at the start, from above at the end
    solid = made(BOTH_LAPPED)
    assert not inside(solid, 88.8, 38.0, 19.0) and inside(solid, 88.8, 38.2, 19.0)
    assert inside(solid, 600.0, 50.7, 0.1) and not inside(solid, 620.0, 50.9, 0.1)
    assert not inside(made(HALVED), 40.0, 25.0, 15.0)


def test_end_forms_of_boards_in_every_combination() -> None:
    """11 forms at each end, with and without holes; volume to rounding."""
    laps = {"lap_mm": 60.0, "lap_depth_mm": 38.0}
    forms = [None, *(BoardEnd(mitre_rad=a) for a in (0.3, -0.9))]
    forms += [BoardEnd(bevel_rad=a) for a in (0.3, -0.9)]
    forms += [
        BoardEnd(bevel_rad=a, lap_from_top=top, **laps)
        for a in (0.0, 0.3, -0.7)
        for top in (True, False)
    ]
    for start, end in itertools.product(forms, repeat=2):
        edge = [450.0] + ([665.0] if end and end.lap_mm else [])
        board = Board(
            section=STUD.section,
            length_mm=700.0,
            start=start,
            end=end,
            holes=(BoardHole(along_mm=300.0, up_mm=30.0, diameter_mm=9.0),),
            edge_holes=tuple(EdgeHole(along_mm=at, across_mm=19.0, diameter_mm=8.0) for at in edge),
        )
        assert made(board).volume_mm3 == pytest.approx(volume_mm3(board), rel=1e-12)


@pytest.mark.parametrize(
    ("tube", "message"),
    [
        (replace(STRUT, start=replace(PRESSED, transition_mm=0.0)), "a flat needs a length and"),
        (replace(STRUT, start=replace(PRESSED, length_mm=700.0)), "do not fit on a tube of 800.0"),
        (
            replace(ONE_FLAT, holes=(Hole(at_mm=66.0, diameter_mm=9.0),)),
            "where the tube is pressed",
        ),
        (replace(ONE_FLAT, holes=(Hole(at_mm=134.0, diameter_mm=9.0),)), "drill the flat or"),
        (
            replace(BENT, axis=PlanePath((Line(100.0), Arc(600.0, 1.0), Line(200.0)))),
            "flattened only where it is straight; from 70.0 to 130.0 mm it bends",
        ),
        # wide π (16.7005 - 3.3782) + 2 x 3.3782 = 48.610 mm: half of it times tan 1.4
        (
            replace(STRUT, start=replace(PRESSED, slant_rad=1.4)),
            "of 70.0 mm cut at an angle of 80.21° .* 140.917 mm back .* the slant less than 70.85°",
        ),
        (replace(STRUT, end=replace(PRESSED, slant_rad=-1.4)), "past the flat; make it longer"),
        (replace(SLANTED, holes=(Hole(at_mm=5.5, diameter_mm=10.5),)), "out of the end of the"),
        (replace(ONE_FLAT, holes=(Hole(at_mm=5.0, diameter_mm=10.5),)), "drill it farther in"),
        (
            replace(ONE_FLAT, holes=(Hole(at_mm=35.0, diameter_mm=60.0),)),
            r"goes right across the flat",
        ),
        (replace(ONE_FLAT, holes=(Hole(at_mm=-5.0, diameter_mm=9.0),)), "is not on a tube"),
    ],
)
def test_flat_that_cannot_be_is_refused(tube: Tube, message: str) -> None:
    with pytest.raises(SolidError, match=f"T9.*{message}"):
        made(tube)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"start": BoardEnd(lap_mm=50.0, lap_depth_mm=88.9)}, "leaves nothing of a depth of 88.9"),
        ({"start": BoardEnd(bevel_rad=1.6)}, "along the board, not across it"),
        ({"length_mm": 80.0, "holes": (), "edge_holes": ()}, "a board of 80.0 mm meet"),
        (
            {"edge_holes": (EdgeHole(along_mm=600.0, across_mm=40.0, diameter_mm=8.0),)},
            "is not on a board of 900.0 mm by 38.1 mm",
        ),
        # half in the lap, half out of it; and running into the hole through the thickness
        (
            {
                "start": BoardEnd(lap_mm=50.0, lap_depth_mm=38.0),
                "edge_holes": (EdgeHole(along_mm=50.0, across_mm=19.0, diameter_mm=8.0),),
            },
            r"T9 \(Board\): should have",
        ),
        (
            {"edge_holes": (EdgeHole(along_mm=400.0, across_mm=19.0, diameter_mm=8.0),)},
            r"T9 \(Board\): should have",
        ),
    ],
)
def test_board_that_cannot_be_is_refused(change: dict, message: str) -> None:
    with pytest.raises(SolidError, match=message):
        made(replace(MITRED, **change))


def test_boards_are_all_here() -> None:
    """Each form of end that a board can have stands in at least one of the boards."""
    ends = [end for board in BOARDS.values() for end in (board.start, board.end) if end]
    assert {bool(end.mitre_rad) for end in ends} == {True, False}
    assert {(end.bevel_rad != 0, end.lap_mm > 0) for end in ends if not end.mitre_rad} == {
        (True, False),
        (False, True),
        (True, True),
    }
    assert isinstance(STRUT.start, Flat)
