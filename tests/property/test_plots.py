"""Any plot that the schema takes: every figure agrees with shapely, and the plan is drawn."""

from __future__ import annotations

import functools

import pytest
from campaign import examples
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from shapely import LineString, Polygon
from whole_designs import crews, plots

from frame3d.checks.rules.plot_rules import check_plot
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.guide.steps.days import plan_days
from frame3d.guide.steps.step_lists import carriers_of
from frame3d.guide.steps.steps import steps_of
from frame3d.guide.words.words_days import before_leaving, if_short
from frame3d.sheets.plot.plot_sheet import add_plot_plan
from frame3d.sheets.sets.draw import builder_for
from frame3d.site.plot.plot import plot_of

PLAIN = {
    "output": {"units": "metric", "sheet_size": "A2"},
    "profile": {"style": "quonset", "width": "4 m", "ridge_height": "2.6 m", "leg_height": "0.6 m"},
    "bays": {"count": 4, "spacing": "1.2 m"},
    "hoop": {"tube": "42 x 2 mm"},
    "socket": {"tube": "50 x 3 mm"},
    "rail": [{"at": "ridge", "tube": "32 x 2 mm"}],
}
CORNERS = ["front left", "front right", "back left", "back right"]


@functools.cache
def plain() -> Frame:
    return lay_out(design_from_mapping(PLAIN))


def framed(corner: str, **more: object) -> Frame:
    """The plain frame, which no plot and no crew changes."""
    tables = {**PLAIN, **more, "staking": {"corner": corner}}
    return replace(plain(), design=design_from_mapping(tables))


few = settings(
    max_examples=examples(60), deadline=None, derandomize=True, database=None,
    phases=[Phase.explicit, Phase.generate], suppress_health_check=list(HealthCheck),
)  # fmt: skip


@few
@given(plot=plots(), corner=st.sampled_from(CORNERS))
def test_distances_are_those_of_shapely_and_findings_say_where(plot: dict, corner: str) -> None:
    frame = framed(corner, **plot)
    found = plot_of(frame)
    body = Polygon(found.outline)
    for line in found.lines:
        wanted = body.exterior.distance(LineString(line.ends))
        assert line.distance_mm == pytest.approx(wanted, abs=0.01)
    if found.corners:
        assert Polygon(found.corners).is_valid
    for run in found.runs:
        assert run.under is LineString(run.points).intersects(body)
    for finding in check_plot(frame):
        assert (
            finding.message
            and finding.advice
            and finding.field.startswith(("boundary", "service", "staking"))
        )


@settings(few, max_examples=examples(12))
@given(plot=plots(), corner=st.sampled_from(CORNERS))
def test_the_plan_is_drawn_or_says_what_it_lacks(plot: dict, corner: str) -> None:
    builder = builder_for(framed(corner, **plot))
    add_plot_plan(builder)
    wanted = bool(plot["boundary"] or plot["service"])
    assert bool(builder.drafts or builder.findings) is wanted
    for finding in builder.findings:
        assert "choose a larger sheet_size" in finding.message


@few
@given(crew=crews())
def test_any_crew_has_days_that_end_as_they_must(crew: dict) -> None:
    frame = framed("front left", crew=crew)
    steps = steps_of(frame)
    plan = plan_days(frame, steps, carriers_of(frame))
    assert plan is not None
    shares: dict[int, float] = {}
    for day in plan.days:
        assert day.portions and before_leaving(frame, plan, day) and if_short(day)
        assert day.date is None or day.date.strftime("%A").lower() not in crew["rest_days"]
        for one in day.portions:
            shares[one.step.number] = shares.get(one.step.number, 0.0) + one.share
    assert shares == pytest.approx({step.number: 1.0 for step in steps})
