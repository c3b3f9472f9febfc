"""Conditions and goals as people write them: ``headroom_mm >= 2 m``, ``cost down``."""

from __future__ import annotations

import re

from frame3d.errors import UnitError
from frame3d.studies.figures.figure import Figure
from frame3d.studies.figures.known import figure_named
from frame3d.studies.plan.whole_plan import Condition, Goal
from frame3d.units import parse_length
from frame3d.units.reading import parse_mass

_CONDITION = re.compile(r"\s*(\S+?)\s*(<=|>=|==|=|<|>)\s*(.+?)\s*")
_YES = {"yes": True, "no": False}
_WAYS = {"up": True, "down": False}


def condition_of(text: str) -> Condition:
    """The condition in a text; a figure alone means that it is to be yes.

    Raises
    ------
    ValueError, UnknownFigureError
        With what is wrong and what would do.

    Examples
    --------
    >>> condition_of("headroom_mm >= 2 m").limit
    2000.0
    """
    found = _CONDITION.fullmatch(text)
    name, sign, limit = found.groups() if found else (text.strip(), "=", "yes")
    if not found and " " in name:
        raise ValueError(
            f"got {text!r}; it must be a figure, one of <= >= < > = and a limit, such as "
            '"errors = 0", or a figure that is yes or no'
        )
    figure = figure_named(name)
    if not found and figure.unit != "yes or no":
        raise ValueError(f'got {text!r}; give a limit too, such as "{name} <= 0"')
    sign = "=" if sign == "==" else sign
    return Condition(figure=name, sign=sign, limit=_limit(figure, limit), text=text.strip())


def _limit(figure: Figure, text: str) -> float | bool:
    if figure.unit == "yes or no":
        if text.lower() not in _YES:
            raise ValueError(f"got {text!r} for {figure.name}; it is yes or no")
        return _YES[text.lower()]
    try:
        return float(text)
    except ValueError:
        pass
    try:
        if figure.unit == "mm":
            return parse_length(text)
        if figure.unit == "kg":
            return parse_mass(text)
    except UnitError as error:
        raise ValueError(f"{figure.name}: {error}") from None
    of = f" in {figure.unit}" if figure.unit else ""
    raise ValueError(f"got {text!r} for {figure.name}; it must be a number{of}, such as 2.5")


def goal_of(text: str) -> Goal:
    """The goal in a text: a figure, and ``up`` or ``down``.

    Raises
    ------
    ValueError, UnknownFigureError
    """
    words = text.split()
    if len(words) != 2 or words[1].lower() not in _WAYS:
        raise ValueError(f'got {text!r}; it must be a figure and up or down, such as "cost down"')
    figure = figure_named(words[0])
    if figure.unit == "yes or no":
        raise ValueError(f"{words[0]} is yes or no; make it a condition")
    return Goal(figure=words[0], up=_WAYS[words[1].lower()])
