"""All figures by name, and those of a record by path.

Another room adds its figures with one line in ``GROUPS``.
"""

from __future__ import annotations

import difflib
import functools
from collections.abc import Iterable

from frame3d.studies.figures import from_checks, from_loads, from_summary, from_takeoff
from frame3d.studies.figures.figure import Figure, FigureValue, Sources
from frame3d.studies.figures.from_checks import RULE, rule_figure, rule_names
from frame3d.studies.figures.records import may_hold, paths_in, value_in

GROUPS: tuple[tuple[str, tuple[Figure, ...]], ...] = (
    ("Sizes, counts and masses", from_summary.FIGURES),
    ("Checks and room", from_checks.FIGURES),
    ("Take-off", from_takeoff.FIGURES),
    ("Loads, beside the base of the study: no index says what a frame carries", from_loads.FIGURES),
)
"""Figures by where they come from, as ``--figures`` lists them; add a group here."""
_RECORDS = {"summary": "summary", "findings": "findings", "takeoff": "order"}
"""Records whose numbers can be asked for by path, such as ``summary.cover.girth.mm``, and what
the sources call them."""


def _ratio(above: str, sources: Sources) -> float | None:
    """A figure for each square metre of covered ground."""
    own, ground = (figure_named(name).of(sources) for name in (above, "covered_ground_m2"))
    if not isinstance(own, int | float) or not isinstance(ground, int | float) or not ground:
        return None
    return round(own / ground, 4)


RATIOS = tuple(
    Figure(name=name, words=words, unit=unit, of=functools.partial(_ratio, above))
    for name, words, unit, above in (
        ("cost_per_m2", "Cost for each square metre of covered ground", "money/m2", "cost"),
        ("mass_per_m2_kg", "Mass for each square metre of covered ground", "kg/m2", "mass_kg"),
    )
)
"""Figures made of two others."""


class UnknownFigureError(LookupError):
    """There is no figure of that name; the message says which is meant, perhaps."""


def known_figures() -> dict[str, Figure]:
    """Every figure that has a name of its own."""
    groups = (*(group for _, group in GROUPS), RATIOS)
    return {figure.name: figure for group in groups for figure in group}


def figure_named(name: str) -> Figure:
    """The figure of that name.

    Raises
    ------
    UnknownFigureError
        With the nearest name.
    """
    known = known_figures()
    if name in known:
        return known[name]
    if name.startswith(RULE):
        rule = name.removeprefix(RULE)
        if rule in rule_names():
            return rule_figure(rule)
        raise UnknownFigureError(_told(name, (f"{RULE}{one}" for one in rule_names())))
    record, _, path = name.partition(".")
    if record in _RECORDS and path:
        of = functools.partial(_in_record, _RECORDS[record], path)
        return Figure(name=name, words=f"{path} of the {record}", unit=_unit(path), of=of)
    raise UnknownFigureError(_told(name, known))


def figures_in(sources: Sources) -> list[str]:
    """The names of all numbers in the records of one frame, findings and tables apart."""
    return [
        f"{name}.{path}"
        for name, record in _RECORDS.items()
        for path in paths_in(getattr(sources, record))
        if not path.startswith(("findings", "tables"))
    ]


def check_paths(names: Iterable[str], sources: Sources) -> None:
    """See that figures which are named by a path can be, by the records of one frame.

    Raises
    ------
    UnknownFigureError
        With the nearest name.
    """
    for name in names:
        record, _, path = name.partition(".")
        if record in _RECORDS and not may_hold(getattr(sources, _RECORDS[record]), path):
            raise UnknownFigureError(_told(name, figures_in(sources)))


def _in_record(record: str, path: str, sources: Sources) -> FigureValue:
    return value_in(getattr(sources, record), path)


def _unit(path: str) -> str:
    last = path.rpartition(".")[2]
    return next((u for u in ("mm", "kg", "deg", "m2", "m3") if last.split("_")[-1] == u), "")


def _told(name: str, names: Iterable[str]) -> str:
    near = difflib.get_close_matches(name.lower(), list(names), n=1, cutoff=0.5)
    hint = f"did you mean {near[0]}?" if near else "frame3d study --figures lists them"
    return f"there is no figure {name!r}; {hint}"
