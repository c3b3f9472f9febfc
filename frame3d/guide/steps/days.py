"""The steps over days: how much of each a crew does in a day, and what no day may end in.

The hours are those of the guide, which are rough. Three kinds of work are told apart by the
guide's own cautions: film is put on in one day or not at all; hoops that stand are tied and braced
on the day on which they are raised; all else may be left at any piece.

Glossary
--------
hours on site : person-hours by the number of people, as if all of them always had work.
standing block : the steps from the first hoop that is raised to the last brace.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence

from msgspec import Struct, field

from frame3d.design.tables.making import Crew, Pace, Weekday
from frame3d.frame.model.members import Frame
from frame3d.guide.steps.phases import Phase
from frame3d.guide.steps.step_lists import Carriers, hours_of_step, people_count
from frame3d.guide.steps.steps import Step

STANDING = (Phase.RAISE, Phase.RIDGE, Phase.RAILS, Phase.BRACES)
"""From the first hoop that stands to the last brace; ``Phase`` has them in this order."""
_LEAST_H, _OVERRUN_H = 0.5, 0.5
"""No step is begun for less, and none is carried over for less."""
_SAME = 1e-9


class Portion(Struct, frozen=True, kw_only=True):
    """What is done of a step on one day.

    Parameters
    ----------
    step : Step
    share : float
        Of the whole step.
    hours : float
        On site.
    begins, ends : bool
        Whether the step is begun on that day, and done with at its end.
    hoops : (int, int) or None
        From which hoop to which, where a standing block takes several days.
    """

    step: Step
    share: float
    hours: float
    begins: bool
    ends: bool
    hoops: tuple[int, int] | None = None


class Day(Struct, frozen=True, kw_only=True):
    """A day of work.

    Parameters
    ----------
    number : int
        From 1.
    date : date or None
    portions : tuple of Portion
    standing : int
        How many hoops stand at its end.
    is_over : bool
        Whether it takes longer than the crew works, as its work must not be left half done.
    """

    number: int
    date: datetime.date | None
    portions: tuple[Portion, ...]
    standing: int
    is_over: bool

    @property
    def hours(self) -> float:
        """On site."""
        return math.fsum(one.hours for one in self.portions)

    @property
    def begun(self) -> tuple[Step, ...]:
        """The steps that are begun on it: what they need must be on site."""
        return tuple(one.step for one in self.portions if one.begins)


class DayPlan(Struct, frozen=True, kw_only=True):
    """All days.

    Parameters
    ----------
    crew : Crew
    days : tuple of Day
    short : tuple of (Step, int)
        Steps that take more people than there are, and how many.
    """

    crew: Crew
    days: tuple[Day, ...]
    short: tuple[tuple[Step, int], ...]


def plan_days(frame: Frame, steps: Sequence[Step], carriers: Carriers) -> DayPlan | None:
    """The days of the crew of the design; None without a crew."""
    crew = frame.design.crew
    if crew is None:
        return None
    book = _Book(most=crew.hours)
    hours = {step.number: _on_site(frame, crew, step) for step in steps}
    block = [step for step in steps if step.phase in STANDING]
    for step in steps:
        if step.phase is Phase.COVER:
            book.morning()
            book.put(step, 1.0, hours[step.number])
        elif step.phase not in STANDING:
            _loose(book, step, hours[step.number])
        elif step is block[0]:
            _standing(book, frame, block, hours)
    return DayPlan(crew=crew, days=_dated(frame, crew, book), short=_short(frame, steps, carriers))


def _on_site(frame: Frame, crew: Crew, step: Step) -> float:
    hours = hours_of_step(frame, step)
    share = {Pace.SLOW: 1.0, Pace.MIDDLE: 0.5, Pace.QUICK: 0.0}[crew.pace]
    return (hours.low + share * (hours.high - hours.low)) / crew.people


class _Book(Struct, kw_only=True):
    """Days as they are filled: each a list of portions."""

    most: float
    days: list[list[Portion]] = field(default_factory=lambda: [[]])
    done: dict[int, float] = {}  # msgspec gives each its own

    @property
    def left(self) -> float:
        return self.most - math.fsum(one.hours for one in self.days[-1])

    def morning(self) -> None:
        """Go on with a new day, unless this one has not begun."""
        if self.days[-1]:
            self.days.append([])

    def put(
        self, step: Step, share: float, hours: float, hoops: tuple[int, int] | None = None
    ) -> None:
        """So much of a step, ``hours`` being those of that share."""
        before = self.done.get(step.number, 0.0)
        self.done[step.number] = before + share
        self.days[-1].append(
            Portion(step=step, share=share, hours=hours, begins=before <= _SAME,
                    ends=before + share >= 1.0 - _SAME, hoops=hoops)
        )  # fmt: skip


def _loose(book: _Book, step: Step, hours: float) -> None:
    """A step that may be left at any piece."""
    todo = hours
    while todo > _SAME:
        if book.left < min(_LEAST_H, todo - _OVERRUN_H):
            book.morning()
        now = todo if todo <= book.left + _OVERRUN_H else book.left
        book.put(step, now / hours, now)
        todo -= now


def _standing(
    book: _Book, frame: Frame, block: Sequence[Step], hours: dict[int, float]
) -> None:  # fmt: skip
    """Raising, rails and braces: in one day, or as many hoops a day as are tied and braced too."""
    whole = math.fsum(hours[step.number] for step in block)
    if whole > book.left:
        book.morning()
    if whole <= book.left:
        for step in block:
            book.put(step, 1.0, hours[step.number])
        return
    count, up = len(frame.grid.hoop_y_mm), 0
    while up < count:
        to = count
        while to > up + 1 and _cost(block, hours, up, to, count) > book.most:
            to -= 1
        for step in block:
            share = _share(step, up, to, count)
            if share > _SAME:
                book.put(step, share, share * hours[step.number], (up + 1, to))
        up = to
        if up < count:
            book.morning()


def _cost(
    block: Sequence[Step], hours: dict[int, float], up: int, to: int, count: int
) -> float:  # fmt: skip
    return math.fsum(_share(step, up, to, count) * hours[step.number] for step in block)


def _share(step: Step, up: int, to: int, count: int) -> float:
    """How much of a step the hoops after ``up`` as far as ``to`` are."""
    if step.phase is not Phase.BRACES or not step.members:
        return (to - up) / count

    def tied(hoops: int) -> int:
        return sum(max(m.spot.hoop, m.spot.to_hoop or 0) <= hoops for m in step.members)

    return (tied(to) - tied(up)) / len(step.members)


def _dated(frame: Frame, crew: Crew, book: _Book) -> tuple[Day, ...]:
    rest = {tuple(Weekday).index(one) for one in crew.rest_days}
    date = None if crew.start == "-" else datetime.date.fromisoformat(crew.start)
    one_day = datetime.timedelta(days=1)
    made: list[Day] = []
    up = 0
    for number, portions in enumerate(book.days, start=1):
        while date is not None and date.weekday() in rest:
            date += one_day
        for portion in portions:
            if portion.step.phase is Phase.RAISE:
                up = portion.hoops[1] if portion.hoops else len(frame.grid.hoop_y_mm)
        used = math.fsum(one.hours for one in portions)
        made.append(
            Day(number=number, date=date, portions=tuple(portions), standing=up,
                is_over=used > crew.hours + _OVERRUN_H + _SAME)
        )  # fmt: skip
        date = None if date is None else date + one_day
    return tuple(made)


def _short(
    frame: Frame, steps: Sequence[Step], carriers: Carriers
) -> tuple[tuple[Step, int], ...]:  # fmt: skip
    needed = ((step, people_count(frame, step, carriers)) for step in steps)
    crew = frame.design.crew
    return tuple((step, count) for step, count in needed if crew and count > crew.people)
