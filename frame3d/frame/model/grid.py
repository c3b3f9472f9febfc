"""The grid: how many bays of which width."""

from __future__ import annotations

import math

from frame3d.design.tables.whole_design import Bays
from frame3d.design.values.field_info import limits_of
from frame3d.errors import DesignError
from frame3d.frame.model.roles import Grid
from frame3d.units import LengthText

MOST_BAYS = 400
_SAME = 1e-6


def bay_widths(bays: Bays, say: LengthText) -> tuple[int, float]:
    """The number of bays and their width, mm, from whatever the design gives.

    Raises
    ------
    DesignError
        If the fields are too few, too many, or contradict each other; the
        message names the nearest choices.
    """
    match (bays.count, bays.spacing, bays.length, bays.largest_spacing):
        case (int(count), float(spacing), None, None):
            return count, spacing
        case (int(count), None, float(length), None):
            return _limits(count, length / count, "bays.count", say)
        case (None, None, float(length), float(largest)):
            count = max(1, math.ceil(length / largest - _SAME))
            return _limits(count, length / count, "bays.largest_spacing", say)
        case (None, float(spacing), float(length), None):
            return _length_and_spacing(length, spacing, say)
        case (int(count), float(spacing), float(length), None):
            return _all_three(count, spacing, length, say)
    given = sorted(name for name, value in bays if value is not None)
    raise DesignError(
        f"got {', '.join(given) or 'nothing'}; give count and spacing, or length and "
        "spacing, or length and count, or length and largest_spacing",
        "bays",
    )


def make_grid(
    bays: Bays, socket_x_mm: float, say: LengthText, driven_mm: tuple[float, ...] = ()
) -> Grid:
    """The grid of a design: hoops at equal spacing from y = 0, or where they were driven."""
    count, spacing = bay_widths(bays, say)
    even = tuple(spacing * index for index in range(count + 1))
    return Grid(
        hoop_y_mm=driven_mm or even,
        socket_x_mm=socket_x_mm,
        designed_y_mm=even if driven_mm else (),
    )


def _limits(count: int, spacing: float, where: str, say: LengthText) -> tuple[int, float]:
    change = _within(count * spacing, where, say)
    if count > MOST_BAYS:
        raise DesignError(f"this makes {count} bays; the limit is {MOST_BAYS}; {change}", where)
    least, most = limits_of("bays")["spacing"]
    if not least - _SAME <= spacing <= most + _SAME:
        raise DesignError(
            f"this makes bays {say(spacing)} wide; they can be {say.least(least)} to "
            f"{say.most(most)}; {change}",
            where,
        )
    return count, spacing


def _within(length_mm: float, where: str, say: LengthText) -> str:
    """What to do where the bays come out too many, too narrow or too wide."""
    least, most = limits_of("bays")["spacing"]
    many = max(1, min(MOST_BAYS, math.floor(length_mm / least + _SAME)))
    if where == "bays.count":
        return f"make it {max(1, math.ceil(length_mm / most - _SAME))} to {many}"
    if where == "bays.largest_spacing":
        return f"make it at least {say.least(length_mm / many)}"
    return "make the bays wider or the tunnel shorter"


def _length_and_spacing(length: float, spacing: float, say: LengthText) -> tuple[int, float]:
    ratio = length / spacing
    count = max(1, round(ratio))
    if _as_told(length / count, spacing, say):
        return _limits(count, length / count, "bays.spacing", say)
    counts = tuple(dict.fromkeys((max(1, math.floor(ratio)), max(1, math.ceil(ratio)))))
    offers = [
        *_offered("length", {n: n * spacing for n in counts}, say),
        *_offered("spacing", {n: length / n for n in counts}, say),
        "give largest_spacing instead of spacing",
    ]
    raise DesignError(
        f"{say(length)} is not a whole number of bays of {say(spacing)}; {', or '.join(offers)}",
        "bays.length",
    )


def _offered(name: str, by_count: dict[int, float], say: LengthText) -> list[str]:
    """What to make of a field, for each number of bays that it may be made for; or nothing."""
    low, high = limits_of("bays")[name]
    told = [
        f"{say(value)} ({count} bay{'' if count == 1 else 's'})"
        for count, value in by_count.items()
        if low <= value <= high and count <= MOST_BAYS
    ]
    return [f"make {name} {' or '.join(told)}"] if told else []


def _as_told(made_mm: float, given_mm: float, say: LengthText) -> bool:
    """Whether a width that was given is the one that is made, or that as a message rounds it.

    50 ft in 13 bays makes 3.846 ft, which nobody can type: what is told of it is taken for it.
    """
    return abs(made_mm - given_mm) <= say.form.step_mm / 2 + _SAME * given_mm


def _all_three(count: int, spacing: float, length: float, say: LengthText) -> tuple[int, float]:
    made = count * spacing
    if _as_told(length / count, spacing, say):
        return _limits(count, length / count, "bays.count", say)
    low, high = limits_of("bays")["length"]
    change = f", or make length {say(made)}" if low <= made <= high else ""
    raise DesignError(
        f"{count} bays of {say(spacing)} make {say(made)}, not {say(length)}; remove one of "
        f"count, spacing and length{change}",
        "bays.length",
    )
