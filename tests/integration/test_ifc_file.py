"""``model.ifc``, by IfcOpenShell: its schema and rules, volumes, places, properties."""

from __future__ import annotations

import functools
import re
from pathlib import Path

import ifcopenshell
import ifcopenshell.util.element
import ifcopenshell.util.geolocation
import ifcopenshell.util.placement
import ifcopenshell.util.pset
import ifcopenshell.util.unit
import numpy as np
import pytest
from end_form_parts import end_form_frame
from ifc_reader import exact_shape, faults_of, members_of, volume_and_centre
from msgspec.structs import replace
from pyproj import Transformer
from sample_frames import sample_frame
from site_frames import small_frame

from frame3d import api, building
from frame3d.design.reading.reader import design_from_mapping, read_design
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.measure.measures import centre_mm, mass_kg, volume_mm3
from frame3d.frame.model.bodies import Hole
from frame3d.frame.model.end_forms import Flat
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Part, Tube
from frame3d.frame.model.roles import Role
from frame3d.geometry.paths import Arc, PlanePath
from frame3d.ifc.model_ifc import ifc_text
from frame3d.sheets.layout.sheet import SheetView
from frame3d.sheets.primitives.primitives import Label
from frame3d.site.survey import survey_site
from frame3d.solids.write.model_names import member_names

MOST_BYTES = 8_000_000


@functools.cache
def whole_example() -> Frame:
    return lay_out(read_design(example_paths()["long_meadow_gothic"]))


@functools.cache
def one_of_each() -> Frame:
    """The first members of each part of the 96 ft example: every role, class and kind of body."""
    whole = whole_example()
    few = [group.members[0] for group in whole.parts()]
    return replace(whole, members=tuple(few), joints=())


def opened(frame: Frame) -> ifcopenshell.file:
    return ifcopenshell.file.from_string(ifc_text(frame, {}))


@pytest.fixture(scope="module")
def example() -> tuple[Frame, ifcopenshell.file]:
    frame = one_of_each()
    return frame, opened(frame)


@pytest.mark.parametrize("make", [one_of_each, end_form_frame, sample_frame])
def test_schema_and_rules_are_kept(make) -> None:
    assert faults_of(opened(make())) == []


def test_what_judges_them_sees_faults() -> None:
    text = ifc_text(sample_frame(), {})
    for said, wrong in (
        ("'AdvancedSweptSolid'", "'SweptSolid'"),  # a swept disk is no such
        (",'hoop',.USERDEFINED.", ",$,.USERDEFINED."),  # without a name of its own
        ("IFCCIRCLEPROFILEDEF(.AREA.,$,$,", "IFCCIRCLEPROFILEDEF(.AREA.,$,$,-"),
    ):
        assert said in text
        text = text.replace(said, wrong, 1)
    found = "\n".join(faults_of(ifcopenshell.file.from_string(text)))
    assert all(name in found for name in ("RepresentationType", "USERDEFINED", "> 0"))


def near(part: Part) -> float:
    """How near to arithmetic a volume is, as a share: exact, but for two kinds of tube.

    Triangles from round to flat, over a tenth of a tube: 32 chords leave 0.65 % of a circle away.
    A bend that is straight under a bore is shorter by less than a micrometre for each, as it
    leaves the arc by less than 0.1 mm.
    """
    if not isinstance(part, Tube):
        return 1e-7
    if isinstance(part.start, Flat) or isinstance(part.end, Flat):
        return 2e-3
    return 1e-7 if part.axis.is_straight or not part.holes else 2e-6


def held(frame: Frame, *roles: Role) -> int:
    """Hold the shape of each part against arithmetic; how many there were."""
    file = opened(frame)  # kept: elements do not live without it
    found = members_of(file)
    groups = [group for group in frame.parts() if not roles or group.role in roles]
    for group in groups:
        volume, centre = volume_and_centre(exact_shape(found[group.mark][0]))
        near_mm = 1e-3 if near(group.part) < 1e-3 else 1.0
        assert volume == pytest.approx(volume_mm3(group.part), rel=near(group.part)), group.mark
        assert centre == pytest.approx(np.array(centre_mm(group.part)), abs=near_mm), group.mark
    return len(groups)


def test_volumes_and_centres_by_arithmetic() -> None:
    assert held(sample_frame()) == len(sample_frame().parts())


def test_ends_of_every_form_by_arithmetic() -> None:
    frame = end_form_frame()
    few = [m for m in frame.members if m.mark not in ("E2", "E4")]  # like others, and slow
    assert held(replace(frame, members=tuple(few))) == len(few)


def test_boards_and_fasteners_of_the_example_by_arithmetic() -> None:
    roles = (Role.STUD, Role.DOOR_LEAF, Role.CLAMP, Role.BOLT, Role.SCREW, Role.HINGE, Role.NUT)
    assert held(one_of_each(), *roles) > 50


@pytest.mark.parametrize("radius_mm", [600.0, 2500.0, 14000.0])
@pytest.mark.parametrize(("at_mm", "clock_rad"), [(500.0, 0.0), (900.0, 1.5707963267948966)])
def test_bores_in_bends_are_seen(radius_mm: float, at_mm: float, clock_rad: float) -> None:
    """Taken out of the bend itself, a bore or the whole tube is lost in one trial of six."""
    frame = sample_frame()
    [hoop] = [m for m in frame.members if m.role is Role.HOOP][:1]
    tube = Tube(
        section=hoop.part.section,
        axis=PlanePath((Arc(radius_mm, 1200.0 / radius_mm),)),
        holes=(Hole(at_mm=at_mm, clock_rad=clock_rad, diameter_mm=10.5),),
    )
    assert held(replace(frame, members=(replace(hoop, part=tube),))) == 1


def test_members_stand_where_they_stand_under_their_names(example) -> None:
    frame, file = example
    placed = [
        (e.Name, ifcopenshell.util.placement.get_local_placement(e.ObjectPlacement))
        for elements in members_of(file).values()
        for e in elements
    ]
    assert len(placed) == len(frame.members)
    by_name = dict(placed)
    for member, name in zip(frame.members, member_names(frame.members), strict=True):
        assert by_name[name] == pytest.approx(member.placement.matrix(), abs=1e-6)
    assert ifcopenshell.util.unit.calculate_unit_scale(file) == 1e-3


def test_equal_parts_share_one_shape() -> None:
    frame = sample_frame()
    file = opened(frame)
    assert len(file.by_type("IfcRepresentationMap")) == len(frame.parts())
    assert len(file.by_type("IfcMappedItem")) == len(frame.members)
    for group in frame.parts():
        elements = members_of(file)[group.mark]
        maps = {e.Representation.Representations[0].Items[0].MappingSource for e in elements}
        types = {ifcopenshell.util.element.get_type(e) for e in elements}
        assert (len(elements), len(maps), len(types)) == (group.count, 1, 1)


def test_properties_quantities_and_material(example) -> None:
    frame, file = example
    templates = ifcopenshell.util.pset.get_template("IFC4")
    for group in frame.parts():
        [element] = members_of(file)[group.mark]
        sets = ifcopenshell.util.element.get_psets(element)
        own = sets["Frame3d_Part"]
        assert (own["Mark"], own["Role"]) == (group.mark, group.role.value)
        assert own["Mass"] == pytest.approx(mass_kg(group.part), abs=1e-8)
        assert own.get("Length") == pytest.approx(group.part.over_all_mm, abs=1e-6)
        assert own["Bought"] is group.part.is_bought
        assert own.get("Section", "") == group.part.section_name
        material = ifcopenshell.util.element.get_material(element)
        assert material.Name == own["Material"] == group.part.material.value
        for name, values in sets.items():
            if not name.startswith("Qto_"):
                continue
            # Of the sets that the standard has for that class, with names that they have.
            assert name in templates.get_applicable_names(element.is_a())
            known = {p.Name for p in templates.get_by_name(name).HasPropertyTemplates}
            assert values.keys() - {"id"} <= known
            assert values["NetVolume"] == pytest.approx(volume_mm3(group.part) * 1e-9, abs=1e-9)
    classes = {e.is_a() for e in file.by_type("IfcElement")}
    assert classes == {
        "IfcPile", "IfcMember", "IfcBeam", "IfcDoor", "IfcMechanicalFastener",
        "IfcDiscreteAccessory",
    }  # fmt: skip
    [storey] = file.by_type("IfcBuildingStorey")
    inside = ifcopenshell.util.element.get_decomposition(file.by_type("IfcProject")[0])
    assert set(file.by_type("IfcElement")) <= set(inside) and storey in inside


def test_the_same_design_gives_the_same_bytes_and_identifiers_stay(tmp_path: Path) -> None:
    text = ifc_text(sample_frame(), {})
    assert ifc_text(sample_frame(), {}) == text
    ids = re.findall(r"\('([0-9A-Za-z_$]{22})'", text)
    assert len(ids) == len(set(ids)) > len(sample_frame().members)
    # Without its first member all others keep theirs, though marks may change with parts.
    fewer = replace(sample_frame(), members=sample_frame().members[1:])
    left = set(re.findall(r"\('([0-9A-Za-z_$]{22})'", ifc_text(fewer, {})))
    assert left <= set(ids)


def test_doors_are_listed_with_what_moves() -> None:
    file = opened(whole_example())
    doors = {door.Tag: door for door in file.by_type("IfcDoor")}
    # As the example's design has them: 9 ft by 8 ft, sliding; 4 ft by 7 ft, hinged.
    for where, width, height, operation, leaves in (
        ("door[1]", 9 * 304.8, 8 * 304.8, "DOUBLE_DOOR_SLIDING", 2),
        ("door[2]", 4 * 304.8, 7 * 304.8, "NOTDEFINED", 1),
    ):
        door = doors.pop(where)
        assert (door.OverallWidth, door.OverallHeight) == pytest.approx((width, height), abs=1e-6)
        assert door.OperationType == operation
        parts = ifcopenshell.util.element.get_parts(door)
        assert len(parts) == 7 * leaves and {p.ObjectType for p in parts} == {"door leaf"}
        container = ifcopenshell.util.element.get_container(parts[0])
        assert container.is_a("IfcBuildingStorey")
        assert container == ifcopenshell.util.element.get_container(door)
    assert not doors


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_it_stands_where_the_stakes_are(units: str) -> None:
    """By IfcOpenShell from the file's axes to the map, against the points to stake out."""
    # UTM south of the equator; a zone in US survey feet (EPSG:2227).
    place = {"epsg": 32755, "east": 690000.0, "north": 6090000.0, "bearing": 290.0}
    if units == "imperial":
        place = {"epsg": 2227, "east": 6100000.0, "north": 2100000.0, "bearing": 100.0}
    site = survey_site(small_frame(units=units, corner="back right", **place))
    frame = site.frame
    file = opened(replace(frame, members=frame.members[:3], joints=()))
    assert faults_of(file) == []
    assert file.by_type("IfcProjectedCRS")[0].Name == f"EPSG:{place['epsg']}"
    axes = site.setting_out.axes
    for point, mapped in zip(site.setting_out.points, site.mapped, strict=True):
        at = (point.x_mm + axes.x_mm, point.y_mm + axes.y_mm, 0.0)
        east, north, _ = ifcopenshell.util.geolocation.auto_xyz2enh(file, *at)
        assert (east, north) == pytest.approx((mapped.east, mapped.north), abs=1e-3), point.name
    forth = Transformer.from_crs(place["epsg"], 4326, always_xy=True)
    zero = forth.transform(*ifcopenshell.util.geolocation.auto_xyz2enh(file, 0, 0, 0)[:2])
    [ground] = file.by_type("IfcSite")
    said = [ifcopenshell.util.geolocation.dms2dd(*a) for a in (ground.RefLongitude,
                                                              ground.RefLatitude)]  # fmt: skip
    assert said == pytest.approx(zero, abs=1e-8)


def test_without_all_of_a_place_there_is_none() -> None:
    for place in ({}, {"epsg": 32633}, {"epsg": 4326, "east": 1.0, "north": 1.0, "bearing": 0.0}):
        frame = small_frame(**place)
        text = ifc_text(replace(frame, members=frame.members[:1], joints=()), {})
        assert "IFCMAPCONVERSION" not in text


def test_every_made_part_names_its_sheet_by_whatever_door(tmp_path: Path) -> None:
    frame = lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "4 m"},
        "bays": {"count": 2, "spacing": "1.2 m"},
        "sill_board": {}, "tie": [{"height": "1.8 m"}],
    }))  # fmt: skip
    api.write_model(frame, tmp_path / "a.ifc")
    building.build_frame(frame, tmp_path / "both", only=["ifc", "sheets"], workers=1)
    texts = {path.read_bytes() for path in tmp_path.rglob("*.ifc")}
    assert len(list(tmp_path.rglob("*.ifc"))) == 2 and len(texts) == 1
    file = ifcopenshell.file.from_string(texts.pop().decode("ascii"))
    sheets = api.draw(frame).sheets
    for group in frame.parts():
        element = members_of(file)[group.mark][0]
        said = ifcopenshell.util.element.get_psets(element)["Frame3d_Part"].get("Sheet")
        assert (said is None) is group.part.is_bought, group.mark
        if said:
            number, _, title = said.partition(" ")
            sheet = sheets[int(number) - 1]
            words = {label.text for one in sheet.views for label in labels(one)} | {
                word for one in sheet.views for word in re.split("[, ]+", one.view.title)
            }
            assert sheet.title == title and group.mark in words, group.mark


def labels(one: SheetView) -> list[Label]:
    return [item for item in one.view.primitives if isinstance(item, Label)]


def test_the_96_ft_example_is_small_enough_to_be_mailed() -> None:
    assert len(ifc_text(whole_example(), {})) < MOST_BYTES


NAMES = ('Grower\'s \\ "best"', "温室", "\\X2\\00E9\\X0\\", "#1=IFCWALL('');", "Ünïcode, ßöäü")


@pytest.mark.parametrize("name", NAMES)
def test_names_of_any_kind_come_back(name: str) -> None:
    design = design_from_mapping({
        "project": {"name": name, "owner": name[:40], "drawn_by": name[:20], "date": "2026-02-28"},
        "profile": {"style": "quonset", "width": "6 m"},
        "bays": {"count": 2, "spacing": "1.2 m"},
    })  # fmt: skip
    file = opened(replace(sample_frame(), design=design))
    assert file.by_type("IfcProject")[0].Name == design.project.name == name
    assert file.by_type("IfcBuilding")[0].Name == name
    assert file.header.file_name.time_stamp == "2026-02-28T00:00:00"
    assert file.header.file_name.organization == (name[:40],)
