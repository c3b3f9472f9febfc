"""The days of a guide as they are told: work, deliveries, and what no day may end in."""

from __future__ import annotations

from collections.abc import Sequence

from frame3d.frame.model.members import Frame
from frame3d.guide.steps.days import Day, DayPlan
from frame3d.guide.steps.labour import spoken
from frame3d.guide.steps.phases import Phase
from frame3d.guide.steps.step_content import DayContent, StepContent
from frame3d.guide.words.words_days import (
    before_leaving,
    day_title,
    done_of,
    if_short,
)

_ABOUT = (
    "Days are filled by the {pace} hours of the steps, shared by {people} people who all have work "
    "all the time, {hours:g} hours a day. Weather, rest days that are not named, and all that goes "
    "wrong are yours to add. What must be so overnight is common practice, no source, and says "
    "nothing about strength.",
    "Bundles are those of the take-off, one for each step: each must be on site when its step "
    "begins. Count it as it comes.",
)
_PACE = {"slow": "high", "middle": "middle", "quick": "low"}


def about_days(plan: DayPlan) -> tuple[str, ...]:
    """What the days rest on."""
    crew = plan.crew
    told = _ABOUT[0].format(pace=_PACE[crew.pace.value], people=crew.people, hours=crew.hours)
    return told, _ABOUT[1]


def days_told(frame: Frame, plan: DayPlan, steps: Sequence[StepContent]) -> tuple[DayContent, ...]:
    """Every day of ``plan``."""
    by_number = {told.step.number: told for told in steps}
    return tuple(_told(frame, plan, day, by_number) for day in plan.days)


def _told(frame: Frame, plan: DayPlan, day: Day, steps: dict[int, StepContent]) -> DayContent:
    work = []
    for portion in day.portions:
        told = steps[portion.step.number]
        how_much = done_of(portion)
        more = f": {how_much}" if how_much else ""
        text = f"Step {portion.step.number}, {told.words.title}{more}"
        work.append((text, f"{spoken(portion.hours)} h"))
    return DayContent(
        title=day_title(day), work=tuple(work), hours=f"about {spoken(day.hours)} hours on site",
        bring=tuple(_bundle(steps[step.number]) for step in day.begun
                    if step.phase is not Phase.PREPARE and steps[step.number].step.all_members),
        leave=before_leaving(frame, plan, day), short=if_short(day),
    )  # fmt: skip


def _bundle(told: StepContent) -> str:
    """The bundle of a step: its marks with their counts."""
    marks: dict[str, int] = {}
    for member in told.step.all_members:
        marks[member.mark] = marks.get(member.mark, 0) + 1
    counted = ", ".join(f"{count} × {mark}" for mark, count in marks.items())
    return f"Bundle {told.step.number}: {counted}"
