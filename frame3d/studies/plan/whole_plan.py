"""A plan that can be carried out: everything in it has been looked at."""

from __future__ import annotations

import math
from pathlib import Path

from msgspec import Struct

from frame3d.design.tables.fields import Table, Written

Choice = tuple[Written, ...]
LEFT_OUT = "left out"
"""In place of a value: the field is left out, so that it has its default."""


class Axis(Struct, frozen=True, kw_only=True):
    """Fields that vary together, and what they may be.

    Parameters
    ----------
    fields : tuple of str
        Such as ``profile.width`` or ``rail[2].height``.
    choices : tuple of tuple
        Each with one value for each field, as a design file has it.
    """

    fields: tuple[str, ...]
    choices: tuple[Choice, ...]


class Condition(Struct, frozen=True, kw_only=True):
    """What a figure must be for a design to be considered.

    Parameters
    ----------
    figure, text : str
        Its name, and the condition as it was written.
    sign : str
        ``<=``, ``>=``, ``<``, ``>`` or ``=``.
    limit : float or bool
        In the unit of the figure.
    """

    figure: str
    sign: str
    limit: float | bool
    text: str

    def holds(self, value: float | int | bool | str | None) -> bool:
        """Whether a value meets it; None, and text, never do."""
        if not isinstance(value, int | float):
            return False
        match self.sign:
            case "<=":
                return value <= self.limit
            case ">=":
                return value >= self.limit
            case "<":
                return value < self.limit
            case ">":
                return value > self.limit
            case _:
                return value == self.limit


class Goal(Struct, frozen=True, kw_only=True):
    """A figure that is to be as high, or as low, as can be."""

    figure: str
    up: bool


class Plan(Struct, frozen=True, kw_only=True):
    """What to compare.

    Parameters
    ----------
    base : dict
        The design that is varied, as its file has it.
    base_text : str or None
        The text of that file; None where it came as a mapping.
    folder : Path
        Where the files that the design names lie.
    axes : tuple of Axis
    figures : tuple of str
        All that is asked, conditions and goals included, each once.
    conditions : tuple of Condition
    goals : tuple of Goal
    sample : int or None
        How many designs to draw; None for all combinations.
    seed : int
    """

    base: Table
    base_text: str | None
    folder: Path
    axes: tuple[Axis, ...]
    figures: tuple[str, ...]
    conditions: tuple[Condition, ...] = ()
    goals: tuple[Goal, ...] = ()
    sample: int | None = None
    seed: int = 1

    @property
    def fields(self) -> tuple[str, ...]:
        """All fields that vary."""
        return tuple(field for axis in self.axes for field in axis.fields)

    @property
    def combinations(self) -> int:
        """How many designs there are in all."""
        return math.prod(len(axis.choices) for axis in self.axes)

    @property
    def count(self) -> int:
        """How many designs are compared; a sample may draw some twice, which are made once."""
        return self.combinations if self.sample is None else self.sample
