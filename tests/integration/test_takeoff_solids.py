"""Masses and centres of the take-off are those of the solids."""

from __future__ import annotations

import numpy as np
import pytest
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Board
from frame3d.frame.model.roles import Role
from frame3d.solids.parts.make_solids import make_solids
from frame3d.takeoff.quantities.handling import raised_hoops
from frame3d.takeoff.take_off import take_off
from frame3d.takeoff.write.part_lists import tables_of

STEEL, TIMBER = 7850e-9, 560e-9
"""kg/mm³: EN 1991-1-1, table A.4, and the default density of boards."""
GOTHIC = {
    "profile": {"style": "gothic", "width": "20 ft", "ridge_height": "15 ft",
                "leg_height": "4 ft"},
    "bays": {"count": 2, "spacing": "4 ft"},
    "hoop": {"tube": "1.66 in x 14 ga BWG", "ridge_tube": "2 in x 11 ga BWG", "pieces": 4},
    "socket": {"tube": "2 in x 11 ga BWG"},
    "rail": [{"at": "ridge"}, {"at": "sides", "height": "8 ft", "fixing": "clamped"}],
    "sill_board": {"stock_length": "8 ft"},
}  # fmt: skip
QUONSET = {
    "output": {"units": "metric"},
    "profile": {"style": "quonset", "width": "5 m", "ridge_height": "3 m"},
    "bays": {"count": 2, "spacing": "1.5 m"},
    "hoop": {"pieces": 3, "splice": "sleeve", "splice_tube": "48.3 x 2.6 mm",
             "splice_fastener": "screws"},
}  # fmt: skip


@pytest.fixture(scope="module", params=[GOTHIC, QUONSET], ids=["gothic", "quonset"])
def both(request) -> tuple[Frame, dict]:
    frame = lay_out(design_from_mapping(request.param))
    return frame, make_solids(frame)


def weighed(solid) -> tuple[float, np.ndarray]:
    """Mass, kg, and centre, mm, as the kernel integrates them."""
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid.shape, properties, 1e-9, True)
    centre = properties.CentreOfMass()
    density = TIMBER if isinstance(solid.part, Board) else STEEL
    return properties.Mass() * density, np.array((centre.X(), centre.Y(), centre.Z(), 1.0))


def test_mass_of_every_part_and_of_all(both) -> None:
    frame, solids = both
    takeoff = take_off(frame)
    (parts, *_) = tables_of(takeoff)
    total = 0.0
    for row in parts.rows:
        mass, _ = weighed(solids[row["mark"]])
        # A solid is held to 1e-5 of its part's volume at bored bends.
        assert row["mass_each"] == pytest.approx(mass, rel=2e-5), row["mark"]
        total += mass * row["count"]
    assert takeoff.mass_kg == pytest.approx(total, rel=1e-5)


def test_a_hoop_as_raised(both) -> None:
    """Tubes, joints and what holds them: its own splices and ridge, no socket, rail or board.

    Which hardware that is comes from where the family of hoops puts it: at its splices in the
    middle of a piece, at the ridge, and never through anything else.
    """
    frame, solids = both
    tubes = [m for m in frame.of(Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT) if m.spot.hoop == 2]
    rest = [m for m in frame.of(Role.BOLT, Role.NUT, Role.WASHER, Role.SCREW)
            if m.spot.hoop == 2 and m.spot.to_hoop is None and _is_of_the_hoop(m)]  # fmt: skip
    parts = [(m, *weighed(solids[m.mark])) for m in (*tubes, *rest)]
    mass = sum(kg for _, kg, _ in parts)
    centre = sum(kg * (m.placement.matrix() @ local) for m, kg, local in parts) / mass
    (hoop,) = raised_hoops(frame)
    assert hoop.hoops == (1, 2, 3)
    assert hoop.mass_kg == pytest.approx(mass, rel=2e-5)
    # The centre told is that of the first hoop, which stands a bay before the second.
    wanted = centre[:3] - (0.0, frame.grid.spacing_mm, 0.0)
    assert hoop.centre_mm == pytest.approx(wanted, abs=0.01)


def _is_of_the_hoop(member: Member) -> bool:
    """Fasteners of splices and ridge joints lie along the tunnel, square to the hoop; those of
    sockets, rails, boards and couplers do not.
    """
    return abs(member.placement.z[1]) > 0.99 and member.role is not Role.CLAMP
