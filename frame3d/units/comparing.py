"""What is required, what is provided and what is left, as texts that add up.

Rounded one by one, 80 in and 79.98 in would both read ``6'-8"``, and the margin would be
``-0"``: as if nothing were amiss. Here all three are whole numbers of one step, fine enough to
tell the two apart.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from msgspec import Struct

from frame3d.units.formatting import LengthFormat
from frame3d.units.system import MM_PER_INCH, UnitSystem

_FINEST_DENOMINATOR = 64
_MOST_DECIMALS = 9
_EQUAL = 1e-9


class Numbers(Struct, frozen=True, kw_only=True):
    """Three numbers as texts: read back, ``margin`` is exactly what lies between the others.

    Parameters
    ----------
    required, provided, margin : str
    say : callable
        Writes another number of the same unit in the same steps.
    """

    required: str
    provided: str
    margin: str
    say: Callable[[float], str]


class _Scale(Struct, frozen=True):
    """A step, in units of the numbers, and what writes a whole number of them."""

    step: float
    write: Callable[[int], str]

    def count(self, value: float) -> int:
        """The value in steps, half-way cases away from zero."""
        size = math.floor(abs(value) / self.step + 0.5 + 1e-9)
        return -size if value < 0 else size


def compared(
    required: float,
    provided: float,
    *,
    form: LengthFormat,
    unit: str = "mm",
    is_most: bool = False,
    fine: bool = False,
) -> Numbers:
    """The texts of a requirement and of what there is.

    Parameters
    ----------
    required, provided : float
        In `unit`.
    form : LengthFormat
        How lengths are written, and how coarsely at first.
    unit : str
        ``mm``, ``deg``, ``share`` (told in percent) or empty.
    is_most : bool
        Whether `required` is the most that is allowed; the margin is then counted down to it.
    fine : bool
        For fits: lengths begin at 0.001 in or 0.1 mm.
    """
    same = abs(required - provided) <= _EQUAL * max(1.0, abs(required))
    for scale in _scales(unit, form, fine):
        least, here = scale.count(required), scale.count(provided)
        if same or least != here:
            break
    left = least - here if is_most else here - least
    return Numbers(
        required=scale.write(least),
        provided=scale.write(here),
        margin=scale.write(left),
        say=lambda value: scale.write(scale.count(value)),
    )


def _scales(unit: str, form: LengthFormat, fine: bool) -> Iterator[_Scale]:
    """Ever finer steps."""
    if unit == "mm":
        yield from _lengths(form, fine)
        return
    first, per, after = {"deg": (1, 1, " deg"), "share": (1, 100, " %")}.get(unit, (2, 1, ""))
    for decimals in range(first, _MOST_DECIMALS + 1):
        yield _Scale(10.0**-decimals / per, _decimals(decimals, after, keep=bool(after)))


def _lengths(form: LengthFormat, fine: bool) -> Iterator[_Scale]:
    metric = form.system is UnitSystem.METRIC
    denominator = form.denominator
    while not fine and not metric and denominator <= _FINEST_DENOMINATOR:
        own = LengthFormat(system=form.system, denominator=denominator)
        yield _Scale(own.step_mm, _fractions(own))
        denominator *= 2
    unit_mm, after = (1.0, " mm") if metric else (MM_PER_INCH, " in")
    first = 3 if not metric else max(1, form.decimals) if fine else form.decimals
    for decimals in range(first, _MOST_DECIMALS + 1):
        yield _Scale(unit_mm * 10.0**-decimals, _decimals(decimals, after, keep=fine))


def _fractions(form: LengthFormat) -> Callable[[int], str]:
    return lambda count: form.text(count * form.step_mm)


def _decimals(decimals: int, after: str, *, keep: bool) -> Callable[[int], str]:
    def write(count: int) -> str:
        whole, part = divmod(abs(count), 10**decimals)
        text = f"{whole}.{part:0{decimals}d}" if decimals else f"{whole}"
        if decimals and not keep:
            text = text.rstrip("0").rstrip(".")
        return f"{'-' if count < 0 else ''}{text}{after}"

    return write
