"""What a typical tunnel becomes by answers is a file that can be laid out, with its comments."""

from __future__ import annotations

import tomllib

import pytest

from frame3d.design.reading.reader import design_from_text
from frame3d.errors import DesignFaults
from frame3d.examples import typical_paths
from frame3d.frame.located import laid_out
from frame3d.web.work.beginning import begun_text

TOMATOES = typical_paths()["tomatoes"].read_text("utf-8")


def test_answers_are_put_into_the_file() -> None:
    text = begun_text(TOMATOES, {"width": "9 m", "drives": "compact", "sides": "hip"})
    assert text.startswith("# Tomato house: ")
    design = tomllib.loads(text)
    assert design["profile"]["width"] == "9 m"
    assert [machine["name"] for machine in design["machine"]] == ["Small tractor"]
    assert "curtain" not in design


def test_a_door_that_has_no_room_becomes_a_small_one() -> None:
    """The sliding door of the picture is too wide for a narrower tunnel."""
    text = begun_text(TOMATOES, {"width": "5 m"})
    assert [door["kind"] for door in tomllib.loads(text)["door"]] == ["hinged", "hinged"]
    laid_out(design_from_text(text))


def test_any_other_fault_is_for_the_form() -> None:
    text = begun_text(TOMATOES, {"width": "9"})
    with pytest.raises(DesignFaults, match="profile.width"):
        design_from_text(text)
