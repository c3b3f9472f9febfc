"""What a step is told as: plain values that page and print are both made of."""

from __future__ import annotations

from msgspec import Struct

from frame3d.design.tables.ends import End
from frame3d.frame.describe.set_status import UNCHECKED, SetStatus
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.guide.steps.phases import Phase
from frame3d.guide.steps.steps import Step
from frame3d.site.survey import Site, site_of
from frame3d.units import LengthFormat


class StepContext(Struct, frozen=True, kw_only=True):
    """What the words of a step are made from.

    The frame, its steps, the step itself, and what is to be known of the set.
    """

    frame: Frame
    steps: tuple[Step, ...]
    step: Step
    status: SetStatus = UNCHECKED

    @property
    def form(self) -> LengthFormat:
        """How lengths are written."""
        return lengths_of(self.frame)

    @property
    def survey(self) -> Site:
        """What is staked out and driven, on the ground that was measured."""
        return site_of(self.frame, self.status)

    def say(self, length_mm: float) -> str:
        """A length with its unit."""
        return self.form.text(length_mm, unit=True)

    def number_of(self, phase: Phase, end: End | None = None) -> int | None:
        """The number of a step, or None where the frame has no such step."""
        for step in self.steps:
            if step.phase is phase and (end is None or step.end is end):
                return step.number
        return None


class Check(Struct, frozen=True, kw_only=True):
    """A hold point: what is checked, and the figure that it must have."""

    what: str
    figure: str


class Words(Struct, frozen=True, kw_only=True):
    """A step in words.

    Parameters
    ----------
    title, aim : str
    do : tuple of str
        What is done, in order.
    cautions : tuple of str
        Of this step; they stand first.
    checks : tuple of Check
    why_bare : str
        Why the step has no parts of its own; empty for one that has.
    """

    title: str
    aim: str
    do: tuple[str, ...]
    cautions: tuple[str, ...] = ()
    checks: tuple[Check, ...] = ()
    why_bare: str = ""


class PartLine(Struct, frozen=True, kw_only=True):
    """A made part of a step.

    Parameters
    ----------
    mark, role, what, length, mass, where : str
    count : int
        In this step.
    hands : int
        People who carry one.
    """

    mark: str
    role: str
    what: str
    length: str
    mass: str
    where: str
    count: int
    hands: int


class FixingLine(Struct, frozen=True, kw_only=True):
    """Hardware of a step that holds the same kinds of part."""

    mark: str
    what: str
    holds: str
    where: str
    count: int


class Picture(Struct, frozen=True, kw_only=True):
    """A drawing as SVG, its size in the units of its own view box, and what it shows."""

    svg: str
    width: float
    height: float
    caption: str


class StepContent(Struct, frozen=True, kw_only=True):
    """A step as it is told.

    Parameters
    ----------
    step : Step
    words : Words
    parts : tuple of PartLine
    fixings : tuple of FixingLine
    tools : tuple of str
    people : str
    hours, how_hours : str
    pictures : tuple of Picture
    """

    step: Step
    words: Words
    parts: tuple[PartLine, ...]
    fixings: tuple[FixingLine, ...]
    tools: tuple[str, ...]
    people: str
    hours: str
    how_hours: str
    pictures: tuple[Picture, ...] = ()


class DayContent(Struct, frozen=True, kw_only=True):
    """A day as it is told.

    Parameters
    ----------
    title : str
    work : tuple of (str, str)
        Each step with how much of it is done, and its hours on site.
    hours : str
        On site, of the whole day.
    bring : tuple of str
        Bundles that must be on site when it begins.
    leave : tuple of str
        What must be so before it is left overnight.
    short : tuple of str
        What to do if the day runs out.
    """

    title: str
    work: tuple[tuple[str, str], ...]
    hours: str
    bring: tuple[str, ...]
    leave: tuple[str, ...]
    short: tuple[str, ...]


class Guide(Struct, frozen=True, kw_only=True):
    """The whole guide.

    Parameters
    ----------
    title, owner, number : str
    figures : tuple of (str, str)
        The main figures of the frame.
    cautions : tuple of str
    steps : tuple of StepContent
    hours : str
        Of all steps together.
    assumption : str
        What the hours rest on.
    days : tuple of DayContent
        Empty where the design names no crew.
    about_days : tuple of str
        What the days rest on.
    day_troubles : tuple of str
        What the crew is too small for.
    """

    title: str
    owner: str
    number: str
    figures: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    steps: tuple[StepContent, ...]
    hours: str
    assumption: str
    days: tuple[DayContent, ...] = ()
    about_days: tuple[str, ...] = ()
    day_troubles: tuple[str, ...] = ()
