"""What the layout places itself in end walls strikes nothing, whatever stands there.

Each design had errors that its user could not mend: both members were the layout's own.
"""

from __future__ import annotations

import copy
import tomllib
from pathlib import Path

import pytest

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Finding, Severity
from frame3d.design.reading.reader import design_from_mapping, read_design
from frame3d.design.tables.whole_design import StudTop
from frame3d.design.writing.template import design_text
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

CASES = Path(__file__).parent / "cases"
GOTHIC, QUONSET = ArchStyle.GOTHIC, ArchStyle.QUONSET
TUBE, FLAT = {"studs": "tube"}, {"studs": "tube", "top": "flattened"}
CLAMPED = [{"at": "sides", "fraction": 0.5, "fixing": "clamped"},
           {"at": "ridge", "fixing": "clamped"}]  # fmt: skip
THICK = {"board_bolt": "1/2-13"}


def started(style: ArchStyle, wall: dict, units: UnitSystem = UnitSystem.IMPERIAL, **more) -> dict:
    """A new design with values of its end wall and other tables changed."""
    mapping = copy.deepcopy(tomllib.loads(design_text(style, units)))
    imperial = units is UnitSystem.IMPERIAL
    mapping["bays"] = {"count": 12, "spacing": "4 ft"} if imperial else {"length": "15 m"}
    mapping["end_wall"][0] |= wall
    for name, value in more.items():
        table = mapping.get(name)
        mapping[name] = {**table, **value} if isinstance(table, dict) else value
    return mapping


def laid_out(mapping: dict) -> Frame:
    return lay_out(design_from_mapping(mapping))


def errors(frame: Frame) -> list[Finding]:
    return [f for f in check_frame(frame) if f.severity is Severity.ERROR]


def told(found: list[Finding]) -> list[str]:
    return [f"{f.rule.name}: {f.where}: {f.message}" for f in found]


DESIGNS = {
    "girts at the braces": started(GOTHIC, {"girts": ["4 ft"]}),
    "girts at the braces, round": started(QUONSET, {"girts": ["4 ft"]}),
    "girts round the braces": started(GOTHIC, {"girts": ["3 ft", "4 ft", "5 ft"]}),
    "girts at the braces of tube studs": started(GOTHIC, {**TUBE, "girts": ["4 ft"]}),
    "girts at the braces of flat studs": started(QUONSET, {**FLAT, "girts": ["4 ft"]}),
    "every stud braced at girts": started(
        GOTHIC, {**TUBE, "girts": ["4 ft"], "braces": "all"}),
    "a clamped ridge rail at the studs": started(
        GOTHIC, {"foot": "ground", "brace_height": "40 in"}, rail=CLAMPED,
        door=[{"at": "back", "kind": "roll-up", "width": "84 in", "height": "64 in"}]),
    "a clamped side rail at the studs": started(
        QUONSET, {**FLAT, "braces": "none"}, UnitSystem.METRIC, profile={"leg_height": "1750 mm"},
        door=[{"kind": "roll-up", "width": "2300 mm", "height": "2150 mm", "threshold": "board"}]),
    "a side brace at a stud": started(
        GOTHIC, {"brace_height": "850 mm"}, UnitSystem.METRIC, bays={"count": 3},
        profile={"leg_height": "550 mm"},
        door=[{"at": "both", "kind": "roll-up", "width": "2150 mm", "height": "2200 mm",
               "threshold": "board"}]),
    "thick bolts in hinges": started(GOTHIC, {}, hardware=THICK),
    "thick bolts in hangers": started(GOTHIC, {}, hardware=THICK, door=[{"kind": "sliding"}]),
    "a low hoop over a roll-up door": started(
        GOTHIC, {"top": "bolted"},
        door=[{"kind": "roll-up", "width": "8 ft", "height": "9 ft 8 in"}]),
    "a low hoop over a roll-up door, flat studs": started(
        QUONSET, FLAT, door=[{"kind": "roll-up", "width": "1200 mm", "height": "3300 mm"}]),
    "a sliding leaf at a sill on edge": started(
        GOTHIC, {"foot": "ground"}, door=[{"kind": "sliding"}]),
    "two sliding leaves at a sill on edge": started(
        QUONSET, {"foot": "ground"}, door=[{"kind": "sliding", "leaves": 2, "at": "both"}]),
    "one bay and a door": started(GOTHIC, {}, brace=[], bays={"count": 1}),
    "one bay of tube studs": started(GOTHIC, TUBE, brace=[], bays={"count": 1}),
    "two bays and a door": started(QUONSET, {}, brace=[], bays={"count": 2}),
    "leaves that swing in": started(
        GOTHIC, TUBE, door=[{"at": "both", "width": "60 in", "height": "76 in", "swing": "in",
                             "threshold": "board", "position": "14 in"}]),
    "flat studs with a brace at a leaf": started(GOTHIC, {**FLAT, "braces": "all"}),
}  # fmt: skip


@pytest.mark.parametrize("name", DESIGNS)
def test_the_layout_makes_no_clash_of_its_own(name: str) -> None:
    assert told(errors(laid_out(DESIGNS[name]))) == []


@pytest.mark.parametrize("file", sorted(CASES.glob("*.toml")), ids=lambda file: file.stem)
def test_designs_that_had_errors_have_none(file: Path) -> None:
    assert told(errors(lay_out(read_design(file)))) == []


def test_a_brace_stands_as_high_as_it_is_asked_to_where_nothing_is_in_its_way() -> None:
    """Without a girt at 4 ft, 1219.2 mm; with one at least half its thickness and half of the
    flat beside it, 3/4 in and 1 in, farther away."""
    heights = {}
    for name, girts in (("free", []), ("girt", ["4 ft"])):
        frame = laid_out(started(GOTHIC, {"girts": girts}))
        heights[name] = {
            round(m.placement.point((m.part.holes[0].at_mm, 0, 0))[2], 1)
            for m in frame.of(Role.WALL_BRACE)
        }
    assert heights["free"] == {1219.2}
    assert min(abs(z - 1219.2) for z in heights["girt"]) > 44.0


def test_one_cause_is_told_once_and_names_two_fields() -> None:
    """In one bay, without doors, the studs of both ends stand opposite each other."""
    (found,) = errors(
        laid_out(started(GOTHIC, {"braces": "pair"}, brace=[], bays={"count": 1}, door=[]))
    )
    assert found.rule.name == "wall-braces"
    assert found.fields == ("end_wall[1].braces", "bays.count")


def test_values_that_contradict_each_other_are_both_named() -> None:
    """A leaf of 4 ft that swings in has no room between two walls 4 ft apart."""
    found = errors(
        laid_out(
            started(
                GOTHIC,
                {"braces": "none"},
                brace=[],
                bays={"count": 1},
                door=[{"at": "both", "swing": "in"}],
            )
        )
    )
    assert {f.rule.name for f in found} == {"door-swing"}
    assert all(f.fields == ("door[1]", "bays.spacing") for f in found)


def test_flat_studs_stand_in_a_steep_gothic_end() -> None:
    frame = laid_out(started(GOTHIC, FLAT, door=[]))
    assert frame.design.end_wall[0].stud_top is StudTop.FLATTENED
    assert len(list(frame.of(Role.STUD))) >= 6
