"""A table with fields for two kinds of thing: those of the kind that is not there say nothing.

Each case is a tunnel with one kind chosen, and fields that belong to another. These are changed,
and the frame, its figures, findings and lists must stay true to scale.
"""

from __future__ import annotations

import copy
from typing import Any

import pytest
from sound_design import changed

from frame3d.checks.all_checks import check_frame
from frame3d.checks.report import report_of
from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.values.field_info import sections
from frame3d.frame.lay_out import lay_out
from frame3d.summary import summary_of
from frame3d.takeoff.take_off import take_off
from frame3d.takeoff.write.part_lists import tables_of

QUONSET = {"style": "quonset", "eave_radius": None, "ridge_slope": None, "leg_height": "0.6 m"}
ROUND = {"profile": QUONSET, "hoop": {"ridge_tube": None}}
TUBE_STUDS = {"end_wall": [{"studs": "tube"}]}
CORNERS = ["-0.6 m at 0 m", "0.6 m at 0 m", "0 m at 1.5 m"]
SHORT = {"count": 3, "spacing": "1.5 m"}
FEW = {"count": 5, "spacing": "1.5 m"}


def door(**fields: Any) -> dict[str, Any]:
    return {"door": [fields]}


CASES: dict[str, tuple[dict[str, Any], str, dict[str, Any]]] = {
    # what is chosen; the table; fields of another kind with other values
    "hip board": (
        {"side_opening": {"hip": "board", "stock_length": "5.4 m"}}, "side_opening",
        {"tube": "42 x 2 mm", "fixing": "clamped", "overlap": "200 mm"},
    ),
    "hip rail": (
        {"side_opening": {"hip": "rail", "stock_length": "7 m"}}, "side_opening",
        {"timber": "47x100", "block_length": "500 mm"},
    ),
    "no end stops": ({}, "side_opening", {"stop": "47x150"}),
    "timber studs on a sill": ({}, "end_wall", {"tube": "50 x 2 mm", "embedment": "1 m"}),
    "tube studs": (
        TUBE_STUDS, "end_wall", {"timber": "47x150", "tube": None},
    ),
    "header of tube": ({**TUBE_STUDS, **door()}, "door", {"header": "47x200"}),
    "no wall braces": (
        {"end_wall": [{"braces": "none"}]}, "end_wall",
        {"brace_height": "1 m", "brace_tube": "42 x 2 mm"},
    ),
    "studs by their places": (
        {"end_wall": [{"positions": ["-1.8 m", "-0.9 m", "0.9 m", "1.8 m"]}]}, "end_wall",
        {"largest_spacing": "500 mm"},
    ),
    "two hinged leaves": (door(leaves=2), "door", {"hand": "right"}),
    "one sliding leaf": (door(kind="sliding", width="1 m"), "door", {"swing": "in"}),
    "two sliding leaves": (
        door(kind="sliding", leaves=2), "door", {"swing": "in", "hand": "right"},
    ),
    "roll-up door": (
        door(kind="roll-up"), "door", {"swing": "in", "leaf": "47x150"},
    ),
    "rail of one length": (
        {"bays": SHORT, "rail": [{"at": "ridge"}]}, "rail", {"overlap": "300 mm"},
    ),
    "hip rail of one length": (
        {"bays": SHORT, "side_opening": {"hip": "rail", "stock_length": "6 m"}}, "side_opening",
        {"overlap": "300 mm"},
    ),
    "tie on plates": (
        {"tie": [{"height": "2.4 m", "joint": "plates"}]}, "tie",
        {"overhang": "150 mm", "web_foot": 0.4, "web_top": 0.3},
    ),
    "tie on clamps": ({}, "tie", {"web_foot": 0.4, "web_top": 0.3}),
    "ridge plates": (
        {"hoop": {"ridge_joint": "plates"}, "rail": [{"at": "ridge", "fixing": "clamped"}]},
        "hoop", {"ridge_tube": "60 x 3 mm", "ridge_bend_radius": "2 m"},
    ),
    "ridge plates and no splice": (
        {"hoop": {"ridge_joint": "plates", "ridge_tube": None}, "rail": []},
        "hoop", {"splice": "sleeve"},
    ),
    "two halves and no splice": (
        {}, "hoop", {"splice": "sleeve", "splice_fastener": "screws", "overlap": "200 mm"},
    ),
    "two halves and a sleeve": (
        {"hoop": {"splice": "sleeve"}}, "hoop", {"splice_tube": "50 x 3 mm"},
    ),
    "quonset": (
        ROUND, "hoop",
        {"ridge_tube": "60 x 3 mm", "ridge_bend_radius": "2 m", "ridge_joint": "plates",
         "ridge_overlap": "900 mm"},
    ),
    "quonset with sleeves": (
        {**ROUND, "hoop": {"splice": "sleeve", "splice_tube": "50 x 3 mm", "ridge_tube": None}},
        "hoop", {"ridge_tube": "60 x 3 mm"},
    ),
    "hoop in one piece": (
        {**ROUND, "hoop": {"pieces": 1, "ridge_tube": None}, "practice": {"hoop_stock": "12 m"}},
        "hoop", {"splice": "sleeve", "splice_fastener": "screws", "overlap": "200 mm"},
    ),
    "machine by its corners": (
        {"machine": [{"name": "Cart", "corners": CORNERS}]}, "machine",
        {"width": "3 m", "height": "3 m", "top_width": "1 m", "shoulder_height": "2 m"},
    ),
    "feet and inches": ({"output": {"units": "imperial"}}, "output", {"decimals": 2}),
    "millimetres": ({}, "output", {"fraction": 64}),
}  # fmt: skip


def with_fields(mapping: dict[str, Any], table: str, fields: dict[str, Any]) -> dict[str, Any]:
    result = copy.deepcopy(mapping)
    target = result.setdefault(table, {})
    (target[0] if isinstance(target, list) else target).update(fields)
    return result


def all_told(mapping: dict[str, Any]) -> dict[str, Any]:
    """Everything that is made of a design without the kernel and the drawings."""
    frame = lay_out(design_from_mapping(mapping))
    taken = take_off(frame)
    return {
        "members": [(m.mark, m.role, m.part, m.placement, m.spot) for m in frame.members],
        "summary": summary_of(frame),
        "findings": report_of(frame, check_frame(frame)),
        "take-off": {
            table.key: [list(table.columns), [list(row.items()) for row in table.rows]]
            for table in tables_of(taken)
        },
        "told of it": taken.findings,
    }


@pytest.mark.parametrize("case", CASES)
def test_fields_of_what_is_not_there_change_nothing(case: str) -> None:
    chosen, table, fields = CASES[case]
    mapping = changed(**{"bays": FEW, **chosen}, order={"planning_time": 0.2})
    before, after = all_told(mapping), all_told(with_fields(mapping, table, fields))
    for what, told in before.items():
        assert after[what] == told, what


def test_every_field_that_says_what_it_is_for_is_tried() -> None:
    """A meaning such as "Hip board: lumber size" says that the field is for nothing else."""
    tried = {(table, name) for _, table, fields in CASES.values() for name in fields}
    own = {"Hip board", "Hip rail", "Timber studs", "Tube studs", "Gothic", "Clamped", "Hinged",
           "One leaf", "Hinged or sliding", "Studs set into the ground",
           "Without positions"}  # fmt: skip
    refused = {"rafter_radius", "ridge_slope"}  # of the other style, with a message
    for section in sections().values():
        for facts in section.fields.values():
            start, colon, _ = facts.meaning.partition(":")
            if colon and start in own and facts.name not in refused:
                assert (section.name, facts.name) in tried


def test_boards_come_in_lengths_of_boards_where_the_hip_is_a_rail() -> None:
    """The case that was found: 2x4 and 2x6 of the end walls were bought in the tube's 24 ft."""
    taken = take_off(lay_out(design_from_mapping(changed(
        output={"units": "imperial"}, side_opening={"hip": "rail", "stock_length": "24 ft"},
        end_wall=[{}],
    ))))  # fmt: skip
    longest = {
        plan.section.name: max(stock.length_mm for stock in plan.stocks)
        for plan in taken.sections
        if plan.section.name in ("2x4", "2x6")
    }
    assert longest.keys() == {"2x4", "2x6"}
    # The catalogue: inch boards come in steps of 2 ft up to 20 ft.
    assert all(length <= 20 * 304.8 for length in longest.values())
