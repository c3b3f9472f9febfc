"""Sleeves reach their overlap to both sides of a joint, with a bolt in the middle of each."""

from __future__ import annotations

import math

import pytest

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Member
from frame3d.frame.model.roles import Role

DESIGN = {
    "output": {"units": "metric"},
    "profile": {
        "style": "quonset", "width": "6 m", "ridge_height": "3.9 m", "leg_height": "900 mm",
    },
    "bays": {"count": 2, "spacing": "1500 mm"},
    "hoop": {
        "pieces": 3, "tube": "48 x 2 mm", "splice": "sleeve", "splice_tube": "43 x 2 mm",
        "overlap": "200 mm",
    },
    "rail": [],
}  # fmt: skip


def on_axis(member: Member, at_mm: float) -> tuple[float, float, float]:
    station = member.part.axis.at(at_mm)
    return member.placement.point((station.x_mm, station.y_mm, 0.0))


def test_a_sleeve_reaches_its_overlap_to_both_sides() -> None:
    frame = lay_out(design_from_mapping(DESIGN))
    sleeves = [member.part for member in frame.of(Role.SPLICE)]
    assert len(sleeves) == 3 * 2  # hoops by joints of three pieces
    for sleeve in sleeves:
        assert sleeve.axis.length_mm == pytest.approx(2 * 200.0)
        # One bolt in the middle of each overlap.
        assert sorted(hole.at_mm for hole in sleeve.holes) == pytest.approx([100.0, 300.0])


def test_the_holes_of_sleeve_and_pieces_are_in_line() -> None:
    frame = lay_out(design_from_mapping(DESIGN))
    where = {
        role: [
            on_axis(member, hole.at_mm)
            for member in frame.of(role) for hole in member.part.holes
        ]
        for role in (Role.SPLICE, Role.HOOP)
    }  # fmt: skip
    for place in where[Role.SPLICE]:
        assert min(math.dist(place, other) for other in where[Role.HOOP]) < 1e-3
