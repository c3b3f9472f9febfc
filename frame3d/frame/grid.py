"""The grid: how many bays of which width."""

from __future__ import annotations

import math

from frame3d.errors import DesignError
from frame3d.frame.members import Grid
from frame3d.spec.design import Bays
from frame3d.units import Say

MOST_BAYS = 400
_SAME = 1e-6


def bay_widths(bays: Bays, say: Say) -> tuple[int, float]:
    """The number of bays and their width, mm, from whatever the design gives.

    Raises
    ------
    DesignError
        If the fields are too few, too many, or contradict each other; the
        message names the nearest choices.
    """
    given = {
        name for name in ("count", "spacing", "length", "largest_spacing")
        if getattr(bays, name) is not None
    }
    if given == {"count", "spacing"}:
        return bays.count, bays.spacing
    if given == {"count", "length"}:
        return _count_and_length(bays, say)
    if given == {"length", "largest_spacing"}:
        return _largest_spacing(bays, say)
    if given == {"length", "spacing"}:
        return _length_and_spacing(bays, say)
    if given == {"count", "spacing", "length"}:
        return _all_three(bays, say)
    raise DesignError(
        f"got {', '.join(sorted(given)) or 'nothing'}; give count and spacing, or length and "
        "spacing, or length and count, or length and largest_spacing",
        "bays",
    )


def make_grid(bays: Bays, socket_x_mm: float, say: Say) -> Grid:
    """The grid of a design: hoops at equal spacing from y = 0."""
    count, spacing = bay_widths(bays, say)
    return Grid(
        hoop_y_mm=tuple(spacing * index for index in range(count + 1)),
        socket_x_mm=socket_x_mm,
    )


def _limits(count: int, spacing: float, where: str, say: Say) -> tuple[int, float]:
    if count > MOST_BAYS:
        raise DesignError(
            f"this makes {count} bays; at most {MOST_BAYS} are allowed, so make the bays wider "
            "or the tunnel shorter",
            where,
        )
    if not 300 - _SAME <= spacing <= 6000 + _SAME:
        raise DesignError(
            f"this makes bays of {say(spacing)}; allowed is {say.least(300)} to "
            f"{say.most(6000)}",
            where,
        )
    return count, spacing


def _count_and_length(bays: Bays, say: Say) -> tuple[int, float]:
    return _limits(bays.count, bays.length / bays.count, "bays.count", say)


def _largest_spacing(bays: Bays, say: Say) -> tuple[int, float]:
    count = max(1, math.ceil(bays.length / bays.largest_spacing - _SAME))
    return _limits(count, bays.length / count, "bays.largest_spacing", say)


def _length_and_spacing(bays: Bays, say: Say) -> tuple[int, float]:
    ratio = bays.length / bays.spacing
    count = max(1, round(ratio))
    if _as_told(bays.length / count, bays.spacing, say):
        return _limits(count, bays.length / count, "bays.spacing", say)
    low, high = max(1, math.floor(ratio)), max(1, math.ceil(ratio))
    lengths = " or ".join(
        f"{say(n * bays.spacing)} ({n} bays)" for n in dict.fromkeys((low, high))
    )
    spacings = " or ".join(
        f"{say(bays.length / n)} ({n} bays)" for n in dict.fromkeys((low, high))
    )
    raise DesignError(
        f"{say(bays.length)} is not a whole number of bays of {say(bays.spacing)}; "
        f"make length {lengths}, or spacing {spacings}, or give largest_spacing in place of spacing",
        "bays.length",
    )


def _as_told(made_mm: float, given_mm: float, say: Say) -> bool:
    """Whether a width that was given is the one that is made, or that as a message rounds it.

    50 ft in 13 bays makes 3.846 ft, which nobody can type: what is told of it is taken for it.
    """
    return abs(made_mm - given_mm) <= say.form.step_mm / 2 + _SAME * given_mm


def _all_three(bays: Bays, say: Say) -> tuple[int, float]:
    made = bays.count * bays.spacing
    if _as_told(bays.length / bays.count, bays.spacing, say):
        return _limits(bays.count, bays.length / bays.count, "bays.count", say)
    raise DesignError(
        f"{bays.count} bays of {say(bays.spacing)} make {say(made)}, not "
        f"{say(bays.length)}; leave one of count, spacing and length out, or make length "
        f"{say(made)}",
        "bays.length",
    )
