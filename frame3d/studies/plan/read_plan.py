"""Read a plan and look at everything in it; all faults are told together, with their lines."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from frame3d.design.reading.faults import fault_at, value_at
from frame3d.design.reading.lines import Lines, key_lines
from frame3d.design.reading.syntax import parsed, read_text
from frame3d.design.tables.fields import Table, shown
from frame3d.errors import DesignFaults, Fault
from frame3d.studies.figures.known import UnknownFigureError, figure_named
from frame3d.studies.plan.field_choices import axis_faults, axis_of
from frame3d.studies.plan.plan_tables import PlanTable, StudyTable, VaryTable
from frame3d.studies.plan.whole_plan import Axis, Plan
from frame3d.studies.plan.wishes import condition_of, goal_of

Faults = list[tuple[tuple[str | int, ...], str]]
"""Places in the plan, and what is wrong there."""
DEFAULT_ASK = ("mass_kg", "errors")
"""What is asked where a plan asks nothing."""
Parsed = TypeVar("Parsed")
_DESIGN = (
    "this is a design, not the plan of a study; a plan is a file of its own, with base (the design "
    "file) in [study] and a [[vary]] for each field that varies"
)


def read_plan(path: str | Path) -> Plan:
    """The plan in a TOML file.

    Raises
    ------
    DesignFaults
        If it, or the design that it varies, cannot be read, or with all faults of it.
    """
    text, place = read_text(path), Path(str(path))
    mapping = parsed(text, place.name) if text.strip() else {}
    return _plan(mapping, place.name, place.parent, key_lines(text), None)


def plan_from_mapping(mapping: Table, base: str | Path | Table) -> Plan:
    """The plan in a mapping of the same form; ``base`` is a design file, or a mapping too."""
    folder = Path(str(base)).parent if isinstance(base, str | Path) else Path()
    return _plan(mapping, "study", folder, Lines({}), base)


def _plan(
    mapping: Table, source: str, folder: Path, lines: Lines, base: str | Path | Table | None
) -> Plan:
    try:
        tables = PlanTable.model_validate(mapping)
    except ValidationError as error:
        if "profile" in mapping and not {"study", "vary"} & mapping.keys():
            raise DesignFaults([Fault(where="", message=_DESIGN)], source) from None
        found = [(tuple(e["loc"]), _words(e, mapping)) for e in error.errors(include_url=False)]
        raise _told(found, source, lines) from None
    study, faults = tables.study, Faults()
    text, design = _base(study, folder, faults, base)
    axes = _axes(tables.vary, design, faults) if not faults else ()
    names = dict.fromkeys(study.ask)
    conditions, goals = [], []
    for number, line in enumerate(study.conditions):
        _tried(
            faults,
            ("study", "conditions", number),
            lambda t: conditions.append(condition_of(t)),
            line,
        )
    for number, line in enumerate(study.goals):
        _tried(faults, ("study", "goals", number), lambda t: goals.append(goal_of(t)), line)
    for number, name in enumerate(study.ask):
        _tried(faults, ("study", "ask", number), figure_named, name)
    if faults:
        raise _told(faults, source, lines)
    wanted = names or dict.fromkeys(DEFAULT_ASK)
    return Plan(
        base=design,
        base_text=text,
        folder=folder if base is not None or study.base is None else (folder / study.base).parent,
        axes=axes,
        figures=tuple(dict.fromkeys([
            *wanted, *(c.figure for c in conditions), *(g.figure for g in goals),
        ])),
        conditions=tuple(conditions),
        goals=tuple(goals),
        sample=study.sample,
        seed=study.seed,
    )  # fmt: skip


def _tried(
    faults: Faults, path: tuple[str | int, ...], read: Callable[[str], Parsed], text: str
) -> None:
    try:
        read(text)
    except UnknownFigureError as error:
        faults.append((path, str(error.args[0])))
    except ValueError as error:
        faults.append((path, str(error)))


def _base(
    study: StudyTable, folder: Path, faults: Faults, given: str | Path | Table | None
) -> tuple[str | None, Table]:
    """Text and values of the design that is varied."""
    if isinstance(given, dict):
        return None, given
    if given is None and study.base is None:
        faults.append((("study", "base"), "is missing; name the design file that is varied"))
        return None, {}
    path = Path(str(given)) if given is not None else folder / str(study.base)
    text = read_text(path)
    return text, parsed(text, path.name)


def _axes(tables: Iterable[VaryTable], design: Table, faults: Faults) -> tuple[Axis, ...]:
    axes: list[Axis] = []
    seen: set[str] = set()
    for number, table in enumerate(tables):
        path = ("vary", number)
        try:
            axis = axis_of(table)
        except ValueError as error:
            faults.append((path, str(error)))
            continue
        for field in axis.fields:
            if field in seen:
                faults.append((path, f"{field} varies twice; leave one of the two out"))
            seen.add(field)
        faults += [((*path, *where), message) for where, message in axis_faults(axis, design)]
        axes.append(axis)
    return tuple(axes)


def _words(error: ErrorDetails, mapping: Table) -> str:
    """What is wrong with one value of the plan's own tables."""
    path = tuple(error["loc"])
    table: type[BaseModel] = StudyTable
    depth = 1
    if len(path) == 1:
        table, depth = PlanTable, 0
    elif path[0] == "vary":
        table, depth = VaryTable, 2
    fields = {info.alias or name: info for name, info in table.model_fields.items()}
    name = str(path[min(depth, len(path) - 1)])
    if error["type"] == "extra_forbidden":
        near = difflib.get_close_matches(name, list(fields), n=1)
        hint = f"did you mean {near[0]}?" if near else f"there are {', '.join(fields)}"
        return f"is nothing that a plan has; {hint}"
    meaning = fields[name].description if name in fields else "a section with its fields"
    if error["type"] == "missing":
        return f"is missing; give {meaning}"
    return f"got {shown(value_at(mapping, path))}; it must be {meaning}"


def _told(found: Faults, source: str, lines: Lines) -> DesignFaults:
    faults = {str(f): f for path, message in found for f in [fault_at(path, message, lines)]}
    ordered: list[Fault] = sorted(faults.values(), key=lambda fault: fault.line or 0)
    return DesignFaults(ordered[:100], source)
