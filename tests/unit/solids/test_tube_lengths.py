"""Tubes that are made length by length, where the kernel cannot bore them whole."""

from __future__ import annotations

import pytest

from frame3d.catalog.sections import TubeSection
from frame3d.frame.measures import volume_mm3
from frame3d.frame.members import Role
from frame3d.frame.parts import Hole, Tube
from frame3d.geometry.paths import Arc, Line, PlanePath
from frame3d.solids.make import make_solid
from frame3d.solids.meshes import mesh_of


def test_a_long_hoop_in_one_piece_with_holes_at_springing_and_crown() -> None:
    """With a hole in it, the kernel's volume of a crown arc 8 m long is good to four digits
    only; by short lengths it agrees with Pappus.
    """
    eave = Arc(2342.0, 0.5702820)
    axis = PlanePath((Line(998.0), eave, Arc(3991.547596, 2.0010284), eave, Line(998.0)))
    length = axis.length_mm
    places = (63.5, 177.8, 1000.0, length / 2, length - 1000.0, length - 177.8, length - 63.5)
    tube = Tube(
        section=TubeSection(name="1.66 in x 14 ga BWG", od_mm=42.164, wall_mm=2.1082), axis=axis,
        holes=tuple(Hole(at_mm=at, diameter_mm=10.31875) for at in places),
    )
    solid = make_solid(tube, mark="H2", role=Role.HOOP)
    assert solid.volume_mm3 == pytest.approx(volume_mm3(tube), rel=1e-5)
    assert mesh_of(solid).triangles.shape[1] == 3
