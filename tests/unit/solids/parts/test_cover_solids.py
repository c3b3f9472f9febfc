"""Channel and what winds curtains as solids: their volume against arithmetic."""

from __future__ import annotations

import pytest
from curtain_designs import BASE

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.cover.film_shapes import with_film
from frame3d.frame.lay_out import lay_out
from frame3d.frame.measure.measures import volume_mm3
from frame3d.frame.model.roles import SKIN
from frame3d.solids.parts.make_solids import make_solid
from frame3d.units import UnitSystem


def test_every_part_of_cover_and_curtains_is_a_true_solid() -> None:
    design = BASE | {
        "output": BASE["output"] | {"film": "shown"},
        "cover": {"listed_as": "parts"},
        "curtain": {"winder": "gear"},
        "end_wall": [{"at": "front", "timber": "47x100"}],
        "door": [{"at": "front", "kind": "hinged", "width": "1200 mm"}],
    }
    frame = with_film(lay_out(design_from_mapping(design)))
    assert frame.design.output.units is UnitSystem.METRIC
    groups = [group for group in frame.parts() if group.role in SKIN]
    assert {group.role for group in groups} == set(SKIN)
    for group in groups:
        # Refuses a solid that is not valid, or not closed.
        solid = make_solid(group.part, mark=group.mark, role=group.role)
        assert solid.volume_mm3 == pytest.approx(volume_mm3(group.part), rel=1e-6)
