"""The guide of a frame: every step with its words, lists and drawings."""

from __future__ import annotations

import math
from collections.abc import Callable

from frame3d.design.tables.hoops import RidgeJoint
from frame3d.frame.describe.as_built import bay_text, titled
from frame3d.frame.describe.set_status import UNCHECKED, SetStatus
from frame3d.frame.describe.wording import CAUTIONS, lengths_of
from frame3d.frame.model.members import Frame
from frame3d.frame.revisions.words import with_revision
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.guide.day_content import about_days, days_told
from frame3d.guide.pictures.pictures import Pictures
from frame3d.guide.steps.days import plan_days
from frame3d.guide.steps.labour import ASSUMPTION, spoken
from frame3d.guide.steps.phases import Phase
from frame3d.guide.steps.step_content import Guide, StepContent, StepContext, Words
from frame3d.guide.steps.step_lists import (
    Carriers,
    carriers_of,
    fixing_lines,
    hours_of_step,
    part_lines,
    people_of,
    tools_of,
)
from frame3d.guide.steps.steps import Step, steps_of
from frame3d.guide.words.words_cover import channel, cover
from frame3d.guide.words.words_curtains import curtains
from frame3d.guide.words.words_days import troubles
from frame3d.guide.words.words_ends import doors, hips, inspect, walls
from frame3d.guide.words.words_ground import prepare, stake
from frame3d.guide.words.words_hoops import hoops, raising
from frame3d.guide.words.words_lines import braces, rails, ridge, sills, ties
from frame3d.guide.words.words_sockets import sockets
from frame3d.site.write.ground_words import ground_figure

_WORDS: dict[Phase, Callable[[StepContext], Words]] = {
    Phase.PREPARE: prepare, Phase.STAKE: stake, Phase.SOCKETS: sockets, Phase.HOOPS: hoops,
    Phase.RAISE: raising, Phase.RIDGE: ridge, Phase.RAILS: rails, Phase.BRACES: braces,
    Phase.SILLS: sills, Phase.TIES: ties, Phase.WALLS: walls, Phase.DOORS: doors,
    Phase.HIPS: hips, Phase.INSPECT: inspect, Phase.CHANNEL: channel, Phase.COVER: cover,
    Phase.CURTAINS: curtains,
}  # fmt: skip
_MORE_CAUTIONS = (
    "Work in calm weather: hoops and film catch the wind, and a half-built frame has only its "
    "temporary braces.",
    "The numbers of people come from weights and a lifting equation; they know nothing of the "
    "people on your crew.",
    "The order of work is common practice. It says nothing about strength.",
)


def guide_of(frame: Frame, status: SetStatus = UNCHECKED, *, drawn: bool = True) -> Guide:
    """The guide to put up ``frame`` by; without drawings where they are not wanted."""
    steps, carriers = steps_of(frame), carriers_of(frame)
    pictures = Pictures(frame, steps) if drawn else None
    told = tuple(_told(frame, steps, step, carriers, pictures, status) for step in steps)
    hours = [hours_of_step(frame, step) for step in steps]
    low, high = (math.fsum(getattr(one, end) for one in hours) for end in ("low", "high"))
    project = frame.design.project
    plan = plan_days(frame, steps, carriers)
    return Guide(
        title=titled(frame), owner=project.owner,
        number=with_revision(frame, status.number(project.number)),
        figures=_figures(frame), steps=told,
        cautions=(*filter(None, [status.headline]), *CAUTIONS, *_MORE_CAUTIONS),
        hours=f"{spoken(low)} to {spoken(high)} person-hours in all",
        assumption=ASSUMPTION,
        days=days_told(frame, plan, told) if plan else (),
        about_days=about_days(plan) if plan else (),
        day_troubles=troubles(plan) if plan else (),
    )  # fmt: skip


def _told(
    frame: Frame,
    steps: tuple[Step, ...],
    step: Step,
    carriers: Carriers,
    pictures: Pictures | None,
    status: SetStatus,
) -> StepContent:
    words = _WORDS[step.phase](StepContext(frame=frame, steps=steps, step=step, status=status))
    hours = hours_of_step(frame, step)
    return StepContent(
        step=step, words=words, parts=part_lines(frame, step, carriers),
        fixings=fixing_lines(frame, step), tools=tools_of(frame, step),
        people=people_of(frame, step, steps, carriers), hours=hours.text, how_hours=hours.how,
        pictures=pictures.of(step) if pictures else (),
    )  # fmt: skip


def _figures(frame: Frame) -> tuple[tuple[str, str], ...]:
    """What tells this frame from another."""
    form, arch, grid = lengths_of(frame), frame.arch, frame.grid

    def say(length_mm: float) -> str:
        return form.text(length_mm, unit=True)

    hoops = len(grid.hoop_y_mm)
    return (
        ("Form", f"{arch.style.value}, {hoops} hoops"),
        ("Width between centres of the sockets", say(2 * grid.socket_x_mm)),
        ("Length between centres of the end hoops", say(grid.length_mm)),
        ("Bays", f"{hoops - 1} of {bay_text(frame)}"),
        (f"Ridge height, {_ridge_point(frame)}", say(arch.heights().centres_mm)),
        ground_figure(frame),
    )


def _ridge_point(frame: Frame) -> str:
    """What the height of the ridge is measured to."""
    if frame.arch.style is not ArchStyle.GOTHIC:
        return "to the hoop's centreline"
    sleeve = frame.design.hoop.ridge_joint is RidgeJoint.SLEEVE
    return "where the centrelines of the two halves meet" + (
        " (the bent ridge sleeve itself is lower)" if sleeve else ""
    )
