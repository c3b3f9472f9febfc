"""Shallow walls are told of what stands in the ground, which can be jambs alone."""

from __future__ import annotations

from finding_links import unlinked
from walks import start

from frame3d.checks.all_checks import check_frame
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.roles import Role
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem


def test_a_shallow_wall_of_a_door_alone_is_about_its_jambs() -> None:
    design = start(ArchStyle.QUONSET, UnitSystem.METRIC, walls=False)
    for name in ("rail", "tie", "side_opening", "machine", "brace"):
        design.pop(name, None)
    design["profile"] = {"style": "quonset", "width": "3 m", "ridge_height": "2.4 m",
                         "leg_height": "1 m"}  # fmt: skip
    design["end_wall"] = [{"at": "front", "studs": "tube", "embedment": "100 mm",
                           "largest_spacing": "3 m"}]  # fmt: skip
    design["door"] = [{"at": "front", "kind": "hinged", "width": "1 m", "height": "1.8 m"}]
    frame = lay_out(design_from_mapping(design))
    assert not any(True for _ in frame.of(Role.STUD))
    findings = check_frame(frame)
    (found,) = (f for f in findings if f.field == "end_wall[1].embedment")
    assert {member.role for member in found.members} == {Role.DOOR_JAMB}
    assert unlinked(frame, findings) == []


def test_a_wall_without_studs_has_none_too_shallow() -> None:
    design = {
        "profile": {"style": "quonset", "width": "1031 mm", "leg_height": "437 mm"},
        "output": {"units": "metric"},
        "bays": {"count": 1, "spacing": "1 m"},
        "end_wall": [{"at": "front", "studs": "timber", "braces": "none", "foot": "ground",
                      "embedment": "514 mm"}],
        "door": [],
    }  # fmt: skip
    frame = lay_out(design_from_mapping(design))
    assert not any(True for _ in frame.of(Role.STUD))
    findings = check_frame(frame)
    assert not [f for f in findings if f.field == "end_wall[1].embedment"]
    assert unlinked(frame, findings) == []
