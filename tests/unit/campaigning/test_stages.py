"""What the stages of the campaign see: a design that passes, and each kind of failure, seeded."""

from __future__ import annotations

import pytest
from campaigning import stages
from campaigning.causes import Failure, words_without_numbers
from campaigning.order import LASTS, STAGES, through
from drawing_judge import Finding

from frame3d.errors import SolidError
from frame3d.sheets.layout.sheet import SheetFinding

SMALL = {
    "output": {"units": "metric"},
    "profile": {"style": "quonset", "width": "4 m", "ridge_height": "2.6 m", "leg_height": "1 m"},
    "bays": {"count": 1, "spacing": "1.5 m"}, "hoop": {"pieces": 2},
}  # fmt: skip


def failures(row: dict, stage: str) -> list[tuple[str, str]]:
    return [(f["kind"], f["cause"]) for f in row["failures"] if f["stage"] == stage]


def test_a_sound_design_goes_through_everything() -> None:
    told = []
    row = stages.run(SMALL, STAGES, told.append)
    assert told == list(STAGES) == list(row["times"])
    assert (row["refused"], row["left"]) == ([], None)
    assert [f for f in row["failures"] if f["kind"] != "fewer than two fields"] == []
    assert row["sizes"]["sheets"] > 5


def test_what_is_refused_is_told_and_the_rest_is_tried() -> None:
    wrong = {**SMALL, "door": [{"at": "front"}], "bays": {**SMALL["bays"], "count": 0}}
    row = stages.run(wrong, ("layout",))
    assert [fault["where"] for fault in row["refused"]] == ["bays.count"]
    # Without its count the design has no length, and goes no further.
    assert row["left"] is None
    row = stages.run({**SMALL, "door": [{"at": "front"}]}, ("layout",))
    assert [fault["where"] for fault in row["refused"]] == ["door[1].at"]
    assert row["left"] == {**SMALL, "door": []}
    assert row["sizes"]["members"] > 10
    assert stages.run({**SMALL, "door": [{"at": "front"}]}, ("layout",), whole=True)["left"] is None


def test_an_exception_fails_its_stage_alone_and_is_known_by_its_place(monkeypatch) -> None:
    def broken(frame):
        raise ZeroDivisionError("no mark of 17")

    monkeypatch.setattr(stages, "check_frame", broken)
    row = stages.run(SMALL, ("checks", "page"))
    ((kind, cause),) = failures(row, "checks")
    assert kind == "exception"
    assert cause.startswith("ZeroDivisionError in ") and cause.endswith("no mark of #")
    assert failures(row, "page") == []


def test_a_fault_of_the_judge_fails_unless_the_sheets_tell_it(monkeypatch) -> None:
    drawn = stages.draw_sheets

    def crowded(frame, sawn, status):
        sheets = drawn(frame, sawn, status)
        told = SheetFinding(sheet=2, message="a size of 17 mm has no room")
        return stages.structs.replace(sheets, findings=(told,))

    def found(doc, **wanted):
        titles = {name.split(" ")[0]: name for name in doc.layout_names_in_taborder()[1:]}
        return [Finding("text on text", titles["2"], "a on b"),
                Finding("text on text", titles["3"], "c on d"),
                Finding("wrong value", titles["2"], "17 spans 18")]  # fmt: skip

    monkeypatch.setattr(stages, "draw_sheets", crowded)
    monkeypatch.setattr(stages, "judge", found)
    row = stages.run(SMALL, ("sheets",))
    rules = [cause.split(":")[0] for _, cause in failures(row, "sheets")]
    assert rules == ["text on text", "wrong value"]
    assert row["told"]["sheets: a size of # mm has no room"] == 1
    assert sum(name.startswith("crowded and told") for name in row["told"]) == 1


def test_a_missing_file_fails(monkeypatch) -> None:
    monkeypatch.setattr(stages, "write_stakes", lambda frame, path: path.write_text(""))
    row = stages.run(SMALL, ("page",))
    assert failures(row, "page") == [("missing output", "stakes.csv")]


def test_every_invalid_solid_is_told(monkeypatch) -> None:
    make = stages.make_solid
    monkeypatch.setattr(stages, "_made_before", set())

    def spoilt(part, *, mark, role):
        if role.value in ("socket", "bolt"):
            raise SolidError(f"{mark}: should have 12.5 mm³")
        return make(part, mark=mark, role=role)

    monkeypatch.setattr(stages, "make_solid", spoilt)
    row = stages.run(SMALL, ("solids",))
    found = failures(row, "solids")
    assert {kind for kind, _ in found} == {"invalid solid"}
    assert {cause.split(":")[0] for _, cause in found} == {"socket", "bolt"}


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("H1: 4'-9 1/8\" of headroom", "H12: 5'-0\" of headroom"),
        ("at 12.5 mm, 0 mm", "at 1372 mm, -3 mm"),
        ("bolt of 3/8-16", "bolt of 1/4-20"),
    ],
)
def test_sentences_that_differ_in_numbers_are_one_cause(one: str, other: str) -> None:
    assert words_without_numbers(one) == words_without_numbers(other)
    assert "#" in words_without_numbers(one)


def test_a_cause_is_known_by_stage_kind_and_words() -> None:
    failure = Failure(stage="sheets", kind="exception", cause="x", detail="y")
    assert failure.key == "sheets: exception: x"


def test_through_names_stages_in_order() -> None:
    assert LASTS == ("layout", "checks", "takeoff", "sheets", "guide", "page", "solids", "all")
    assert through("sheets") == ("layout", "checks", "takeoff", "sheets")
    assert through("all") == STAGES
    assert through("guide", only=True) == ("layout", "guide")
