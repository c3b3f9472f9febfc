"""Properties of whole frames: whatever is accepted lays out, whatever is refused says why."""

from __future__ import annotations

import math

from campaign import USUAL, examples
from hypothesis import HealthCheck, given, settings
from whole_designs import designs

from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.lay_out import lay_out
from frame3d.frame.measure.measures import mass_kg, volume_mm3
from frame3d.frame.model.canonical import canonical
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Board, Tube
from frame3d.frame.model.roles import Role, Side

frames = settings(
    max_examples=examples(USUAL),
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)


def laid_out(mapping: dict) -> Frame | None:
    """The frame, or None where the design is refused with a reason and a place."""
    try:
        return lay_out(design_from_mapping(mapping))
    except DesignError as error:
        assert error.where.split(".")[0].split("[")[0] in (*mapping, "hardware", "sill_board")
        assert len(error.message) > 20
        return None
    except DesignFaults as faults:
        assert all(fault.where for fault in faults.faults)
        return None


@frames
@given(designs())
def test_every_accepted_design_keeps_the_rules_of_a_frame(mapping: dict) -> None:
    frame = laid_out(mapping)
    if frame is None:
        return
    hoops = len(frame.grid.hoop_y_mm)
    assert sum(1 for _ in frame.of(Role.SOCKET)) == 2 * hoops
    gothic = mapping["profile"]["style"] == "gothic"
    pieces = mapping["hoop"]["pieces"]
    assert sum(1 for _ in frame.of(Role.HOOP)) == pieces * hoops
    assert any(True for _ in frame.of(Role.RIDGE_JOINT)) == gothic
    parts = frame.parts()
    assert len({(p.role, p.part) for p in parts}) == len(parts)
    plated = any(tie["joint"] == "plates" for tie in mapping.get("tie", []))
    if gothic and not mapping.get("end_wall") and not plated:
        # Each piece of the left half is one of the right half too.
        assert all(p.count % (2 * hoops) == 0 for p in parts if p.role is Role.HOOP)
    assert sum(p.count for p in parts) == len(frame.members)
    for count in parts:
        _sound(count.part)
    _bolts_have_nuts(frame)
    _left_is_like_right(frame)


def _sound(part) -> None:
    volume = volume_mm3(part)
    assert math.isfinite(volume) and volume > 0
    assert mass_kg(part) > 0
    # A part that is already in its one form stays as it is.
    assert canonical(part)[0] == part
    if isinstance(part, Tube):
        assert part.length_mm == math.fsum(s.length_mm for s in part.axis.segments)
        places = [hole.at_mm for hole in part.holes]
        assert all(0 < place < part.length_mm for place in places)
        sizes = part.holes[0].diameter_mm if part.holes else 0
        assert all(b - a > sizes for a, b in zip(places, places[1:], strict=False))
    if isinstance(part, Board):
        for hole in part.holes:
            assert hole.along_mm - hole.diameter_mm / 2 > 0
            assert hole.along_mm + hole.diameter_mm / 2 < part.length_mm


def _bolts_have_nuts(frame: Frame) -> None:
    assert sum(1 for _ in frame.of(Role.BOLT)) == sum(1 for _ in frame.of(Role.NUT))


def _left_is_like_right(frame: Frame) -> None:
    """Both sides have the same sockets and the same run of boards, whose joints may differ
    where that saves a board; every placement is proper.
    """
    sides = {side: [] for side in Side}
    for member in frame.of(Role.SOCKET):
        sides[member.spot.side].append(member.mark)
    assert sorted(sides[Side.LEFT]) == sorted(sides[Side.RIGHT])
    for role in (Role.SILL_BOARD, Role.HIP_BOARD):
        runs = [
            math.fsum(m.part.length_mm for m in frame.of(role) if m.spot.side is side)
            for side in (Side.LEFT, Side.RIGHT)
        ]
        assert math.isclose(*runs, abs_tol=1e-3)
    for member in frame.members:
        p = member.placement
        turn = sum(
            p.x[i] * (p.y[(i + 1) % 3] * p.z[(i + 2) % 3] - p.y[(i + 2) % 3] * p.z[(i + 1) % 3])
            for i in range(3)
        )
        assert abs(turn - 1) < 1e-9


@settings(parent=frames, max_examples=examples(50))
@given(designs())
def test_legs_and_sockets_share_their_holes(mapping: dict) -> None:
    """Each hole of a socket has the leg's hole on it, to a thousandth of a millimetre."""
    frame = laid_out(mapping)
    if frame is None:
        return
    legs = [
        member.placement.point((s.x_mm, s.y_mm, 0.0))
        for member in frame.of(Role.HOOP)
        for s in (member.part.axis.at(hole.at_mm) for hole in member.part.holes)
    ]
    y_last = frame.grid.hoop_y_mm[-1]
    for member in frame.of(Role.SOCKET):
        if member.placement.origin[1] not in (0.0, y_last):
            continue
        for hole in member.part.holes:
            want = member.placement.point((hole.at_mm, 0.0, 0.0))
            assert min(math.dist(want, leg) for leg in legs) < 1e-3
