"""What a message says may be typed: the limit that it tells is taken, in either system of units.

Each case breaks one rule of the gothic example by one field. The limit that the fault tells is
then written into the same field, and the same fault must be gone.
"""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest

from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignError, DesignFaults
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out

TOO_MUCH = {
    "hoop.ridge_bend_radius": "190 in",
    "socket.lower_hole": "11 3/4 in",
    "sill_board.block_length": "30 in",
    "tie[1].height": "13 ft 10 in",
    "end_wall[1].positions": ["14 ft 10 in"],
    "door[1].height": "13 ft",
}
TOO_LITTLE = {
    "hoop.ridge_bend_radius": "10 in",
    "socket.upper_hole": "1/4 in",
    "socket.insertion": "9 3/4 in",
    "sill_board.stock_length": "2 ft",
    "end_wall[1].girts": ["2 in"],
    "side_opening.height": "1 ft 3 in",
    "tie[1].height": "1 ft",
    "rail[1].stock_length": "4 ft",
}
BARE = ("project", "output", "bays", "hoop", "socket", "hardware")
HALF_AS_LARGE = {
    "style": "gothic", "width": "15 ft", "ridge_height": "7 ft", "leg_height": "2 ft 6 in",
    "eave_radius": "2 ft 3 in", "ridge_slope": "15 deg",
}  # fmt: skip
SPAN = re.compile(r"from (.+?) to (.+?) high")
LEAST = re.compile(r"(?:at least|limit of|must be) (.+?)(?: below| for|, and|; |, |$)")
MOST = re.compile(r"at most (.+?)(?: high| is possible| or |; |, |$)")


def mapping(system: str) -> dict[str, Any]:
    found = tomllib.loads(example_paths()["long_meadow_gothic"].read_text("utf-8"))
    found["output"]["units"] = system
    if system == "metric":
        found["output"] |= {"decimals": 0}
        del found["output"]["fraction"]
    found.pop("accept")
    return found


def put(design: dict[str, Any], where: str, value: object) -> None:
    *way, field = where.split(".")
    table, number = re.fullmatch(r"(\w+)(?:\[(\d+)\])?", way[0]).groups()
    target = design[table][int(number) - 1] if number else design[table]
    target[field] = value


def fault_of(design: dict[str, Any]) -> str | None:
    try:
        lay_out(design_from_mapping(design))
    except DesignFaults as error:
        return " ".join(fault.message for fault in error.faults)
    except DesignError as error:
        return str(error)
    return None


def without_figures(message: str | None) -> str:
    return re.sub(r"[0-9./' \"-]+", " ", message or "")


CASES = [
    *[(where, value, True) for where, value in TOO_MUCH.items()],
    *[(where, value, False) for where, value in TOO_LITTLE.items()],
]


@pytest.mark.parametrize("system", ["imperial", "metric"])
@pytest.mark.parametrize(("where", "value", "is_most"), CASES)
def test_the_limit_that_is_told_can_be_typed(
    where: str, value: object, is_most: bool, system: str
) -> None:
    design = mapping(system)
    if where.startswith("hoop."):  # nothing but hoops, half as large
        design = {name: design[name] for name in BARE} | {"profile": HALF_AS_LARGE}
    elif where == "sill_board.block_length":  # narrow bays, with little room for a block
        design = {name: design[name] for name in (*BARE, "profile", "sill_board")}
        design["bays"]["spacing"] = "2 ft"
    put(design, where, value)
    told = fault_of(design)
    assert told, "the case breaks nothing"
    span = SPAN.search(told)
    if span:
        limit = span[2 if is_most else 1]
    else:
        found = (MOST if is_most else LEAST).search(told)
        assert found, told
        limit = found[1]
    put(design, where, [limit] if isinstance(value, list) else limit)
    assert without_figures(fault_of(design)) != without_figures(told), (told, limit)
