"""The order over days and the deliveries for each, as tables of the take-off.

In the workbook hours follow the sheet of hours, and so the rates that a user changes; which day
does what stays as the program had it.
"""

from __future__ import annotations

from collections.abc import Sequence

from frame3d.frame.describe.wording import describe, lengths_of
from frame3d.frame.model.members import Frame, Member
from frame3d.guide.steps.days import Day, DayPlan, plan_days
from frame3d.guide.steps.phases import Phase
from frame3d.guide.steps.step_content import StepContent
from frame3d.guide.steps.step_lists import Carriers, hours_of_step
from frame3d.guide.words.words_days import done_of
from frame3d.takeoff.quantities.handling import lifted_kg
from frame3d.units.data_tables import DataColumn, DataTable, Quantity, Value

_COUNT, _MASS, _NUMBER = Quantity.COUNT, Quantity.MASS, Quantity.NUMBER
_DATED = (
    DataColumn(key="day", header="Day", quantity=_COUNT, width=6),
    DataColumn(key="date", header="Date", width=12),
    DataColumn(key="step", header="Step", quantity=_COUNT, width=6),
)


def day_tables(
    frame: Frame, steps: Sequence[StepContent], carriers: Carriers
) -> tuple[DataTable, ...]:  # fmt: skip
    """Days and deliveries; none where the design names no crew."""
    plan = plan_days(frame, [told.step for told in steps], carriers)
    return () if plan is None else (_days(frame, plan, steps), _deliveries(frame, plan))


def _date(day: Day) -> str:
    return "" if day.date is None else day.date.isoformat()


def _days(frame: Frame, plan: DayPlan, steps: Sequence[StepContent]) -> DataTable:
    titles = {told.step.number: told.words.title for told in steps}
    rows: list[dict[str, Value]] = []
    for day in plan.days:
        for portion in day.portions:
            hours = hours_of_step(frame, portion.step)
            low, high = (portion.share * one for one in (hours.low, hours.high))
            rows.append({
                "day": day.number, "date": _date(day), "step": portion.step.number,
                "title": titles[portion.step.number], "how_much": done_of(portion) or "all of it",
                "share": portion.share, "people": plan.crew.people, "low": low, "high": high,
                "site_low": low / plan.crew.people, "site_high": high / plan.crew.people,
            })  # fmt: skip
    return DataTable(
        key="days",
        title="Work by day",
        columns=(
            *_DATED,
            DataColumn(key="title", header="What is done", width=34),
            DataColumn(key="how_much", header="How much of it", width=26),
            DataColumn(key="share", header="Share of the step", quantity=_NUMBER, width=10),
            DataColumn(key="people", header="Crew", quantity=_COUNT, width=8),
            *(DataColumn(key=end, header=f"Person-hours, {end}", quantity=_NUMBER, width=15,
                         total=True,
                         formula=f"SUMPRODUCT(({{hours:step}}={{step}})*{{hours:{end}}})*{{share}}")
              for end in ("low", "high")),
            *(DataColumn(key=f"site_{end}", header=f"Hours on site, {end}", quantity=_NUMBER,
                         width=15, total=True, formula=f"{{{end}}}/{{people}}")
              for end in ("low", "high")),
        ),
        rows=tuple(rows),
        note="What must be so before a day is left overnight stands in the guide. Hours follow the "
        "sheet Hours; the days themselves are as the program had them.",
    )  # fmt: skip


def _deliveries(frame: Frame, plan: DayPlan) -> DataTable:
    form, zinc = lengths_of(frame), frame.design.order.zinc
    rows: list[dict[str, Value]] = []
    for day in plan.days:
        for step in day.begun:
            marks: dict[str, list[Member]] = {}
            for member in () if step.phase is Phase.PREPARE else step.all_members:
                marks.setdefault(member.mark, []).append(member)
            for mark, members in marks.items():
                part = members[0].part
                rows.append({
                    "day": day.number, "date": _date(day), "step": step.number, "mark": mark,
                    "description": describe(part, form), "count": len(members),
                    "mass_each": lifted_kg(part, zinc),
                })  # fmt: skip
    return DataTable(
        key="deliveries",
        title="Deliveries by day",
        columns=(
            *_DATED,
            DataColumn(key="mark", header="Mark", width=8),
            DataColumn(key="description", header="Description", width=44),
            DataColumn(key="count", header="Count", quantity=_COUNT, width=8, total=True),
            DataColumn(key="mass_each", header="Mass each", quantity=_MASS, width=10),
            DataColumn(key="mass", header="Mass", quantity=_MASS, width=10, total=True,
                       product=("count", "mass_each")),
        ),
        rows=tuple(rows),
        note="The bundles of the steps that are begun on a day: on site when it begins. Spares and "
        "what is bought by length or area stand in the lists of the order.",
    )  # fmt: skip
