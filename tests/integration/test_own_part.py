"""A kind of part that the package does not know: one class, and every output has it.

An anchor eye is a plate with a hole, off its middle, on a spike that is turned to a point.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import ifcopenshell
import numpy as np
import pytest
import trimesh
from ifc_reader import exact_shape, members_of, volume_and_centre
from msgspec.structs import replace
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.STEPControl import STEPControl_Reader
from shapely import Polygon
from shapely.ops import unary_union

from frame3d.checks.all_checks import check_frame
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.measure.measures import centre_mm, mass_kg, volume_mm3
from frame3d.frame.model.bodies import Body, ExtrudedOutline, TurnedProfile
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Part, Say, Tube
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.geometry.placement import Placement
from frame3d.ifc.model_ifc import ifc_text
from frame3d.sheets.primitives.primitives import Stroke
from frame3d.sheets.projection.projection import FRONT, axis_point
from frame3d.sheets.projection.section_plane import Plane
from frame3d.sheets.projection.section_view import section
from frame3d.sheets.projection.silhouettes import silhouette
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.views.cross_section import cross_section
from frame3d.sheets.write.part_files import part_drawing
from frame3d.single_builds import build_guide
from frame3d.solids.kernel.solid import solids_in
from frame3d.solids.write.model_files import write_model
from frame3d.takeoff.take_off import take_off
from frame3d.takeoff.write.takeoff_files import write_takeoff
from frame3d.view.scene_file import scene_of


class AnchorEye(Part, frozen=True, kw_only=True):
    """Own axes: the spike along +z from the plate, whose top it is, to its point."""

    size_mm: float = 60.0
    thickness_mm: float = 8.0
    hole_mm: float = 20.0
    spike_mm: float = 24.0
    point_mm: float = 40.0
    length_mm: float = 200.0

    @property
    def bodies(self) -> tuple[Body, ...]:
        """The plate below z = 0, the spike above."""
        half, radius = self.size_mm / 2, self.spike_mm / 2
        square = ((-half, -half), (half, -half), (half, half), (-half, half))
        plate = ExtrudedOutline(
            outline=square,
            low_mm=-self.thickness_mm,
            high_mm=0.0,
            holes=((18.0, 18.0, self.hole_mm),),
        )
        shoulder = self.length_mm - self.point_mm
        profile = ((radius, 0.0, 0.0), (radius, shoulder, 0.0), (0.0, self.length_mm, 0.0))
        return plate, TurnedProfile(profile=profile)

    @property
    def over_all_mm(self) -> float:
        """With its plate, mm."""
        return self.thickness_mm + self.length_mm

    def words(self, say: Say) -> str:
        """What lists call it."""
        return f"anchor eye {say(self.spike_mm)} x {say(self.length_mm)}"


class BoughtEye(AnchorEye, frozen=True, kw_only=True):
    """The same from the merchant."""

    is_bought = True


EYE = AnchorEye()
# Closed forms: a square less a disc, raised; a cylinder; a cone.
PLATE_MM3 = (60**2 - math.pi * 10**2) * 8
BAR_MM3 = math.pi * 12**2 * 160
CONE_MM3 = math.pi * 12**2 * 40 / 3
EYE_MM3 = PLATE_MM3 + BAR_MM3 + CONE_MM3
EYE_KG = EYE_MM3 * 7850e-9

# In the open between the second hoop and the third, its point up.
FREE = Placement(origin=(0.0, 1800.0, 900.0))


def with_eye(whole: Frame, part: Part, place: Placement) -> Frame:
    """``whole`` with a member made of ``part`` at its second hoop."""
    member = Member(
        mark="AE1", role=Role.GUSSET, part=part, placement=place,
        spot=Spot(side=Side.MIDDLE, hoop=2), source="tie[1]",
    )  # fmt: skip
    return replace(whole, members=(*whole.members, member))


@pytest.fixture(scope="module")
def bare() -> Frame:
    return lay_out(
        design_from_mapping(
            {
                "output": {"units": "metric"},
                "profile": {"style": "quonset", "width": "6 m", "leg_height": "1.2 m"},
                "bays": {"count": 2, "spacing": "1.2 m"},
                "hoop": {"tube": "42.4 x 3.2 mm"},
                "socket": {"tube": "50 x 3 mm"},
                "tie": [{"height": "2 m", "tube": "33.7 x 3.2 mm"}],
            }
        )
    )


@pytest.fixture(scope="module")
def frame(bare: Frame) -> Frame:
    return with_eye(bare, EYE, FREE)


def test_volume_mass_and_centre_by_closed_forms() -> None:
    assert volume_mm3(EYE) == pytest.approx(EYE_MM3, rel=1e-12)
    assert mass_kg(EYE) == pytest.approx(EYE_KG, rel=1e-12)
    # A disc at (18, 18) less; the centres of a bar at half its length, of a cone at a quarter.
    gone = math.pi * 10**2 * 8 * 18 / EYE_MM3
    up = (-4 * PLATE_MM3 + 80 * BAR_MM3 + 170 * CONE_MM3) / EYE_MM3
    assert centre_mm(EYE) == pytest.approx((-gone, -gone, up), rel=1e-12)


@pytest.fixture(scope="module")
def folder(frame: Frame, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The model of the eye and one hoop, since every tube takes its time."""
    place = tmp_path_factory.mktemp("own")
    few = [m for m in frame.members if m.role in (Role.GUSSET, Role.HOOP) and m.spot.hoop == 2]
    assert write_model(replace(frame, members=tuple(few)), place).unmade == ()
    return place


def test_ifc_has_it_by_name_at_its_volume(frame: Frame) -> None:
    file = ifcopenshell.file.from_string(ifc_text(frame, {}))
    [element] = members_of(file)["AE1"]
    assert element.Name == "AE1 hoop 2"
    volume, centre = volume_and_centre(exact_shape(element))
    assert volume == pytest.approx(EYE_MM3, rel=1e-9)
    assert centre == pytest.approx(centre_mm(EYE), abs=1e-6)


def test_step_has_it_by_name_at_its_volume(folder: Path) -> None:
    assert b"PRODUCT('AE1'" in (folder / "model.step").read_bytes()
    reader = STEPControl_Reader()
    reader.ReadFile(str(folder / "model.step"))
    reader.TransferRoots()
    found = []
    for solid in solids_in(reader.OneShape()):
        properties = GProp_GProps()
        BRepGProp.VolumeProperties_s(solid, properties)
        found.append(properties.Mass())
    assert min(found) == pytest.approx(EYE_MM3, rel=1e-6)


def test_glb_has_it_by_name_in_its_place(folder: Path) -> None:
    scene = trimesh.load_scene(folder / "model.glb")
    assert scene.geometry["AE1"].volume == pytest.approx(EYE_MM3 * 1e-9, rel=0.02)  # 18 chords
    (name,) = scene.graph.geometry_nodes["AE1"]
    assert scene.graph[name][0][:3, 3] == pytest.approx((0.0, 0.9, -1.8), abs=1e-6)


def test_the_view_shows_both_bodies(frame: Frame, tmp_path: Path) -> None:
    scene = scene_of(frame)
    (tmp_path / "scene.glb").write_bytes(scene.glb)
    mesh = trimesh.load_scene(tmp_path / "scene.glb").geometry["AE1"]
    # Shifted about its own middle, in metres, Y up: 60 by 60, from the plate's back to the point.
    assert sorted(np.ptp(mesh.vertices, axis=0)) == pytest.approx((0.060, 0.060, 0.208), rel=1e-3)
    told = next(part for part in scene.members["parts"] if part["mark"] == "AE1")
    assert told["what"] == "anchor eye 24 mm x 200 mm"
    assert told["length_mm"] == 208.0


def test_a_view_draws_its_outline(frame: Frame) -> None:
    """The plate's 60 by 8 with the spike on it, to its point, as seen from the front."""
    shape = silhouette(frame.members[-1], FRONT)
    plate = Polygon([(-30, 892), (30, 892), (30, 900), (-30, 900)])
    spike = Polygon([(-12, 900), (12, 900), (12, 1060), (0, 1100), (-12, 1060)])
    assert shape.area.symmetric_difference(unary_union([plate, spike])).area < 1.0
    view = cross_section(frame, 2)
    ends = {
        point
        for primitives in view.primitives
        if isinstance(primitives, Stroke)
        for point in (primitives.start, primitives.end)
    }
    assert any(math.dist(end, (0.0, 1100.0)) < 0.1 for end in ends)


@pytest.mark.parametrize("part", [EYE, BoughtEye()], ids=["made", "bought"])
def test_a_section_cuts_its_plate_or_shows_a_bought_one_whole(part: Part, bare: Frame) -> None:
    """In the plane of its axis; as a fastener it is not cut (ISO 128-44, from memory)."""
    member = with_eye(bare, part, FREE).members[-1]
    plane = Plane(projection=FRONT, at_mm=-1800.0)
    (shown,) = section([member], plane, (-100.0, 800.0, 100.0, 1200.0))
    seen = unary_union([one.area for one in shown.shapes])
    assert seen.bounds == pytest.approx((-30.0, 892.0, 30.0, 1100.0))
    assert shown.face.area == pytest.approx(0.0 if part.is_bought else 60 * 8)


def test_a_clash_with_it_is_found(bare: Frame) -> None:
    # Where a hoop lies flattest, so that the spike goes through it and the plate stays below.
    pieces = [(hoop, hoop.part.length_mm * k / 10) for hoop in bare.of_kind(Tube, Role.HOOP)
              for k in range(1, 10)]  # fmt: skip
    hoop, at_mm = max(pieces, key=lambda piece: axis_point(*piece)[2])
    x, y, z = axis_point(hoop, at_mm)
    into = with_eye(bare, EYE, Placement(origin=(x, y, z - 100.0)))
    clashes = [set(f.marks) for f in check_frame(into) if f.rule.name == "clash"]
    assert {"AE1", hoop.mark} in clashes
    apart = with_eye(bare, EYE, FREE)
    told = [f.rule.name for f in check_frame(apart) if "AE1" in f.marks]
    assert "clash" not in told
    assert "hole-without-bolt" in told  # a hole that was drilled, with no bolt in it


def test_lists_have_it_with_its_mass(frame: Frame, tmp_path: Path) -> None:
    taken = take_off(frame)
    write_takeoff(taken, tmp_path)
    with (tmp_path / "takeoff-parts.csv").open(encoding="utf-8-sig", newline="") as file:
        assert next(file).startswith("# ")
        (row,) = (row for row in csv.DictReader(file) if row["Mark"] == "AE1")
    assert row["Description"] == "anchor eye 24 mm x 200 mm"
    mass = next(
        float(cell) for name, cell in row.items() if name.startswith(("Mass each", "Weight each"))
    )
    assert mass == pytest.approx(EYE_KG, rel=1e-3)


def test_sheets_have_it_in_the_schedule(frame: Frame, tmp_path: Path) -> None:
    drawn = draw_sheets(frame)
    words = {label.text for sheet in drawn.sheets for label in sheet.labels}
    assert "AE1" in words


@pytest.mark.parametrize("part", [EYE, BoughtEye()], ids=["made", "bought"])
def test_a_guide_is_written_with_it(part: Part, bare: Frame, tmp_path: Path) -> None:
    build_guide(with_eye(bare, part, FREE), tmp_path)
    assert "AE1" in (tmp_path / "guide.html").read_text("utf-8")


def test_it_has_a_drawing_for_the_shop(frame: Frame, tmp_path: Path) -> None:
    """Full size, in millimetres: the plate with its hole, and the spike's two sides."""
    (group,) = (group for group in frame.parts() if group.mark == "AE1")
    space = part_drawing(frame, group).modelspace()
    outlines = [Polygon(list(one.vertices())).area for one in space.query("LWPOLYLINE")]
    assert outlines == pytest.approx([60 * 60, 24 * 160 + 24 * 40 / 2])
    assert [hole.dxf.radius for hole in space.query("CIRCLE")] == [10.0]
