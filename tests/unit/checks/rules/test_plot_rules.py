"""Each rule of the plot has a design that breaks it and no other of them."""

from __future__ import annotations

import pytest
from finding_links import of_one_value

from frame3d.checks.rules.plot_rules import RULES, check_plot
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out

PLAIN = {
    "output": {"units": "metric"},
    "profile": {"style": "quonset", "width": "4 m", "ridge_height": "2.6 m", "leg_height": "0.6 m"},
    "bays": {"count": 2, "spacing": "1.2 m"},
    "hoop": {"tube": "42 x 2 mm"},
    "socket": {"tube": "50 x 3 mm"},
}
SQUARE = ["-5 m by -5 m", "9 m by -5 m", "9 m by 9 m", "-5 m by 9 m"]


def found(**more: object) -> list:
    return check_plot(lay_out(design_from_mapping({**PLAIN, **more})))


def square(**more: object) -> list[dict]:
    return [{"corner": corner, **more} for corner in SQUARE]


SEEDED = {
    "boundary": {"boundary": square()[::2] + square()[1::2]},
    "boundary-unfinished": {"boundary": square()[:2]},
    "setback": {"boundary": [*square()[:3], {"corner": SQUARE[3], "setback": "4.98 m"}]},
    "buried-service": {"service": [{"points": ["-0.9 m by -9 m", "-0.9 m by 9 m"]}]},
    "service-under": {"service": [{"points": ["2 m by -9 m", "2 m by 9 m"]}]},
    "north": {"surroundings": {"front_faces": "east"},
              "staking": {"epsg": 32633, "east": 5e5, "north": 5.4e6, "bearing": 90.0}},
    "line-distance": {"service": [{"laid": "overhead", "height": "5 m",
                                   "points": ["-9 m by -3 m", "9 m by 5 m"]}]},
}  # fmt: skip
GOOD = {
    "boundary": square(),
    "surroundings": {"setback": "4.9 m", "front_faces": "south"},
    "staking": {"epsg": 32633, "east": 5e5, "north": 5.4e6, "bearing": 12.0},
    "service": [
        {"points": ["-1.1 m by -9 m", "-1.1 m by 9 m"]},
        {"laid": "overhead", "height": "7 m", "points": ["-9 m by -9 m", "9 m by -9 m"]},
    ],
}


@pytest.mark.parametrize("rule", SEEDED)
def test_a_design_breaks_this_rule_and_no_other(rule):
    told = found(**SEEDED[rule])
    assert [finding.rule.name for finding in told] == [rule]
    assert told[0].message and told[0].advice and told[0].field
    assert of_one_value(told) == []


def test_every_rule_is_seeded():
    assert {rule.name for rule in RULES} | {"line-distance"} == set(SEEDED)


def test_a_plot_with_room_all_round_has_no_finding():
    assert found(**GOOD) == []
    assert found() == []


def test_the_setback_of_a_line_stands_before_that_of_all():
    wide = found(boundary=square(), surroundings={"setback": "20 m"})
    assert [finding.rule.name for finding in wide] == ["setback"] * 4
    assert found(boundary=square(setback="1 m"), surroundings={"setback": "20 m"}) == []


def test_a_line_across_the_frame_is_told_as_that_and_by_no_distance():
    told = found(boundary=[{"corner": c} for c in
                           ("-5 m by -5 m", "2 m by -5 m", "2 m by 9 m", "-5 m by 9 m")],
                 surroundings={"setback": "1 m"})  # fmt: skip
    assert [(one.rule.name, *one.fields) for one in told] == [
        ("boundary", "boundary[2]", "boundary[3]")
    ]
    assert "crosses the frame" in told[0].message


def test_a_setback_is_kept_to_a_hundredth_of_a_millimetre():
    """The sockets' outside is 25 mm past the first hoop, so 5 m leave 4975 mm in front."""
    for setback, rules in (("4975 mm", []), ("4975.1 mm", ["setback"])):
        boundary = [{"corner": SQUARE[0], "setback": setback}, *square()[1:]]
        assert [one.rule.name for one in found(boundary=boundary)] == rules
