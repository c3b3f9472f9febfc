"""Five answers make a design of one's own of each typical tunnel."""

from __future__ import annotations

import tomllib

import pytest

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Severity
from frame3d.design.reading.formats import FORMAT
from frame3d.design.reading.reader import design_from_mapping, design_from_text
from frame3d.design.writing.answers import Answers, Drives, Sides, answered, with_small_doors
from frame3d.examples import typical_paths
from frame3d.frame.located import laid_out
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

TEXTS = {name: path.read_text("utf-8") for name, path in typical_paths().items()}
MARKET = tomllib.loads(TEXTS["market"])
TOMATOES = tomllib.loads(TEXTS["tomatoes"])


@pytest.mark.parametrize("name", TEXTS)
def test_a_typical_tunnel_checks_without_an_error_or_a_warning(name: str) -> None:
    found = check_frame(laid_out(design_from_text(TEXTS[name], name)))
    told = [str(one) for one in found if one.severity is not Severity.NOTE]
    assert told == []


def test_there_are_as_many_as_a_page_shows_each_with_a_use_of_its_own() -> None:
    heads = [text.partition("\n")[0] for text in TEXTS.values()]
    assert 8 <= len(heads) <= 12
    assert len(set(heads)) == len(heads)
    for text, head in zip(TEXTS.values(), heads, strict=True):
        name, colon, use = head.removeprefix("# ").partition(": ")
        assert colon and use.endswith(".")
        assert tomllib.loads(text)["project"]["name"] == name
        # Of today's format, so that the page has nothing to tell of older ones.
        assert tomllib.loads(text)["format"] == FORMAT


@pytest.mark.parametrize("name", TEXTS)
def test_without_an_answer_it_is_the_typical_tunnel(name: str) -> None:
    design = tomllib.loads(TEXTS[name])
    assert answered(design, Answers()) == design


def test_the_height_follows_the_width() -> None:
    # 4 ft of leg and 8 ft of rise at 20 ft; at 25 ft the rise is 8 * 25 / 20 = 10 ft.
    found = answered(MARKET, Answers(width="25 ft", length="50 ft"))
    assert found["profile"]["width"] == "25 ft"
    assert found["profile"]["ridge_height"] == "14 ft"
    assert found["bays"] == {"length": "50 ft", "largest_spacing": "4 ft"}
    assert found["output"]["units"] == "imperial"


def test_who_types_metres_gets_a_metric_design() -> None:
    found = answered(MARKET, Answers(width="6 m"))
    assert found["output"]["units"] == UnitSystem.METRIC.value


def test_a_width_that_is_nonsense_is_left_to_the_reader() -> None:
    assert answered(MARKET, Answers(width="wide"))["profile"]["width"] == "wide"


def test_another_form_keeps_the_width() -> None:
    found = answered(TOMATOES, Answers(style=ArchStyle.QUONSET))
    assert found["profile"]["style"] == "quonset"
    assert found["profile"]["width"] == "8 m"
    assert "ridge_slope" not in found["profile"]
    laid_out(design_from_mapping(found))


@pytest.mark.parametrize("drives", Drives)
def test_what_drives_in_has_a_door_that_it_passes(drives: Drives) -> None:
    found = answered(MARKET, Answers(drives=drives))
    assert ("machine" in found) == (drives is not Drives.NOTHING)
    assert [door.get("at", "front") for door in found["door"]] == ["front", "back"]
    errors = [
        str(one)
        for one in check_frame(laid_out(design_from_mapping(found)))
        if one.severity is Severity.ERROR
    ]
    assert errors == []


@pytest.mark.parametrize("sides", Sides)
def test_sides_open_as_they_are_asked_to(sides: Sides) -> None:
    for design in (MARKET, TOMATOES, tomllib.loads(TEXTS["store"])):
        found = answered(design, Answers(sides=sides))
        assert ("side_opening" in found) == (sides is not Sides.CLOSED)
        assert ("curtain" in found) == (sides is Sides.ROLLED)
        laid_out(design_from_mapping(found))


def test_small_doors_stand_where_the_doors_stood() -> None:
    found = with_small_doors(answered(TOMATOES, Answers()))
    assert found["door"] == [{"kind": "hinged"}, {"at": "back", "kind": "hinged"}]
