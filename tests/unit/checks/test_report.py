"""Findings as data and in order; the room inside as numbers."""

from __future__ import annotations

import json
import math

import pytest
from sound_design import frame_of

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Finding, Rule, Severity
from frame3d.checks.report import (
    count_of,
    finding_row,
    has_errors,
    numbers_of,
    report_of,
    report_text,
    room_tables,
    status_of,
)

RULE = Rule(name="a-rule", severity=Severity.ERROR, meaning="It looks.", source="a book, p. 1")


def finding(**fields):
    return Finding(rule=RULE, where="here", message="It is so.", advice="Do this.", **fields)


def test_margin_is_what_is_left_to_either_limit():
    assert finding(required=100.0, provided=90.0).margin == -10.0
    assert finding(required=100.0, provided=130.0, is_most=True).margin == -30.0
    assert finding(required=100.0).margin is None


def test_an_accepted_error_is_a_note():
    assert has_errors([finding()])
    accepted = finding(accepted="so it is")
    assert accepted.severity is Severity.NOTE
    assert not has_errors([accepted])
    assert count_of([finding(), accepted, accepted]) == "1 error, no warnings, 2 notes"


def test_amounts_have_the_units_of_the_design():
    metric, feet = frame_of(), frame_of(output={"units": "imperial"})

    def provided(frame, value, unit=""):
        return numbers_of(frame, finding(unit=unit, required=1.0, provided=value)).provided

    assert provided(metric, -12.6, "mm") == "-13 mm"
    assert provided(metric, 29.96, "deg") == "30.0 deg"
    assert provided(metric, 0.15, "share") == "15.0 %"
    assert provided(metric, 5.0) == "5"
    assert numbers_of(metric, finding()) is None
    assert provided(feet, 25.4 * 80, "mm") == "6'-8\""


def test_a_row_tells_all_that_there_is():
    frame = frame_of()
    _, where, told = finding_row(frame, finding(required=2030.0, provided=1900.0, unit="mm"))
    assert where == ["here"]
    assert told == ["It is so.", "Required 2030 mm, provided 1900 mm, margin -130 mm.", "Do this.",
                    "Source: a book, p. 1."]  # fmt: skip
    _, _, told = finding_row(frame, finding(accepted="known"))
    assert told == ["It is so.", "Accepted: known"]


def test_two_values_that_contradict_each_other_are_both_named():
    """A rail of 0.9 m lies where a brace from 0.5 m up to 1.15 m passes, along a plumb leg."""
    rail = {"at": "sides", "height": "900 mm", "tube": "EN 10255 DN25 medium"}
    frame = frame_of(rail=[rail], brace=[{"from_height": "500 mm", "to_height": "1150 mm"}])
    found = next(f for f in check_frame(frame) if f.rule.name == "clash")
    assert set(found.fields) == {"rail[1].height", "brace[1]"} == {found.field, found.against}
    assert f"Set by {' and '.join(found.fields)}." in finding_row(frame, found)[2]
    row = next(r for r in report_of(frame, [found])["findings"])
    assert row["field"] == found.field and row["fields"] == list(found.fields)


def test_the_report_is_json_and_the_same_again():
    frame = frame_of(tie=[{"height": "2.03 m"}], socket={"length": "800 mm"})
    text = report_text(report_of(frame, check_frame(frame)))
    assert text == report_text(report_of(frame, check_frame(frame)))
    report = json.loads(text)
    assert report["counts"] == {"error": 1, "warning": 1, "note": 0}
    first, second = report["findings"]
    assert first["rule"] == "tie-headroom" and second["rule"] == "embedment"
    assert second["required"] == 600.0 and second["provided"] == 500.0
    assert second["margin"] == -100.0 and second["unit"] == "mm"
    assert second["source"] == "common practice, no source" and second["accepted"] is None
    assert "calls" not in text and "safe" not in text.lower().replace("safety", "")


def test_findings_come_errors_first():
    frame = frame_of(tie=[{"height": "2.03 m"}], socket={"length": "800 mm"}, side_opening=None,
                     door=None)  # fmt: skip
    order = [f.severity for f in check_frame(frame)]
    assert order == sorted(order, key=list(Severity).index)
    assert set(order) == {Severity.ERROR, Severity.WARNING}


def test_an_acceptance_may_be_for_one_place_only():
    nearby = [{"kind": "fence", "name": name, "distance": "1 m"} for name in ("old", "new")]
    accept = [{"rule": "way-round", "where": "old", "reason": "it goes away"}]
    found = check_frame(frame_of(nearby=nearby, accept=accept))
    told = {f.where.split(", ")[1]: f.severity for f in found if f.rule.name == "way-round"}
    assert told == {"old": Severity.NOTE, "new": Severity.WARNING}


def test_heights_and_widths_of_the_room():
    """Straight legs of 1.2 m, then an arc of 1.2 m: under it at 0.25 m from the inside of the leg.

    The inside face is 21.2 mm within the axis (42.4 mm tube). The eave arc's inside has a
    radius of 1178.8 mm about a point 1178.8 mm from the face, at 1.2 m of height.
    """
    room = report_of(frame_of(), ())["room"]
    row = next(r for r in room["height_at_distance_from_wall"] if r["from_wall_mm"] == 250.0)
    inner = 1200 - 21.2
    assert row["under_hoops_mm"] == pytest.approx(
        1200 + math.sqrt(inner**2 - (inner - 250) ** 2), abs=0.001
    )
    low = next(r for r in room["width_at_height"] if r["height_mm"] == 1000.0)
    assert low["between_hoops_mm"] == pytest.approx(6000 - 42.4, abs=0.001)
    assert low["widest_free_mm"] < low["between_hoops_mm"]
    (cart,) = room["machines"]
    assert cart["doors"][0]["passes"] is True
    assert cart["nearest_to_left_wall_mm"] == cart["nearest_to_right_wall_mm"] > 150


def test_tables_for_the_screen_hold_every_row():
    tables = room_tables(frame_of())
    assert len(tables) == 3
    for title, header, rows in tables:
        assert title and rows
        assert {len(row) for row in rows} == {len(header)}


@pytest.mark.parametrize(
    ("where", "message", "told"),
    [
        ("SC2: hoop 1, left", "It holds nothing.", "SC2 holds nothing (hoop 1, left)."),
        ("H1, hoop", "It is bent.", "H1 is bent (hoop)."),
        ("front door", "It faces the wind.", "Front door faces the wind."),
        ("hoop 3", "A brace leans.", "A brace leans (hoop 3)."),
    ],
)
def test_a_sentence_alone_names_what_it_is_about(where: str, message: str, told: str) -> None:
    """In the table of findings the place stands before the words; guide and cover have no table."""
    status = status_of([Finding(rule=RULE, where=where, message=message, advice="Look.")])
    assert status.errors == (told,)
