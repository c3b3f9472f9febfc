"""Plans: what they say, and what is told of those that say it wrong."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_study import SMALL

from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.writing.editing import plain_text
from frame3d.errors import DesignFaults
from frame3d.studies.plan.read_plan import plan_from_mapping, read_plan

PLAN = """
[study]
base = "base.toml"
ask = ["mass_kg"]
conditions = ["errors = 0", "machines_fit"]
goals = ["cost down", "mass_kg down"]
sample = 4
seed = 3

[[vary]]
field = "profile.width"
from = "5 m"
to = "6 m"
step = "250 mm"

[[vary]]
fields = ["bays.count", "bays.spacing"]
values = [[2, "1.2 m"], [3, "left out"]]
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "base.toml").write_text("# mine\n" + plain_text(SMALL), encoding="utf-8")
    (tmp_path / "plan.toml").write_text(PLAN, encoding="utf-8")
    return tmp_path


def test_a_plan_is_read(folder: Path) -> None:
    plan = read_plan(folder / "plan.toml")
    assert plan.base == SMALL
    assert plan.base_text.startswith("# mine")
    assert plan.fields == ("profile.width", "bays.count", "bays.spacing")
    assert [len(axis.choices) for axis in plan.axes] == [5, 2]
    assert plan.axes[0].choices[1] == ("5250 mm",)
    assert plan.figures == ("mass_kg", "errors", "machines_fit", "cost")
    assert (plan.combinations, plan.count, plan.seed) == (10, 4, 3)


@pytest.mark.parametrize(
    ("was", "now", "told"),
    [
        ('base = "base.toml"\n', "", r"study.base: is missing"),
        ('"base.toml"', '"none.toml"', r"there is no file"),
        ("profile.width", "profile.widht", r"line 11: vary\[1\].field: .*did you mean width"),
        ("bays.count", "bay.count", r"did you mean \[bays\]"),
        ("profile.width", "rail[1].height", r"has no \[\[rail\]\]; rail\[1\] is not there"),
        ("profile.width", "profile", r"write it as profile.style"),
        ("profile.width", "width", r"with its section: profile.width or door\[1\].width"),
        ("profile.width", "order.price_file", r"cannot vary"),
        ('field = "profile.width"\n', "", r"give either field"),
        ('to = "6 m"\n', "", r"line 10: vary\[1\]: give values, or from, to and step"),
        ('to = "6 m"', 'to = "4 m"', r"to must not be less than from"),
        ('step = "250 mm"', 'step = "0 mm"', r"step must be more than nothing"),
        ('step = "250 mm"', "step = 250", r"must be alike"),
        ('step = "250 mm"', 'step = "250"', r"got '250' for a length"),
        ('step = "250 mm"', 'step = "0.001 mm"', r"at most 100,000"),
        ('to = "6 m"', 'to = "60 m"', r"vary\[1\].values\[102\]: profile.width: got \"30250 mm\""),
        ('[3, "left out"]', "[3]", r"must be a list of 2"),
        ('[2, "1.2 m"]', '["two", "1.2 m"]', r"vary\[2\].values\[1\]: bays.count: got \"two\""),
        ('"bays.spacing"', '"profile.width"', r"profile.width varies twice"),
        ("mass_kg down", "mass_kg less", r"up or down"),
        ("cost down", "coast down", r"study.goals\[1\]: there is no figure 'coast'; .* cost"),
        ("errors = 0", "errors is 0", r"study.conditions\[1\]: got 'errors is 0'"),
        ('["mass_kg"]', '"mass_kg"', r"line 4: study.ask: got \"mass_kg\"; it must be a list"),
        ("sample = 4", "sample = 0", r"line 7: study.sample: got 0"),
        ("sample = 4", "smaple = 4", r"did you mean sample"),
        ("[study]", "[studies]", r"did you mean study"),
        (PLAN, "", r"vary: is missing"),
        (PLAN, "vary = 3", r"vary: got 3"),
        ("[study]", "[study", r"line 2"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told(folder: Path, was: str, now: str, told: str) -> None:
    assert was in PLAN
    (folder / "plan.toml").write_text(PLAN.replace(was, now), encoding="utf-8")
    with pytest.raises(DesignFaults, match=told):
        read_plan(folder / "plan.toml")


def test_all_faults_are_told_together(folder: Path) -> None:
    text = PLAN.replace("cost down", "coast down").replace("profile.width", "profile.widht")
    (folder / "plan.toml").write_text(text, encoding="utf-8")
    with pytest.raises(DesignFaults) as caught:
        read_plan(folder / "plan.toml")
    assert [fault.line for fault in caught.value.faults] == [6, 11]


def test_a_value_that_others_could_make_possible_is_no_fault_of_the_plan() -> None:
    """A ridge of 1 m is lower than the legs, which may vary too: such designs are refused rows."""
    vary = [{"field": "profile.ridge_height", "values": ["1 m", "3 m"]}]
    assert plan_from_mapping({"vary": vary}, SMALL).count == 2
    vary = [{"field": "profile.width", "values": ["600 m", "6 m"]}]
    with pytest.raises(DesignFaults, match="between"):
        plan_from_mapping({"vary": vary}, SMALL)


def test_a_design_in_place_of_a_plan_is_told_in_one_sentence_and_the_other_way_round() -> None:
    design = {"profile": {"style": "quonset"}, "bays": {"count": 3}, "door": [{}], "rail": [{}]}
    plan = {"study": {"base": "a.toml"}, "vary": [{"field": "profile.width", "values": ["5 m"]}]}
    with pytest.raises(DesignFaults) as told:
        plan_from_mapping(design, design)
    assert [one.message.partition(",")[0] for one in told.value.faults] == ["this is a design"]
    with pytest.raises(DesignFaults) as told:
        design_from_mapping(plan)
    (fault,) = told.value.faults
    assert fault.message.startswith("this is the plan of a study") and "frame3d study" in str(fault)
