"""A design with every default filled in, as a file that means the same.

What the user gave stands as it was written, with a mark; the rest is what the program goes by.

Glossary
--------
settled : a default that gave way to what the layout found, such as the height of a door.
worked out : a dimension that follows from those given, and that a file cannot have besides.
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, structs
from pydantic.config import JsonValue

from frame3d.design.reading.formats import FORMAT, FORMAT_FIELD, opened
from frame3d.design.reading.syntax import parsed
from frame3d.design.tables.fields import DesignTable, FieldKind, Table, Written
from frame3d.design.tables.whole_design import Design
from frame3d.design.values.defaults import completed
from frame3d.design.values.field_info import FieldFacts, TableInfo, sections
from frame3d.design.values.following import FOLLOWING, as_usual
from frame3d.design.writing.editing import listed, written_value
from frame3d.design.writing.template import SCHEMA_LINE, comment
from frame3d.units import MM_PER_INCH, UnitSystem

Key = tuple[str, str]
YOURS = "yours"
_SETTLED = "settled by the layout"
_MARKS_FROM = 38


class Shown(Struct, frozen=True, kw_only=True):
    """A field of the complete design.

    Parameters
    ----------
    name : str
    value : JSON value
        As a file has it; None where the field has none.
    given : bool
        Whether it stands in the user's file.
    note : str
        What a default follows, or how it came about; empty for one that just is.
    """

    name: str
    value: Written
    given: bool
    note: str


def shown_tables(
    text: str, read: Design, laid: Design, worked_out: Mapping[Key, str]
) -> list[tuple[TableInfo, list[Shown]]]:
    """Every table of a design with all of its fields.

    Parameters
    ----------
    text : str
        The file as the user has it.
    read, laid : Design
        As it was read, and as it was laid out, with what was settled.
    worked_out : mapping
        By section and field, the dimensions that follow from those given.
    """
    given = opened(parsed(text, "design"), "design").mapping
    whole = completed(given)
    found = []
    for section in sections().values():
        mine, full = listed(given.get(section.name)), listed(whole.get(section.name))
        before, after = (_models(getattr(design, section.name)) for design in (read, laid))
        for number, table in enumerate(full):
            own = mine[number] if number < len(mine) else {}
            fields = []
            for name, facts in section.fields.items():
                now: float | int = getattr(after[number], name)
                settled = None if now == getattr(before[number], name) else now
                shown = _shown((section.name, name), facts, own, table, settled, read.output.units)
                note = worked_out.get((section.name, name), "") if shown.value is None else ""
                fields.append(structs.replace(shown, note=note) if note else shown)
            found.append((section, fields))
    return found


def _models(tables: tuple[DesignTable, ...] | DesignTable | None) -> list[DesignTable]:
    if isinstance(tables, DesignTable):
        return [tables]
    return list(tables or ())


def _shown(
    key: Key,
    facts: FieldFacts,
    own: Table,
    table: Table,
    settled: float | int | None,
    units: UnitSystem,
) -> Shown:
    name, follower = facts.name, FOLLOWING.get(key)
    if own.get(name) is not None:
        return Shown(name=name, value=own[name], given=True, note="")
    value = table.get(name)
    if settled is not None:
        return Shown(name=name, value=_typed(settled, units), given=False, note=_SETTLED)
    if follower is None or value is None:
        return Shown(name=name, value=value, given=False, note="")
    note = f"follows {follower.goes_by}"
    if follower.rule is as_usual and facts.kind is FieldKind.CHOICE:
        # Given, it would be asked for where the layout takes less in silence.
        return Shown(name=name, value=None, given=False, note=f"{written_value(value)}, {note}")
    return Shown(name=name, value=value, given=False, note=note)


def _typed(settled: float | int, units: UnitSystem) -> JsonValue:
    """What the layout went by, as a file has it."""
    if isinstance(settled, int):
        return settled
    inches = settled / MM_PER_INCH
    if units is UnitSystem.IMPERIAL and (16 * inches).is_integer():
        return f"{inches:g} in"
    return f"{settled:.12g} mm"


def complete_text(tables: list[tuple[TableInfo, list[Shown]]], source: str) -> str:
    """The complete design as a file that reads back as the same design."""
    told = comment(
        f"{source} with every default filled in. What ends with # {YOURS} stands in that file; "
        "a field behind a # has no value, or follows from those given."
    )
    blocks = [f"{SCHEMA_LINE}\n{told}\n\n{FORMAT_FIELD} = {FORMAT}\n"]
    for section, fields in tables:
        lines = [section.header, *(_line(shown) for shown in fields)]
        blocks.append("".join(f"{line}\n" for line in lines))
    return "\n".join(blocks)


def _line(shown: Shown) -> str:
    if shown.value is None:
        return f"# {shown.name}: {shown.note or 'none'}"
    line = f"{shown.name} = {written_value(shown.value)}"
    mark = YOURS if shown.given else shown.note
    return f"{line:<{_MARKS_FROM - 2}}  # {mark}" if mark else line


def complete_json(tables: list[tuple[TableInfo, list[Shown]]]) -> Table:
    """The same for programs: for each section its tables, for each field value, given, note."""
    result: Table = {FORMAT_FIELD: FORMAT}
    for section, fields in tables:
        table = {s.name: {"value": s.value, "given": s.given, "note": s.note} for s in fields}
        if section.several:
            result.setdefault(section.name, []).append(table)
        else:
            result[section.name] = table
    return result
