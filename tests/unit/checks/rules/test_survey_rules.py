"""Grounds that break a rule each; what is asked of them by hand, from heights at the sockets."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from finding_links import of_one_value
from site_frames import FALL, walled

from frame3d.checks.findings.finding import Finding
from frame3d.checks.rules.survey_rules import RULES, check_survey
from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.reading.user_lists import GivenList
from frame3d.errors import DesignFaults
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.site.survey import surveyed

HOOPS, BAY, WIDTH = 5, 1500.0, 6000.0
Height = Callable[[float, float], float]


@pytest.fixture(scope="module")
def frame() -> Frame:
    return lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.2 m"},
        "bays": {"count": HOOPS - 1, "spacing": "1.5 m"},
        "socket": {"length": "1000 mm", "exposed": "300 mm", "lower_hole": "240 mm"},
        "practice": {"embedment": "600 mm"},
    }))  # fmt: skip


def listed(height: Height, rock: str = "", hoops: int = HOOPS) -> str:
    rows = (f"{n + 1}{side},{height(x, n * BAY)} mm,{rock}"
            for n in range(hoops) for side, x in (("L", 0.0), ("R", WIDTH)))  # fmt: skip
    return "\n".join(("point,z,rock", *rows))


def found(frame: Frame, text: str) -> dict[str, Finding]:
    on = surveyed(frame, {"levels": GivenList(name="levels.csv", text=text)})
    told = list(check_survey(on))
    assert of_one_value(told) == []
    return {one.rule.name: one for one in told}


def test_level_ground_and_what_is_driven_into_it_has_no_finding(frame: Frame) -> None:
    assert check_survey(frame) == []
    assert found(frame, listed(lambda x, y: 0.0)) == {}
    # 300 out of the ground, at least 265 and at most 400: 60 across is no more than that.
    assert found(frame, listed(lambda x, y: 0.01 * x)) == {}


def test_levels_of_a_part_of_the_plan_are_told_with_the_farthest(frame: Frame) -> None:
    """Two hoops of five: the last socket is three bays, 4500 mm, from the nearest point."""
    one = found(frame, listed(lambda x, y: 0.0, hoops=2))["levels-short"]
    assert "4 sockets are outside" in one.message and "by 4500 mm" in one.message
    assert {m.spot.hoop for m in one.members} == {4, 5}


def test_what_is_dug_and_what_a_slope_would_save(frame: Frame) -> None:
    """It falls 300 in 6 m, 5 %: a level string has 135 of room, a slope of 5 % needs nothing."""
    got = found(frame, listed(lambda x, y: -0.05 * y))
    assert got.keys() & {"hole-under", "socket-short"}
    for one in got.values():
        assert (
            'string = "slope" and most_slope = 5' in one.advice and " 0 mm of digging" in one.advice
        )


def test_sockets_too_short_are_told_with_the_length_that_does(frame: Frame) -> None:
    """Across by 250, of which 135 are within the limits: 115 are dug, filled or made longer."""
    got = found(frame, listed(lambda x, y: -250.0 * x / WIDTH))
    assert "most_slope" not in "".join(one.advice for one in got.values())
    lacks = sum(float(one.message.rsplit(" ", 2)[1]) for one in got.values())
    assert lacks == pytest.approx(115, abs=1)


def test_a_string_that_no_socket_meets_is_an_error_with_the_places(frame: Frame) -> None:
    """Steps of 5 m: a socket may have 4000 mm at most, and none can stand so far out."""
    got = found(frame, listed(lambda x, y: -5000.0 if y > 5000 else 0.0))
    one = got["string-unmet"]
    assert one.severity.value == "error" and "at most 4000 mm" in one.message
    assert "5000 mm higher" in one.message and one.field == "socket.length"


def test_rock_under_every_socket_is_told_once(frame: Frame) -> None:
    """700 in the ground, rock 200 down: 500 are drilled."""
    one = found(frame, listed(lambda x, y: 0.0, rock="200 mm"))["rock-everywhere"]
    assert "500 mm" in one.message
    assert found(frame, listed(lambda x, y: 0.0, rock="900 mm")) == {}


def test_a_point_that_names_a_socket_and_lies_elsewhere_is_a_fault(frame: Frame) -> None:
    text = "point,x,y,z\n1L,0,0,0\n1R,6 m,0,0\n5L,0,3 m,0\n5R,6 m,6 m,0\n"
    with pytest.raises(DesignFaults, match="names socket 5L, but x and y are 3000 mm from it"):
        found(frame, text)


def test_sockets_that_leave_no_room_are_told_and_the_frame_stays_as_designed() -> None:
    """A block of 980 in a bay of 1100; 60 less between two hoops, and it has no room."""
    frame = lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.2 m"},
        "bays": {"count": 6, "spacing": "1.1 m"},
        "sill_board": {"stock_length": "4.5 m", "block_length": "980 mm"},
        "staking": {"built": "tops.csv"},
    }))  # fmt: skip
    rows = [f"{n + 1}{side},{x} m,{n * 1100 + (60 if n == 3 else 0)} mm,0"
            for n in range(7) for side, x in (("L", -3), ("R", 3))]  # fmt: skip
    text = "\n".join(("point,x,y,z", *rows))
    built = surveyed(frame, {"built": GivenList(name="tops.csv", text=text)})
    assert built.designed is None and built.members == frame.members
    (one,) = (f for f in check_survey(built) if f.rule.name == "not-as-built")
    assert "does not fit between two hoops" in one.message and one.field == "staking.built"
    assert not list(check_survey(frame))


def test_a_sill_that_nothing_closes_is_told_with_its_gap() -> None:
    """3 % across, filled: the gap is widest at the right end of the sill, by the plane there."""
    frame, driving = walled("sill", staking={"boards": "fill"})
    drawn_on = driving.string.start_mm - driving.exposure.wanted_mm
    ends = [m.placement.origin[0] + m.part.length_mm for m in frame.of(Role.WALL_SILL)
            if m.spot.hoop == 1]  # fmt: skip
    (one,) = (f for f in check_survey(frame) if f.rule.name == "sill-hangs" and "front" in f.where)
    assert one.provided == pytest.approx(drawn_on + FALL * (max(ends) + 2500.0), abs=0.01)
    assert {m.role for m in one.members} == {Role.WALL_SILL}


def test_every_rule_has_a_ground_that_breaks_it() -> None:
    """A sill that hangs has its own in the tests of what holds end walls to the ground."""
    assert {rule.name for rule in RULES} == {
        "levels-short", "hole-under", "socket-short", "string-unmet", "rock-everywhere",
        "not-as-built", "sill-hangs",
    }  # fmt: skip
