"""Hoops and sockets stand where the design says: heights from the ground, legs leaning inward.

All by trigonometry from the design's own figures.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.roles import Role, Side

WIDTH, RIDGE, LEG = 7200.0, 3900.0, 1300.0
EXPOSED, INSERTION = 310.0, 270.0


def made(style: str, **profile) -> Frame:
    return lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": style, "width": f"{WIDTH} mm", "leg_height": f"{LEG} mm", **profile},
        "bays": {"count": 2, "spacing": "1500 mm"},
        "hoop": {"tube": "48 x 2 mm", "ridge_tube": "55 x 3 mm"},
        "socket": {"tube": "55 x 3 mm", "exposed": f"{EXPOSED} mm",
                   "insertion": f"{INSERTION} mm"},
    }))  # fmt: skip


def axis(member: Member) -> list[tuple[float, float, float]]:
    """Points along the centreline of a tube, in the frame's axes, start and end among them."""
    length = member.part.length_mm
    stations = [member.part.axis.at(length * step / 2000) for step in range(2001)]
    return [member.placement.point((s.x_mm, s.y_mm, 0.0)) for s in stations]


def crown_mm(points: list[tuple[float, float, float]]) -> float:
    """Height on the centreline; where the pieces end before it, their curve carried on."""
    right = sorted((x, z) for x, _, z in points if x >= 0)[:200]
    return float(np.polyval(np.polyfit(*zip(*right, strict=True), 4), 0.0))


@pytest.mark.parametrize("style", ["gothic", "quonset"])
def test_a_hoop_rises_to_its_ridge_and_ends_as_deep_in_the_socket_as_asked(style: str) -> None:
    frame = made(style, ridge_height=f"{RIDGE} mm")
    for hoop in range(1, 4):
        points = [p for m in frame.of(Role.HOOP) if m.spot.hoop == hoop for p in axis(m)]
        assert crown_mm(points) == pytest.approx(RIDGE, abs=1e-3)
        assert min(z for _, _, z in points) == pytest.approx(EXPOSED - INSERTION, abs=1e-6)
        feet = [x for x, _, z in points if z < EXPOSED]
        assert (min(feet), max(feet)) == pytest.approx((-WIDTH / 2, WIDTH / 2), abs=1e-6)
    tops = {round(m.placement.origin[2], 6) for m in frame.of(Role.SOCKET)}
    assert tops == {EXPOSED}


@pytest.mark.parametrize("lean", [2.0, 6.0])
def test_legs_that_lean_lean_inward(lean: float) -> None:
    """Between the centres at the ground it is as wide as asked; above, narrower by the tangent."""
    frame = made("gothic", leg_lean=f"{lean} deg")
    slope = math.tan(math.radians(lean))
    for socket in frame.of(Role.SOCKET):
        x, _, z = socket.placement.origin
        foot = socket.placement.point((socket.part.length_mm, 0.0, 0.0))
        sign = -1 if socket.spot.side is Side.LEFT else 1
        assert z == pytest.approx(EXPOSED * math.cos(math.radians(lean)), abs=1e-6)
        for place, height in ((x, z), (foot[0], foot[2])):
            assert sign * place == pytest.approx(WIDTH / 2 - height * slope, abs=1e-6)
    for hoop in frame.of(Role.HOOP):
        start, *_, end = axis(hoop)
        low = min(start, end, key=lambda p: p[2])
        if low[2] < EXPOSED:
            assert abs(low[0]) == pytest.approx(WIDTH / 2 - low[2] * slope, abs=1e-6)
