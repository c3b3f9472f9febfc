"""What is said of days: nothing left unbraced or half covered, and what to do if one runs out."""

from __future__ import annotations

import pytest

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.guide.make_guide import guide_of
from frame3d.guide.steps.days import plan_days
from frame3d.guide.steps.phases import Phase
from frame3d.guide.steps.step_lists import carriers_of
from frame3d.guide.steps.steps import steps_of
from frame3d.guide.words.words_days import before_leaving, day_title, if_short, troubles
from frame3d.ordering.work_tables import packed_parts, work_tables

BASE = {
    "output": {"units": "metric"},
    "profile": {"style": "quonset", "width": "4 m", "ridge_height": "2.6 m", "leg_height": "0.6 m"},
    "bays": {"count": 7, "spacing": "1.2 m"},
    "hoop": {"tube": "42 x 2 mm"},
    "socket": {"tube": "50 x 3 mm"},
    "rail": [{"at": "ridge", "tube": "32 x 2 mm"}],
    "brace": [{"tube": "32 x 2 mm", "to_height": "1.6 m"}],
    "sill_board": {"timber": "47x200"},
    "side_opening": {"height": "1 m", "timber": "47x150"},
    "crew": {"people": 2, "hours": 2.0, "start": "2027-03-04"},
}


def made(**more: object):
    frame = lay_out(design_from_mapping({**BASE, **more}))
    return frame, plan_days(frame, steps_of(frame), carriers_of(frame))


@pytest.fixture(scope="module")
def small():
    return made()


def test_a_night_with_some_hoops_up_says_which_and_how_they_are_held(small):
    frame, plan = small
    nights = [day for day in plan.days if 0 < day.standing < 8]
    assert nights
    for day in nights:
        told = " ".join(before_leaving(frame, plan, day))
        assert f"Hoops 1 to {day.standing} stand, and no others" in told
        assert f"hold hoop 1 and hoop {day.standing} both ways" in told
        assert "pinned in its socket" in told and "No film" in told


def test_temporary_braces_stay_until_braces_are_in_and_legs_are_bolted(small):
    frame, plan = small
    for day in plan.days:
        left = {one.step.phase for other in plan.days[day.number :] for one in other.portions}
        told = " ".join(before_leaving(frame, plan, day))
        if day.standing == 8 and left & {Phase.BRACES, Phase.SILLS}:
            assert "emporary braces" in told and " on" in told


def test_a_design_without_braces_never_takes_them_off():
    frame, plan = made(brace=[])
    for day in plan.days:
        if day.standing == 8:
            assert "until a professional says" in " ".join(before_leaving(frame, plan, day))


def test_half_covered_is_no_way_to_end_a_day(small):
    frame, plan = small
    day = next(d for d in plan.days if any(p.step.phase is Phase.COVER for p in d.portions))
    assert "Never leave it half on" in " ".join(if_short(day))
    told = " ".join(before_leaving(frame, plan, day))
    assert "fixed along every edge" in told and "roll it up, and tie it at every hoop" in told
    assert day.is_over and any("must not be left half done" in text for text in troubles(plan))


def test_a_day_with_raising_says_when_to_stop(small):
    _, plan = small
    for day in plan.days:
        raises = any(one.step.phase is Phase.RAISE for one in day.portions)
        assert raises is any("Stop raising in time" in text for text in if_short(day)) or not raises


def test_days_have_their_weekday(small):
    _, plan = small
    assert day_title(plan.days[0]) == "Day 1, Thursday 2027-03-04"


def test_the_guide_tells_every_day_and_brings_each_bundle_once(small):
    frame, plan = small
    guide = guide_of(frame, drawn=False)
    assert len(guide.days) == len(plan.days)
    brought = [text.partition(":")[0] for day in guide.days for text in day.bring]
    bundles = sorted({packed.step for packed in packed_parts(frame)})
    assert brought == [f"Bundle {number}" for number in bundles]


def test_tables_hold_every_member_once_and_all_hours(small):
    frame, plan = small
    tables = {table.key: table for table in work_tables(frame)}
    assert sum(row["count"] for row in tables["deliveries"].rows) == len(frame.members)
    of_bundles = {(row["step"], row["mark"]): row["count"] for row in tables["bundles"].rows}
    delivered = {(row["step"], row["mark"]): row["count"] for row in tables["deliveries"].rows}
    assert delivered == of_bundles
    for end in ("low", "high"):
        days, steps = (sum(row[end] for row in tables[key].rows) for key in ("days", "hours"))
        assert days == pytest.approx(steps)
    assert {row["day"] for row in tables["days"].rows} == {day.number for day in plan.days}


def test_without_a_crew_there_are_no_such_tables():
    frame = lay_out(design_from_mapping({**BASE, "crew": None} | {"crew": {}}))
    assert "days" in {table.key for table in work_tables(frame)}
    bare = {key: value for key, value in BASE.items() if key != "crew"}
    frame = lay_out(design_from_mapping(bare))
    assert not {"days", "deliveries"} & {table.key for table in work_tables(frame)}
    assert guide_of(frame, drawn=False).days == ()
