"""What is said of a day: what must be so before it is left overnight, and if it runs out.

All of it is common practice, no source, and follows the cautions of the steps.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from frame3d.design.tables.making import Weekday
from frame3d.frame.model.members import Frame
from frame3d.guide.steps.days import STANDING, Day, DayPlan, Portion
from frame3d.guide.steps.phases import Phase
from frame3d.guide.steps.steps import legs_bolted

_ALWAYS = "Lay ladders down, bring tools and loose sheets in, and keep others off the site."
_LOOSE_FILM = (
    "Below the hips the film is free until the curtains hang: roll it up, and tie it at every hoop."
)


def day_title(day: Day) -> str:
    """For example ``Day 3, Wednesday 2027-03-10``."""
    if day.date is None:
        return f"Day {day.number}"
    weekday = tuple(Weekday)[day.date.weekday()].value.capitalize()
    return f"Day {day.number}, {weekday} {day.date.isoformat()}"


def done_of(portion: Portion) -> str:
    """How much of a step is done, in words; empty for all of it."""
    if portion.hoops is not None:
        first, last = portion.hoops
        if portion.step.phase is Phase.BRACES:
            return f"those between hoops that stand, as far as hoop {last}"
        return f"hoop {first}" if first == last else f"hoops {first} to {last}"
    if portion.begins and portion.ends:
        return ""
    percent = max(1, round(100 * portion.share))
    return f"the rest, about {percent} %" if portion.ends else f"about {percent} % of it"


def before_leaving(frame: Frame, plan: DayPlan, day: Day) -> tuple[str, ...]:
    """What must be so at the end of a day."""
    begun, done = _phases(plan, day)
    return (*_of_hoops(frame, plan, day, begun, done), *_of_the_rest(frame, begun, done), _ALWAYS)


def _phases(plan: DayPlan, day: Day) -> tuple[set[Phase], set[Phase]]:
    """The phases begun and done by the end of a day; one done at one end only is not done."""
    so_far = [one for other in plan.days[: day.number] for one in other.portions]
    begun = {one.step.phase for one in so_far}
    later = {one.step.phase for other in plan.days[day.number :] for one in other.portions}
    return begun, begun - later


def _of_hoops(
    frame: Frame, plan: DayPlan, day: Day, begun: set[Phase], done: set[Phase]
) -> Iterator[str]:
    """Sockets, and hoops that lie or stand."""
    count = len(frame.grid.hoop_y_mm)
    if Phase.SOCKETS in begun and day.standing < count:
        yield "Cover or flag every socket and every hole, so that nobody falls over one."
    if Phase.HOOPS in begun and day.standing < count:
        yield "Lay finished hoops flat and tie the stack down: they catch the wind."
    if not day.standing:
        return
    if day.standing < count:
        yield (
            f"Hoops 1 to {day.standing} stand, and no others. Ridge rail and rails are on and "
            f"tight as far as hoop {day.standing}; a hoop that no piece reaches is tied to the one "
            "before it at the top and at both sides."
        )
        yield (
            f"Temporary braces hold hoop 1 and hoop {day.standing} both ways along the tunnel. "
            "Every leg is pinned in its socket."
        )
    else:
        yield from _all_up(plan, day, begun, done)
    if Phase.COVER not in begun:
        yield "No film or sheet is on the frame: all of it goes on in one day, after inspection."


def _all_up(plan: DayPlan, day: Day, begun: set[Phase], done: set[Phase]) -> Iterator[str]:
    """Once every hoop stands."""
    bolted = _legs_are_bolted(plan, day)
    if not bolted:
        yield "Every leg is pinned in its socket, and every hoop is held at the top."
    if not begun & set(STANDING) <= done:
        yield "All temporary braces are on."
    elif Phase.BRACES not in begun:
        yield (
            "This design has no braces along its sides: all temporary braces stay on until a "
            "professional says what replaces them."
        )
    elif not bolted:
        yield "The temporary braces stay on until every leg is bolted to its socket."


def _legs_are_bolted(plan: DayPlan, day: Day) -> bool:
    steps = [one.step for other in plan.days for one in other.portions]
    bolts = set(legs_bolted(steps))
    left = {one.step.number for other in plan.days[day.number :] for one in other.portions}
    return not bolts & left


def _of_the_rest(frame: Frame, begun: set[Phase], done: set[Phase]) -> Iterator[str]:
    """Walls, doors, film and curtains."""
    if Phase.WALLS in begun and Phase.WALLS not in done:
        yield "Every stud and jamb that stands is fixed at both ends, or laid down again."
    if Phase.DOORS in begun:
        yield (
            "Every leaf that hangs is latched or tied; one that hangs by half its hinges comes off."
        )
    if Phase.COVER in begun:
        yield "The film is fixed along every edge, with nothing left to flap; doors are shut."
        if frame.vents and Phase.CURTAINS not in done:
            yield _LOOSE_FILM
    if Phase.CURTAINS in begun and Phase.CURTAINS not in done:
        yield "A curtain that hangs is rolled up and tied, or wound down and held by its cords."


def if_short(day: Day) -> tuple[str, ...]:
    """What to do where a day runs out, by what is done on it."""
    phases = {one.step.phase for one in day.portions}
    found = []
    if phases & set(STANDING):
        found.append(
            "Stop raising in time: what stands must be tied and braced today. A hoop that cannot "
            "be is not raised, or is taken down again."
        )
    if Phase.BRACES in phases:
        found.append("Take no temporary brace off for a brace that is not tight.")
    if Phase.COVER in phases:
        found.append(
            "Look at the forecast the evening before and again in the morning: calm all day, or "
            "wait. Film that cannot be fixed along every edge before the day ends comes off again: "
            "roll it up and tie it down. Never leave it half on."
        )
    if Phase.WALLS in phases:
        found.append("Fix each stud at both ends before the next is set up.")
    if phases - {Phase.COVER, *STANDING}:
        found.append("Leave all else at a finished piece; it goes on the day after.")
    return tuple(found)


def troubles(plan: DayPlan) -> tuple[str, ...]:
    """What the crew is too small for, and what was taken for granted."""
    people = plan.crew.people
    found = [
        f"Step {step.number} takes at least {count} people, and the crew has {people}: get more "
        "for it."
        for step, count in plan.short
    ]
    for day in plan.days:
        if not day.is_over:
            continue
        numbers = " and ".join(f"{one.step.number}" for one in day.portions)
        needed = math.ceil(day.hours * people / plan.crew.hours - 1e-9)
        found.append(
            f"Day {day.number} is longer than {plan.crew.hours:g} hours, and step {numbers} must "
            f"not be left half done: it takes {needed} people, or a longer day."
        )
    return tuple(found)
