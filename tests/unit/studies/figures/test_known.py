"""Figures by name: what they are is what single runs give."""

from __future__ import annotations

import json

import pytest
from small_study import SMALL

from frame3d.checks.report import report_of
from frame3d.frame_set import frame_set_of, lists_of
from frame3d.studies.figures.figure import Sources
from frame3d.studies.figures.known import (
    GROUPS,
    UnknownFigureError,
    check_paths,
    figure_named,
    figures_in,
    known_figures,
)
from frame3d.studies.figures.records import may_hold, paths_in, value_in
from frame3d.studies.rows.work_out import sources_of, work_out
from frame3d.summary import summary_of
from frame3d.takeoff.write.records import record_of


@pytest.fixture(scope="module")
def sources() -> Sources:
    return sources_of(SMALL, {})


@pytest.fixture(scope="module")
def values() -> dict[str, object]:
    """With the base itself to compare with; a crop has no ties to hang from."""
    base, names = json.dumps(SMALL), list(known_figures())
    return dict(work_out(SMALL, {}, names, base).figures)


def test_every_figure_has_a_name_words_and_a_value_of_its_unit(values: dict[str, object]) -> None:
    for name, figure in known_figures().items():
        assert name == figure.name
        assert figure.words[0].isupper() and not figure.words.endswith(".")
        value = values[name]
        assert value is None or isinstance(value, bool) == (figure.unit == "yes or no")
        for unit in ("mm", "kg", "m2", "m3"):
            assert (name.rpartition("_")[2] == unit) == (figure.unit.partition("/")[0] == unit) or (
                name == "cost_per_m2"
            )
    names = [figure.name for _, group in GROUPS for figure in group]
    assert len(names) == len(set(names)) > 35


def test_figures_are_those_of_a_single_run(sources: Sources, values: dict[str, object]) -> None:
    whole = frame_set_of(sources.frame, lists_of(sources.frame))
    summary = summary_of(whole.frame, whole.status)
    order = record_of(whole.takeoff, ())
    report = report_of(whole.frame, whole.checks)
    assert (
        values["mass_kg"]
        == summary["total_mass_kg"]
        == pytest.approx(whole.takeoff.mass_kg, abs=1e-3)
    )
    assert values["hoops"] == summary["layout"]["hoops"] == 3
    assert values["width_mm"] == 6000.0
    assert values["clear_ridge_height_mm"] == summary["profile"]["ridge_height"]["clear"]["mm"]
    assert values["errors"] == report["counts"]["error"] == whole.status.error_count
    assert values["cost"] is None is order["cost"]["total"]
    assert values["unpriced"] == len(order["cost"]["missing_prices"]) > 0
    assert values["hands_to_raise"] == max(hoop.hands for hoop in whole.takeoff.hoops)
    assert values["bars"] == sum(n for s in whole.takeoff.sections for _, n in s.plan.bought)


def test_lengths_of_bars_add_up(sources: Sources, values: dict[str, object]) -> None:
    """What is bought is pieces, rests that are kept, and waste, as nothing lies in the yard."""
    plans = [section.plan for section in sources.takeoff.sections]
    pieces = sum(cut.length_mm for plan in plans for bar in plan.bars for cut in bar.cuts)
    kept = sum(plan.kept_mm for plan in plans)
    assert values["bought_length_mm"] == pytest.approx(pieces + kept + values["waste_mm"], abs=0.01)
    assert values["waste_share"] == pytest.approx(
        values["waste_mm"] / values["bought_length_mm"], abs=1e-4
    )


def test_bed_reach_is_a_chord_of_the_hoop() -> None:
    """A half circle of 3 m inside on legs of 1 m: at 2 m the hoop is 3 - sqrt(9 - 1) m in."""
    tube = 42.4
    design = {
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": f"{6000 + tube} mm", "leg_height": "1 m",
                    "ridge_height": f"{1000 + 3000 + tube / 2} mm"},
        "bays": {"count": 2, "spacing": "1.2 m"},
        "hoop": {"tube": "42.4 x 3.2 mm"},
        "clearance": {"head_height": "2 m"},
    }  # fmt: skip
    found = figure_named("bed_reach_mm").of(sources_of(design, {}))
    assert found == pytest.approx(3000 - (3000**2 - 1000**2) ** 0.5, abs=0.01)


def test_a_rule_and_a_place_in_a_record_are_figures(sources: Sources) -> None:
    number = sum(finding.rule.name == "bed-headroom" for finding in sources.checks)
    assert figure_named("rule:bed-headroom").of(sources) == number
    figure = figure_named("summary.cover.girth.mm")
    assert figure.unit == "mm"
    assert figure.of(sources) == sources.summary["cover"]["girth"]["mm"] > 6000
    assert figure_named("takeoff.zinc_kg").of(sources) == 0
    assert {"summary.layout.bays", "takeoff.total_mass_kg"} <= set(figures_in(sources))
    check_paths(["summary.layout.bays", "summary.ties[1].height_of_centreline.mm"], sources)


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("mass", "did you mean mass_kg"),
        ("Cost", "did you mean cost"),
        ("zzzzzz", "--figures lists them"),
        ("rule:machine-insid", "did you mean rule:machine-inside"),
        ("summary", "there is no figure"),
    ],
)
def test_an_unknown_name_is_told_with_the_nearest(name: str, told: str) -> None:
    with pytest.raises(UnknownFigureError, match=told):
        figure_named(name)


def test_an_unknown_place_is_told_with_the_nearest(sources: Sources) -> None:
    with pytest.raises(UnknownFigureError, match="did you mean summary.layout.bays"):
        check_paths(["summary.layout.bay"], sources)


def test_values_in_records() -> None:
    record = {"a": {"b": [1, {"c": 2.5}]}, "d": None, "e": [], "f": "text", "g": True}
    assert [value_in(record, path) for path in ("a.b[1]", "a.b[2].c", "f", "g")] == [
        1, 2.5, "text", True,
    ]  # fmt: skip
    for path in ("a", "a.b", "a.b[3]", "a.b[0]", "d.x", "f.x", "z", ""):
        assert value_in(record, path) is None
    assert list(paths_in(record)) == ["a.b[1]", "a.b[2].c", "g"]
    paths = ("d.x", "e[1].y", "a.b[9].c", "a.z", "a", "f.x")
    assert [may_hold(record, path) for path in paths] == [
        True, True, True, False, False, False,
    ]  # fmt: skip
