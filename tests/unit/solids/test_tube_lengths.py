"""Tubes that are made length by length, where the kernel cannot bore them whole."""

from __future__ import annotations

import pytest

from frame3d.frame.lay_out import lay_out
from frame3d.frame.measures import volume_mm3
from frame3d.frame.members import Role
from frame3d.solids.make import make_solid
from frame3d.solids.meshes import mesh_of
from frame3d.solids.solid import checked
from frame3d.solids.tube_lengths import tube_by_lengths
from frame3d.spec.reader import design_from_mapping

ONE_PIECE = {
    "profile": {"style": "quonset", "width": "7461 mm", "leg_height": "998 mm",
                "ridge_height": "4099 mm", "eave_radius": "2342 mm"},
    "bays": {"count": 2, "spacing": "2222 mm"},
    "hoop": {"tube": "1.66 in x 14 ga BWG", "pieces": 1},
    "socket": {"tube": "NPS 2 STD"},
    # Holes 2 mm above the springing, and in the middle of a crown arc 8 m long.
    "rail": [{"height": "1000 mm", "tube": "NPS 1 STD"},
             {"at": "ridge", "tube": "1.375 in x 14 ga BWG"}],
}
"""Found at random: the kernel made its bored hoop 0.6 % too light, however it was turned."""

WALLED = {
    "profile": {"style": "gothic", "width": "8190 mm", "leg_height": "1311 mm",
                "ridge_height": "5053 mm", "eave_radius": "2351 mm", "ridge_slope": "22 deg"},
    "bays": {"count": 2, "spacing": "999 mm"},
    "hoop": {"tube": "1.66 in x 14 ga BWG", "pieces": 2, "ridge_joint": "plates"},
    "socket": {"tube": "NPS 2 STD"},
    "rail": [{"fraction": 0.158, "face": "outside", "tube": "1.375 in x 14 ga BWG"},
             {"height": "3358 mm", "tube": "1.375 in x 14 ga BWG"}],
    "end_wall": [{"at": "front", "timber": "2x6", "sill": "2x8", "top": "bolted",
                  "largest_spacing": "877 mm", "braces": "none"}],
}
"""Found at random: a half hoop with twelve holes, of which the kernel makes no valid solid."""


@pytest.mark.parametrize("mapping", [ONE_PIECE, WALLED], ids=["one piece", "end wall"])
def test_bent_tubes_with_many_holes_are_right_by_short_lengths(mapping: dict) -> None:
    frame = lay_out(design_from_mapping(mapping))
    for count in frame.parts():
        if count.role is not Role.HOOP:
            continue
        shape = tube_by_lengths(count.part)
        made = checked(mark=count.mark, role=count.role, part=count.part, shape=shape)
        assert made.volume_mm3 == pytest.approx(volume_mm3(count.part), rel=5e-6)
        # The way that a build goes comes to the same.
        solid = make_solid(count.part, mark=count.mark, role=count.role)
        assert solid.volume_mm3 == pytest.approx(volume_mm3(count.part), rel=1e-5)
        assert len(mesh_of(solid).triangles)
