"""Surface to be coated, against closed forms and the kernel."""

from __future__ import annotations

import math

import pytest
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from sample_frames import BRACE, HOOP_TUBE, RIDGE_PLATE, SILL_BOARD

from frame3d.catalog.sections import TubeSection
from frame3d.frame.model.parts import Part, Plate, Swage, Tube
from frame3d.frame.model.roles import Role
from frame3d.geometry.paths import Arc, Line, PlanePath
from frame3d.solids.parts.make_solids import make_solid
from frame3d.takeoff.quantities.handling import zinc_kg
from frame3d.takeoff.quantities.surfaces import surface_mm2

BENT = Tube(section=HOOP_TUBE, axis=PlanePath((Line(500.0), Arc(900.0, 1.0))))
SWAGED = Tube(
    section=HOOP_TUBE,
    axis=PlanePath((Line(500.0),)),
    end=Swage(od_mm=34.0, length_mm=90.0, taper_mm=25.0),
)


@pytest.mark.parametrize("part", [BRACE, BENT, SWAGED, RIDGE_PLATE])
def test_surface_is_the_kernels(part: Part) -> None:
    properties = GProp_GProps()
    shape = make_solid(part, mark="X1", role=Role.HOOP).shape
    BRepGProp.SurfaceProperties_s(shape, properties)
    assert surface_mm2(part) == pytest.approx(properties.Mass(), rel=1e-6)


def test_surface_of_a_metre_of_tube() -> None:
    """π (60 + 54) mm on 1 m, and two rings of π (30² - 27²) mm²."""
    section = TubeSection(name="60 x 3", od_mm=60.0, wall_mm=3.0)
    tube = Tube(section=section, axis=PlanePath((Line(1000.0),)))
    assert surface_mm2(tube) == pytest.approx(math.pi * (114_000 + 2 * (900 - 729)), rel=1e-12)


def test_plate_has_two_faces_and_its_edges() -> None:
    plate = Plate(
        name="p", outline=((0, 0), (100, 0), (100, 50), (0, 50)), thickness_mm=5,
        holes=((50, 25, 10),),
    )  # fmt: skip
    expected = 2 * (5000 - math.pi * 25) + 5 * (300 + math.pi * 10)
    assert surface_mm2(plate) == pytest.approx(expected, rel=1e-12)


def test_zinc_of_a_square_metre() -> None:
    """7.14 g/m² for each micrometre (zinc 7140 kg/m³): 45 µm make 321.3 g/m²."""
    square = ((0, 0), (1000, 0), (1000, 500), (0, 500))
    plate = Plate(name="p", outline=square, thickness_mm=0.001)
    assert zinc_kg(plate, 45 * 7.14) == pytest.approx(0.3213, rel=1e-5)
    assert zinc_kg(plate, None) == 0.0
    assert zinc_kg(SILL_BOARD, 321.3) == 0.0
