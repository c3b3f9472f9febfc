"""Values from one to another in even steps, written in the units in which they were given."""

from __future__ import annotations

import math
import re
from fractions import Fraction

from frame3d.errors import UnitError
from frame3d.studies.plan.plan_tables import MOST_CHOICES
from frame3d.units.reading import parse_angle, parse_length_exact

Given = str | int | float
_PLAIN = re.compile(r"\s*[+-]?[0-9.]+\s*([a-z°'\"]+)\s*")
_FEET = {"ft", "in", "'", '"', "feet", "foot", "inch", "inches"}
_INCH = Fraction(254, 10)


def values_between(first: Given, last: Given, step: Given) -> list[str | int | float]:
    """``first``, and so on by ``step`` up to ``last``, which is among them where the steps meet it.

    Examples
    --------
    >>> values_between("5 m", "6 m", "0.5 m"), values_between("4 ft", "5 ft", "6 in")
    (['5 m', '5.5 m', '6 m'], ['48 in', '54 in', '60 in'])
    >>> values_between(8, 12, 2)
    [8, 10, 12]

    Raises
    ------
    ValueError
        If the three do not go together; the message says why.
    """
    given = (first, last, step)
    if all(isinstance(value, int | float) for value in given):
        low, high, by = (Fraction(str(value)) for value in given)
        whole = all(isinstance(value, int) for value in given)
        return [int(v) if whole else float(v) for v in _between(low, high, by)]
    if not all(isinstance(value, str) for value in given):
        raise ValueError("from, to and step must be alike: three lengths, angles or numbers")
    texts = [str(value) for value in given]
    units = {found[1] if (found := _PLAIN.fullmatch(text)) else "" for text in texts}
    try:
        low, high, by = (parse_length_exact(text, allow_negative=True) for text in texts)
    except UnitError as error:
        if not all(_is_angle(text) for text in texts):
            raise ValueError(str(error)) from None
        low, high, by = (_degrees(text) for text in texts)
        return [f"{_text(value)} deg" for value in _between(low, high, by)]
    if len(units) == 1 and (unit := units.pop()):
        scale = parse_length_exact(f"1 {unit}")
        return [f"{_text(value / scale)} {unit}" for value in _between(low, high, by)]
    if units <= _FEET:
        return [f"{_text(value / _INCH)} in" for value in _between(low, high, by)]
    return [f"{_text(value)} mm" for value in _between(low, high, by)]


def _between(low: Fraction, high: Fraction, step: Fraction) -> list[Fraction]:
    if step <= 0 or high < low:
        raise ValueError("to must not be less than from, and step must be more than nothing")
    count = math.floor((high - low) / step) + 1
    if count > MOST_CHOICES:
        raise ValueError(f"these are {count:,} values; at most {MOST_CHOICES:,} are taken")
    return [low + number * step for number in range(count)]


def _is_angle(text: str) -> bool:
    try:
        parse_angle(text, allow_negative=True)
    except UnitError:
        return False
    return True


def _degrees(text: str) -> Fraction:
    return Fraction(
        round(math.degrees(parse_angle(text, allow_negative=True)), 6)
    ).limit_denominator(1_000_000)


def _text(value: Fraction) -> str:
    return f"{float(value):.10g}"
