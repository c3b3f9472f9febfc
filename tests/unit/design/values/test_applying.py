"""A field that a form leaves out says nothing: another value changes no part, or is refused."""

from __future__ import annotations

from typing import Any

import pytest
from sound_design import changed

from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.tables.fields import FieldKind
from frame3d.design.values.applying import APPLYING
from frame3d.design.values.field_info import FieldFacts, sections
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.lay_out import lay_out

SMALL = {"count": 5, "spacing": "1.5 m"}
QUONSET = {
    "profile": {"style": "quonset", "eave_radius": None, "ridge_slope": None,
                "leg_height": "0.6 m"},
    "hoop": {"ridge_tube": None},
}  # fmt: skip
GOTHIC: dict[str, Any] = {}
CORNERS = ["-0.6 m at 0 m", "0.6 m at 0 m", "0 m at 1.5 m"]
WITHOUT: dict[tuple[str, str], dict[str, Any]] = {
    ("profile", "crown_radius"): GOTHIC,
    ("profile", "rafter_radius"): QUONSET,
    ("profile", "ridge_slope"): QUONSET,
    ("hoop", "ridge_joint"): QUONSET,
    ("hoop", "ridge_overlap"): QUONSET,
    ("hoop", "ridge_tube"): {"hoop": {"ridge_joint": "plates"}, "rail": []},
    ("hoop", "ridge_bend_radius"): {"hoop": {"ridge_joint": "plates", "ridge_tube": None},
                                    "rail": []},
    ("hoop", "splice_tube"): {"hoop": {"splice": "swage"}},
    **{("rail", name): {"rail": [{"at": "ridge"}]} for name in ("height", "fraction", "face")},
    ("tie", "overhang"): {"tie": [{"height": "2.4 m", "joint": "plates"}]},
    **{("tie", name): {"tie": [{"height": "2.4 m"}]} for name in ("web_foot", "web_top")},
    **{("side_opening", name): {"side_opening": {"hip": "rail"}}
       for name in ("timber", "block_length")},
    **{("side_opening", name): {"side_opening": {"hip": "board"}}
       for name in ("tube", "fixing", "overlap")},
    **{("curtain", name): {"curtain": {}} for name in ("gear_ratio", "post_tube", "post_depth")},
    ("end_wall", "tube"): {"end_wall": [{}]},
    ("end_wall", "embedment"): {"end_wall": [{}]},
    ("end_wall", "largest_spacing"): {
        "end_wall": [{"positions": ["-1.8 m", "-0.9 m", "0.9 m", "1.8 m"]}]},
    **{("end_wall", name): {"end_wall": [{"braces": "none"}]}
       for name in ("brace_height", "brace_tube")},
    **{("end_wall", f"anchor_{name}"): {"end_wall": [{}]}
       for name in ("spacing", "depth", "tube", "timber", "rod", "plate")},
    **{("door", name): {"door": [{"kind": "roll-up"}]} for name in ("leaves", "leaf", "swing")},
    ("door", "hand"): {"door": [{"leaves": 2}]},
    **{("cover", name): {"cover": {"wall_cover": "film", "listed_as": "parts"}}
       for name in ("sheet_width", "sheet_length")},
    **{("machine", name): {"machine": [{"name": "Cart", "corners": CORNERS}]}
       for name in ("width", "height", "shoulder_height", "top_width")},
    ("output", "fraction"): {"output": {"units": "metric"}},
    ("output", "decimals"): {"output": {"units": "imperial"}},
}  # fmt: skip
"""For each field a design in which it does not apply."""
OTHER = {
    FieldKind.LENGTH: "437 mm", FieldKind.RADIUS: "9 m", FieldKind.ANGLE: "17 deg",
    FieldKind.TUBE: "60 x 3 mm", FieldKind.TIMBER: "47x225", FieldKind.NUMBER: 0.37,
}  # fmt: skip


def test_every_field_that_can_be_left_out_is_tried() -> None:
    assert WITHOUT.keys() == APPLYING.keys()


def test_what_it_goes_by_is_there_with_the_values_it_may_have() -> None:
    for (section, name), ways in APPLYING.items():
        assert name in sections()[section].fields
        for way in ways:
            for other, values in way.items():
                table, _, leader = other.rpartition(".")
                facts = sections()[table or section].fields[leader]
                known = {*facts.choices, None}
                assert set(values) <= known, (section, name, other)
                assert not facts.choices or set(values) != set(facts.choices)


@pytest.mark.parametrize("place", WITHOUT, ids=".".join)
def test_a_field_that_does_not_apply_changes_nothing(place: tuple[str, str]) -> None:
    section, name = place
    given = changed(**{"bays": SMALL, **WITHOUT[place]})
    facts = sections()[section].fields[name]
    before = members(given)
    table = given.setdefault(section, {})
    (table[0] if isinstance(table, list) else table)[name] = other(facts)
    try:
        after = members(given)
    except (DesignFaults, DesignError) as error:
        # Refused, with what it does not go with.
        assert section in str(error)
        return
    assert after == before


def other(facts: FieldFacts) -> Any:
    """Another value than the default."""
    if facts.kind is FieldKind.CHOICE:
        return next(c for c in reversed(facts.choices) if c != facts.metric)
    if facts.kind is FieldKind.NUMBER and facts.low is not None and facts.low >= 1:
        return 7.0
    return OTHER[facts.kind]


def members(given: dict[str, Any]) -> list[Any]:
    frame = lay_out(design_from_mapping(given))
    return [(m.mark, m.role, m.part, m.placement) for m in frame.members]
