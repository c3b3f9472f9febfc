"""What the ridge's height is measured to, against where the tubes are."""

from __future__ import annotations

import pytest
from walled_designs import example

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.describe.key_figures import main_figures
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role
from frame3d.guide.make_guide import guide_of
from frame3d.guide.steps.figures import axis_points


def frame_with(name: str, **hoop: str) -> Frame:
    mapping = example(name)
    mapping["hoop"] = {**mapping["hoop"], **hoop}
    if hoop.get("ridge_joint") == "plates":
        for key in ("ridge_tube", "ridge_bend_radius"):
            mapping["hoop"].pop(key, None)
    return lay_out(design_from_mapping(mapping))


def ridge_name(frame: Frame) -> str:
    (name,) = (name for name, _ in guide_of(frame, drawn=False).figures if "Ridge" in name)
    return name


def key_figure(frame: Frame) -> str:
    return dict(main_figures(frame, mass=False))["Ridge height"]


def highest_mm(frame: Frame) -> float:
    """The highest point of the axes of a hoop's tubes and its ridge sleeve."""
    return max(
        float(axis_points(member, 65)[:, 2].max())
        for member in frame.of(Role.HOOP, Role.RIDGE_JOINT)
        if isinstance(member.part, Tube)
    )


def test_a_gothic_ridge_is_where_the_centrelines_meet() -> None:
    """No tube's axis reaches it: the sleeve is bent below."""
    frame = frame_with("long_meadow_gothic")
    assert highest_mm(frame) < frame.arch.ridge_height_mm - 1.0
    assert ridge_name(frame) == (
        "Ridge height, where the centrelines of the two halves meet "
        "(the bent ridge sleeve itself is lower)"
    )
    assert " to where the centrelines meet, " in key_figure(frame)


def test_without_a_sleeve_none_is_named() -> None:
    name = ridge_name(frame_with("long_meadow_gothic", ridge_joint="plates"))
    assert name == "Ridge height, where the centrelines of the two halves meet"


def test_a_quonset_reaches_its_ridge() -> None:
    frame = frame_with("long_meadow_quonset")
    assert highest_mm(frame) == pytest.approx(frame.arch.ridge_height_mm, abs=0.5)
    assert ridge_name(frame) == "Ridge height, to the hoop's centreline"
    assert " to the hoop's centreline, " in key_figure(frame)
