"""Solids of every kind of part: surfaces, holes, volumes, and faults that must be caught."""

from __future__ import annotations

import math
from collections import Counter

import pytest
from msgspec.structs import replace
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.gp import gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_ShapeEnum, TopAbs_State
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS
from sample_frames import (
    BRACE,
    CARRIAGE_BOLT,
    CLAMP,
    EVERY_PART,
    HOOP_PIECE,
    HOOP_TUBE,
    PLAIN_WASHER,
    QUARTER,
    RIDGE_PLATE,
    SILL_BOARD,
    SOCKET,
    sample_frame,
)

from frame3d.catalog.sections import TimberSection, TubeSection
from frame3d.errors import SolidError
from frame3d.frame.measure.measures import centre_mm, volume_mm3
from frame3d.frame.model.parts import Board, BoardEnd, BoardHole, Hole, Part, Swage, Tube
from frame3d.frame.model.roles import Role
from frame3d.geometry.paths import Arc, Line, PlanePath
from frame3d.solids.kernel import kernel
from frame3d.solids.kernel.solid import Solid, checked, tolerance
from frame3d.solids.parts.make_solids import make_solid, make_solids
from frame3d.solids.tubes.tube_solids import tube_shape

PLANE, CYLINDER, CONE, TORUS = (
    GeomAbs_SurfaceType.GeomAbs_Plane,
    GeomAbs_SurfaceType.GeomAbs_Cylinder,
    GeomAbs_SurfaceType.GeomAbs_Cone,
    GeomAbs_SurfaceType.GeomAbs_Torus,
)
SLEEVE = Tube(
    section=TubeSection(name="50 x 3", od_mm=50.0, wall_mm=3.0),
    axis=PlanePath((Line(150.0), Arc(150.0, -1.0), Line(150.0))),
    holes=(
        Hole(at_mm=60.0, diameter_mm=14.0),
        Hole(at_mm=60.0, clock_rad=QUARTER, diameter_mm=14.0),
        Hole(at_mm=225.0, clock_rad=0.7, diameter_mm=14.0),
        Hole(at_mm=400.0, diameter_mm=14.0),
    ),
)
TWO_SWAGES = Tube(
    section=HOOP_TUBE,
    axis=PlanePath((Arc(900.0, 0.3), Line(300.0), Arc(700.0, -0.4))),
    start=Swage(od_mm=34.0, length_mm=90.0, taper_mm=25.0),
    end=Swage(od_mm=34.0, length_mm=90.0, taper_mm=25.0),
    holes=(Hole(at_mm=40.0, diameter_mm=9.0), Hole(at_mm=102.0, diameter_mm=9.0)),
)


# Two of ten that the kernel gets wrong when their surfaces are joined up where it
# would be best, found among 300 drawn at random: regression cases.
STUBBORN = (
    Tube(
        section=TubeSection(name="42.2 x 3.56", od_mm=42.2, wall_mm=3.56),
        axis=PlanePath((Arc(211.0, 0.6530773006), Arc(5680.072292, 1.0435640506))),
        holes=(
            Hole(at_mm=74.805984, clock_rad=QUARTER, diameter_mm=14.3),
            Hole(at_mm=2475.101707, clock_rad=0.2368800726, diameter_mm=14.3),
        ),
    ),
    Tube(
        section=TubeSection(name="25.4 x 1.65", od_mm=25.4, wall_mm=1.65),
        axis=PlanePath(
            (Arc(127.0, 0.2930025413), Arc(3239.60848, -0.6818069966))
            + (Arc(127.0, 0.6625562587), Arc(5590.388584, 1.24417397))
        ),
        holes=(
            Hole(at_mm=4944.816791, diameter_mm=6.5),
            Hole(at_mm=5800.893096, clock_rad=2.0257258518, diameter_mm=6.5),
        ),
    ),
)


def made(part: Part) -> Solid:
    return make_solid(part, mark="T9", role=Role.HOOP)


def surfaces(solid: Solid) -> list[BRepAdaptor_Surface]:
    found, explorer = [], TopExp_Explorer(solid.shape, TopAbs_ShapeEnum.TopAbs_FACE)
    while explorer.More():
        found.append(BRepAdaptor_Surface(TopoDS.Face_s(explorer.Current())))
        explorer.Next()
    return found


def inside(solid: Solid, x: float, y: float, z: float) -> bool:
    classifier = BRepClass3d_SolidClassifier(solid.shape, gp_Pnt(x, y, z), 1e-6)
    return classifier.State() == TopAbs_State.TopAbs_IN


@pytest.mark.parametrize(
    "part",
    [*(part for _, part in EVERY_PART.values()), SLEEVE, TWO_SWAGES, *STUBBORN],
    ids=[*EVERY_PART, "sleeve", "two swages", "stubborn 1", "stubborn 2"],
)
def test_solid_has_the_volume_that_arithmetic_says(part: Part) -> None:
    solid = made(part)
    assert solid.volume_mm3 == pytest.approx(volume_mm3(part), rel=tolerance(part))


@pytest.mark.parametrize("part", [SOCKET, HOOP_PIECE, SLEEVE, SILL_BOARD])
def test_centre_of_mass_is_the_kernels(part: Part) -> None:
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(made(part).shape, properties, 1e-12, True)
    centre = properties.CentreOfMass()
    # Tapers count on the axis, and holes in a bend as in a straight tube: 1e-3 mm.
    assert centre_mm(part) == pytest.approx((centre.X(), centre.Y(), centre.Z()), abs=2e-3)


def test_bent_tube_is_made_of_cylinders_and_tori() -> None:
    bare = replace(HOOP_PIECE, holes=(), end=None)
    faces = surfaces(made(bare))
    kinds = Counter(face.GetType() for face in faces)
    assert kinds == {CYLINDER: 2, TORUS: 4, PLANE: 2}
    tori = sorted(
        (face.Torus().MajorRadius(), face.Torus().MinorRadius())
        for face in faces
        if face.GetType() == TORUS
    )
    outer, inner = HOOP_TUBE.od_mm / 2, HOOP_TUBE.inside_mm / 2
    assert [round(v, 6) for pair in tori for v in pair] == [
        *(900.0, round(inner, 6), 900.0, round(outer, 6)),
        *(3200.0, round(inner, 6), 3200.0, round(outer, 6)),
    ]


def test_straight_swage_has_cones() -> None:
    tube = replace(BRACE, end=Swage(od_mm=26.0, length_mm=80.0, taper_mm=20.0))
    kinds = Counter(face.GetType() for face in surfaces(made(tube)))
    assert kinds == {CYLINDER: 4, CONE: 2, PLANE: 2}


def test_hole_is_where_the_part_says() -> None:
    solid = made(HOOP_PIECE)
    middle = (HOOP_TUBE.od_mm - HOOP_TUBE.wall_mm) / 2
    for side in (1, -1):
        # On the straight leg at 80 mm, toward the inside of the bend (+y) and away.
        assert not inside(solid, 80.0, side * middle, 0.0)
        assert inside(solid, 80.0 + 6.0, side * middle, 0.0)
        assert inside(solid, 80.0, 0.0, side * middle)
        # In the bend, square to its plane.
        station = HOOP_PIECE.axis.at(1100.0)
        assert not inside(solid, station.x_mm, station.y_mm, side * middle)
        x, y = (station.x_mm + side * middle * station.normal[0],) + (
            station.y_mm + side * middle * station.normal[1],
        )
        assert inside(solid, x, y, 0.0)


def test_swage_is_thin_at_the_end_and_follows_the_bend() -> None:
    solid, length = made(HOOP_PIECE), HOOP_PIECE.length_mm
    station = HOOP_PIECE.axis.at(length - 60.0)
    reduced = HOOP_PIECE.end.od_mm / 2
    for radius, is_steel in (
        (reduced - 0.1, True),
        (reduced + 0.1, False),
        (reduced - HOOP_TUBE.wall_mm + 0.1, True),
        (reduced - HOOP_TUBE.wall_mm - 0.1, False),
    ):
        x = station.x_mm + radius * station.normal[0]
        y = station.y_mm + radius * station.normal[1]
        assert inside(solid, x, y, 0.0) is is_steel


def test_board_holes_go_through_the_thickness() -> None:
    solid = made(SILL_BOARD)
    for hole in SILL_BOARD.holes:
        assert not inside(solid, hole.along_mm, hole.up_mm, 19.0)
        assert inside(solid, hole.along_mm + hole.diameter_mm / 2 + 0.1, hole.up_mm, 19.0)


def test_plate_holes_and_thickness() -> None:
    solid = made(RIDGE_PLATE)
    assert not inside(solid, 30.0, 40.0, 3.0)
    assert inside(solid, 100.0, 60.0, 6.3)
    assert not inside(solid, 100.0, 60.0, 6.4)


def test_carriage_bolt_has_dome_neck_and_shank() -> None:
    solid, size = made(CARRIAGE_BOLT), CARRIAGE_BOLT.size
    corner = size.diameter_mm / 2 - 0.05
    assert inside(solid, 0.0, 0.0, -size.head_height_mm + 0.01)
    assert inside(solid, corner, corner, size.diameter_mm / 2 - 0.1)
    assert not inside(solid, corner, corner, size.diameter_mm / 2 + 0.1)
    assert inside(solid, 0.0, 0.0, CARRIAGE_BOLT.length_mm - 0.01)


def test_clamp_half_has_ring_split_boss_and_bored_ears() -> None:
    solid = made(CLAMP)
    band = CLAMP.tube_od_mm / 2 + CLAMP.band_mm / 2
    assert inside(solid, 0.0, -band, 0.0)
    assert not inside(solid, 0.0, band, 0.0)
    assert inside(solid, 0.0, 0.0, CLAMP.face_mm - 0.01)
    assert not inside(solid, 0.0, 0.0, -CLAMP.face_mm + 0.01)
    ear = CLAMP.gap_mm / 2 + CLAMP.band_mm / 2
    for side in (1, -1):
        assert not inside(solid, 0.0, CLAMP.ear_bolt_mm, side * ear)
        assert inside(solid, 6.0, CLAMP.ear_bolt_mm, side * ear)


def test_every_part_of_a_frame_is_made_once() -> None:
    frame = sample_frame(2)
    assert list(make_solids(frame)) == [count.mark for count in frame.parts()]


def test_a_hole_left_out_is_caught() -> None:
    whole = tube_shape(replace(SOCKET, holes=SOCKET.holes[:1]))
    with pytest.raises(SolidError, match=r"S1 \(Tube\): should have .* mm³, has .* mm³"):
        checked(mark="S1", role=Role.SOCKET, part=SOCKET, shape=whole)


def test_two_solids_are_caught() -> None:
    washer = made(PLAIN_WASHER).shape
    far = BRepPrimAPI_MakeBox(gp_Pnt(100, 0, 0), gp_Pnt(101, 1, 1)).Shape()
    both = kernel.fuse(washer, [far])
    with pytest.raises(SolidError, match=r"W1 \(Washer\): should be one solid, is 2"):
        checked(mark="W1", role=Role.WASHER, part=PLAIN_WASHER, shape=both)


def test_an_open_shell_is_caught() -> None:
    from OCP.BRep import BRep_Builder
    from OCP.TopoDS import TopoDS_Shell, TopoDS_Solid

    builder, shell, solid = BRep_Builder(), TopoDS_Shell(), TopoDS_Solid()
    builder.MakeShell(shell)
    explorer = TopExp_Explorer(made(PLAIN_WASHER).shape, TopAbs_ShapeEnum.TopAbs_FACE)
    explorer.Next()
    while explorer.More():
        builder.Add(shell, explorer.Current())
        explorer.Next()
    builder.MakeSolid(solid)
    builder.Add(solid, shell)
    with pytest.raises(SolidError, match=r"W1 \(Washer\): (the solid .* not valid|should have)"):
        checked(mark="W1", role=Role.WASHER, part=PLAIN_WASHER, shape=solid)


def test_holes_that_overlap_are_caught() -> None:
    tube = replace(SOCKET, holes=(Hole(at_mm=400, diameter_mm=10), Hole(at_mm=406, diameter_mm=10)))
    with pytest.raises(
        SolidError, match=r"T9 \(Tube\): the holes at 40[06].0 and 40[06].0 mm run into each"
    ):
        made(tube)
    holes = (
        BoardHole(along_mm=400, up_mm=60, diameter_mm=10),
        BoardHole(along_mm=405, up_mm=60, diameter_mm=10),
    )
    with pytest.raises(SolidError, match=r"T9 \(Board\): the holes at 400.0, 60.0 mm and 405.0"):
        made(Board(section=SILL_BOARD.section, length_mm=900.0, holes=holes))


def test_hole_beside_the_tube_is_refused() -> None:
    with pytest.raises(SolidError, match="a hole at 950.0 mm is not on a tube of 900.0 mm"):
        made(replace(SOCKET, holes=(Hole(at_mm=950.0, diameter_mm=10.0),)))


def test_hole_wider_than_the_tube_is_refused() -> None:
    with pytest.raises(
        SolidError, match="a hole of 60.0 mm at 450.0 mm goes right across the tube"
    ):
        made(replace(SOCKET, holes=(Hole(at_mm=450.0, diameter_mm=60.0),)))


@pytest.mark.parametrize(
    ("swage", "message"),
    [
        (Swage(od_mm=34.0, length_mm=80.0, taper_mm=0.0), "a taper longer than 0 mm, got 0.0"),
        (Swage(od_mm=7.0, length_mm=80.0, taper_mm=9.0), "wider than two walls"),
        (Swage(od_mm=34.0, length_mm=890.0, taper_mm=20.0), "do not fit on a tube of 900.0 mm"),
    ],
)
def test_swage_that_cannot_be_is_refused(swage: Swage, message: str) -> None:
    with pytest.raises(SolidError, match=f"T9.*{message}"):
        made(replace(SOCKET, section=HOOP_TUBE, holes=(), end=swage))


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"boss_diameter_mm": 45.0}, "wider than the tube"),
        ({"boss_diameter_mm": 42.0, "band_mm": 9.0, "gap_mm": 30.0}, "runs into the ears"),
        ({"ear_mm": 8.0}, "too short for a hole"),
    ],
)
def test_clamp_out_of_proportion_is_refused(change: dict, message: str) -> None:
    with pytest.raises(SolidError, match=message):
        made(replace(CLAMP, **change))


@pytest.mark.parametrize("at", ["start", "end", "both"])
def test_laps_that_leave_no_wood_between_them_are_refused(at: str) -> None:
    """A board of 300 mm: one lap of 310, or two of 160, leave nothing that is whole."""
    lap = BoardEnd(lap_mm=310.0 if at != "both" else 160.0, lap_depth_mm=60.0)
    ends = {name: lap for name in ("start", "end") if at in (name, "both")}
    board = Board(section=TimberSection(name="2x6", thickness_mm=38.0, depth_mm=140.0),
                  length_mm=300.0, **ends)  # fmt: skip
    with pytest.raises(SolidError, match="the two ends cut on a board of 300.0 mm meet"):
        make_solid(board, mark="B1", role=Role.SILL_BOARD)


def test_a_bolt_that_is_all_neck_has_no_shank() -> None:
    """A square neck as long as the bolt: head and prism, and nothing of no length between."""
    neck = CARRIAGE_BOLT.neck_mm
    short = replace(CARRIAGE_BOLT, length_mm=neck)
    solid = make_solid(short, mark="B1", role=Role.BOLT)
    whole = make_solid(CARRIAGE_BOLT, mark="B2", role=Role.BOLT)
    shank = math.pi / 4 * CARRIAGE_BOLT.size.diameter_mm**2 * (CARRIAGE_BOLT.length_mm - neck)
    assert whole.volume_mm3 - solid.volume_mm3 == pytest.approx(shank, rel=1e-6)
