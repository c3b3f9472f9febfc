"""A new design by the few figures that a user gives: what the two forms of its file are made of.

What is not given follows: a wider tunnel is higher in proportion, a lower one has lower braces.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

from msgspec import Struct

from frame3d.design.reading.faults import allowed
from frame3d.design.tables.fields import Table, read_length
from frame3d.design.tables.letters import fault_of_text
from frame3d.design.values.field_info import limits_of, sections
from frame3d.design.values.starter_values import start_values
from frame3d.errors import DesignError
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import MM_PER_INCH, UnitSystem

NEW_NAME = "New tunnel"
_IN_METRES = re.compile(r"\d\s*[cdm]?m\b", re.IGNORECASE)
_UNDER_RIDGE_MM = 450.0
"""How far braces end under the ridge at least: clear of its rail and joint."""
OPTIONS = {
    "project.name": "--name",
    "profile.style": "--style",
    "profile.width": "--width",
    "profile.ridge_height": "--height",
    "bays.length": "--length",
    "bays.spacing": "--spacing",
    "bays.largest_spacing": "--spacing",
}
"""The fields that ``frame3d new`` has an option for."""


class Figures(Struct, frozen=True, kw_only=True):
    """What a user gives of a new tunnel, as typed; None for what is to follow.

    Parameters
    ----------
    width, height, length, spacing : str or None
        Of the profile, its ridge, the whole tunnel, and the hoops at most.
    """

    width: str | None = None
    height: str | None = None
    length: str | None = None
    spacing: str | None = None


def units_meant(figures: Figures) -> UnitSystem:
    """Metric where a figure is in metres or parts of one; feet and inches otherwise."""
    given = [getattr(figures, name) for name in figures.__struct_fields__]
    metric = any(text is not None and _IN_METRES.search(text) for text in given)
    return UnitSystem.METRIC if metric else UnitSystem.IMPERIAL


def new_tables(
    style: ArchStyle, units: UnitSystem, name: str = NEW_NAME, figures: Figures | None = None
) -> dict[str, list[Table]]:
    """For each section the tables of a new design, with the figures as they were typed.

    Raises
    ------
    DesignError
        If the name does not fit. A figure that cannot be read is for whoever reads the design.
    """
    facts = sections()["project"].fields["name"]
    fault = fault_of_text(name)
    if fault or not (facts.shortest or 0) <= len(name.strip()) <= (facts.longest or math.inf):
        said = f"got a name of {len(name)} characters; {allowed(facts, units)}, on one line"
        raise DesignError(f"{said}; {fault}" if fault else said, "project.name")
    tables = start_values(style, units)
    tables["project"] = [{"name": name}]
    if figures is not None:
        followed_figures(tables, figures, units)
    return tables


def followed_figures(tables: dict[str, list[Table]], figures: Figures, units: UnitSystem) -> None:
    """Put ``figures`` into these tables, and let the height and the braces follow the width."""
    _follow(tables, figures, units)
    (profile,), (bays,) = tables["profile"], tables["bays"]
    _put(profile, bays, figures, units)


def with_figures(design: Table, figures: Figures, units: UnitSystem, name: str | None) -> Table:
    """A design that is there, with these figures in place of its own."""
    result = {**design, "profile": {**design["profile"]}, "bays": {**design["bays"]}}
    _put(result["profile"], result["bays"], figures, units)
    if name is not None:
        result["project"] = {**design.get("project", {}), "name": name}
    return result


def _put(profile: Table, bays: Table, figures: Figures, units: UnitSystem) -> None:
    if figures.width is not None:
        profile["width"] = figures.width
    if figures.height is not None:
        profile["ridge_height"] = figures.height
    if figures.length is None and figures.spacing is None:
        return
    length = figures.length or bays.get("length") or _length_of(bays, units)
    widest = figures.spacing or bays.get("largest_spacing") or bays.get("spacing")
    bays.clear()
    bays.update({"length": length, "largest_spacing": widest})


def _length_of(bays: Table, units: UnitSystem) -> str:
    return _text(bays["count"] * read_length(bays["spacing"]), units)


def _follow(tables: dict[str, list[Table]], figures: Figures, units: UnitSystem) -> None:
    """The height goes with the width, and the top of braces with a lower height."""
    (profile,) = tables["profile"]
    try:
        was, leg = (read_length(profile[name]) for name in ("ridge_height", "leg_height"))
        height = was if figures.height is None else read_length(figures.height)
        if figures.width is not None and figures.height is None:
            width, low, high = read_length(figures.width), *limits_of("profile")["width"]
            if low <= width <= high:  # another is refused by itself
                height = leg + (was - leg) * width / read_length(profile["width"])
    except ValueError:
        return
    if height == was:
        return
    profile["ridge_height"] = _text(_rounded(height, units), units)
    for brace in tables.get("brace", []):
        if read_length(brace["to_height"]) > height - _UNDER_RIDGE_MM:
            brace["to_height"] = _text(_rounded(height - _UNDER_RIDGE_MM, units), units)


def with_lower_braces(
    tables: dict[str, list[Table]], units: UnitSystem
) -> Iterator[dict[str, list[Table]]]:
    """The same design with braces that end lower and lower, to find one where they are clear."""
    top_mm, lowest_mm = (read_length(tables["brace"][0]["to_height"]) * k for k in (1, 0.6))
    while (top_mm := _rounded(top_mm - _step(units), units)) > lowest_mm:
        braces = [{**brace, "to_height": _text(top_mm, units)} for brace in tables["brace"]]
        yield {**tables, "brace": braces}


def _rounded(length_mm: float, units: UnitSystem) -> float:
    """To a quarter of a foot, or to 5 cm."""
    step = _step(units)
    return step * math.floor(length_mm / step + 0.5)


def _step(units: UnitSystem) -> float:
    return 3 * MM_PER_INCH if units is UnitSystem.IMPERIAL else 50.0


def _text(length_mm: float, units: UnitSystem) -> str:
    """A length as a file has it."""
    if units is UnitSystem.METRIC:
        return f"{length_mm / 1000:.12g} m"
    feet, inches = divmod(round(length_mm / MM_PER_INCH, 6), 12)
    return f"{feet:.0f} ft {inches:g} in" if inches else f"{feet:.0f} ft"
