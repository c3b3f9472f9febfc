"""Defaults follow what they hang on: a few sizes alone make a design, whatever the tube.

Heights and widths are what tunnels have (common practice, no source).
"""

from __future__ import annotations

import copy
from typing import Any

import pytest
from campaign import examples

from frame3d.catalog import clearance_mm, timber_rows, tube_rows, tube_section
from frame3d.catalog.sliding import tube_over
from frame3d.checks.all_checks import check_frame
from frame3d.design.reading.reader import design_from_mapping, design_from_text
from frame3d.design.tables.fields import FieldKind, read_length
from frame3d.design.values.defaults import completed
from frame3d.design.values.field_info import sections
from frame3d.design.values.following import FOLLOWING
from frame3d.design.writing.template import design_text
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.lay_out import lay_out
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

GIVEN = {"profile.style", "profile.width", "profile.ridge_height", "hoop.tube", "bays.length"}
TUBES = [row.value.name for row in tube_rows()]
BOARDS = [row.value.name for row in timber_rows()]
HEIGHTS = (0.45, 0.5, 0.6)
"""Heights as shares of the width."""


def widths() -> list[float]:
    """Widths of 12 to 40 ft, few in every run, each foot in a campaign."""
    count = min(29, examples(3))
    return [12 + 28 * k / (count - 1) for k in range(count)]


def refusal(mapping: dict[str, Any]) -> DesignError | None:
    try:
        lay_out(design_from_mapping(mapping))
    except DesignError as error:
        return error
    except DesignFaults as error:
        return DesignError(error.faults[0].message, error.faults[0].where)
    return None


@pytest.mark.parametrize("units", [units.value for units in UnitSystem])
@pytest.mark.parametrize("style", [style.value for style in ArchStyle])
def test_five_sizes_alone_make_a_design(style: str, units: str) -> None:
    """Refused are only hoops of the largest tube, over which no other of the catalogue goes."""
    largest = max(row.value.od_mm for row in tube_rows())
    for number, tube in enumerate(TUBES):
        for turn, feet in enumerate(widths()):
            share = HEIGHTS[(number + turn) % len(HEIGHTS)]
            error = refusal({
                "output": {"units": units},
                "profile": {"style": style, "width": f"{feet:.3f} ft",
                            "ridge_height": f"{share * feet:.3f} ft"},
                "hoop": {"tube": tube}, "bays": {"length": "48 ft"},
            })  # fmt: skip
            if tube_section(tube).od_mm < largest:
                assert error is None, (tube, feet, share, error)
            else:
                assert error.where in GIVEN


@pytest.mark.parametrize("style", list(ArchStyle))
@pytest.mark.parametrize("units", list(UnitSystem))
def test_nothing_is_found_in_a_new_design(style: ArchStyle, units: UnitSystem) -> None:
    assert not check_frame(lay_out(design_from_text(design_text(style, units))))


@pytest.mark.parametrize("units", list(UnitSystem))
def test_a_tube_is_found_over_every_other(units: UnitSystem) -> None:
    """0.5 mm to 3 mm of play (common practice, no source) wherever the catalogue has that."""
    for inner in (row.value for row in tube_rows()):
        plays = [clearance_mm(outer=row.value, inner=inner) for row in tube_rows()]
        found = tube_over(inner, units)
        if found is None:
            assert max(plays) < 0.5
        elif any(0.5 <= play <= 3 for play in plays):
            assert 0.5 <= clearance_mm(outer=found, inner=inner) <= 3


@pytest.mark.parametrize("units", list(UnitSystem))
def test_defaults_that_follow_are_the_usual_ones_where_nothing_is_changed(
    units: UnitSystem,
) -> None:
    """What a new file says behind the # of a field is what the field is there."""
    names = dict.fromkeys(name for name, _ in FOLLOWING)
    mapping = {name: [{}] if sections()[name].several else {} for name in names}
    mapping |= {"output": {"units": units.value}, "profile": {"style": "quonset"}}
    filled = completed(mapping)
    for section, name in FOLLOWING:
        table = filled[section][0] if sections()[section].several else filled[section]
        assert table.get(name) == sections()[section].fields[name].default(units)


WHOLE = {
    "profile": {"style": "gothic", "width": "20 ft", "ridge_height": "12 ft",
                "leg_height": "4 ft", "eave_radius": "4 ft", "ridge_slope": "20 deg"},
    "bays": {"length": "48 ft"}, "rail": [{"fraction": 0.5}, {"at": "ridge"}],
    "brace": [{"to_height": "6 ft 6 in"}], "sill_board": {}, "side_opening": {}, "tie": [{}],
    "end_wall": [{}], "hoop": {}, "socket": {},
}  # fmt: skip
CHANGES: dict[str, list[Any]] = {
    "hoop.tube": TUBES[::6],
    "hoop.smallest_bend": [1.5, 3.0, 8.0, 10.0],
    "hoop.splice": ["sleeve"],
    "hoop.ridge_joint": ["plates"],
    "hoop.pieces": [4],
    "socket.tube": TUBES[::6],
    "socket.exposed": ["5 in", "6 in", "8 in", "10 in", "11 in", "14 in", "18 in", "2 ft", "3 ft"],
    "sill_board.timber": BOARDS,
    "sill_board.bottom": ["0 in", "1/4 in", "1 1/2 in", "2 in"],
    "side_opening.hip": ["rail"],
    "brace.from_hoop": [1, 2, 3, 4, 5, 6],
    "end_wall.timber": BOARDS,
    "hardware.frame_bolt": ["1/4-20", "5/16-18", "1/2-13", "5/8-11"],
    "hardware.system": ["metric"],
}
ASKED_ELSEWHERE = ("socket.tube", "sill_board.timber", "end_wall.timber", "hoop.tube",
                   "hardware.board_bolt", "hardware.frame_bolt", "hardware.system",
                   "end_wall[1].timber")  # fmt: skip
"""Where what is refused is what was changed: a tube too thin for a bolt, a board too thick for
the bolts and screws that are stocked."""


@pytest.mark.parametrize("units", [units.value for units in UnitSystem])
@pytest.mark.parametrize("field", CHANGES)
def test_no_default_is_refused_when_what_it_hangs_on_is_changed(field: str, units: str) -> None:
    """Whatever else is refused is the changed value itself."""
    section, name = field.split(".")
    for value in CHANGES[field]:
        mapping = copy.deepcopy(WHOLE) | {"output": {"units": units}}
        table = mapping.setdefault(section, {})
        (table[0] if isinstance(table, list) else table)[name] = value
        if name == "ridge_joint":
            mapping["rail"] = []
        error = refusal(mapping)
        assert error is None or error.where in ASKED_ELSEWHERE, (value, error)


def test_a_refused_default_is_told_by_what_was_given() -> None:
    told = refusal({
        "profile": {"style": "quonset", "width": "20 ft"}, "bays": {"length": "48 ft"},
        "hoop": {"tube": "NPS 3 STD"},
    })  # fmt: skip
    assert told.where == "hoop.tube"
    assert told.message.startswith("socket.tube is not given and follows from this: ")
    given = refusal({
        "profile": {"style": "quonset", "width": "20 ft"}, "bays": {"length": "48 ft"},
        "hoop": {"tube": "NPS 3 STD"}, "socket": {"tube": "NPS 3 STD"},
    })  # fmt: skip
    assert given.where == "socket.tube"


def test_what_cannot_be_read_is_told_by_itself_and_once() -> None:
    for section, name in FOLLOWING:
        if sections()[section].fields[name].kind is not FieldKind.LENGTH:
            continue
        several = sections()[section].several
        mapping = {
            "profile": {"width": "20 ft"},
            "bays": {"count": 4, "spacing": "4 ft"},
            "hoop": {"tube": "no tube", "smallest_bend": "x"},
            "socket": {"exposed": "far"},
        } | ({section: [{"tube": 3}]} if several and section == "rail" else {})
        with pytest.raises(DesignFaults) as caught:
            design_from_mapping(mapping)
        told = [fault.where for fault in caught.value.faults]
        assert len(told) == len(set(told))
        assert {"hoop.tube", "hoop.smallest_bend", "socket.exposed"} <= set(told)


def test_a_ridge_sleeve_is_bent_as_far_as_the_bender_asks() -> None:
    """5 times 2 7/8 in (73 mm) are 14.4 in: 15 in; the tube over a hoop of 60.3 mm."""
    design = design_from_mapping({
        "profile": {"style": "gothic", "width": "20 ft"}, "bays": {"length": "48 ft"},
        "hoop": {"tube": "NPS 2 STD"},
    })  # fmt: skip
    least = design.hoop.smallest_bend * design.hoop.ridge_tube.od_mm
    assert design.hoop.ridge_bend_radius == pytest.approx(read_length("15 in"))
    assert 0 <= design.hoop.ridge_bend_radius - least < 25.4
