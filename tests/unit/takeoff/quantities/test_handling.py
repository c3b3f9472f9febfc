"""How many people a hoop takes to raise, from its mass by hand and the lifting equation."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role
from frame3d.takeoff.quantities.handling import raised_hoops

STEEL_KG_PER_MM3 = 7850e-9
"""EN 1991-1-1, table A.4."""
LIMIT_KG = 23 * (25 / 45) * (1 - 0.003 * 50) * (0.82 + 4.5 / 150)
"""DHHS (NIOSH) 94-110 for H 45, V 25, D 150 cm, derived: 9.232 kg for each person."""


def frame_with(tube: str, sockets: str, width: str) -> Frame:
    return lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": width},
        "bays": {"count": 2, "spacing": "1500 mm"},
        "hoop": {"tube": tube, "pieces": 1}, "socket": {"tube": sockets}, "rail": [],
    }))  # fmt: skip


def mass_by_hand_kg(frame: Frame) -> float:
    """Wall's ring by length, both walls of each hole taken off, and the zinc on both faces."""
    hoop = next(frame.of(Role.HOOP)).part
    assert isinstance(hoop, Tube)
    d, t = hoop.section.od_mm, hoop.section.wall_mm
    steel = math.pi * (d - t) * t * hoop.length_mm
    steel -= sum(2 * t * math.pi * h.diameter_mm**2 / 4 for h in hoop.holes)
    zinc = 2 * math.pi * (d - t) * hoop.length_mm * (frame.design.order.zinc or 0.0) * 1e-9
    return steel * STEEL_KG_PER_MM3 + zinc


@pytest.mark.parametrize(
    ("tube", "sockets", "width"),
    [
        ("32 x 2 mm", "38 x 2.5 mm", "4 m"),
        ("48 x 2 mm", "55 x 3 mm", "6 m"),
        ("48 x 3 mm", "55 x 3 mm", "9 m"),
        ("60 x 4 mm", "70 x 4 mm", "11 m"),
    ],
)
def test_a_hoop_takes_as_many_as_share_its_mass_and_three_at_least(
    tube: str, sockets: str, width: str
) -> None:
    """At least three: one at each leg and one to guide (common practice, no source)."""
    frame = frame_with(tube, sockets, width)
    (raised,) = raised_hoops(frame)
    assert raised.hoops == (1, 2, 3)
    assert raised.mass_kg == pytest.approx(mass_by_hand_kg(frame), rel=2e-3)
    assert raised.hands == max(3, math.ceil(raised.mass_kg / LIMIT_KG))


def test_the_cases_reach_from_three_people_to_more() -> None:
    few = raised_hoops(frame_with("32 x 2 mm", "38 x 2.5 mm", "4 m"))[0]
    many = raised_hoops(frame_with("60 x 4 mm", "70 x 4 mm", "11 m"))[0]
    assert few.hands == 3 < many.hands


def test_hoops_that_weigh_more_are_told_apart() -> None:
    """A tie is put on later and is no part of what is raised (common practice, no source)."""
    frame = frame_with("48 x 2 mm", "55 x 3 mm", "6 m")
    hoop = next(m for m in frame.members if m.role is Role.HOOP and m.spot.hoop == 2)
    doubled = replace(frame, members=(*frame.members, replace(hoop)))
    masses = {raised.hoops: raised.mass_kg for raised in raised_hoops(doubled)}
    assert masses[(2,)] == pytest.approx(2 * masses[(1, 3)], rel=1e-9)
