"""Clamps of ties and rails that are near on a hoop turn their ears away from each other."""

from __future__ import annotations

import pytest
from walks import start

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Severity
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role, Side
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.geometry.placement import add, dot
from frame3d.units import UnitSystem


def tied(style: ArchStyle, fixing: str, height: str) -> Frame:
    """A starter in feet without end walls, with a tie on every hoop but the first and the last."""
    design = start(style, UnitSystem.IMPERIAL, walls=False)
    design["rail"][0]["fixing"] = fixing
    if style is ArchStyle.GOTHIC:
        design["profile"]["eave_radius"] = "4 ft"  # the shape at which these heights were found
    return lay_out(design_from_mapping({**design, "tie": [{"height": height}]}))


# Each of these had 5 to 16 places at which an ear, its bolt or its nut lay in the other's clamp.
NEAR = [
    (ArchStyle.GOTHIC, "clamped", "2762 mm"), (ArchStyle.GOTHIC, "clamped", "2768 mm"),
    (ArchStyle.GOTHIC, "bolted", "2762 mm"), (ArchStyle.QUONSET, "clamped", "2640 mm"),
    (ArchStyle.QUONSET, "clamped", "2646 mm"), (ArchStyle.QUONSET, "clamped", "2652 mm"),
    (ArchStyle.QUONSET, "bolted", "2640 mm"),
]  # fmt: skip


@pytest.mark.parametrize(("style", "fixing", "height"), NEAR)
def test_a_tie_near_a_rail_is_clamped_without_a_clash(style, fixing, height) -> None:
    frame = tied(style, fixing, height)
    assert [f for f in check_frame(frame) if f.severity is Severity.ERROR] == []


@pytest.mark.parametrize(("style", "fixing", "height"), NEAR)
def test_ears_of_a_ties_clamps_point_away_from_the_rail(style, fixing, height) -> None:
    frame = tied(style, fixing, height)
    rails = {m.spot.side: m.placement.origin for m in frame.of(Role.RAIL)
             if m.source == "rail[1]"}  # fmt: skip
    clamps = [m for m in frame.of(Role.CLAMP) if m.source.startswith("tie[")]
    assert clamps
    for clamp in clamps:
        assert clamp.spot.side in (Side.LEFT, Side.RIGHT)
        x, _, z = add(rails[clamp.spot.side], clamp.placement.origin, -1.0)
        # The ears stand off along the clamp's own y.
        assert dot(clamp.placement.y, (x, 0.0, z)) <= 1e-6


def test_clamps_far_from_each_other_stay_as_they_were() -> None:
    """Ears follow the boss and the tube: on one half of the tunnel they are those of the other
    half turned round, as the ties lie on the other side of the hoops.
    """
    frame = tied(ArchStyle.GOTHIC, "clamped", "7 ft 6 in")
    ears = {
        (m.spot.hoop, round(m.placement.y[2]))
        for m in frame.of(Role.CLAMP)
        if m.source.startswith("tie[") and m.placement.x[0] == pytest.approx(1.0)
    }
    hoops = len(frame.grid.hoop_y_mm)
    assert ears == {(n, 1 if 2 * n <= hoops + 1 else -1) for n in range(2, hoops)}
