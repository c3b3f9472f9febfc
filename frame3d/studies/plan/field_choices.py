"""What a ``[[vary]]`` section gives: fields of the design, and values that they can have."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from pydantic import ValidationError

from frame3d.design.reading.faults import Path, fault_of, path_of, unknown_name, where_of
from frame3d.design.reading.lines import Lines
from frame3d.design.reading.syntax import value_faults
from frame3d.design.tables.fields import Table, Written, shown
from frame3d.design.tables.whole_design import Design
from frame3d.design.values.defaults import completed, units_of
from frame3d.design.values.field_info import sections
from frame3d.studies.plan.plan_tables import VaryTable
from frame3d.studies.plan.ranges import values_between
from frame3d.studies.plan.variants import changed
from frame3d.studies.plan.whole_plan import LEFT_OUT, Axis

_MOST_TRIED = 200
"""Values of a field that are tried before a study begins; with more, some in between are not."""
_OF_ONE = (
    "order.price_file", "order.stock_file", "staking.levels", "staking.measured", "staking.built",
)  # fmt: skip
Told = Iterator[tuple[tuple[str | int, ...], str]]


def axis_of(table: VaryTable) -> Axis:
    """The fields of a section and their choices.

    Raises
    ------
    ValueError
        If what it says does not go together.
    """
    if (table.field is None) == (table.fields is None):
        raise ValueError(
            'give either field = "profile.width", or fields = [...] that vary together'
        )
    fields = tuple(table.fields) if table.fields is not None else (str(table.field),)
    span = (table.from_, table.to, table.step)
    if table.values is not None:
        if any(value is not None for value in span):
            raise ValueError("give either values, or from, to and step")
        values: list[Written] = list(table.values)
    elif table.from_ is None or table.to is None or table.step is None:
        raise ValueError("give values, or from, to and step")
    elif table.fields is not None:
        raise ValueError("fields that vary together have values, each a list")
    else:
        values = list(values_between(table.from_, table.to, table.step))
    choices = [_choice(value, fields, together=table.fields is not None) for value in values]
    kept = {repr(choice): choice for choice in choices}  # each once
    return Axis(fields=fields, choices=tuple(kept.values()))


def _choice(value: Written, fields: tuple[str, ...], *, together: bool) -> tuple[Written, ...]:
    if not together:
        return (value,)
    if not isinstance(value, list) or len(value) != len(fields):
        raise ValueError(
            f"got {shown(value)}; each of values must be a list of {len(fields)}, one for each of "
            f"{', '.join(fields)}"
        )
    return tuple(value)


def axis_faults(axis: Axis, design: Table) -> Told:
    """What is wrong with the names of fields, or with values of them whatever else is chosen."""
    wrong = False
    for number, field in enumerate(axis.fields):
        where: tuple[str | int, ...] = ("field",) if len(axis.fields) == 1 else ("fields", number)
        if message := _unknown(field, design):
            wrong = True
            yield where, message
    if wrong:
        return
    step = max(1, len(axis.choices) // _MOST_TRIED)
    tried = [*range(0, len(axis.choices), step), len(axis.choices) - 1]
    for number in dict.fromkeys(tried):
        values = dict(zip(axis.fields, axis.choices[number], strict=True))
        for message in _misread(values, design):
            yield ("values", number), message


def _unknown(field: str, design: Table) -> str:
    """Why there is no such field; empty where there is one."""
    path = path_of(field)
    if not path or not isinstance(path[0], str):
        return (
            f"there is no such field: {shown(field)}; write it as profile.width or rail[2].height"
        )
    if field in _OF_ONE:
        return (
            f"{field} cannot vary: a study uses one list of prices, one of stock, and level ground"
        )
    table = sections().get(path[0])
    if table is None:
        owners = [s for s in sections().values() if path[0] in s.fields]
        if owners:
            names = (
                f"{s.name}[1].{path[0]}" if s.several else f"{s.name}.{path[0]}" for s in owners
            )
            return f"got {shown(field)}; write it with its section: {' or '.join(names)}"
        return f"{path[0]} {unknown_name((path[0],), hints=True)}"
    last = path[-1]
    if isinstance(last, str) and len(path) > 1 and last not in table.fields:
        return f"{last} {unknown_name((table.name, last), hints=True)}"
    wanted = 3 if table.several else 2
    if len(path) != wanted or (table.several and not isinstance(path[1], int)):
        example = f"{table.name}[1]." if table.several else f"{table.name}."
        return f"got {shown(field)}; write it as {example}{next(iter(table.fields))}"
    there = design.get(table.name)
    if table.several:
        count = len(there) if isinstance(there, list) else 0
        number = int(path[1]) + 1
        if not 1 <= number <= count:
            has = f"the design has {count or 'no'} {table.header}"
            return f"{has}; {table.name}[{number}] is not there"
    return ""


def _misread(values: dict[str, Written], design: Table) -> Iterable[str]:
    """Faults of values that no other field could mend: of their kind, or beyond their limits.

    Those of a whole section, which its other fields may mend, have the place of the section.
    """
    alone: Table = {"output": design["output"]} if isinstance(design.get("output"), dict) else {}
    fields: dict[Path, str] = {}
    for field, value in values.items():
        first, *_, last = path_of(field)
        table = sections()[str(first)]
        path: Path = (table.name, 0, str(last)) if table.several else (table.name, str(last))
        if value != LEFT_OUT:
            alone.setdefault(table.name, [{}] if table.several else {})
            alone = changed(alone, {where_of(path): value})
            fields[path] = field
    if unfit := value_faults(alone):
        yield from (f"{fields.get(path, '')}: {message}" for path, message in unfit)
        return
    try:
        Design.model_validate(completed(alone))
    except ValidationError as error:
        units = units_of(alone)
        for item in error.errors(include_url=False):
            for path, field in fields.items():
                if tuple(item["loc"])[: len(path)] == path and item["type"] != "missing":
                    fault = fault_of(item, alone, units, Lines({}), hints=True)
                    yield f"{field}: {fault.message}"
