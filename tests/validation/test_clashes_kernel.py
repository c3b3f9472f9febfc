"""Clashes against what two solids of the modelling kernel have in common (Open CASCADE)."""

from __future__ import annotations

import functools

import numpy as np
import pytest
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.BRepGProp import BRepGProp
from OCP.gp import gp_Trsf
from OCP.GProp import GProp_GProps

from frame3d.checks.measured.measuring import TOUCH_MM
from frame3d.checks.measured.near_pairs import survey
from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.values.starter_values import start_values
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame, Member
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.solids.parts.make_solids import make_solid
from frame3d.units import UnitSystem

SAMPLE = 30
TOUCHING_MM3 = 1.0
"""What two bodies that only touch may have in common, by the kernel's own tolerance."""


def started(**changes) -> Frame:
    several = ("rail", "brace", "end_wall", "door")
    values = start_values(ArchStyle.QUONSET, UnitSystem.METRIC)
    # Channel lies over what it crosses, which is no clash; it has a check of its own.
    mapping = {k: v if k in several else v[0] for k, v in values.items() if k != "cover"}
    mapping["bays"] = {"count": 5, "spacing": "1.5 m"}
    return lay_out(design_from_mapping({**mapping, **changes}))


@functools.cache
def solid(mark: str, role, part):
    return make_solid(part, mark=mark, role=role).shape


def placed(member: Member):
    move = gp_Trsf()
    matrix = member.placement.matrix()[:3]
    move.SetValues(*(float(value) for row in matrix for value in row))
    shape = solid(member.mark, member.role, member.part)
    return BRepBuilderAPI_Transform(shape, move, True).Shape()


def common_mm3(one: Member, two: Member) -> float:
    volume = GProp_GProps()
    BRepGProp.VolumeProperties_s(BRepAlgoAPI_Common(placed(one), placed(two)).Shape(), volume)
    return volume.Mass()


def pairs_of(frame: Frame, low_mm: float, high_mm: float) -> list[tuple[Member, Member]]:
    """One pair of each kind without a meant contact whose gap is between two limits."""
    seen = survey(frame)
    return [
        tuple(seen.scene.members[int(side[0])] for side in (m.pairs.first, m.pairs.second))
        for m in seen.meetings
        if not m.contacts and low_mm < m.gap_mm <= high_mm
    ]


def test_what_touches_has_nothing_in_common() -> None:
    pairs = pairs_of(started(), -TOUCH_MM, 1.0)
    assert len(pairs) > 3 * SAMPLE
    chosen = np.random.default_rng(8).permutation(len(pairs))[:SAMPLE]
    together = {f"{a.mark} {b.mark}": common_mm3(a, b) for a, b in (pairs[k] for k in chosen)}
    assert {names: volume for names, volume in together.items() if volume > TOUCHING_MM3} == {}


CLASHES = {
    "braces cross": {"brace": [
        {"corners": ["front left"], "from_height": "450 mm", "to_height": "2250 mm"},
        {"corners": ["front left"], "from_hoop": 4, "to_hoop": 2, "from_height": "450 mm",
         "to_height": "2250 mm"},
    ]},
    "a rail crosses a brace": {"rail": [{"at": "sides", "height": "500 mm"}]},
    "a tie through a brace": {"tie": [{"height": "1350 mm"}]},
}  # fmt: skip


@pytest.mark.parametrize("fault", CLASHES)
def test_what_clashes_has_something_in_common(fault: str) -> None:
    pairs = pairs_of(started(**CLASHES[fault]), -1000.0, -TOUCH_MM)
    assert pairs
    assert min(common_mm3(a, b) for a, b in pairs) > TOUCHING_MM3
