"""Centre of mass of every kind of part, against the kernel's."""

from __future__ import annotations

import pytest
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from sample_frames import EVERY_PART

from frame3d.frame.measure.measures import centre_mm
from frame3d.solids.parts.make_solids import make_solid


@pytest.mark.parametrize("mark", EVERY_PART)
def test_centre_of_mass_is_the_kernels(mark: str) -> None:
    role, part = EVERY_PART[mark]
    properties = GProp_GProps()
    shape = make_solid(part, mark=mark, role=role).shape
    BRepGProp.VolumeProperties_s(shape, properties, 1e-12, True)
    centre = properties.CentreOfMass()
    # Tapers count on the axis, and holes in a bend as in a straight tube: 1e-3 mm.
    assert centre_mm(part) == pytest.approx((centre.X(), centre.Y(), centre.Z()), abs=2e-3)
