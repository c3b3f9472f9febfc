"""Hours of work, people and tools of each phase, from a table of rates.

The rates are common practice, no source; the guide shows with each figure what it is
made of.
"""

from __future__ import annotations

import functools
import math
import tomllib
from pathlib import Path

from msgspec import Struct

from frame3d.guide.steps.phases import Phase
from frame3d.units import MM_PER_FOOT

_TABLE = Path(__file__).with_name("labour.toml")
ASSUMPTION = (
    "Hours are rough (common practice, no source) and count one person's work: experienced "
    "people, firm level ground, parts already cut and drilled. Divide by the number of "
    "people for the time on site. First-timers, hard ground and wind take longer."
)

FILM = "10 m² of film"
_FILM_MM2 = 1e7


class Rate(Struct, frozen=True, kw_only=True):
    """What a phase takes: people at least, hours of one person, tools.

    Parameters
    ----------
    people : int
    fixed : (float, float)
        Hours however large the frame is, low and high.
    each : str
        What is counted.
    low, high : float
        Hours for each of it.
    tools : tuple of str
    """

    people: int
    fixed: tuple[float, float]
    each: str
    low: float
    high: float
    tools: tuple[str, ...]


class Hours(Struct, frozen=True, kw_only=True):
    """Hours of work of one person, low and high, and how they come about."""

    low: float
    high: float
    how: str

    @property
    def text(self) -> str:
        """For example ``13 to 30 hours of work``."""
        return f"{spoken(self.low)} to {spoken(self.high)} person-hours"


def spoken(hours: float) -> str:
    """Hours as roughly as they are known: halves below 10, whole ones from there."""
    if hours < 10:
        return f"{max(0.5, round(2 * hours) / 2):g}"
    return str(math.floor(hours + 0.5))


@functools.cache
def rates() -> dict[Phase, Rate]:
    """The rate of every phase."""
    table = tomllib.loads(_TABLE.read_text(encoding="utf-8"))
    return {
        phase: Rate(
            people=row["people"], fixed=tuple(row["fixed"]), each=row["each"],
            low=row["low"], high=row["high"], tools=tuple(row["tools"]),
        )
        for phase in Phase for row in [table[phase.value]]
    }  # fmt: skip


def hours_of(phase: Phase, count: int, *, imperial: bool = False) -> Hours:
    """What a phase takes for ``count`` of the things that its rate counts.

    In feet and inches film is told by 100 ft², though it is counted by 10 m².
    """
    rate = rates()[phase]
    low, high = (
        fixed + each * count for fixed, each in zip(rate.fixed, (rate.low, rate.high), strict=True)
    )
    each, per, told = rate.each, 1.0, count
    if imperial and each == FILM:
        each, per = "100 ft² of film", 100 * MM_PER_FOOT**2 / _FILM_MM2
        told = math.ceil(count / per)
    how = (
        f"{rate.fixed[0]:g} to {rate.fixed[1]:g} h to set up, plus {per * rate.low:.2g} to "
        f"{per * rate.high:.2g} h per {each} ({told})"
    )
    return Hours(low=low, high=high, how=how)
